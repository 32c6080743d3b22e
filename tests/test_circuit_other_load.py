"""What hangs on a leg beside the fan: which outputs may feed it, by what it is."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest
from circuit_world import built, lamp_at
from wiring_world import bench

from switchleg.checking.references import check_facts
from switchleg.knowledge.load import load
from switchleg.schema.parts import OtherKind, OtherLoad
from switchleg.wiring.netlist import Placed
from switchleg.wiring.rules import findings, works_other
from switchleg.wiring.site import CEILING, HOT, NEUTRAL, WALL, Cable, Site, Stub

CONTACTS = {"plain_switch", "on_off_control", "relay_module", "light_on_off"}
LISTED = {"plain_switch"}
"""NEC 404.14 (from memory): no dimmer and no speed control feeds a receptacle, unless it is listed for it."""

SHAPING = {"fan_speed_control", "light_dimmer", "on_off_control_two_wire"}


def refused(control: str, other: OtherKind | None, leg: str = "L") -> bool:
    """Whether a control on the leg L with a load is refused for another load, of that kind, on `leg`."""
    fan = "fan_motor" if control in ("fan_speed_control", "on_off_control_two_wire") else "fan_lamp"
    terminals = {terminal: net for terminal, net in NETS.items() if terminal in bench().controls[control].terminals}
    parts = [Placed("c", control, WALL, tuple(terminals.items()))]
    if "sense" in terminals:
        parts.append(Placed("s", "plain_switch", WALL, (("line", HOT), ("load", "S"))))
    parts.append(replace(lamp_at("light", "L"), control=fan))
    stubs = (Stub("feed", WALL, (HOT, NEUTRAL)), Stub("other", CEILING, (leg, NEUTRAL)))
    if leg != "L":
        parts.append(Placed("o", "plain_switch", WALL, (("line", HOT), ("load", leg))))
    wired = built(Site((CEILING, WALL), (Cable("run", (WALL, CEILING), 4),), stubs), *parts)
    found = [f for f in findings(wired, replace(bench(), other=other)) if f.rule == "output_feeds_wrong_load"]
    assert all(dict(f.words)["kind"] == (other or "other") for f in found)
    return bool(found)


NETS = {"line": HOT, "neutral": NEUTRAL, "load": "L", "sense": "S"}


@pytest.mark.parametrize("control", sorted(CONTACTS | SHAPING))
def test_what_may_feed_another_load(control: str) -> None:
    """Lamps hang on a contact that is marked for lamps; an outlet, a second fan or anything else on a plain switch."""
    assert refused(control, "other_lamps") == (control not in CONTACTS)
    for kind in ("outlet", "second_fan", "other"):
        assert refused(control, kind) == (control not in LISTED), kind


@pytest.mark.parametrize("control", sorted(CONTACTS | SHAPING))
def test_untold_is_refused_only_where_nothing_is_allowed(control: str) -> None:
    """While nobody has said what it is, only what may feed none of the kinds is out."""
    assert refused(control, None) == all(refused(control, kind) for kind in get_args(OtherKind))


def test_another_leg_is_not_held_against_a_control() -> None:
    """An outlet on a leg that keeps its plain switch says nothing of the part on the fan's leg."""
    assert refused("fan_speed_control", "outlet")
    assert not refused("fan_speed_control", "outlet", leg="L2")


def test_every_answer_is_a_kind() -> None:
    """Each answer to the question is one kind of load, each kind one answer; the check misses none."""
    wiring, tree = load().wiring, load().tree
    rows = wiring.other_load
    assert sorted(row.kind for row in rows) == sorted(get_args(OtherKind))

    def problems(*told: OtherLoad) -> list[str]:
        changed = {"wiring.toml": wiring.model_copy(update={"other_load": told})}
        return [problem.message for problem in check_facts(changed, tree, (), frozenset())]

    assert problems(*rows) == []
    assert problems(*rows[1:]) == ['has no row for "lamps", an answer to other_load_kind']
    extra = rows[0].model_copy(update={"is_": "lamp"})
    assert problems(*rows, extra) == ['there is no answer to other_load_kind called "lamp"']


def test_who_works_the_other_load() -> None:
    """Only the channel that feeds its leg."""
    parts = [Placed(n, "plain_switch", WALL, (("line", HOT), ("load", leg))) for n, leg in (("a", "L"), ("b", "L2"))]
    stubs = (Stub("feed", WALL, (HOT, NEUTRAL)), Stub("other", WALL, ("L", NEUTRAL)))
    wired = built(Site((CEILING, WALL), (Cable("run", (WALL, CEILING), 3),), stubs), *parts, lamp_at("light", "L2"))
    switch = bench().controls["plain_switch"]
    assert [works_other(wired, part, switch.channel[0]) for part in parts] == [True, False]
