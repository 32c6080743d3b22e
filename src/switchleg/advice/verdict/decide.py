"""What is decided on the facts: status, recommendation, stops, contradictions, the next looks. The words come later."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from switchleg.advice.cases.beliefs import contradicting, region_of
from switchleg.advice.cases.dangers import Danger, dangers_of, facts_of, untold_dangers
from switchleg.advice.cases.open_cases import open_cases
from switchleg.advice.cases.stops import NOTHING_FITS, disagreement_in, doubtful_answers, stops_of
from switchleg.advice.cases.survey import Survey
from switchleg.advice.cases.wall_room import room_untold
from switchleg.advice.looks.for_others import looks_for_others
from switchleg.advice.looks.next_checks import next_checks
from switchleg.advice.model import NextCheck, Recommendation, Status, Stop
from switchleg.advice.plans.outcome import Outcome
from switchleg.advice.plans.wall_control import grade, reaches
from switchleg.advice.verdict.rechecks import TURNS, deciding, turning, unusual
from switchleg.diagnosis.fans import FanBelief
from switchleg.diagnosis.houses.belief import WiringBelief
from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge


@dataclass(frozen=True)
class Decision:
    """The verdict without its words. `best`: the outcome that all cases agree on, whatever else stands open."""

    status: Status
    recommendation: Recommendation | None
    best: Outcome | None
    stops: tuple[Stop, ...]
    contradictions: tuple[tuple[str, ...], ...]
    checks: tuple[NextCheck, ...]
    """This person's looks; when none is left, those of others."""
    for_others: tuple[NextCheck, ...]
    again: tuple[str, ...]
    """Answers to look at once more before anything is said: all else hangs on them."""
    doubtful: dict[str, float]
    dangers: tuple[Danger, ...]
    """Stops that can still come, for want of an answer."""
    wirings: WiringBelief
    fans: FanBelief
    survey: Survey


def decide(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    untold: Collection[str] = (),
    confirmed: Collection[str] | None = None,
) -> Decision:
    """See `advise`."""
    region = region_of(knowledge, facts)
    cases = open_cases(knowledge, facts, untold)
    wirings, fans, survey = cases.wirings, cases.fans, cases.survey
    disagreement = disagreement_in(knowledge, facts, untold, wirings, fans, survey)
    contradictions = disagreement.sets
    stops = stops_of(knowledge, facts, contradictions, survey)
    best = survey.agreed()
    dangers = dangers_of(knowledge, facts, untold, survey, best)
    unsafe = untold_dangers(knowledge, facts, untold, survey, best)
    against = contradicting(knowledge, facts, region, untold)
    doubtful = doubtful_answers(knowledge, facts, fans, against, disagreement)
    again: tuple[str, ...] = ()
    if confirmed is not None and [stop.rule for stop in stops] == [NOTHING_FITS]:
        again = deciding(knowledge, facts, survey, confirmed, lambda told: open_cases(knowledge, told, untold).survey)
        stops = () if again else stops
    elif confirmed is not None and not contradictions:
        suspected = doubtful_answers(knowledge, facts, fans, against, disagreement, least=TURNS) if best else {}
        turns = (
            turning(knowledge, facts, best, suspected, lambda told: open_cases(knowledge, told, untold).survey)
            if best
            else ()
        )
        again = tuple(
            f for f in {**doubtful, **dict.fromkeys((*turns, *unusual(knowledge, facts)))} if f not in confirmed
        )
    settled = best is not None and region is not None and not unsafe and not again
    status: Status = "stop" if stops else "recommended" if settled else "needs_checks"
    recommendation = None
    if status == "recommended" and best:
        wall = reaches(best.plan, survey.judge.bench) if best.plan else {}
        recommendation = Recommendation(
            scheme=best.scheme,
            preparations=best.preparations,
            keeps=dict(best.keeps),
            wall_control_grade=grade(wall),
        )
    checks: tuple[NextCheck, ...] = ()
    if contradictions or not stops:
        room = room_untold(knowledge, facts, region, survey) if best is not None else ()
        last = (*facts_of(dangers), *room, *_untold_load(knowledge, facts, best))
        checks = next_checks(
            knowledge, facts, survey, contradictions, region, doubtful, last, unsafe, twice=confirmed or ()
        )
        checks = (*_once_more(knowledge, again), *checks)
    others = looks_for_others(knowledge, facts, survey, region) if status == "needs_checks" else ()
    return Decision(
        status=status,
        recommendation=recommendation,
        best=best,
        stops=stops,
        contradictions=contradictions,
        checks=checks or others,
        for_others=others,
        again=again,
        doubtful=doubtful,
        dangers=dangers,
        wirings=wirings,
        fans=fans,
        survey=survey,
    )


def _untold_load(knowledge: Knowledge, facts: Mapping[str, Value], best: Outcome | None) -> tuple[str, ...]:
    """While nobody said whether something else hangs on the legs, a part that works one may bear more than its mark."""
    asked = "acts_on_other_loads" in knowledge.tree.questions and "acts_on_other_loads" not in facts
    works = best is not None and best.plan is not None and any(part.nets for part in best.plan.way.part)
    return ("acts_on_other_loads",) if asked and works and facts.get("wall_boxes") != 0 else ()


def _once_more(knowledge: Knowledge, again: tuple[str, ...]) -> Iterator[NextCheck]:
    for fact in again:
        text = f"Look once more, as if for the first time. {knowledge.tree.questions[fact].look}"
        yield NextCheck(fact=fact, station=knowledge.tree.station_of[fact], text=text)
