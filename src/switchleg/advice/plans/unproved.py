"""What a plan rests on that one misread answer could make: it waits for a second look of another kind."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from switchleg.advice.plans.attempts import Tried
from switchleg.diagnosis.fans import chain_alone
from switchleg.schema.questions import Value
from switchleg.wiring.site import CEILING, NEUTRAL

SPEED_PARTS = ("receiver_motor_leads", "capacitor_in")
"""Looks that show whether the motor's speeds are made in its receiver."""


def unproved(tried: Tried, facts: Mapping[str, Value], untold: Collection[str], *, coloured: bool) -> Iterator[str]:
    """The looks that are still to be taken before the plan's joints may be made.

    `coloured`: nothing but colours, which are misread together, says that a neutral is at the wall.
    A cable at the ceiling is joined as one that carries the feed on only when somebody has seen that it does:
    the loop of a forgotten switch would short. The other looks are waited for where they came up and told nothing.
    """

    def blind(fact: str) -> bool:
        return fact in untold and fact not in facts

    plan = tried.plan
    site = plan.house.site
    goes_on = any(stub.id.startswith("onward") and stub.box == CEILING for stub in site.stubs)
    if goes_on and tried.touches_canopy and facts.get("feed_passes_on") is not True:
        yield "feed_passes_on"
    if not site.wall_boxes and blind("stops_from_wall"):
        yield "stops_from_wall"
    unread = blind("neutral_reading") or facts.get("able_to_test_live") is False
    if coloured and unread and "neutral_reading" not in facts and _takes_neutral(tried):
        yield "neutral_reading"
    never_opened = facts.get("may_open_canopy") is False
    if (blind("receiver") or never_opened) and steps_blindly(tried, facts):
        yield "receiver"
    if plan.way.app and plan.way.receiver == "keep" and blind("remote_kind"):
        yield "remote_kind"
    bypassed = plan.fan.receiver and not plan.receiver_kept and plan.way.receiver == "remove"
    if bypassed and facts.get("pull_chain_fan") is not True:  # a motor with a chain holds its speeds itself
        yield from (fact for fact in SPEED_PARTS if blind(fact))


def steps_blindly(tried: Tried, facts: Mapping[str, Value]) -> bool:
    """The plan steps the fan's power, and that no electronics are behind it was only concluded from its chain."""
    return "receiver" not in facts and chain_alone(facts) and tried.steps_fan


def _takes_neutral(tried: Tried) -> bool:
    """A part at the wall needs the neutral there."""
    return any(part.box != CEILING and NEUTRAL in dict(part.nets).values() for part in tried.plan.wired.parts)
