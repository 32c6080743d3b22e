"""From facts to advice: what the fan and its wiring may be, what stops the work, which scheme is right.

Pure: values in, an Advice out. What every part decides stands in its own module.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from switchleg.advice import numbers, words
from switchleg.advice.cases import cases
from switchleg.advice.evidence import evidence
from switchleg.advice.judge import Judge
from switchleg.advice.keeps import new_wall_devices
from switchleg.advice.model import Advice, NextCheck, Recommendation, SchemeVerdict, Status, Stop, Wiring
from switchleg.advice.open_looks import next_checks
from switchleg.advice.stops import contradictions_in, doubtful_answers, open_dangers, stops_of
from switchleg.advice.sums_boxes import ceiling_warning
from switchleg.advice.survey import Survey, hypotheses
from switchleg.advice.tried import Drawer
from switchleg.advice.verdicts import scheme_verdicts
from switchleg.advice.warnings import for_others, warnings
from switchleg.diagnosis.belief import WiringBelief, contradicted, possible_wirings
from switchleg.diagnosis.fans import FanBelief, possible_fans, to_choose
from switchleg.diagnosis.generate import Generator
from switchleg.diagnosis.houses import Candidate
from switchleg.figures.box_fill import WallFill
from switchleg.figures.motor_clues import derived_numbers
from switchleg.tree.model import Value
from switchleg.wiring.bench import Bench
from switchleg.wiring.colours import Palette
from switchleg.wiring.rules import findings
from switchleg.wiring.site import NEUTRAL

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.knowledge.regions import Region

READS = frozenset({"house_age"})
DEFAULT_REGION = "us"
"""Whose cables serve for counting conductors while the region is unknown; its colours are not used then."""


def advise(knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str] = ()) -> Advice:
    """The whole verdict for one fan. `facts` holds only what is known, checked against the tree.

    `untold` are facts that somebody has looked for and could not tell: nothing dangerous is then taken for
    granted about them.
    """
    hung = facts.get("fan_installed") is not False
    region = region_of(knowledge, facts)
    wirings, fans, survey = look(knowledge, facts, untold)
    bench = survey.judge.bench
    contradictions = contradictions_in(wirings, fans, survey, facts)
    stops = stops_of(knowledge, facts, contradictions, survey, lambda told: look(knowledge, told, untold)[2])
    best = survey.agreed()
    if best and best.plan and (broken := findings(best.plan.wired, bench)):
        raise AssertionError(f"the plan of {best.scheme} breaks {broken[0].rule}: the knowledge is unsound")
    dangers = open_dangers(knowledge, facts)
    if best is not None and not survey.goes_up():  # nobody climbs for what is left as it is
        dangers = tuple(f for f in dangers if f in untold or knowledge.tree.station_of[f] != "canopy")
    unsafe = [fact for fact in dangers if fact in untold]
    settled = best is not None and region is not None and not unsafe
    status: Status = "stop" if stops else "recommended" if settled else "needs_checks"
    recommendation = None
    if status == "recommended" and best:
        recommendation = Recommendation(scheme=best.scheme, preparations=best.preparations, keeps=dict(best.keeps))
    fill = _fill(knowledge, facts, region, survey, best is not None)
    doubtful = doubtful_answers(knowledge, facts, fans, _contradicted(knowledge, facts, region, untold), contradictions)
    checks: tuple[NextCheck, ...] = ()
    if contradictions or not stops:
        checks = next_checks(knowledge, facts, survey, contradictions, region, doubtful, dangers, unsafe)
    verdicts = scheme_verdicts(knowledge, facts, survey, region)
    warned = warnings(knowledge, facts, region, survey, recommendation)
    if (unjudged := numbers.fill_warning(fill)) is not None:
        warned += (unjudged,)
    chosen = next((v for v in verdicts if recommendation and v.id == recommendation.scheme), None)
    if region is not None and (full := ceiling_warning(knowledge, facts, region, chosen)) is not None:
        warned += (full,)
    if status == "needs_checks" and not checks:
        warned += for_others(knowledge, facts, survey)
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
        warnings=warned,
        sources=_sources(verdicts, stops),
        evidence=() if contradictions else evidence(knowledge, facts, survey),
        cases=() if stops or status == "recommended" else cases(knowledge, survey, checks),
        doubtful=doubtful,
        enough=status == "recommended" and not dangers and not checks,
    )


def region_of(knowledge: Knowledge, facts: Mapping[str, Value]) -> Region | None:
    """The region that the facts name, if they do."""
    said = facts.get("region")
    return knowledge.regions.get(str(said)) if said else None


def look(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str] = ()
) -> tuple[WiringBelief, FanBelief, Survey]:
    """What wiring and fan may be, and every scheme judged in every case that is left (as it is asked for)."""
    region = region_of(knowledge, facts)
    bench = bench_of(knowledge, region or knowledge.regions[DEFAULT_REGION])
    wirings, fans = beliefs(knowledge, facts, region, bench, untold)
    judge = _judge(knowledge, facts, region, bench, untold)
    if facts.get("wall_boxes") == 2 and "neutral_reading" not in facts:
        judge = replace(judge, coloured=_coloured(knowledge, facts, region, bench, untold))
    return wirings, fans, Survey(judge, hypotheses(wirings, fans))


def _coloured(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, bench: Bench, untold: Collection[str]
) -> bool:
    """Whether some wiring without a neutral in the open box would be left if colours said nothing."""
    houses = _houses(knowledge, facts, region or knowledge.regions[DEFAULT_REGION], untold)
    left = possible_wirings(houses, facts, bench, colours_known=False, untold=untold).classes
    return any(NEUTRAL not in house.wired_nets(house.opened) for cls in left for house in cls.members)


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
def candidates(
    knowledge: Knowledge, region: str, other_load: bool | None, has_light: bool | None, age: str = ""
) -> tuple[Candidate, ...]:
    """All candidate wirings for a region's cables; generated once for a knowledge, with what each shows.

    None: both kinds, weighed by how common they are. The age of the house weighs too; it strikes nothing out.
    """
    if age:
        houses = candidates(knowledge, region, other_load, has_light)
        usual, here = knowledge.wiring.neutral_sent_down.p["yes"], knowledge.wiring.neutral_sent_down_by_age.yes[age]
        odds = {True: here / usual, False: (1 - here) / (1 - usual)}
        return tuple(replace(h, p=h.p * odds[h.neutral_down]) for h in houses)
    if other_load is None or has_light is None:
        lists = [
            (
                candidates(knowledge, region, other, light),
                knowledge.wiring.other_load_untold.p["yes" if other else "no"] if other_load is None else 1.0,
                knowledge.wiring.light_untold.p["yes" if light else "no"] if has_light is None else 1.0,
            )
            for other in ((False, True) if other_load is None else (other_load,))
            for light in ((True, False) if has_light is None else (has_light,))
        ]
        return tuple(replace(h, p=h.p * a * b) for houses, a, b in lists for h in houses)
    palette = palette_of(knowledge.regions[region])
    return Generator(knowledge.wiring, palette, other_load=other_load, has_light=has_light).all()


def _contradicted(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, untold: Collection[str]
) -> tuple[tuple[float, frozenset[str]], ...]:
    """Every candidate wiring's share with the facts it contradicts."""
    local = region or knowledge.regions[DEFAULT_REGION]
    houses = _houses(knowledge, facts, local, untold)
    return contradicted(houses, facts, bench_of(knowledge, local), colours_known=region is not None, untold=untold)


