"""The work on a plan: its steps one at a time, the safety checks before them, the proof at the end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from switchleg.errors import SwitchlegError
from switchleg.record.ids import typed_text
from switchleg.record.model import GateEntry, Work
from switchleg.schema.questions import Door, Station
from switchleg.session import work_plan
from switchleg.session.borrowed import Sharing
from switchleg.session.views import build
from switchleg.session.views.model import DoorView, WorkPhase, WorkView


class Ladder(Sharing):
    """A session that also keeps the place in the work."""

    @property
    def work_refusal(self) -> str:
        """Why no work can begin on what is known now, in one line; "" when it can."""
        try:
            work_plan.plan_of(self._knowledge, self.advice())
        except SwitchlegError as reason:
            return reason.line()
        return ""

    @property
    def work(self) -> WorkView | None:
        """What to show of the work; None when none was begun."""
        begun = self.record.progress
        if begun is None:
            return None
        try:
            plan = work_plan.plan_of(self._knowledge, self.advice(), begun.scheme)
        except SwitchlegError as reason:
            says = f"{work_plan.CHANGED} Now {reason.what}."
            return WorkView("changed", begun.scheme, begun.scheme, says, None, None, 0, 0, (), ())
        steps, rows = work_plan.shown(plan, begun)
        if plan.key != begun.plan:
            return WorkView(
                "changed", plan.scheme, plan.title, work_plan.CHANGED, None, None, 0, len(steps), steps, rows
            )
        at = min(begun.next, len(steps))
        step = steps[at] if at < len(steps) else None
        gate = self._gate_for(step.station) if step is not None and step.kind != "on" else None
        phase: WorkPhase
        if step is not None:
            phase, says = ("step", work_plan.STEP) if gate is None else ("gate", work_plan.GATE)
        elif all(row.checked for row in rows):
            phase, says = "done", work_plan.DONE
        else:
            phase, says = "proof", work_plan.PROOF
        number = min(at + 1, len(steps))
        return WorkView(phase, plan.scheme, plan.title, says, gate, step, number, len(steps), steps, rows, plan.after)

    def start_work(self, scheme: str | None = None) -> WorkView:
        """Begin the work on the recommended scheme, or on another one that fits; go on with it when begun.

        Work on another plan is kept with its notes and left. SwitchlegError when there is no plan to work by.
        """
        plan = work_plan.plan_of(self._knowledge, self.advice(), scheme)
        old = self.record.progress
        if old is None or old.plan != plan.key:
            self._writable()
            now = self._clock()
            new = Work(
                scheme=plan.scheme,
                plan=plan.key,
                knowledge_version=self._knowledge.version,
                begun=now,
                steps=len(plan.steps),
                rows=len(plan.rows),
            )
            self._work_open.clear()
            self._change(now, progress=new, past_work=[*self.record.past_work, *([old] if old else [])])
        return self._working()

    def open_work(self, confirmed: Sequence[bool]) -> None:
        """Confirm the checks before the next step: one True for each, or the work does not go on."""
        gate = self._working().gate
        if gate is None:
            raise SwitchlegError("no safety checks are asked now", mend="go on with the step")
        if len(confirmed) != len(gate.checks) or not all(done is True for done in confirmed):
            raise SwitchlegError(
                "the work does not go on: not every check is confirmed",
                expected=f"all {len(gate.checks)} of them",
                mend="do the check that is missing, or leave it for later",
            )
        self._writable()
        now = self._clock()
        entry = GateEntry(at=now, door=gate.node, opens=gate.opens, outcome="open", checks=gate.checks)
        self._work_open.add(gate.opens)
        self._at_work.add(gate.opens)
        self._change(now, gates=[*self.record.gates, entry])

    def step_done(self, note: str = "") -> None:
        """The step at hand is done; a note is kept with it. SwitchlegError while checks or nothing is open."""
        view = self._working()
        if view.phase != "step" or view.step is None:
            raise SwitchlegError("no step is at hand", mend=view.says)
        if view.step.kind == "on":
            self._work_open.clear()  # whatever is opened after this is live again
        if note.strip():
            self._progress(next=view.step.index + 1, notes=self._noted(view.step.index, note))
        else:
            self._progress(next=view.step.index + 1)

    def step_back(self) -> bool:
        """Show the step before, to do it or note it again; False at the first."""
        view = self._working()
        at = self._begun().next
        if at == 0 or view.phase == "changed":
            return False
        self._progress(next=min(at, view.many) - 1)
        return True

    def step_note(self, note: str, index: int | None = None) -> None:
        """Keep a note with a step (the one at hand without `index`); "" takes it away."""
        view = self._working()
        at = (view.step.index if view.step is not None else -1) if index is None else index
        if not 0 <= at < view.many:
            raise SwitchlegError("there is no such step to keep a note with", expected=f"0 to {view.many - 1}")
        self._progress(notes=self._noted(at, note))

    def check_row(self, index: int, holds: bool = True) -> None:
        """Check a row of the function table off, or take the mark away."""
        view = self._working()
        if view.phase not in ("proof", "done"):
            raise SwitchlegError("the proof comes after the last step", mend="finish the steps first")
        if not 0 <= index < len(view.rows):
            raise SwitchlegError(f"there is no line {index + 1}", expected=f"1 to {len(view.rows)}")
        others = set(self._begun().checked) - {index}
        self._progress(checked=tuple(sorted(others | ({index} if holds else set()))))

    def leave_work(self) -> None:
        """Give the work up; it is kept with its notes. Nothing happens when none was begun."""
        old = self.record.progress
        if old is not None:
            self._writable()
            self._change(self._clock(), progress=None, past_work=[*self.record.past_work, old])

    def _gate_for(self, station: Station) -> DoorView | None:
        """The checks still to be confirmed before work at a station; None when they were."""
        if station == "floor" or station in self._work_open:
            return None
        doors = (node for node in self._tree.nodes.values() if isinstance(node, Door) and node.opens == station)
        door = next(doors, None)
        if door is None:
            raise SwitchlegError(f"the knowledge has no safety checks for the {station}", mend="run `switchleg check`")
        drawn = self._knowledge.pictures if door.picture else {}
        return build.door_view(self._tree, self.record, drawn, door)

    def _working(self) -> WorkView:
        view = self.work
        if view is None:
            raise SwitchlegError("no work was begun", mend="begin it first")
        return view

    def _begun(self) -> Work:
        begun = self.record.progress
        assert begun is not None
        return begun

    def _noted(self, index: int, note: str) -> dict[int, str]:
        text = " ".join(typed_text(note).split())
        kept = {key: old for key, old in self._begun().notes.items() if key != index}
        return {**kept, index: text} if text else kept

    def _progress(self, **changes: Any) -> None:
        self._writable()
        self._change(self._clock(), progress=self._begun().model_copy(update=changes))
