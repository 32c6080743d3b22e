"""Which fan each way of a scheme is for, and the ways that lead anywhere."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from switchleg.advice.plans.plan import Setting
from switchleg.diagnosis.fans import Fan
from switchleg.schema.questions import Value
from switchleg.schema.schemes import Scheme, Way

PLAIN_FAN = Fan(motor="ac", receiver=False, light="own_lead", resumes=True, remote=False)
"""The fan that `replace_fan_ac` brings: plain AC motor, leads of its own, no receiver."""


@dataclass(frozen=True, eq=False)
class Road:
    """A way that neither the answers nor a fan's kind rule out. `bought`: its fan is another one than today's."""

    scheme: Scheme
    way: Way
    fan: Fan
    fed: Setting
    extra: tuple[str, ...]
    bought: bool


@dataclass(frozen=True, eq=False)
class Roads:
    """The ways of one scheme that lead anywhere. `most`: no outcome of them ranks higher; `place`: of the scheme."""

    most: tuple[float, float]
    place: int
    ways: tuple[Road, ...]


def choices(scheme: Scheme, fan: Fan, facts: Mapping[str, Value]) -> Iterator[tuple[Way, Fan, tuple[str, ...]]]:
    """Every way with the fan it is for, today's or one that is bought, and what goes with that."""
    none_yet = facts.get("fan_installed") is False
    for way in scheme.way:
        yield way, fan, ("replace_fan_ac",) if none_yet and way.receiver == "remove" else ()
    if facts.get("may_replace_fan") is True and (fan.motor != "ac" or fan.hidden):
        plain = replace(PLAIN_FAN, light="none") if fan.light == "none" else PLAIN_FAN
        for way in scheme.way:
            if way.receiver == "remove":
                yield way, plain, ("replace_fan_ac",)
