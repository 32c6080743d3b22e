"""From facts to advice: what the fan and its wiring may be, what stops the work, which scheme is right.

Pure: values in, an Advice out. What every part decides stands in its own module.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING

from switchleg.advice import numbers, words
from switchleg.advice.judge import Judge, Outcome
from switchleg.advice.keeps import new_wall_devices
from switchleg.advice.knowledge import Caution
from switchleg.advice.model import Advice, Recommendation, SchemeVerdict, Status, Stop, Wiring
from switchleg.advice.open_looks import left_to_others, next_checks
from switchleg.advice.splices import two_legs
from switchleg.advice.survey import Survey, hypotheses
from switchleg.advice.tried import Drawer
from switchleg.advice.verdicts import scheme_verdicts
from switchleg.diagnosis.belief import WiringBelief, possible_wirings
from switchleg.diagnosis.contradictions import smallest_conflicts
from switchleg.diagnosis.fans import FanBelief, possible_fans, to_choose
from switchleg.diagnosis.generate import Generator
from switchleg.diagnosis.houses import Candidate
from switchleg.figures.box_fill import WallFill
from switchleg.figures.motor_clues import derived_numbers
from switchleg.tree.conditions import all_hold, holds
from switchleg.tree.model import Condition, Value
from switchleg.wiring.colours import Palette
from switchleg.wiring.rules import findings
from switchleg.wiring.site import CEILING, HOT
from switchleg.wiring.solve import Bench

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.knowledge.regions import Region

DEFAULT_REGION = "us"
"""Whose cables serve for counting conductors while the region is unknown; its colours are not used then."""


def advise(knowledge: Knowledge, facts: Mapping[str, Value]) -> Advice:
    """The whole verdict for one fan. `facts` holds only what is known, checked against the tree."""
    hung = facts.get("fan_installed") is not False
    region = region_of(knowledge, facts)
    wirings, fans, survey = look(knowledge, facts)
    bench = survey.judge.bench
    contradictions = _contradictions(wirings, fans, survey, facts)
    stops = _stops(knowledge, facts, contradictions, survey)
    best = survey.agreed()
    if best and best.plan and (broken := findings(best.plan.wired, bench)):
        raise AssertionError(f"the plan of {best.scheme} breaks {broken[0].rule}: the knowledge is unsound")
    status: Status = "stop" if stops else "recommended" if best and region else "needs_checks"
    recommendation = None
    if status == "recommended" and best:
        recommendation = Recommendation(scheme=best.scheme, preparations=best.preparations, keeps=dict(best.keeps))
    fill = _fill(knowledge, facts, region, survey, best is not None)
    checks = () if stops and not contradictions else next_checks(knowledge, facts, survey, contradictions, region)
    verdicts = scheme_verdicts(knowledge, facts, survey, region)
    warnings = _warnings(knowledge, facts, region, survey, recommendation)
    if (unjudged := numbers.fill_warning(fill)) is not None:
        warnings += (unjudged,)
    if status == "needs_checks" and not checks:
        warnings += _for_others(knowledge, facts, survey)
    return Advice(
        status=status,
        motor={k: round(p, 4) for k, p in (fans if hung else possible_fans(knowledge.clues, {}, {})).motor().items()},
        motor_settled=fans.settled if hung else None,
        wirings=_wirings(survey, wirings),
        wiring_settled=_only_wiring(survey),
        recommendation=recommendation,
        schemes=verdicts,
        stops=stops,
        contradictions=contradictions,
        next_checks=checks,
        box_fill=numbers.shown(fill),
        warnings=warnings,
        sources=_sources(verdicts, stops),
    )


def region_of(knowledge: Knowledge, facts: Mapping[str, Value]) -> Region | None:
    """The region that the facts name, if they do."""
    said = facts.get("region")
    return knowledge.regions.get(str(said)) if said else None


def look(knowledge: Knowledge, facts: Mapping[str, Value]) -> tuple[WiringBelief, FanBelief, Survey]:
    """What wiring and fan may be, and every scheme judged in every case that is left (as it is asked for)."""
    region = region_of(knowledge, facts)
    bench = bench_of(knowledge, region or knowledge.regions[DEFAULT_REGION])
    wirings, fans = beliefs(knowledge, facts, region, bench)
    return wirings, fans, Survey(_judge(knowledge, facts, region, bench), hypotheses(wirings, fans))


def bench_of(knowledge: Knowledge, region: Region) -> Bench:
    """Control and load classes with the region's voltage."""
    return Bench(
        {c.id: c for c in knowledge.controls.control},
        {load.id: load for load in knowledge.wiring.load},
        float(region.voltage_v),
    )


