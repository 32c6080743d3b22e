"""The open cases: every house and fan that the answers leave, with every scheme judged in each as it is asked for.

Worked out once for a set of answers; status, looks, card and drawings read the same value.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from switchleg.advice.cases.beliefs import DEFAULT_REGION, beliefs, bench_of, known_by_colour, region_of, wired_alike
from switchleg.advice.cases.survey import Survey, hypotheses
from switchleg.advice.cases.unhung import by_copper
from switchleg.advice.numbers import safety
from switchleg.advice.plans.attempts import Circuits, Drawer
from switchleg.advice.plans.judge import Judge
from switchleg.diagnosis.fans import FanBelief
from switchleg.diagnosis.houses.belief import WiringBelief
from switchleg.schema.parts import OtherKind
from switchleg.schema.questions import Value
from switchleg.tree.graph import serving

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region

Key = tuple[frozenset[tuple[str, type, Value]], frozenset[str], int | None]


@dataclass(frozen=True, eq=False)
class OpenCases:
    """`facts` as they were told, `untold`: looked for and not told. `survey` holds the houses and fans left."""

    knowledge: Knowledge
    facts: Mapping[str, Value]
    untold: frozenset[str]
    region: Region | None
    wirings: WiringBelief
    fans: FanBelief
    survey: Survey


def open_cases(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str] = (), *, most: int | None = None
) -> OpenCases:
    """What wiring and fan may be. Asked again for the same answers it is the same value.

    `most`: only so many of the likeliest cases, with their shares among all.
    """
    told = frozenset((fact, type(value), value) for fact, value in facts.items())
    return _open_cases(knowledge, (told, frozenset(untold), most))


@lru_cache(maxsize=4)
def _open_cases(knowledge: Knowledge, key: Key) -> OpenCases:
    told, untold, most = key
    facts = {fact: value for fact, _, value in sorted(told, key=lambda one: one[0])}
    region = region_of(knowledge, facts)
    bench = bench_of(knowledge, region or knowledge.regions[DEFAULT_REGION])
    wirings, fans = beliefs(knowledge, facts, region, bench, untold)
    coloured = (
        facts.get("wall_boxes") == 2
        and "neutral_reading" not in facts
        and known_by_colour(knowledge, facts, region, bench, untold)
    )
    judge = _judge_of(knowledge, facts, untold, region, coloured=coloured)
    survey = Survey(judge, hypotheses(wirings, fans, most), facts, untold)
    if facts.get("fan_installed") is False:
        whole = by_copper(Survey(judge, hypotheses(wirings, fans), facts, untold))
        survey = whole if most is None else whole.of(whole.hypotheses[:most])
    return OpenCases(knowledge, facts, untold, region, wirings, fans, survey)


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
        full_boxes=safety.FullBoxes(facts, knowledge.regions[boxes_by] if boxes_by else None, knowledge.tables),
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
