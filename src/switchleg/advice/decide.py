"""What is decided on the facts: status, recommendation, stops, contradictions, the next looks. The words come later."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from switchleg.advice import numbers
from switchleg.advice.candidates import (
    DEFAULT_REGION,
    beliefs,
    bench_of,
    contradicting,
    known_by_colour,
    region_of,
    wired_alike,
)
from switchleg.advice.dangers import Danger, facts_of, open_dangers
from switchleg.advice.for_others import looks_for_others
from switchleg.advice.judge import Judge
from switchleg.advice.model import NextCheck, Recommendation, Status, Stop
from switchleg.advice.open_looks import next_checks
from switchleg.advice.outcome import Outcome
from switchleg.advice.second_look import TURNS, deciding, turning, unusual
from switchleg.advice.stops import NOTHING_FITS, disagreement_in, doubtful_answers, stops_of
from switchleg.advice.survey import Survey, hypotheses
from switchleg.advice.tried import Circuits, Drawer
from switchleg.advice.unhung import by_copper
from switchleg.advice.wall_control import grade, reaches
from switchleg.advice.wall_room import room_untold
from switchleg.diagnosis.belief import WiringBelief
from switchleg.diagnosis.fans import FanBelief
from switchleg.tree.graph import serving
from switchleg.tree.model import Value
from switchleg.wiring.parts import OtherKind

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.knowledge.regions import Region


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
    wirings, fans, survey = look(knowledge, facts, untold)
    disagreement = disagreement_in(knowledge, facts, untold, wirings, fans, survey)
    contradictions = disagreement.sets
    stops = stops_of(knowledge, facts, contradictions, survey)
    best = survey.agreed()
    dangers = _dangers(knowledge, facts, untold, survey, best)
    unsafe = untold_dangers(knowledge, facts, untold, survey, best)
    against = contradicting(knowledge, facts, region, untold)
    doubtful = doubtful_answers(knowledge, facts, fans, against, disagreement)
    again: tuple[str, ...] = ()
    if confirmed is not None and [stop.rule for stop in stops] == [NOTHING_FITS]:
        again = deciding(knowledge, facts, survey, confirmed, lambda told: look(knowledge, told, untold)[2])
        stops = () if again else stops
    elif confirmed is not None and not contradictions:
        suspected = doubtful_answers(knowledge, facts, fans, against, disagreement, least=TURNS) if best else {}
        turns = (
            turning(knowledge, facts, best, suspected, lambda told: look(knowledge, told, untold)[2]) if best else ()
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


def _dangers(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str], survey: Survey, best: Outcome | None
) -> tuple[Danger, ...]:
    dangers = open_dangers(knowledge, facts, untold)
    if best is None or survey.goes_up():
        return dangers
    found = []
    for danger in dangers:  # nobody climbs for what is left as it is
        stays = danger.everywhere
        below = tuple(f for f in danger.open if stays or f in untold or knowledge.tree.station_of[f] != "canopy")
        found += [replace(danger, open=below)] if below else []
    return tuple(found)


def untold_dangers(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str], survey: Survey, best: Outcome | None
) -> tuple[str, ...]:
    """Dangers that somebody looked for and could not tell, and for which the verdict waits."""
    waited_for = (d for d in _dangers(knowledge, facts, untold, survey, best) if d.blind == "waits")
    return tuple(fact for fact in facts_of(waited_for) if fact in untold)


def _untold_load(knowledge: Knowledge, facts: Mapping[str, Value], best: Outcome | None) -> tuple[str, ...]:
    """While nobody said whether something else hangs on the legs, a part that works one may bear more than its mark."""
    asked = "acts_on_other_loads" in knowledge.tree.questions and "acts_on_other_loads" not in facts
    works = best is not None and best.plan is not None and any(part.nets for part in best.plan.way.part)
    return ("acts_on_other_loads",) if asked and works and facts.get("wall_boxes") != 0 else ()


def _once_more(knowledge: Knowledge, again: tuple[str, ...]) -> Iterator[NextCheck]:
    for fact in again:
        text = f"Look once more, as if for the first time. {knowledge.tree.questions[fact].look}"
        yield NextCheck(fact=fact, station=knowledge.tree.station_of[fact], text=text)


def look(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str] = (), *, most: int | None = None
) -> tuple[WiringBelief, FanBelief, Survey]:
    """What wiring and fan may be, and every scheme judged in every case that is left (as it is asked for).

    `most`: only so many of the likeliest cases, with their shares among all.
    """
    region = region_of(knowledge, facts)
    bench = bench_of(knowledge, region or knowledge.regions[DEFAULT_REGION])
    wirings, fans = beliefs(knowledge, facts, region, bench, untold)
    coloured = (
        facts.get("wall_boxes") == 2
        and "neutral_reading" not in facts
        and known_by_colour(knowledge, facts, region, bench, untold)
    )
    judge = _judge_of(knowledge, facts, untold, region, coloured=coloured)
    told = frozenset(untold)
    if facts.get("fan_installed") is False:
        whole = by_copper(Survey(judge, hypotheses(wirings, fans), facts, told))
        return wirings, fans, whole if most is None else whole.of(whole.hypotheses[:most])
    return wirings, fans, Survey(judge, hypotheses(wirings, fans, most), facts, told)


def _judge_of(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    untold: Collection[str],
    region: Region | None,
    *,
    coloured: bool,
) -> Judge:
    """The judge of these answers; regions that say the same to it share one."""
    read, forbidding = read_in_judging(knowledge), _forbidding(knowledge)
    heard = {f: v for f, v in facts.items() if f in read and (f != "region" or f in forbidding)}
    local = region or knowledge.regions[DEFAULT_REGION]
    other = knowledge.wiring.hangs(facts.get("other_load_kind"))
    return _judge(
        knowledge,
        tuple(sorted((fact, type(value), value) for fact, value in heard.items())),
        read & frozenset(untold),
        coloured,
        wired_alike(knowledge, local.id, volts=True),
        other.kind if other else None,
        region is not None
        and region.room_light_rule.wall_control_needed == "yes"
        and region.room_light_rule.battery_control_counts != "yes",
        region.id if region is not None and "wall_box_volume" in facts else None,
    )


@lru_cache(maxsize=4)
def read_in_judging(knowledge: Knowledge) -> frozenset[str]:
    """Answers that judging may read; all others change only which houses and fans there are to judge."""
    return serving(knowledge.tree, "plan", "work", "wish", "permission") | _forbidding(knowledge)


@lru_cache(maxsize=4)
def _forbidding(knowledge: Knowledge) -> frozenset[str]:
    return frozenset(condition.fact for rule in knowledge.rules.forbids for condition in rule.when)


@lru_cache(maxsize=16)
def _judge(
    knowledge: Knowledge,
    heard: tuple[tuple[str, type, Value], ...],
    blind: frozenset[str],
    coloured: bool,
    wired_as: str,
    other: OtherKind | None,
    wall_light_required: bool,
    boxes_by: str | None,
) -> Judge:
    """`wired_as`: the region whose cables and supply count; `boxes_by`: the one whose rule says if the box is full."""
    facts = {fact: value for fact, _, value in heard}
    return Judge(
        schemes=knowledge.schemes,
        preparations=knowledge.preparations,
        rules=knowledge.rules,
        bench=bench_of(knowledge, knowledge.regions[wired_as], other),
        heard=facts,
        blind=blind,
        coloured=coloured,
        wall_light_required=wall_light_required,
        full_boxes=numbers.FullBoxes(facts, knowledge.regions[boxes_by] if boxes_by else None, knowledge.tables),
        drawer=_drawer(knowledge, wired_as, other),
    )


@lru_cache(maxsize=8)
def _drawer(knowledge: Knowledge, region: str, other: OtherKind | None) -> Drawer:
    """The plans drawn so far for a region's cables: they serve every further set of answers."""
    here = knowledge.regions[region]
    return Drawer(bench_of(knowledge, here, other), _circuits(knowledge, here.voltage_v, other))


@lru_cache(maxsize=8)
def _circuits(knowledge: Knowledge, volts: int, other: OtherKind | None) -> Circuits:  # noqa: ARG001 - one for each
    return Circuits()
