"""What a plan's preparations add to the steps, each in the box and at the moment that its data names."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from switchleg.advice.plans.plan import Plan
from switchleg.advice.plans.preparations import newly_used
from switchleg.advice.wording.phrases import listed
from switchleg.advice.work.joints import cable_words
from switchleg.diagnosis.lights import BEHIND
from switchleg.schema.schemes import PreparationsFile, StepKind, Task
from switchleg.wiring.site import CEILING


class Told(NamedTuple):
    """A step before it stands in its box. `new`: it differs from today."""

    kind: StepKind
    text: str
    new: bool = True


def tasks_of(file: PreparationsFile, ids: Collection[str]) -> tuple[Task, ...]:
    """The tasks of these preparations, in working order."""
    wanted = (one for one in file.preparation if one.id in ids)
    return tuple(task for one in sorted(wanted, key=lambda one: one.order) for task in one.task)


@dataclass(frozen=True)
class InBoxes:
    """`boxes`: in working order. `emptied`: wall boxes whose control comes out and gets no other."""

    plan: Plan
    tasks: Sequence[Task]
    boxes: Sequence[str]
    emptied: Collection[str]
    ground: str

    def at(self, box: str, moment: str) -> Iterator[Told]:
        for task in self._meant():
            if task.moment != moment:
                continue
            if task.box in ("near", "far"):
                keys = [key for key, ends in self._put_to_use().items() if ends[task.box == "far"] == box]
                wires = listed(f"{colour} of {cable_words(self.plan.wired.site, cable, box)}" for cable, colour in keys)
                if keys:
                    yield Told(task.kind, task.text.format(wire=wires, ground=self.ground))
            elif box in self._places(task):
                yield Told(task.kind, task.text.format(ground=self.ground))

    def taken_out(self) -> set[str]:
        """What the tasks say comes out."""
        return {task.takes_out for task in self._meant() if task.takes_out}

    def proved_between(self) -> list[tuple[str, str]]:
        """Pairs of boxes, both open, between which a conductor is proved before anything is parted."""
        asked = any(task.moment == "first" for task in self._meant())
        return sorted(set(self._put_to_use().values()), key=lambda ends: self.boxes.index(ends[0])) if asked else []

    def _meant(self) -> Iterator[Task]:
        there = "kept" if self.plan.receiver_kept else "out"
        light = "receiver" if self.plan.fan.light in BEHIND else self.plan.fan.light
        return (task for task in self.tasks if task.receiver in (None, there) and task.light in (None, light))

    def _places(self, task: Task) -> Collection[str]:
        if task.box == "emptied":
            return self.emptied
        if task.box == "ceiling":
            return (CEILING,)
        runs = (cable for cable in self.plan.wired.site.cables if CEILING in cable.ends)
        return {end for cable in runs for end in cable.ends if end != CEILING}

    def _put_to_use(self) -> dict[tuple[str, str], tuple[str, str]]:
        """Conductors put to use, with the boxes of their two ends: the one worked on first, then the other."""
        cables = {cable.id: cable for cable in self.plan.wired.site.cables}
        found = {}
        for key in newly_used(self.plan):
            if key[0] in cables:
                near, far = sorted(cables[key[0]].ends, key=self.boxes.index)
                found[key] = near, far
        return found
