"""The card: the verdict first, then what to do, what not to do and why, read from the top down."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from switchleg.errors import SwitchlegError
from switchleg.session.views import CardView

from .dialogs import plain
from .fit import wrap
from .page import Body, Page
from .widgets import Pick

if TYPE_CHECKING:
    from switchleg.advice.card import Card, Line, Section

NOW = {
    "floor": "Go on in the room",
    "wall": "The wall box can be opened now: go on there",
    "canopy": "The canopy can be opened now: go on there",
}
WIDEST = 88
"""Columns beyond which lines get hard to follow."""
STATUS = {
    "recommended": "✓ THIS CAN WORK",
    "needs_checks": "? MORE TO CHECK",
    "stop": "! STOP",
}
SIGNS = {
    "text": "",
    "step": "{n}. ",
    "item": "- ",
    "warning": "! ",
    "good": "✓ yes: ",
    "bad": "✗ no: ",
    "sum": "= ",
}
COLOURS = {"warning": "bold $warning", "good": "$success", "bad": "$error", "sum": "bold"}


def line_words(line: Line, number: int, width: int) -> Content:
    """One line of the card, its sign in front and its further rows under its first word."""
    sign = SIGNS.get(line.kind, "").format(n=number)
    first, *others = wrap(line.text, width - len(sign))
    text = "\n".join([sign + first, *(" " * len(sign) + other for other in others)])
    return Content.styled(text, COLOURS.get(line.kind, ""))


def section_words(section: Section, width: int) -> Content:
    """A section: its title, then its lines; steps are numbered from one."""
    parts = [Content.styled(section.title, "bold $primary")]
    number = 0
    for line in section.lines:
        number += line.kind == "step"
        parts.append(line_words(line, number, width))
    return Content("\n").join(parts)


class CardScreen(Page[None]):
    """Shows the card of the answers so far; it is worked out beside the screen, which stays awake."""

    CSS_PATH = "card.tcss"
    AUTO_FOCUS = ""
    HELP = "Read it from the top: what can work, then what to do in which order, then why. Nothing here is lost."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "back", "Back", id="card.back", tooltip="Back to the questions"),
        Binding("r", "review", "Review", id="card.review", tooltip="See all answers and change any"),
        Binding("e", "export", "Export", id="card.export", tooltip="Write all of it into a text file"),
        Binding(
            "n",
            "open_now",
            "Open now",
            id="card.open_now",
            tooltip="What was left shut is open now: go on with its questions",
        ),
        Binding("escape", "leave", "List", key_display="esc", id="card.leave", tooltip="Go to the list of fans"),
        Binding("down", "line_down", "Down", show=False, id="card.down", tooltip="One row down"),
        Binding("up", "line_up", "Up", show=False, id="card.up", tooltip="One row up"),
        Binding("space", "page_down", "Further down", show=False, id="card.space"),
        Binding("home", "top", "Top", show=False, id="card.top", tooltip="To the verdict"),
        Binding("end", "bottom", "End", show=False, id="card.bottom", tooltip="To the end of the card"),
        Binding(
            "right_square_bracket,tab",
            "section(1)",
            "Next part",
            show=False,
            id="card.next",
            key_display="tab",
            tooltip="To the next part of the card",
        ),
        Binding(
            "left_square_bracket,shift+tab",
            "section(-1)",
            "Part before",
            show=False,
            id="card.previous",
            key_display="shift+tab",
            tooltip="To the part before",
        ),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.card: Card | None = None
        self.working = False
        self.then: Callable[[], None] | None = None
        self.drawn_for = 0

    def body(self) -> ComposeResult:
        with Body(id="body"):
            yield Static("Working it out…", id="status", markup=False)
            yield Static("", id="headline", markup=False)
            yield Vertical(id="waiting")

    def paint(self) -> None:
        """Work the card out for the answers as they are now."""
        session = self.ui.session
        if session is None or self.working:
            return
        view = session.view
        self.head(session.record.name, "card" if isinstance(view, CardView) else "card so far")
        self.banner(self.ui.standing_remark())
        box = self.query_one("#waiting", Vertical)
        box.remove_children()
        box.mount_all([Pick(str(number), NOW[door.opens]) for number, door in enumerate(session.waiting, 1)])
        self.working = True
        self.keys.refresh_keys()
        self.run_worker(session.card, name="card", thread=True, exit_on_error=False)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.worker.name != "card" or not event.worker.is_finished:
            return
        self.working = False
        if not self.alive:
            return
        then, self.then = self.then, None
        if then is not None and self.is_current:
            then()
            return
        if event.state is WorkerState.SUCCESS:
            self.card = event.worker.result
            self.draw()
            session = self.ui.session
            if session is not None and session.save_error is not None:
                self.say(plain(session.save_error), error=True)
        elif (error := event.worker.error) is not None:
            what = plain(error) if isinstance(error, SwitchlegError) else f"{type(error).__name__}: {error}"
            self.query_one("#status", Static).update("The card could not be worked out.")
            self.say(f"{what}. Your answers are kept.", error=True)
        self.keys.refresh_keys()

    @property
    def reading_width(self) -> int:
        return max(10, min(WIDEST, self.query_one("#body").size.width - 2))

    def draw(self) -> None:
        """Put the finished card on the screen at the present width."""
        card = self.card
        if card is None:
            return
        self.drawn_for = self.reading_width
        status = self.query_one("#status", Static)
        status.update(STATUS.get(card.status, card.status))
        status.set_classes(card.status)
        self.query_one("#headline", Static).update(card.headline)
        body = self.query_one("#body", Body)
        body.query(".section").remove()
        body.mount_all(
            [Static(section_words(section, self.reading_width), classes="section") for section in card.sections]
        )
        self.call_after_refresh(self.show_more_cue)

    def on_resize(self) -> None:
        self.call_after_refresh(self._resized)

    def _resized(self) -> None:
        if self.alive and self.card is not None and self.reading_width != self.drawn_for:
            self.draw()
        self.show_more_cue()

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        self.go_on_at(event.pick.key)

    def on_key(self, event: events.Key) -> None:
        """The number in front of something that waits goes on there."""
        if event.character and event.character.isdigit():
            event.stop()
            self.go_on_at(event.character)

    def go_on_at(self, key: str) -> None:
        """Go on at the gate that stands at this number."""
        session = self.ui.session
        if session is None or self.working or not self.awake:
            return
        waiting = {str(number): door.node for number, door in enumerate(session.waiting, 1)}
        if key in waiting:
            with self.calmly():
                session.reopen(waiting[key])
                self.ui.show_place()

    def action_back(self) -> None:
        session = self.ui.session
        if session is None or self._wait_for(self.action_back):
            return
        if isinstance(session.view, CardView) and not session.back():
            self.say("There is nothing before this.")
            return
        self.ui.show_place()

    def action_review(self) -> None:
        from .review import ReviewScreen

        self.app.push_screen(ReviewScreen())

    def action_export(self) -> None:
        from .export import ExportScreen

        if self.card is not None:
            self.app.push_screen(ExportScreen(self.card))

    def action_open_now(self) -> None:
        """With one gate waiting go on there; with several, ask which."""
        picks = list(self.query("#waiting > Pick").results(Pick))
        if len(picks) == 1:
            self.go_on_at(picks[0].key)
        elif picks:
            self.set_focus(picks[0])
            self.say("Which one is open now? Press its number.")

    def action_leave(self) -> None:
        if not self._wait_for(self.action_leave):
            self.ui.show_list()

    def _wait_for(self, act: Callable[[], None]) -> bool:
        """While the card is being worked out, keep `act` until it is done: the record must stand still."""
        if self.working:
            self.then = act
            self.say("One moment, until the card is worked out.")
        return self.working

    def action_line_down(self) -> None:
        self.query_one("#body", Body).scroll_down(animate=False)

    def action_line_up(self) -> None:
        self.query_one("#body", Body).scroll_up(animate=False)

    def action_top(self) -> None:
        self.query_one("#body", Body).scroll_home(animate=False)

    def action_bottom(self) -> None:
        self.query_one("#body", Body).scroll_end(animate=False)

    def action_section(self, step: int) -> None:
        """Bring the next part's title to the top, or the one before."""
        body = self.query_one("#body", Body)
        tops = [part.virtual_region.y for part in body.query(".section")]
        here = int(body.scroll_y)
        wanted = [y for y in tops if y > here] if step > 0 else [0, *(y for y in tops if y < here)][::-1]
        if wanted:
            body.scroll_to(y=wanted[0], animate=False)

    def can(self, action: str) -> bool:
        """While the card is being worked out the record stays as it is."""
        session = self.ui.session
        if action == "review":
            return not self.working
        if action == "open_now":
            return not self.working and session is not None and bool(session.waiting)
        if action == "export":
            return not self.working and self.card is not None
        return super().can(action)
