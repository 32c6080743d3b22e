"""The short way to the best outcome, held against judging every scheme at length."""

from __future__ import annotations

import random
from collections.abc import Iterator

from simulation.people import draw_case, plain_answers
from uses_world import Noting, judging

from switchleg.advice.cases import open_cases
from switchleg.advice.cases.survey import Survey
from switchleg.advice.plans.keeps import at_most, never_kept
from switchleg.advice.plans.outcome import PERMISSIONS
from switchleg.advice.plans.plan import Setting, setting
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value
from switchleg.tree.walk import walk

PEOPLE = 6
FEW = 6


def surveys(*, floor: bool) -> Iterator[tuple[dict[str, Value], Survey]]:
    """What somebody knows who has answered all questions, or only those on the floor."""
    knowledge = load()
    for number in range(PEOPLE):
        facts = walk(knowledge.tree, plain_answers(knowledge, draw_case(random.Random(number)))).facts
        if floor:
            facts = {f: v for f, v in facts.items() if knowledge.tree.station_of[f] == "floor"}
        yield facts, open_cases.open_cases(knowledge, facts).survey


def test_the_short_way_finds_what_judging_every_scheme_finds() -> None:
    """What is left out before anything is wired would not have fitted: the best of all schemes is the same."""
    for floor in (True, False):
        for _, survey in surveys(floor=floor):
            for h in random.Random(5).sample(survey.hypotheses, min(FEW, len(survey.hypotheses))):
                found = (survey.judge.outcome(scheme, h.house, h.fan) for scheme in survey.judge.schemes.scheme)
                fitting = [o for o in found if o.fits and not PERMISSIONS & set(o.waits_for)]
                assert survey.best(h) == max(fitting, key=lambda o: o.rank, default=None)


def test_a_wish_left_out_before_wiring_is_missed_by_every_plan() -> None:
    """Whatever a way is said to miss before anything is wired, each of its plans misses once it is wired; none keeps
    more than the way is said to keep at most."""
    controls = {c.id: c for c in load().controls.control}
    told: set[str] = set()
    for _, survey in surveys(floor=True):
        for h in random.Random(5).sample(survey.hypotheses, min(FEW, len(survey.hypotheses))):
            for scheme in survey.judge.schemes.scheme:
                for outcome in survey.judge.ways(scheme, h.house, h.fan):
                    if (plan := outcome.plan) is not None:
                        fed = setting(plan.way, h.house, plan.fan)
                        assert isinstance(fed, Setting)
                        missed = never_kept(plan.way, plan.fan, fed, h.house.controls, controls)
                        assert {outcome.keeps[want] for want in missed} <= {False}
                        most = at_most(plan.way, plan.fan, fed, h.house.controls, controls)
                        assert survey.judge.wishes.score(outcome.keeps) <= survey.judge.wishes.score(most)
                        assert {want for want in most if most[want] is None} <= {
                            want for want in most if outcome.keeps[want] is not True
                        }
                        told |= missed
    assert len(told) == 5


def test_judging_reads_no_answer_that_it_does_not_hear() -> None:
    """One judge serves all answers that differ only in facts it does not read; it asks for no other fact."""
    for facts, survey in surveys(floor=False):
        heard = Noting(facts)
        judge = judging(survey, heard, survey.judge.blind)
        for h in survey.hypotheses[:FEW]:
            assert judge.best(h.house, h.fan) == survey.best(h)
        assert heard.asked <= open_cases.read_in_judging(load()), heard.asked - open_cases.read_in_judging(load())
