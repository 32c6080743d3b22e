"""What another answer would change, beside what holds today, before it is taken."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import zip_longest
from typing import TYPE_CHECKING, ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from switchleg.errors import SwitchlegError

from ..pages.scrolling_page import ScrollingPage
from ..parts.body import Body
from ..parts.dialogs import plain
from ..parts.widgets import Pick
from ..parts.words.fit_text import wrap

if TYPE_CHECKING:
    from switchleg.session.views.model import Change

BESIDE_FROM = 70
"""Cells from which both cards stand beside each other."""
WIDEST = 132


def change_words(change: Change, width: int) -> Content:
    """Both answers and both cards, then what would no longer count; signs and words, never colour alone.

    Where `width` allows, today's card stands on the left and the new one on the right.
    """
    beside = width >= BESIDE_FROM
    parts: list[str | tuple[str, str]] = [(f"{change.ask}\n", "bold")]
    if beside:
        parts += _columns("", [f"Now:  {change.before}"], "", [f"Then: {change.after}"], width, "")
        parts.append("\n")
        differ = change.headline_before != change.headline_after
        now, then = (
            (f"- {change.headline_before}", f"+ {change.headline_after}")
            if differ
            else (f"  {change.headline_before}", f"  {change.headline_after}")
        )
        parts += _columns("The card now", [now], "The card then", [then], width, "bold")
    else:
        parts += [
            f"Now:  {change.before}\nThen: {change.after}\n\n",
            ("The verdict now\n", "bold $primary"),
            f"{change.headline_before}\n\n",
            ("The verdict then\n", "bold $primary"),
            f"{change.headline_after}\n",
        ]
    if change.same:
        parts.append("\nThe card stays as it is.\n")
    elif beside:
        parts += _side_by_side(change, width)
    else:
        parts += _listed(("What would come", "+", change.gained), ("What would go", "-", change.lost))
    parts += _listed(("Answers that would no longer count (they are kept)", "-", change.dropped))
    if change.most_left:
        least, most = change.least_left, change.most_left
        parts.append(f"\nQuestions still to come: {least if least == most else f'{least}–{most}'}.\n")
    return Content.assemble(*parts)


def _listed(*lists: tuple[str, str, tuple[str, ...]]) -> Iterator[str | tuple[str, str]]:
    for title, sign, lines in lists:
        if lines:
            yield f"\n{title}\n", "bold $primary"
            yield from (f"{sign} {line}\n" for line in lines)


def _side_by_side(change: Change, width: int) -> Iterator[str | tuple[str, str]]:
    """Every section that differs: lines that go are marked "-", those that come "+"; then the sections alike."""
    alike = []
    for part in change.parts:
        if part.before == part.after:
            alike.append(part.title)
            continue
        yield "\n"
        left = [f"{' ' if line in part.after else '-'} {line}" for line in part.before] or ["  (nothing)"]
        right = [f"{' ' if line in part.before else '+'} {line}" for line in part.after] or ["  (nothing)"]
        yield from _columns(part.title, left, part.title, right, width, "")
    if alike:
        yield f"\nAlike in both: {', '.join(alike)}.\n"


def _columns(
    left_title: str, left: list[str], right_title: str, right: list[str], width: int, style: str
) -> Iterator[str | tuple[str, str]]:
    """Two columns of text under their titles, each wrapped by itself."""
    room = (width - 3) // 2
    if left_title:
        yield f"{_padded(left_title, room)} │ {right_title}\n", "bold $primary"
    rows = ([row for line in lines for row in _hung(line, room)] for lines in (left, right))
    for one, other in zip_longest(*rows, fillvalue=""):
        yield f"{_padded(one, room)} │ {other}\n", style


def _hung(line: str, room: int) -> list[str]:
    """The rows of a line; a sign in front stays in a column of its own."""
    sign, text = (line[:2], line[2:]) if line[1:2] == " " else ("", line)
    return [
        f"{sign if not number else ' ' * len(sign)}{row}" for number, row in enumerate(wrap(text, room - len(sign)))
    ]


def _padded(text: str, room: int) -> str:
    return text + " " * max(0, room - cell_len(text))


class ChangeScreen(ScrollingPage):
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
            self.draw()
        elif (error := event.worker.error) is not None:
            what = plain(error) if isinstance(error, SwitchlegError) else f"{type(error).__name__}: {error}"
            self.query_one("#change", Static).update("What it would change could not be worked out.")
            self.say(what, error=True)
        self.keys.refresh_keys()
        self.call_after_refresh(self.show_more_cue)

    def draw(self) -> None:
        if self.change is not None:
            width = max(20, min(WIDEST, self.query_one("#body").size.width - 2))
            self.query_one("#change", Static).update(change_words(self.change, width))

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
