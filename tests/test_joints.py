"""Joints are told when they are the same in every case still open; else the look that tells them apart is named."""

from __future__ import annotations

import pytest
from test_card_words import LOOP

from switchleg.advice.advise import advise
from switchleg.advice.card.drawings import pictures
from switchleg.errors import SwitchlegError
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value

UNKNOWN_TO_IT = (
    "white_on_control",
    "neutral_bundle",
    "remote_kind",
    "receiver_light_lead",
    "resumes_after_power_cut",
)
PLAIN_FAN: dict[str, Value] = {
    "motor_label": "ac",
    "receiver": False,
    "handheld_remote": False,
    "pull_chain_fan": True,
    "pull_chain_light": True,
    "run_conductors": 3,
    "run_spare": True,
    "capped_end_at_ceiling": "capped",
}
LOOP_WITH_SPARE = {**{f: v for f, v in LOOP.items() if f not in UNKNOWN_TO_IT}, **PLAIN_FAN}
"""Power comes to the ceiling; of three conductors down the wall two are the loop, and nobody saw which."""


def test_joints_wait_for_the_colours_of_a_loop() -> None:
    """A loop whose unused conductor may be the white or another has one recommendation and no joints: the control's
    colours are the next look, nothing is drawn, and what is joined alike either way is told all the same."""
    advice = advise(load(), LOOP_WITH_SPARE)
    assert advice.status == "recommended"
    assert advice.recommendation is not None
    plans = {one.id: one.plan for one in advice.schemes}
    assert plans[advice.recommendation.scheme] is None
    assert advice.next_checks[0].fact == "white_on_control"
    with pytest.raises(SwitchlegError, match="still possible"):
        pictures(load(), LOOP_WITH_SPARE)
    assert plans["wall_speed"] is not None


@pytest.mark.parametrize("white", [True, False])
def test_the_look_brings_the_joints(white: bool) -> None:
    """Once somebody has looked, the joints are told, with the conductor that was seen."""
    advice = advise(load(), {**LOOP_WITH_SPARE, "white_on_control": white})
    assert advice.recommendation is not None
    plan = next(one.plan for one in advice.schemes if one.id == advice.recommendation.scheme)
    assert plan is not None
    assert "white_on_control" not in {check.fact for check in advice.next_checks}
