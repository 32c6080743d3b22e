"""From facts to advice: what the fan and its wiring may be, what stops the work, which scheme is right.

Pure: values in, an Advice out. What every part decides stands in its own module.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.cases.beliefs import region_of
from switchleg.advice.cases.hazards import hazards
from switchleg.advice.cases.open_cases import open_cases
from switchleg.advice.cases.stops import with_help
from switchleg.advice.cases.survey import Survey
from switchleg.advice.cases.wall_room import planned_fill
from switchleg.advice.looks.by_answer import cases
from switchleg.advice.model import Advice, SchemeVerdict, Stop, Wiring
from switchleg.advice.numbers import safety
from switchleg.advice.numbers.boxes import room_warnings
from switchleg.advice.verdict.decide import decide
from switchleg.advice.verdict.evidence import evidence
from switchleg.advice.verdict.schemes import scheme_verdicts
from switchleg.advice.verdict.warnings import for_others, once_more, warnings
from switchleg.advice.wording import phrases
from switchleg.advice.wording.regional_terms import localised
from switchleg.diagnosis.fans import possible_fans
from switchleg.diagnosis.houses.belief import WiringBelief
from switchleg.schema.questions import Value
from switchleg.wiring.rules import findings

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge


def advise(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    untold: Collection[str] = (),
    confirmed: Collection[str] | None = None,
) -> Advice:
    """The whole verdict for one fan. `facts` holds only what is known, checked against the tree.

    `untold` are facts that somebody has looked for and could not tell: nothing dangerous is then taken for
    granted about them. `confirmed` are answers that were looked at twice; None: nobody is there to look again,
    and every answer is taken as it is.
    """
    hung = facts.get("fan_installed") is not False
    region = region_of(knowledge, facts)
    made = decide(knowledge, facts, untold, confirmed)
    fans, survey, best, status = made.fans, made.survey, made.best, made.status
    if best and best.plan and (broken := findings(best.plan.wired, survey.judge.bench)):
        raise AssertionError(f"the plan of {best.scheme} breaks {broken[0].rule}: the knowledge is unsound")
    stops = with_help(knowledge, facts, made.stops, lambda told: open_cases(knowledge, told, untold).survey)
    recommendation, checks = made.recommendation, made.checks
    fill = planned_fill(knowledge, facts, region, survey, decided=best is not None)
    verdicts = scheme_verdicts(knowledge, facts, survey, region)
    first = hazards(knowledge, facts, made.fans.shares) if hung else ()
    warned = (*first, *warnings(knowledge, facts, region, survey, recommendation, made.dangers))
    if (unjudged := safety.fill_warning(fill)) is not None:
        warned += (unjudged,)
    chosen = next((v for v in verdicts if recommendation and v.id == recommendation.scheme), None)
    if region is not None:
        warned += room_warnings(knowledge, facts, region, chosen)
    if made.again:
        warned += (once_more(knowledge, made.again, fits=best is not None),)
    if status == "needs_checks" and all(check.by == "other" for check in checks):
        warned += for_others(knowledge, checks, survey)
    found = Advice(
        status=status,
        motor={k: round(p, 4) for k, p in (fans if hung else possible_fans(knowledge.clues, {}, {})).motor().items()},
        motor_settled=fans.settled if hung else None,
        wirings=_wirings(survey, made.wirings),
        wiring_settled=_only_wiring(survey),
        recommendation=recommendation,
        schemes=verdicts,
        stops=stops,
        contradictions=made.contradictions,
        next_checks=checks,
        for_others=made.for_others,
        box_fill=safety.shown(fill),
        warnings=warned,
        hazards=first,
        sources=_sources(verdicts, stops),
        evidence=() if made.contradictions else evidence(knowledge, facts, survey),
        cases=()
        if stops or status == "recommended"
        else cases(knowledge, facts, untold, survey, checks, made.doubtful),
        again=made.again,
        doubtful=made.doubtful,
        enough=status == "recommended" and not made.dangers and not checks,
    )
    return localised(found, region)


def _wirings(survey: Survey, belief: WiringBelief) -> tuple[Wiring, ...]:
    shares: dict[str, float] = {}
    for h in survey.hypotheses:
        shares[h.wiring] = shares.get(h.wiring, 0.0) + h.p
    houses = {c.id: c.house for c in belief.classes}
    ordered = sorted(shares, key=lambda i: (-shares[i], i))
    return tuple(Wiring(id=i, p=round(shares[i], 4), words=phrases.wiring(houses[i])) for i in ordered)


def _only_wiring(survey: Survey) -> str | None:
    left = {h.wiring for h in survey.hypotheses}
    return left.pop() if len(left) == 1 else None


def _sources(verdicts: tuple[SchemeVerdict, ...], stops: tuple[Stop, ...]) -> tuple[str, ...]:
    found = {s for stop in stops for s in stop.sources}
    found |= {s for verdict in verdicts for reason in verdict.reasons for s in reason.sources}
    return tuple(sorted(found))
