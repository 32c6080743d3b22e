"""A verdict that hangs on one answer alone waits until somebody has looked a second time."""

from __future__ import annotations

import random

import pytest
from session_world import START
from simulation.hearing import as_asked, one_by_one
from simulation.people import answer, draw_case
from test_stories import SETS

from switchleg.advice.verdict.decide import decide
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load
from switchleg.record.model import Event, Record
from switchleg.schema.questions import Reply, Value
from switchleg.session.replies import confirmed

ONE_ANSWER = {
    **SETS["sound"], **SETS["wiring_b"], **SETS["fan_dc"], **SETS["wish_on_off"],
    "resumes_after_power_cut": False, "remote_kind": "bluetooth_or_wifi",
}  # fmt: skip
"""A DC fan that forgets: with another remote it could be bridged, with another memory it could be switched."""


def test_nothing_fits_is_not_said_on_one_look() -> None:
    """Where one easily misread answer alone decides that nothing fits, that answer is to be looked at again."""
    found = decide(load(), parse_facts(load(), ONE_ANSWER), confirmed=frozenset())
    assert found.status == "needs_checks"
    assert "remote_kind" in found.again
    assert [check.fact for check in found.checks[: len(found.again)]] == list(found.again)


def test_an_answer_given_twice_stands() -> None:
    """Once everything that it hangs on was looked at twice, it is said that nothing fits."""
    facts = parse_facts(load(), ONE_ANSWER)
    seen: set[str] = set()
    for _ in range(6):
        found = decide(load(), facts, confirmed=seen)
        seen |= set(found.again)
    assert found.status == "stop"
    assert [stop.rule for stop in found.stops] == ["nothing_fits"]


def test_without_anybody_to_look_again_answers_are_taken_as_they_are() -> None:
    """A file of facts gets its verdict at once."""
    assert decide(load(), parse_facts(load(), ONE_ANSWER)).status == "stop"


def test_the_same_answer_in_the_history_confirms() -> None:
    """An answer that stood before with the same value counts as looked at twice, one that was changed does not."""
    now = START
    radio, other = (Reply(kind="value", value=v, at=now, station="floor") for v in ("radio", "infrared"))
    record = Record(id="x", name="porch", created=now, changed=now, replies={"remote_kind": radio})
    for said, expected in ((radio, {"remote_kind"}), (other, set())):
        told = record.model_copy(update={"history": [Event(at=now, node="remote_kind", reply=said)]})
        assert confirmed(load().tree, told) == expected


def test_a_measure_seldom_met_is_read_again() -> None:
    """A fan of 1.6 lb, and a wire in another country's unit, are read a second time before anything is recommended."""
    sound = {**SETS["sound"], **SETS["wiring_b"], **SETS["fan_ac_chain"], **SETS["wish_some"]}
    for odd in ({"fan_weight": "1.6 lb"}, {"wire_size": "1.5 mm2"}):
        facts = parse_facts(load(), {**sound, **odd})
        (fact,) = odd
        assert fact in decide(load(), facts, confirmed=frozenset()).again
        assert fact not in decide(load(), facts, confirmed={fact}).again
        assert fact not in decide(load(), parse_facts(load(), sound), confirmed=frozenset()).again


def test_two_wires_to_a_motor_whose_capacitors_sit_in_the_receiver_are_counted_again() -> None:
    """That the receiver may go hangs on this count alone: it is taken twice, and only beside those capacitors."""
    told = {**SETS["sound"], **SETS["wiring_a"], **SETS["fan_ac_receiver"], **SETS["wish_everything"]}
    for capacitor, again in (("receiver", True), ("fan", False)):
        facts = parse_facts(load(), {**told, "receiver_light_lead": "none", "capacitor_in": capacitor})
        assert ("receiver_motor_leads" in decide(load(), facts, confirmed=frozenset()).again) is again
        assert "receiver_motor_leads" not in decide(load(), facts, confirmed={"receiver_motor_leads"}).again


RECEIVER = {**SETS["fan_ac_receiver"], "receiver_light_lead": "none"}
RARE: tuple[tuple[str, dict[str, Value], dict[str, Value]], ...] = (
    ("neutral_bundle", {"neutral_bundle": False, "wall_cables": 2}, {"neutral_bundle": False, "wall_cables": 1}),
    ("wire_age", {"wire_age": "cloth", "insulation_brittle": False}, {"wire_age": "plastic"}),
    ("insulation_brittle", {"wire_age": "cloth", "insulation_brittle": False}, {"insulation_brittle": False}),
    ("wire_age", {"house_age": "before_1950"}, {"house_age": "1974_2010"}),
    ("wire_metal", {"house_age": "1965_1973"}, {"house_age": "1974_2010"}),
    ("receiver_light_lead", {**RECEIVER, "control_1_does": "both"}, {**RECEIVER, "receiver_light_lead": "mains"}),
)
"""A fact, answers that deny a danger where it is likely, and answers like them where it is not."""


@pytest.mark.parametrize(("fact", "rare", "usual"), RARE)
def test_a_danger_denied_where_it_is_likely_is_looked_for_again(
    fact: str, rare: dict[str, Value], usual: dict[str, Value]
) -> None:
    """No neutrals joined where two cables meet, supple cloth, new wire in an old house: somebody looks twice."""
    sound = {**SETS["sound"], **SETS["wiring_c"], **SETS["fan_ac_chain"], **SETS["wish_some"]}
    told, other = (parse_facts(load(), {**sound, **some}) for some in (rare, usual))
    assert fact in decide(load(), told, confirmed=frozenset()).again
    assert fact not in decide(load(), told, confirmed={fact}).again
    assert fact not in decide(load(), other, confirmed=frozenset()).again


def test_no_control_told_where_there_is_a_box_is_looked_at_again() -> None:
    """A box told to hold no control is rare: where a control in it would turn the plan, that is looked at again."""
    told = {**SETS["sound"], **SETS["wiring_a"], **SETS["fan_ac_chain"], **SETS["wish_some"], "wall_controls": 0}
    facts = {f: v for f, v in parse_facts(load(), told).items() if not f.startswith("control_")}
    found = decide(load(), facts, confirmed=frozenset())
    assert "wall_controls" in found.again or found.contradictions
    assert "wall_controls" not in decide(load(), facts, confirmed={"wall_controls"}).again


def test_the_search_for_enough_finds_the_way_of_one_question_after_the_other() -> None:
    """Simulated people are asked just what a session asks that hears one answer at a time."""
    knowledge = load()
    for number in range(6):
        rng = random.Random(number)
        told = answer(rng, knowledge, draw_case(rng), 0.05, 0.2 if number % 2 else 0.0)
        quick, slow = as_asked(knowledge, told.replies), one_by_one(knowledge, told.replies, {})
        assert (quick.walk.steps, quick.facts, quick.untold) == (slow.walk.steps, slow.facts, slow.untold)