def _houses(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region, untold: Collection[str] = ()
) -> tuple[Candidate, ...]:
    other = facts.get("acts_on_other_loads") is True
    goes_with = "other_load_works_with"
    unseen = other and goes_with in untold and goes_with not in facts  # nobody could say what it goes with
    both = unseen or ("acts_on_other_loads" in untold and "acts_on_other_loads" not in facts)
    lit = None if "light_kit" not in facts else facts["light_kit"] != "none"
    age = str(facts.get("house_age", ""))
    by_age = knowledge.wiring.neutral_sent_down_by_age
    known = age in by_age.yes and region.id in by_age.regions
    return candidates(knowledge, region.id, None if both else other, lit, age if known else "")


def beliefs(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    region: Region | None,
    bench: Bench,
    untold: Collection[str] = (),
) -> tuple[WiringBelief, FanBelief]:
    """What the wiring and what the fan may be. With no fan hung yet, a plain AC fan stands in."""
    local = region or knowledge.regions[DEFAULT_REGION]
    houses = _houses(knowledge, facts, local, untold)
    wirings = possible_wirings(houses, facts, bench, colours_known=region is not None, untold=untold)
    volts = region.voltage_v if region else None
    derived = {n.id: float(n.value) for n in derived_numbers(facts, volts)}
    if facts.get("fan_installed") is False:
        return wirings, to_choose(has_light=facts.get("light_kit") != "none")
    return wirings, possible_fans(knowledge.clues, facts, derived)


def _judge(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, bench: Bench, untold: Collection[str]
) -> Judge:
    return Judge(
        schemes=knowledge.schemes,
        preparations=knowledge.preparations,
        rules=knowledge.rules,
        bench=bench,
        facts=facts,
        untold=frozenset(untold),
        wall_light_required=region is not None
        and region.room_light_rule.wall_control_needed == "yes"
        and region.room_light_rule.battery_control_counts != "yes",
        full_boxes=numbers.FullBoxes(facts, region, knowledge.tables),
        drawer=_drawer(knowledge, (region or knowledge.regions[DEFAULT_REGION]).id),
    )


@lru_cache(maxsize=8)
def _drawer(knowledge: Knowledge, region: str) -> Drawer:
    """The plans drawn so far for a region's cables: they serve every further set of answers."""
    return Drawer(bench_of(knowledge, knowledge.regions[region]))


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


def _sources(verdicts: tuple[SchemeVerdict, ...], stops: tuple[Stop, ...]) -> tuple[str, ...]:
    found = {s for stop in stops for s in stop.sources}
    found |= {s for verdict in verdicts for reason in verdict.reasons for s in reason.sources}
    return tuple(sorted(found))