def palette_of(region: Region) -> Palette:
    return Palette(
        region.cable_colours,
        {count: region.neutral_of(count) for count in region.cable_colours},
        frozenset(region.neutral_colours),
        region.loop_pale,
        region.ground_colours[0],
    )


@lru_cache(maxsize=24)
def candidates(knowledge: Knowledge, region: str, other_load: bool, has_light: bool) -> tuple[Candidate, ...]:
    """All candidate wirings for a region's cables; generated once for a knowledge, with what each shows."""
    palette = palette_of(knowledge.regions[region])
    return Generator(knowledge.wiring, palette, other_load=other_load, has_light=has_light).all()


def beliefs(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, bench: Bench
) -> tuple[WiringBelief, FanBelief]:
    """What the wiring and what the fan may be. With no fan hung yet, a plain AC fan stands in."""
    local = region or knowledge.regions[DEFAULT_REGION]
    houses = candidates(knowledge, local.id, facts.get("acts_on_other_loads") is True, facts.get("light_kit") != "none")
    wirings = possible_wirings(houses, facts, bench, colours_known=region is not None)
    volts = region.voltage_v if region else None
    derived = {n.id: float(n.value) for n in derived_numbers(facts, volts)}
    if facts.get("fan_installed") is False:
        return wirings, to_choose(has_light=facts.get("light_kit") != "none")
    return wirings, possible_fans(knowledge.clues, facts, derived)


def _judge(knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, bench: Bench) -> Judge:
    return Judge(
        schemes=knowledge.schemes,
        preparations=knowledge.preparations,
        rules=knowledge.rules,
        bench=bench,
        facts=facts,
        wall_light_required=region is not None
        and region.room_light_rule.wall_control_needed == "yes"
        and region.room_light_rule.battery_control_counts != "yes",
        full_boxes=numbers.full_boxes(facts, region, knowledge.tables),
        drawer=_drawer(knowledge, (region or knowledge.regions[DEFAULT_REGION]).id),
    )


@lru_cache(maxsize=8)
def _drawer(knowledge: Knowledge, region: str) -> Drawer:
    """The plans drawn so far for a region's cables: they serve every further set of answers."""
    return Drawer(bench_of(knowledge, knowledge.regions[region]))


def _contradictions(
    wirings: WiringBelief, fans: FanBelief, survey: Survey, facts: Mapping[str, Value]
) -> tuple[tuple[str, ...], ...]:
    if facts.get("light_kit") == "none":
        lit = [f for f in ("control_1_does", "control_2_does") if facts.get(f) == "light"]
        if lit:
            return tuple(("light_kit", fact) for fact in lit)
    found: tuple[tuple[str, ...], ...] = ()
    if not fans.shares:
        found += smallest_conflicts(fans.conflicts)
    if not wirings.classes:
        found += smallest_conflicts(wirings.conflicts)
    if fans.shares and wirings.classes and not survey.hypotheses:
        names = ("light_kit", "receiver_light_lead", "control_1_does", "control_2_does")
        found += (tuple(f for f in names if f in facts),)
    return tuple(dict.fromkeys(found))


def _stops(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    contradictions: tuple[tuple[str, ...], ...],
    survey: Survey,
) -> tuple[Stop, ...]:
    rules = knowledge.rules
    sentences = {t.id: t for t in rules.tested}
    found = [
        Stop(rule=s.id, text=s.text, facts=tuple(c.fact for c in s.when if c.fact in facts), sources=s.sources)
        for s in rules.stop
        if all_hold(s.when, facts)
    ]
    for stop in numbers.stops(facts, knowledge.tables):
        text = sentences[stop.rule].text.format(finding=stop.finding)
        found.append(Stop(rule=stop.rule, text=text, facts=stop.facts, sources=stop.sources))
    for conflict in contradictions:
        rule = sentences["readings_contradict" if len(conflict) > 1 else "outside_knowledge"]
        names = words.listed(f'"{knowledge.tree.questions[f].ask}"' for f in conflict if f in knowledge.tree.questions)
        text = rule.text.format(facts=names)
        found.append(Stop(rule=rule.id, text=text, facts=conflict, sources=rule.sources))
    if not contradictions and survey.nothing_fits() and not _permissions_open(survey, facts):
        rule = sentences["nothing_fits"]
        found.append(Stop(rule=rule.id, text=rule.text, facts=(), sources=rule.sources))
    return tuple(found)


