"""What is still worth asking: what could change the recommendation, its joints, a stop, a caution or a figure. Pure.

Once the recommendation is the same whatever is still found, a look that only tells houses or fans apart is left
out, unless it tells the joints apart; and a station is left shut when the work does not go there.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from switchleg.advice.cases import hazards
from switchleg.advice.cases.beliefs import region_of
from switchleg.advice.cases.cautions import meant
from switchleg.advice.cases.open_cases import open_cases
from switchleg.advice.cases.survey import LOOKED_THROUGH, Hypothesis, Survey
from switchleg.advice.looks.next_checks import barred_by, ranked, shares
from switchleg.advice.numbers import safety
from switchleg.advice.plans.attempts import Tried
from switchleg.advice.plans.outcome import Outcome
from switchleg.advice.plans.plan import Plan
from switchleg.advice.plans.unproved import steps_blindly
from switchleg.advice.work.joints import box_plans
from switchleg.schema.questions import ABLE_TO_TEST_LIVE, Question, Station, Use, Value
from switchleg.tree.conditions import all_hold, holds
from switchleg.tree.graph import serving

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge


@dataclass(frozen=True)
class Needed:
    """What to ask from here on."""

    settled: bool = False
    """One recommendation, whatever is still found."""
    ended: bool = False
    """A stop stands that no further answer takes away: nothing more is asked."""
    left_out: frozenset[str] = frozenset()
    """Facts whose answers could change nothing any more."""
    shut: frozenset[Station] = frozenset()
    """Stations that need not be opened any more: the recommended work does not go there."""


def needed(knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str], *, early: bool) -> Needed:
    """What is still worth asking. `early`: something of `deciding` is still to be asked; then everything is."""
    if _stopped(knowledge, facts, untold):
        return Needed(ended=True)
    if early:
        return Needed()
    survey = open_cases(knowledge, facts, untold).survey
    if not survey.hypotheses or survey.nothing_fits():
        return Needed(ended=True)
    if survey.agreed() is None or region_of(knowledge, facts) is None or _hopes(knowledge, facts, untold, survey):
        telling = asked(knowledge, "where_it_tells") - facts.keys()
        idle = (fact for fact in telling if not _excludes(knowledge, survey, fact, survey.decided))
        return Needed(left_out=frozenset(idle))
    return _settled(knowledge, facts, survey)


def _hopes(knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str], survey: Survey) -> bool:
    """Whether a look that nobody took yet could bring something better than what is agreed."""
    barred = barred_by(knowledge, {ABLE_TO_TEST_LIVE: True, **facts})
    return any(not barred(fact) for fact in survey.hoped_for() if fact not in facts and fact not in untold)


@lru_cache(maxsize=8)
def asked(knowledge: Knowledge, how: Literal["where_it_tells", "wherever_met"]) -> frozenset[str]:
    """Facts whose question the tree marks so."""
    return frozenset(fact for fact, question in knowledge.tree.questions.items() if question.asked == how)


def _settled(knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey) -> Needed:
    best = [outcome for h in survey.hypotheses if (outcome := survey.best(h)) is not None]
    plans = {id(outcome.plan): outcome.plan for outcome in best if outcome.plan is not None}
    telling = _telling_joints(knowledge, facts, survey, plans)
    questions, station_of = knowledge.tree.questions, knowledge.tree.station_of
    up_there = survey.goes_up() or any(station_of.get(fact) == "canopy" for fact in telling)
    tries = (Tried(plan, {}, survey.judge.bench) for plan in plans.values())
    behind = {"receiver"} if any(steps_blindly(one, facts) for one in tries) else set()
    up_there = up_there or bool(behind)
    kept = telling | behind | {fact for outcome in best[:1] for fact in _cautioned(knowledge, facts, outcome)}
    kept |= set(hazards.open_facts(knowledge, facts, {h.fan for h in survey.hypotheses}))
    left_out = looks_only(knowledge) - kept - asked(knowledge, "wherever_met")
    if {fact for fact, question in questions.items() if question.power_on} <= left_out:
        left_out |= {ABLE_TO_TEST_LIVE}
    return Needed(settled=True, left_out=left_out, shut=frozenset() if up_there else frozenset({"canopy"}))


def _telling_joints(
    knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey, plans: Mapping[int, Plan]
) -> frozenset[str]:
    """Looks that tell apart houses in which the recommended joints differ."""
    region = region_of(knowledge, facts)
    ground = region.words.ground if region else ""
    joints = {at: box_plans(plan, survey.judge.bench.controls, ground) for at, plan in plans.items()}
    if len(set(joints.values())) < 2:
        return frozenset()

    def made(h: Hypothesis) -> object:
        best = survey.best(h)
        return joints.get(id(best.plan)) if best else None

    able = {ABLE_TO_TEST_LIVE: True, **facts}  # who was not asked yet may be
    checks = ranked(knowledge, survey, facts, made, barred=barred_by(knowledge, able))
    return frozenset(check.fact for check in checks if _excludes(knowledge, survey, check.fact, made))


def _excludes(knowledge: Knowledge, survey: Survey, fact: str, made: Callable[[Hypothesis], object]) -> bool:
    """Whether some answer leaves fewer of what is made possible: a look that only leans never tells them."""
    left: dict[object, set[object]] = {}
    whole = set()
    for h in survey.hypotheses[:LOOKED_THROUGH]:
        whole.add(made(h))
        for answer, share in shares(survey, knowledge.clues, h, fact).items():
            if share:
                left.setdefault(answer, set()).add(made(h))
    return any(some != whole for some in left.values())


def _cautioned(knowledge: Knowledge, facts: Mapping[str, Value], best: Outcome) -> Iterator[str]:
    """Facts that would bring a caution about the recommended plan, or take it away."""
    for caution in knowledge.rules.caution:
        if caution.when and meant(caution, best) and all_hold(caution.when, facts) is not False:
            yield from (c.fact for c in caution.when if holds(c, facts) is None or c.known is False)


def _stopped(knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str]) -> bool:
    """A find or a figure stops the work, whatever else is answered."""
    for stop in knowledge.rules.stop:
        if all_hold(stop.when, facts) and all(c.known is not False or c.fact in untold for c in stop.when):
            return True
    return bool(safety.stops(facts, knowledge.tables))


@lru_cache(maxsize=4)
def looks_only(knowledge: Knowledge) -> frozenset[str]:
    """Facts that only tell houses and fans apart: no figure, no preparation and no list of parts uses them.

    What judging makes of them shows in the recommendation, and a hazard asks for its own; a rule that forbids or
    stops is held against each.
    """
    questions = knowledge.tree.questions
    conditions = [rule.when for rule in knowledge.rules.forbids] + [stop.when for stop in knowledge.rules.stop]
    ruling = {condition.fact for when in conditions for condition in when}
    looks = serving(knowledge.tree, "houses", "fans") | {f for f, question in questions.items() if question.power_on}
    return frozenset(fact for fact in looks - ruling if _uses(questions[fact]) <= {"houses", "fans", "plan"})


def _uses(question: Question) -> set[Use]:
    """What an answer serves, without a danger that asks for it by itself."""
    return {use for use in question.serves if use != "danger" or question.fact not in hazards.ASKED_FOR}


@lru_cache(maxsize=4)
def deciding(knowledge: Knowledge) -> frozenset[str]:
    """Wishes, permissions and circumstances that are asked on the floor and may change any recommendation."""
    tree = knowledge.tree
    decided = serving(tree, "plan", "wish", "permission") - serving(tree, "houses", "fans")
    return frozenset(fact for fact in decided if tree.station_of[fact] == "floor")
