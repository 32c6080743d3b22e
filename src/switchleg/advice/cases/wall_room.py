"""The wall box with the recommended parts in it, and whether its untold size could still change the recommendation."""

from __future__ import annotations

from collections.abc import Container, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.cases.survey import Survey
from switchleg.advice.model import NewCable
from switchleg.advice.numbers import safety
from switchleg.advice.plans.judge import Judge
from switchleg.advice.plans.keeps import new_wall_devices
from switchleg.figures.boxes.wall_box import WallFill
from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region


def planned_fill(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, survey: Survey, *, decided: bool
) -> WallFill:
    """The wall box with the recommended parts in it, else as it is today."""
    best = survey.best(survey.hypotheses[0]) if decided and survey.hypotheses else None
    if best is None or best.plan is None:
        return safety.wall_fill(facts, region, knowledge.tables)
    bench, new = survey.judge.bench, best.plan.pulled()
    devices = len(new_wall_devices(best.plan, bench)) + len(best.plan.house.standing)
    loose = [
        p
        for p in best.plan.wired.parts
        if p.control in bench.controls and bench.controls[p.control].loose and p.box != "ceiling"
    ]
    return safety.wall_fill(facts, region, knowledge.tables, devices=devices, modules=len(loose), new=new)


class _Full(Container[tuple[int, int, tuple[NewCable, ...]]]):
    def __contains__(self, contents: object) -> bool:
        return True


def room_untold(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, survey: Survey
) -> tuple[str, ...]:
    """What is missing to say whether the wall box holds the recommended parts, where a full one would change them.

    It is tried with a box that holds nothing: the same recommendation with the same preparations asks for no size.
    """
    missing = planned_fill(knowledge, facts, region, survey, decided=True).missing
    if not missing:
        return ()
    judge = survey.judge
    full = Survey(
        Judge(
            schemes=judge.schemes,
            preparations=judge.preparations,
            rules=judge.rules,
            bench=judge.bench,
            heard=judge.heard,
            wall_light_required=judge.wall_light_required,
            blind=judge.blind,
            coloured=judge.coloured,
            full_boxes=_Full(),
            drawer=judge.drawer,
        ),
        survey.hypotheses,
        survey.facts,
        survey.untold,
    )
    changed = any(full.decided(h) != survey.decided(h) for h in survey.hypotheses)
    return missing if changed else ()
