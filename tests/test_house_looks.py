"""The registry of what a house shows, held against the questions."""

from __future__ import annotations

import pytest

from switchleg.advice.advise import advise
from switchleg.advice.cases.beliefs import bench_of, candidates
from switchleg.advice.looks.next_checks import barred_by
from switchleg.diagnosis.houses.agreement import LOOKED_AT
from switchleg.diagnosis.houses.controls import CONTROL_LOOKS, at_no_wall
from switchleg.diagnosis.houses.predictions import HOUSE_LOOKS, predicted
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value
from switchleg.tree.values import answer_for


def test_every_look_is_a_question() -> None:
    """What a house has an answer to can be asked; what its controls do is joined to it once."""
    assert set(HOUSE_LOOKS) | set(CONTROL_LOOKS) == LOOKED_AT
    assert set(load().tree.questions) >= LOOKED_AT


@pytest.mark.parametrize("region", ["us", "uk"])
@pytest.mark.parametrize("other", [True, False])
def test_what_a_house_shows_can_be_answered(region: str, *, other: bool) -> None:
    """Every look is shown by some house, and whatever it shows its question offers as an answer."""
    knowledge = load()
    bench = bench_of(knowledge, knowledge.regions[region])
    houses = candidates(knowledge, region, other, True)[::40]
    shown = {fact: {v for h in houses for v in predicted(h, fact, bench)} for fact in HOUSE_LOOKS}
    for fact, values in shown.items():
        assert values or (fact.startswith("other_load") and not other), fact
        for value in values:
            assert answer_for(knowledge.tree.questions[fact], value) is not None, (fact, value)


@pytest.mark.parametrize(
    ("fact", "there", "not_there"),
    [
        ("other_load_works_with", {"acts_on_other_loads": True}, {"acts_on_other_loads": False}),
        ("switches_work_together", {"wall_boxes": 2}, {"wall_boxes": 1}),
        ("run_and_link_conductors", {"wall_boxes": 2}, {"wall_boxes": 1}),
        ("leg_on_each_control", {"wall_boxes": 1, "wall_controls": 2}, {"wall_boxes": 2, "wall_controls": 2}),
    ],
)
def test_no_look_at_what_is_not_there(fact: str, there: dict[str, Value], not_there: dict[str, Value]) -> None:
    """A look is advised where what it speaks of is known to be there; not where it is not, nor while nobody knows."""
    knowledge = load()
    assert not barred_by(knowledge, there)(fact)
    assert barred_by(knowledge, not_there)(fact)
    assert barred_by(knowledge, {})(fact)


def test_while_no_fan_hangs_its_wires_are_not_looked_at() -> None:
    """What another load's wire meets at the fan is no look then; what is capped at the ceiling still is."""
    barred = barred_by(load(), {"fan_installed": False, "acts_on_other_loads": True})
    assert barred("other_load_joined_with")
    assert not barred("capped_end_at_ceiling")


def test_why_names_every_look_at_the_house_that_was_told() -> None:
    """Whatever tells houses apart and was told stands beside the wirings that are left, in the order of asking."""
    hung = {"region": "us", "wall_boxes": 2, "wall_controls": 2, "light_kit": "lamps", "acts_on_other_loads": True}
    seen = {"other_load_works_with": "light", "switches_work_together": "different", "neutral_bundle": True}
    advice = advise(load(), {**seen, **hung})
    told = next(one.why for one in advice.schemes if one.why).steps[1].facts
    asked = ("wall_boxes", "switches_work_together", "wall_controls", "other_load_works_with", "neutral_bundle")
    assert told == asked


def test_too_few_conductors_names_what_was_counted() -> None:
    """The reason rests on every look at the house that was told, also on how many wires end on the controls."""
    house = {"region": "us", "wall_boxes": 1, "wall_controls": 1, "wall_cables": 1, "run_conductors": 2}
    wished = {"light_kit": "lamps", "want_light_apart": "must", "may_pull_cable": False, "acts_on_other_loads": False}
    advice = advise(load(), {**house, **wished, "run_on_controls": 2})
    short = [one for scheme in advice.schemes for one in scheme.reasons if one.rule == "too_few_conductors"]
    assert short
    assert all({*house, "run_on_controls"} - {"region"} == set(one.facts) for one in short)


@pytest.mark.parametrize(("found", "wrong"), [(True, {"neutral_reading"}), (False, set())])
def test_a_reading_at_the_wall_needs_a_wall_box(*, found: bool, wrong: set[str]) -> None:
    """Full voltage between two wires at the wall cannot be read where there is no box; that it was not can be said."""
    assert at_no_wall({"wall_boxes": 0, "neutral_reading": found}) == wrong
