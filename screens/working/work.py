"""The work on a plan, for somebody on a ladder: one step at a time in large plain text, then its proof."""

from __future__ import annotations

from time import monotonic
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Static

from switchleg.session.session import Session
from switchleg.session.views.model import WorkStep, WorkView

from ..pages.page import Page
from ..parts.answers import FLAT
from ..parts.body import Body
from ..parts.checks import DONE, NOT_YET
from ..parts.dialogs import LineDialog
from ..parts.widgets import Pick
from ..parts.words.fit_text import wrap

KINDS = {
    "prepare": "FIRST",
    "mark": "NOTE AND MARK",
    "take_apart": "TAKE APART",
    "test": "TEST",
    "join": "JOIN",
    "leave": "LEAVE AS IT IS",
    "cap": "CAP",
    "fold": "CLOSE UP",
    "off": "POWER OFF",
    "on": "POWER ON",
}
LARGE = 56
"""Columns of the large text: short rows are found again from a ladder."""
PAUSE_S = 0.4
"""A key that comes sooner after another one is held down or bounced, and counts for nothing."""


class WorkScreen(Page[None]):
    """One step at a time: any key or tap says that it is done. Then the function table, checked off row by row."""

    CSS_PATH = "work.tcss"
    HELP = (
        "Do what stands there, then press any key or tap the line below. A step that does not fit the window is "
        "scrolled first. Your place is saved: you can stop at any time."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "back", "Back", id="ladder.back", tooltip="Show the step before"),
        Binding("o", "note", "Note", id="ladder.note", tooltip="Write a note to this step"),
        Binding("escape", "leave", "Card", key_display="esc", id="ladder.leave", tooltip="To the card; place is saved"),
        Binding("x", "give_up", "Give up", show=False, id="ladder.give_up", tooltip="Leave this plan; notes are kept"),
        Binding("down", "line_down", "Down", show=False, id="ladder.down", tooltip="One row down"),
        Binding("up", "line_up", "Up", show=False, id="ladder.up", tooltip="One row up"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.last_key = monotonic()
        """A key that opened the gate and is still held down does not do the first step."""

    def body(self) -> ComposeResult:
        with Body(id="body"):
            yield Static("", id="step-kind", markup=False)
            yield Static("", id="step-text", markup=False)
            yield Static("", id="step-more", markup=False)
            yield Static("", id="step-note", classes="quiet", markup=False)
            yield Vertical(id="proof")
        yield Pick("any key", "Done", id="done")

    @property
    def session(self) -> Session:
        assert self.ui.session is not None
        return self.ui.session

    @property
    def work(self) -> WorkView | None:
        return self.ui.session.work if self.ui.session is not None else None

    def paint(self) -> None:
        work = self.work
        if work is None:
            return
        self.set_class(self.app.size.height >= FLAT, "tall")
        self.banner(self.ui.standing_remark())
        step = work.step
        place = (
            f"step {work.number} of {work.many}"
            if step is not None
            else {"proof": "proof", "done": "done"}.get(work.phase, "")
        )
        self.head(f"{self.session.record.name} · work", place)
        if step is not None:
            self._paint_step(step)
        else:
            self.put("step-kind", {"proof": "PROOF", "done": "FINISHED"}.get(work.phase, "THE PLAN HAS CHANGED"))
            self.put("step-text", self._large(work.says) if work.phase != "proof" else work.says)
            self.put("step-more", "\n".join(f"First: {line}" for line in work.after) if work.phase == "proof" else "")
            self.put("step-note", "")
        self._paint_proof(work)
        done = self.query_one("#done", Pick)
        done.show("any key", self._way_on(work))
        done.display = work.phase != "proof"
        self.query_one("#body", Body).scroll_home(animate=False)
        self.keys.refresh_keys()
        self.call_after_refresh(self.show_more_cue)

    @staticmethod
    def _way_on(work: WorkView) -> str:
        if work.phase == "changed":
            return "Breaker is off: begin the new plan"
        if work.phase == "done":
            return "Back to the card"
        return "I have read this" if work.number == 1 else "Done: next step"

    def _paint_step(self, step: WorkStep) -> None:
        kind = KINDS.get(step.kind, step.kind.replace("_", " ").upper())
        self.put("step-kind", f" {kind} · in {step.box} " if step.box else f" {kind} ")
        self.put("step-text", self._large(step.text))
        lines = [f"{number}. {line}" for number, line in enumerate(step.lines, 1)]
        self.put("step-more", "\n".join([*lines, *(f"! {caution}" for caution in step.cautions)]))
        self.put("step-note", f"Note: {step.note}" if step.note else "")

    def _large(self, text: str) -> str:
        """Short rows with air between them where the window has the height."""
        width = max(10, min(LARGE, self.query_one("#body").size.width - 3))
        lines = wrap(text, width)
        airy = 2 * len(lines) + 8 <= self.app.size.height
        return ("\n\n" if airy else "\n").join(lines)

    def _paint_proof(self, work: WorkView) -> None:
        box = self.query_one("#proof", Vertical)
        shown = work.phase in ("proof", "done") or (work.step is None and any(row.checked for row in work.rows))
        box.display = shown and work.phase != "changed"
        if not box.display:
            return
        picks = list(box.query(Pick))
        if len(picks) != len(work.rows):
            box.remove_children()
            picks = [Pick(str(row.index + 1), row.text) for row in work.rows]
            box.mount_all(picks)
        for pick, row in zip(picks, work.rows, strict=True):
            pick.show(str(row.index + 1), row.text, mark=DONE if row.checked else NOT_YET)
        if work.phase == "proof" and not isinstance(self.focused, Pick):
            self.set_focus(picks[0] if picks else None, scroll_visible=False)

    def on_resize(self) -> None:
        self.call_after_refresh(self._resized)

    def _resized(self) -> None:
        if self.alive:
            self.paint()

    def on_key(self, event: events.Key) -> None:
        """Any key that means nothing else: the step is done. In the proof a number checks its row."""
        work = self.work
        if work is None or not self.awake or isinstance(self.focused, Input):
            return
        if event.key in ("up", "down", "pageup", "pagedown", "tab", "shift+tab", "home", "end"):
            return
        if event.key.startswith(("ctrl+", "f")) and len(event.key) > 1:
            return
        if work.phase == "proof":
            if event.character and event.character.isdigit():
                event.stop()
                self._check(int(event.character) - 1)
            return
        bound = {key for binding, _ in self.ways() for key in binding.key.split(",")}
        if event.key in bound:
            return
        event.stop()
        event.prevent_default()
        self.press()

    def press(self) -> None:
        """One press for "done", unless it is the echo of the one before."""
        now = monotonic()
        echo, self.last_key = now - self.last_key < PAUSE_S, now
        if not echo:
            self.done()

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if not self.awake:
            return
        if event.pick.id == "done":
            self.press()
        else:
            self._check(int(event.pick.key) - 1)

    def done(self) -> None:
        """Go on; what is below the window is shown first, for nobody has done what they have not read."""
        work, body = self.work, self.query_one("#body", Body)
        if work is None:
            return
        if work.phase == "done":
            self.ui.leave_work()
            return
        if body.max_scroll_y - body.scroll_y > 0.5:
            body.scroll_page_down(animate=False)
            self.say("There was more below. Read it, then press again.")
            return
        self.say("")
        with self.calmly():
            if work.phase == "changed":
                self.session.start_work()
            else:
                self.session.step_done()
        self.ui.show_work()

    def _check(self, index: int) -> None:
        """Check a row off, or take the mark away; one that cannot be read is only brought into sight."""
        work = self.work
        picks = list(self.query("#proof > Pick").results(Pick))
        if work is None or not 0 <= index < len(picks) or work.phase not in ("proof", "done"):
            return
        pick = picks[index]
        self.set_focus(pick)
        if not self.query_one("#body", Body).region.contains_region(pick.region):
            pick.scroll_visible(animate=False)
            self.say(f"Line {pick.key} is in sight now: try it, then press again.")
            return
        self.say("")
        with self.calmly():
            self.session.check_row(index, not work.rows[index].checked)
        after = self.work
        if after is not None and after.phase == work.phase == "proof":
            self._paint_proof(after)
            missing = [row.index for row in after.rows if not row.checked]
            ahead = [row for row in missing if row > index] or missing
            if ahead and after.rows[index].checked:
                self.set_focus(picks[ahead[0]])
        else:
            self.paint()

    def action_back(self) -> None:
        self.say("")
        moved = False
        with self.calmly():
            moved = self.session.step_back()
            self.ui.show_work()
        if not moved:
            self.say("This is the first step.")

    def action_note(self) -> None:
        work = self.work
        if work is None or work.step is None:
            return
        index = work.step.index

        def keep(text: str) -> None:
            if self.ui.session is not None:
                with self.calmly():
                    self.session.step_note(text, index)
                self.paint()

        self.app.push_screen(LineDialog("A note", work.step.note, keep, prompt=work.step.text))

    def action_give_up(self) -> None:
        with self.calmly():
            self.session.leave_work()
        self.ui.leave_work()

    def action_leave(self) -> None:
        self.ui.leave_work()

    def can(self, action: str) -> bool:
        if action == "note":
            return (work := self.work) is not None and work.step is not None
        return super().can(action)
