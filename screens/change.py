"""What another answer would change, beside what holds today, before it is taken."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from switchleg.errors import SwitchlegError

from .dialogs import plain
from .page import Body, Page
from .widgets import Pick

if TYPE_CHECKING:
    from switchleg.session.views import Change


def change_words(change: Change) -> Content:
    """Both answers and both cards, then what goes and what comes; signs and words, never colour alone."""
    left = (
        f"{change.least_left}" if change.least_left == change.most_left else (f"{change.least_left}–{change.most_left}")
    )
    parts: list[str | tuple[str, str]] = [
        (f"{change.ask}\n", "bold"),
        f"Now:  {change.before}\nThen: {change.after}\n\n",
        ("The verdict now\n", "bold $primary"),
        f"{change.headline_before}\n\n",
        ("The verdict then\n", "bold $primary"),
        f"{change.headline_after}\n",
    ]
    if change.same:
        parts.append("\nThe card stays as it is.\n")
    for title, sign, lines in (
        ("What would come", "+", change.gained),
        ("What would go", "-", change.lost),
        ("Answers that would no longer count (they are kept)", "-", change.dropped),
    ):
        if lines:
            parts += [(f"\n{title}\n", "bold $primary"), *(f"{sign} {line}\n" for line in lines)]
    if change.most_left:
        parts.append(f"\nQuestions still to come: {left}.\n")
    return Content.assemble(*parts)


class ChangeScreen(Page[None]):
    """Worked out beside the screen; the new answer is taken only when that is said."""

    CSS_PATH = "change.tcss"
    HELP = "Nothing has changed yet. Take the new answer, or keep the one that stands."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "accept", "Take it", id="change.accept", tooltip="Take the new answer"),
        Binding("n,escape,b", "drop", "Keep the old", key_display="n", id="change.drop", tooltip="Change nothing"),
    ]

    def __init__(self, work_out: Callable[[], Change], accept: Callable[[], object]) -> None:
        super().__init__()
        self.work_out = work_out
        self.take = accept
        self.change: Change | None = None

    def body(self) -> ComposeResult:
        with Body(id="body"):
            yield Static("Working out what that would change…", id="change", markup=False)
        yield Pick("y", "Take the new answer", id="accept")
        yield Pick("n", "Keep the old one", id="drop")

    def on_mount(self) -> None:
        super().on_mount()
        self.set_focus(self.query_one("#drop", Pick))
        self.run_worker(self.work_out, name="change", thread=True, exit_on_error=False)

    def paint(self) -> None:
        session = self.ui.session
        self.head(f"{session.record.name} · change an answer" if session is not None else "change")
        self.banner(self.ui.standing_remark())

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.worker.name != "change" or not event.worker.is_finished or not self.alive:
            return
        if event.state is WorkerState.SUCCESS and event.worker.result is not None:
            self.change = event.worker.result
            self.query_one("#change", Static).update(change_words(event.worker.result))
        elif (error := event.worker.error) is not None:
            what = plain(error) if isinstance(error, SwitchlegError) else f"{type(error).__name__}: {error}"
            self.query_one("#change", Static).update("What it would change could not be worked out.")
            self.say(what, error=True)
        self.keys.refresh_keys()
        self.call_after_refresh(self.show_more_cue)

    def on_key(self, event: events.Key) -> None:
        if event.key in ("down", "up") and self.focused is None:
            event.stop()

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if self.awake and self.can(event.pick.id or ""):
            self.action_accept() if event.pick.id == "accept" else self.action_drop()

    def action_accept(self) -> None:
        with self.calmly():
            self.take()
        self.ui.show_place()

    def action_drop(self) -> None:
        if self.ui.session is not None:
            self.ui.session.onward()
        self.ui.show_place()

    def can(self, action: str) -> bool:
        if action == "accept":
            return self.change is not None
        return super().can(action)