PERMISSIONS = ("may_replace_fan", "may_pull_cable")


def _permissions_open(survey: Survey, facts: Mapping[str, Value]) -> bool:
    """A permission nobody was asked for might still open a way."""
    return bool(survey.hypotheses) and any(p not in facts for p in PERMISSIONS)


def _wirings(survey: Survey, belief: WiringBelief) -> tuple[Wiring, ...]:
    shares: dict[str, float] = {}
    for h in survey.hypotheses:
        shares[h.wiring] = shares.get(h.wiring, 0.0) + h.p
    houses = {c.id: c.house for c in belief.classes}
    ordered = sorted(shares, key=lambda i: (-shares[i], i))
    return tuple(Wiring(id=i, p=round(shares[i], 4), words=words.wiring(houses[i])) for i in ordered)


def _only_wiring(survey: Survey) -> str | None:
    left = {h.wiring for h in survey.hypotheses}
    return left.pop() if len(left) == 1 else None


def _fill(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, survey: Survey, decided: bool
) -> WallFill:
    """The wall box with the recommended parts in it, else as it is today."""
    best = survey.best(survey.hypotheses[0]) if decided and survey.hypotheses else None
    if best is None or best.plan is None:
        return numbers.wall_fill(facts, region, knowledge.tables)
    bench = survey.judge.bench
    devices = len(new_wall_devices(best.plan, bench))
    loose = [
        p
        for p in best.plan.wired.parts
        if p.control in bench.controls and bench.controls[p.control].loose and p.box != "ceiling"
    ]
    return numbers.wall_fill(facts, region, knowledge.tables, devices=devices, modules=len(loose))


def _warnings(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    region: Region | None,
    survey: Survey,
    recommendation: Recommendation | None,
) -> tuple[str, ...]:
    best = survey.best(survey.hypotheses[0]) if recommendation and survey.hypotheses else None
    found = [
        caution.text
        for caution in knowledge.rules.caution
        if _meant(caution, best) and all(_met(c, facts) for c in caution.when)
    ]
    if (support := numbers.support_warning(facts, knowledge.tables)) is not None:
        found.append(support)
    if region is None:
        found.append("The region is not given: colours say nothing until it is, and nothing is recommended.")
    elif region.who_may.licensed_only:
        found.append(f"{region.who_may.text} This card is addressed to that person.")
    return tuple(dict.fromkeys(found))


def _for_others(knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey) -> tuple[str, ...]:
    """When only looks are left that this person does not take."""
    asks = [knowledge.tree.questions[f].ask for f in left_to_others(knowledge, facts, survey)]
    if not asks:
        return ()
    return ("What is left takes a look that you do not take. A licensed electrician can say: " + " ".join(asks[:3]),)


def _meant(caution: Caution, best: Outcome | None) -> bool:
    """Whether a caution speaks of the recommended plan; one that names nothing always speaks."""
    if not (caution.schemes or caution.controls or caution.preparations or caution.plan):
        return True
    if best is None or best.plan is None:
        return False
    if caution.plan and not PLAN_TESTS[caution.plan](best):
        return False
    if not (caution.schemes or caution.controls or caution.preparations):
        return True
    controls = {part.control for part in best.plan.way.part}
    return bool(
        best.scheme in caution.schemes
        or controls & set(caution.controls)
        or set(best.preparations) & set(caution.preparations)
    )


def _live_at_ceiling(best: Outcome) -> bool:
    """A hot that no wall control parts reaches the ceiling, as itself or joined to a leg."""
    if best.plan is None:
        return False
    parts = {p.control for p in best.plan.wired.parts}
    return HOT in best.plan.wired.nets_at(CEILING) or "wall_joint" in parts


PLAN_TESTS: Mapping[str, Callable[[Outcome], bool]] = {
    "live_at_ceiling": _live_at_ceiling,
    "two_legs": lambda best: best.plan is not None and two_legs(best.plan),
    "plain_ac_fan": lambda best: "replace_fan_ac" in best.preparations,
}


def _met(condition: Condition, facts: Mapping[str, Value]) -> bool:
    """A caution stands when its condition holds; an unknown fact makes no exception from it."""
    held = holds(condition, facts)
    return held is True or (held is None and condition.is_not is not None)


def _sources(verdicts: tuple[SchemeVerdict, ...], stops: tuple[Stop, ...]) -> tuple[str, ...]:
    found = {s for stop in stops for s in stop.sources}
    found |= {s for verdict in verdicts for reason in verdict.reasons for s in reason.sources}
    return tuple(sorted(found))
