"""How a thing is known: measured, seen, inferred or assumed, whatever else was looked at besides."""

from __future__ import annotations

import pytest
from fan_world import FROM_THE_FLOOR

from switchleg.advice.advise import advise
from switchleg.advice.model import Evidence
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value

NEUTRAL: dict[str, Value] = {"wall_cables": 2, "run_conductors": 2, "neutral_bundle": True, "white_on_control": False}
KNOWN: dict[str, tuple[dict[str, Value], str, str, set[str]]] = {
    "a chain beside a label that says nothing": (
        {"motor_label": "unmarked", "pull_chain_fan": True}, "plain AC", "seen", {"pull_chain_fan"},
    ),
    "leads alike beside a count": (
        {"handheld_remote": True, "receiver": True, "receiver_motor_leads": 3, "motor_leads_alike": True},
        "motor is DC", "seen", {"motor_leads_alike"},
    ),
    "no receiver to be seen, and a remote": (
        {"handheld_remote": True, "receiver": False}, "receiver or driver", "inferred", {"handheld_remote"},
    ),
    "a chain and no remote, the canopy shut": (
        {"pull_chain_fan": True}, "no receiver", "inferred", {"handheld_remote", "pull_chain_fan"},
    ),
    "the canopy open": ({"pull_chain_fan": True, "receiver": False}, "no receiver", "seen", {"receiver"}),
    "neutrals by colour": (NEUTRAL, "neutral is at the wall", "seen", {"neutral_bundle"}),
    "neutrals read": ({**NEUTRAL, "neutral_reading": True}, "neutral is at the wall", "measured", {"neutral_reading"}),
    "a loop by its cables": (
        {"wall_cables": 1, "run_conductors": 2, "ceiling_cables": 2}, "No neutral", "inferred", set(),
    ),
    "a ground nobody looked for": ({}, "ground is at the wall", "assumed", {"wall_ground"}),
    "a ground that was seen": ({"wall_ground": True}, "ground is at the wall", "seen", {"wall_ground"}),
}  # fmt: skip


def said(facts: dict[str, Value], words: str, untold: tuple[str, ...] = ()) -> list[Evidence]:
    return [one for one in advise(load(), facts, untold).evidence if words in one.what]


@pytest.mark.parametrize("name", KNOWN)
def test_how_it_is_known(name: str) -> None:
    """The look that shows a thing is its evidence; one that showed nothing, or the contrary, is not."""
    facts, words, kind, speak = KNOWN[name]
    (one,) = said({**FROM_THE_FLOOR, **facts}, words)
    assert (one.kind, set(one.facts)) == (kind, speak)


def test_what_may_be_is_not_taken_for_granted() -> None:
    """Who could not tell whether something else hangs on the leg does not read that nothing does."""
    facts = {fact: value for fact, value in FROM_THE_FLOOR.items() if fact != "acts_on_other_loads"}
    assert said(facts, "Nothing else hangs")[0].kind == "assumed"
    assert not said(facts, "Nothing else hangs", ("acts_on_other_loads",))
