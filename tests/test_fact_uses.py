"""What a question says that its fact serves is what the reasoning asks it for, no less and no more."""

from __future__ import annotations

import pytest
from uses_world import asked_for

from switchleg.advice.cases.hazards import ASKED_FOR
from switchleg.advice.cases.open_cases import read_in_judging
from switchleg.advice.looks.worth_asking import deciding, looks_only
from switchleg.advice.numbers.safety import FIGURES
from switchleg.advice.plans.outcome import PERMISSIONS
from switchleg.knowledge.load import load
from switchleg.schema.questions import Use
from switchleg.tree.graph import serving


@pytest.mark.parametrize("use", ["premise", "fans", "danger", "figure", "parts"])
def test_who_asks_for_a_fact_is_named_by_its_question(use: Use) -> None:
    """Whatever a part of the reasoning asks for says that it serves there: else it would be left out too early."""
    assert asked_for()[use] <= serving(load().tree, use)


@pytest.mark.parametrize("use", ["premise", "fans", "work", "danger", "figure", "parts"])
def test_no_question_names_a_use_in_vain(use: Use) -> None:
    """Nothing is asked for the sake of a use that nobody makes of it; stops are data, held by the check."""
    stops = {condition.fact for stop in load().rules.stop for condition in stop.when} if use == "danger" else set()
    assert serving(load().tree, use) <= asked_for()[use] | stops


def test_judging_hears_all_that_it_asks_for_and_nothing_else() -> None:
    """A fact that judging asks for and never hears would be absent in silence: each is declared, and each is used."""
    heard = read_in_judging(load())
    forbidding = {condition.fact for rule in load().rules.forbids for condition in rule.when}
    assert asked_for()["judged"] <= heard
    assert heard <= asked_for()["judged"] | forbidding


def test_what_a_stop_or_hazard_hangs_on_is_a_danger() -> None:
    """The facts of the stops that are worked out, and of what is dangerous today, say so."""
    worked_out = {fact for figure in FIGURES.values() for fact in figure.facts}
    assert worked_out | ASKED_FOR <= serving(load().tree, "danger")
    assert worked_out <= serving(load().tree, "figure")


def test_permissions_are_asked_for_before_all_looks() -> None:
    """Leave and wishes are decided and not looked at: they are told before anything is left out."""
    decided = serving(load().tree, "wish", "permission")
    assert serving(load().tree, "permission") >= PERMISSIONS
    assert decided <= deciding(load())
    assert not decided & serving(load().tree, "houses", "fans")


def test_a_look_that_a_rule_rests_on_is_never_left_out() -> None:
    """What stops the work, forbids a scheme, or is a sum, a part or a second look is not one that only tells apart."""
    rules = (*load().rules.stop, *load().rules.forbids)
    assert not looks_only(load()) & {condition.fact for rule in rules for condition in rule.when}
    assert not looks_only(load()) & serving(
        load().tree, "premise", "work", "figure", "parts", "wish", "permission", "home"
    )
