"""What a card says in words that somebody acts on: the order of work, lone grounds, and what is only possible."""

from __future__ import annotations

import pytest
from fan_world import ONE_SWITCH

from switchleg.advice.advise import advise
from switchleg.advice.card.build import build_card
from switchleg.advice.card.contradictions import suspects, why_at_odds
from switchleg.advice.card.decision import known
from switchleg.advice.wording.phrases import NUMBER
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value

LOOP: dict[str, Value] = {
    **ONE_SWITCH,
    "light_kit": "led_built_in",
    "handheld_remote": True,
    "remote_kind": "radio",
    "motor_label": "dc",
    "resumes_after_power_cut": False,
    "breaker": "15 A",
    "wire_size": "14 AWG",
    "wall_cables": 1,
    "run_conductors": 2,
    "neutral_bundle": False,
    "white_on_control": True,
    "wall_ground": True,
    "receiver": True,
    "receiver_light_lead": "low_voltage",
    "ceiling_cables": 2,
    "ceiling_ground": True,
}
"""A two-wire loop under a DC fan that forgets: the loop goes out of use and is left in the wall box."""


def lines(section: str, facts: dict[str, Value]) -> list[str]:
    """The lines of one section of the card."""
    knowledge = load()
    card = build_card(knowledge, facts, advise(knowledge, facts))
    return [line.text for part in card.sections if part.id == section for line in part.lines]


ONE_SLIP: dict[str, Value] = {"neutral_bundle": True}
TWO_SLIPS: dict[str, Value] = {
    "run_conductors": 4,
    "ceiling_cables": 1,
    "run_spare": False,
    "hot_at_wall_always": False,
    "hot_at_ceiling_switch_off": False,
}


@pytest.mark.parametrize("slips", [ONE_SLIP, TWO_SLIPS])
def test_the_answer_to_check_first_is_said_once_with_what_it_does_not_go_with(slips: dict[str, Value]) -> None:
    """Where many sets of answers disagree, the first next check leads, few sets are told at once and the rest counted,
    and the whole list and the reasons hold every one of them."""
    facts, questions = LOOP | slips, load().tree.questions
    advice = advise(load(), facts)
    told = lines("stops", facts)
    assert told[0].startswith(f'Best checked again first: "{questions[advice.next_checks[0].fact].ask}" (')
    assert len(told) <= 5 * len(suspects(advice))
    shown = sum("go with this answer: " in text or "go with these together: " in text for text in told)
    counted = [text.split()[1] for text in told if text.startswith("And ")]
    assert shown + sum(NUMBER.index(n) if n in NUMBER else int(n) for n in counted) == len(advice.contradictions)
    why = why_at_odds(advice)
    assert why is not None
    every = {stop.text for stop in advice.stops if set(stop.facts) in map(set, advice.contradictions)}
    assert len(every) == len(advice.contradictions)
    assert every == {step.text for step in why.steps} == set(lines("at_odds", facts))


def test_every_box_is_tested_dead_before_anything_in_it_is_parted() -> None:
    """In each box the test comes before the first joint that is undone (NFPA 70E 120.5: verify, then work)."""
    steps = advise(load(), LOOP)
    chosen = next(s for s in steps.schemes if steps.recommendation and s.id == steps.recommendation.scheme)
    boxes = {step.box for step in chosen.steps}
    assert boxes == {"wall", "ceiling"}
    for box in boxes:
        kinds = [step.kind for step in chosen.steps if step.box == box]
        assert kinds.index("test") < kinds.index("take_apart")


def test_a_ground_that_meets_no_device_any_more_goes_to_the_metal_of_the_box() -> None:
    """A lone ground is never simply capped: a metal box is bonded (NEC 314.4, 250.148)."""
    told = lines("splices", LOOP)
    assert not any(text.startswith("Cap by itself: ground") for text in told)
    assert any(
        text.startswith("Ground: ground of the cable to the ceiling box + the box, if it is metal") for text in told
    )
    assert not any(text.startswith("Cap by itself: ground") for text in lines("steps", LOOP))


def test_what_is_not_settled_is_never_told_as_sure_nor_the_likeliest_as_unlikely() -> None:
    """A share of 0.997 reads 99 %, and of many wirings the first is called the likeliest, however small its share."""
    advice = advise(load(), {"region": "us"})
    assert advice.wirings[0].p < 0.2
    told = [line.text for line in known(advice.model_copy(update={"motor": {"ac": 0.997, "dc": 0.003}}))]
    assert "(almost surely, 99 %)" in told[0]
    assert told[1] == f"Likeliest, {round(100 * advice.wirings[0].p)} %: {advice.wirings[0].words}"
    assert not any("likely," in text or "100 %" in text for text in told[2:])


def test_what_holds_in_some_open_cases_only_is_not_told_as_a_fact() -> None:
    """With nothing known, every reason against a scheme is told as possible."""
    told = lines("why_not", {"region": "us"})
    open_ones = [text for text in told if ": Open." in text and "no wall box that acts" in text]
    assert open_ones
    assert all(text.index("What may stand against it:") < text.index("no wall box") for text in open_ones)


def test_what_no_look_tells_is_sent_to_who_can_say() -> None:
    """With every look taken and the motor still open the card sends to the fan's maker, not to somebody who traces
    wires, and says which question takes what they say."""
    told: dict[str, Value] = {
        "region": "us",
        "fan_installed": True,
        "light_kit": "none",
        "handheld_remote": False,
        "wall_boxes": 1,
        "wall_controls": 1,
        "control_1_does": "fan",
        "control_1_kind": "on_off",
        "acts_on_other_loads": False,
        "want_wall_control": "must",
        "want_speed_from_app": "nice",
        "place_rating_needed": "dry",
        "may_open_canopy": True,
        "may_pull_cable": False,
        "may_replace_fan": False,
        "able_to_test_live": True,
        "pull_chain_fan": False,
        "motor_label": "unmarked",
        "resumes_after_power_cut": True,
        "receiver": False,
        "wall_cables": 2,
        "run_conductors": 3,
        "run_on_controls": 1,
        "neutral_bundle": True,
        "run_spare": True,
        "white_on_control": False,
        "neutral_reading": True,
        "hot_at_wall_always": True,
        "ceiling_cables": 1,
        "capped_end_at_ceiling": "capped",
        "hot_at_ceiling_switch_off": False,
        "capacitor_in": "not_seen",
    }
    (line,) = (line for line in lines("cautions", told) if "No look" in line)
    assert "maker or seller can say which motor" in line
    assert load().tree.questions["motor_label"].ask in line
    assert "tracing" not in line
