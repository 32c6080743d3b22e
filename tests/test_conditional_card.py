"""The conditional card: what each answer to the next look leads to, and looks that are somebody else's to take."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from fan_world import FROM_THE_FLOOR

from switchleg.advice.advise import advise
from switchleg.advice.card.build import build_card
from switchleg.advice.looks.trouble import trouble_of
from switchleg.advice.model import Advice, Case
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value

SEEN: dict[str, Value] = {
    "pull_chain_fan": True,
    "pull_chain_light": True,
    "receiver": False,
    "wire_metal": "copper",
    "wire_age": "plastic",
    "damage_seen": False,
    "circuits_in_box": 1,
    "wall_cables": 2,
    "run_conductors": 2,
    "run_on_controls": 1,
    "neutral_bundle": True,
    "white_on_control": False,
    "run_spare": False,
    "place_rating_needed": "dry",
}


def told(case: Case, facts: Mapping[str, Value], untold: tuple[str, ...]) -> Advice:
    """The verdict when the case's answer is given."""
    question = load().tree.questions[case.fact]
    answer = next((a for a in question.answers if a.label == case.answer), None)
    if answer is None:
        return advise(load(), {**facts, "receiver": False}, untold)
    value = answer.value if answer.value is not None else answer.at_least
    assert value is not None
    return advise(load(), {**facts, case.fact: value}, untold)


OPEN: dict[str, tuple[dict[str, Value], tuple[str, ...]]] = {
    "from the floor": (FROM_THE_FLOOR, ()),
    "a danger that nobody could tell": ({**FROM_THE_FLOOR, **SEEN}, ("wire_metal",)),
    "what a control does": ({**FROM_THE_FLOOR, **SEEN}, ("control_1_does", "run_on_controls")),
    "a receiver seen, no more": ({**FROM_THE_FLOOR, "handheld_remote": True, "receiver": True}, ()),
    "whether another fan may come": (
        {**FROM_THE_FLOOR, "motor_label": "dc", "want_speed_from_app": "must"},
        ("may_replace_fan",),
    ),
}


@pytest.mark.parametrize("name", OPEN)
def test_each_case_is_what_the_program_says_when_it_is_told(name: str) -> None:
    """An unsettled card says for each answer to its next look what comes of it; told that answer, the program says
    just that; the likelihoods sum to one and stand there in words and numbers."""
    facts, untold = OPEN[name]
    facts = {fact: value for fact, value in facts.items() if fact not in untold}
    advice = advise(load(), facts, untold)
    assert advice.status == "needs_checks"
    assert advice.cases
    shares = [case.p for case in advice.cases]
    assert shares == [None] * len(shares) or sum(p or 0.0 for p in shares) == pytest.approx(1, abs=2e-3)
    for case in advice.cases:
        assert sum(case.schemes.values()) == pytest.approx(1, abs=2e-2)
        then = told(case, facts, untold)
        assert case.settles == (then.status != "needs_checks"), case
        if then.recommendation:
            assert list(case.schemes) == [then.recommendation.scheme]
        elif then.status == "stop":
            assert list(case.schemes) == ["none" if then.stops[0].rule == "nothing_fits" else "stop"]
    lines = next(s.lines for s in build_card(load(), facts, advice).sections if s.id == "cases")
    for case, line in zip(advice.cases, lines[1:], strict=True):
        assert case.answer in line.text
        assert case.p is None or f"{max(1, round(100 * case.p))} %" in line.text


@pytest.mark.parametrize(
    ("bar", "station", "word"),
    [
        ({"may_open_canopy": False}, "canopy", "who may open the canopy"),
        ({"able_to_test_live": False}, "wall", "tester"),
    ],
)
def test_looks_of_others_are_named_with_whose_they_are(bar: dict[str, Value], station: str, word: str) -> None:
    """Who may not lift the canopy, or does not test with the power on, reads which look decides and who takes it."""
    facts = {**FROM_THE_FLOOR, **SEEN, "may_open_canopy": True, **bar}
    unseen = ("receiver", "pull_chain_fan", "neutral_bundle", "white_on_control", "wall_cables", "run_on_controls")
    facts = {fact: value for fact, value in facts.items() if fact not in unseen}
    advice = advise(load(), facts)
    assert advice.status == "needs_checks"
    theirs = [check for check in advice.for_others if check.station == station]
    assert theirs
    assert all(check.by == "other" for check in theirs)
    assert any(word in check.text for check in theirs)
    own = {check.fact for check in advice.next_checks if check.by == "you"}
    assert not own & {check.fact for check in theirs}
    lines = next(s.lines for s in build_card(load(), facts, advice).sections if s.id == "next")
    assert any(word in line.text for line in lines)


def test_no_control_is_asked_about_that_is_not_there() -> None:
    """With one control counted, or none, nobody is sent to try a second one."""
    for unknown in ("control_1_does", "wall_controls", "wall_boxes"):
        facts = {fact: value for fact, value in FROM_THE_FLOOR.items() if fact != unknown}
        checks = {check.fact for check in advise(load(), facts).next_checks}
        assert not checks & {"control_2_does", "switches_work_together"}
    sends = {**FROM_THE_FLOOR, "control_1_kind": "remote", "handheld_remote": True}
    del sends["control_1_does"]
    assert "control_1_does" not in {check.fact for check in advise(load(), sends).next_checks}


def test_trouble_counts_a_station_that_is_still_shut() -> None:
    """Wires counted in the canopy do not open the wall; what could not be told there costs more the second time."""
    first = trouble_of(load(), {"ceiling_cables": 1, "run_conductors": 2}, ("capacitor_in",))
    assert first("neutral_bundle") == 16
    assert first("receiver") == 1
    assert first("capacitor_in") == 14
    assert trouble_of(load(), {"wire_metal": "copper"})("neutral_bundle") == 1
