"""What a plan's preparations say before the work and after it, and of the work while its joints are not settled."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from switchleg.advice.work.steps import BREAKER_OFF

if TYPE_CHECKING:
    from switchleg.advice.model import SchemeVerdict
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.schemes import Preparation


def before(knowledge: Knowledge, chosen: SchemeVerdict) -> tuple[str, ...]:
    """What opens nothing: somebody else's work, what is bought, and what stays as it is."""
    return (*_before(_wanted(knowledge, chosen), chosen), *chosen.before)


def _before(wanted: Sequence[Preparation], chosen: SchemeVerdict) -> Iterator[str]:
    for one in wanted:
        if one.when == "before":
            yield f"{_titled(one)}: {one.step_for(chosen.wall_control)}"
        elif _untouched(one, chosen):
            yield f"{_titled(one)}: {one.untouched}"


def _titled(one: Preparation) -> str:
    return f"{one.title}{' (licensed electrician)' if one.electrician else ''}"


def unsettled(knowledge: Knowledge, chosen: SchemeVerdict) -> tuple[str, ...]:
    """The work in the boxes where its steps are not told: breaker off, then each preparation as a whole."""
    if chosen.steps:
        return ()
    found = [one for one in _wanted(knowledge, chosen) if one.when == "during" and not _untouched(one, chosen)]
    return (BREAKER_OFF, *(f"{_titled(one)}: {one.step_for(chosen.wall_control)}" for one in found)) if found else ()


def in_short(knowledge: Knowledge, chosen: SchemeVerdict) -> tuple[str, ...]:
    """The work in the boxes by its titles, for a page without the steps: breaker off comes first all the same."""
    found = [one for one in _wanted(knowledge, chosen) if one.when == "during" and not _untouched(one, chosen)]
    return (BREAKER_OFF, *(f"{_titled(one)}." for one in found)) if found else ()


def after(knowledge: Knowledge, chosen: SchemeVerdict) -> tuple[str, ...]:
    """What is done when the power is on again."""
    return tuple(
        f"{one.title}: {one.step_for(chosen.wall_control)}" for one in _wanted(knowledge, chosen) if one.when == "after"
    )


def _wanted(knowledge: Knowledge, chosen: SchemeVerdict) -> list[Preparation]:
    found = (one for one in knowledge.preparations.preparation if one.id in chosen.preparations)
    return sorted(found, key=lambda one: one.order)


def _untouched(one: Preparation, chosen: SchemeVerdict) -> bool:
    """Whether the plan is told and opens no box that the preparation has a task in."""
    opened = {step.box for step in chosen.steps}
    return bool(one.untouched and chosen.plan) and not opened & {task.box for task in one.task}
