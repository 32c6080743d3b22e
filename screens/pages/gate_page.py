"""A page with a safety gate: its checks, each confirmed by itself, and the ways on from it."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from switchleg.session.session import Session
from switchleg.session.views.model import DoorView, QuestionView

from ..parts.answers import FLAT
from ..parts.body import Body
from ..parts.checks import Checks, numbered
from ..parts.dialogs import LineDialog
from ..parts.widgets import Pick
from .checks_page import ChecksPage

READING = {"down", "space", "enter", "pagedown"}


class GatePage(ChecksPage):
    """A gate opens only when every check is confirmed. Whose gate it is and where it leads, the screen says."""

    CSS_PATH = Path(__file__).with_suffix(".tcss")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("o", "open", "Open", id="station.open", tooltip="Go on; at a gate, once every check is confirmed"),
        Binding("n", "later", "Not now", id="station.later", tooltip="Leave this shut for now"),
        Binding("f", "first", "Other first", id="station.first", tooltip="The other place first, then back here"),
        Binding(
            "x",
            "decline",
            "Rather not",
            id="station.decline",
            tooltip="I'd rather not open this: a card for the electrician",
        ),
        Binding("b", "back", "Back", id="station.back", tooltip="Show the question before"),
        Binding("p", "picture", "Picture", id="station.picture", tooltip="A drawing of the checks, in words too"),
        Binding("t", "note", "Note", id="station.note", tooltip="Write a note to this gate"),
        Binding(
            "escape",
            "leave",
            "List",
            key_display="esc",
            id="station.leave",
            tooltip="Stop here and go to the list of fans; all is saved",
        ),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.node = ""

    def body(self) -> ComposeResult:
        with Horizontal(id="main"):
            with Body(id="body"):
                yield Static("", id="title", markup=False)
                yield Static("", id="intro", markup=False)
                yield Static("", id="ask", markup=False)
                yield Static("", id="hint", markup=False)
                yield Static("", id="cautions", markup=False)
                yield Static("", id="note-line", classes="quiet", markup=False)
                yield Checks()
                with Vertical(id="ways"):
                    yield Pick("o", "", id="open")
                    yield Pick("n", "Not now: leave it shut", id="later")
                    yield Pick("f", "", id="first")
                    yield Pick("x", "I'd rather not open this", id="decline")
            yield Static("", id="picture-beside", classes="picture", markup=False)

    @property
    def session(self) -> Session:
        assert self.ui.session is not None
        return self.ui.session

    @property
    def door(self) -> DoorView | None:
        """The gate in view; None when nothing is opened."""
        raise NotImplementedError

    @property
    def shown(self) -> QuestionView | DoorView | None:
        """What the way leads into; None for the moment in which the screen is being replaced."""
        return self.door

    @property
    def pictured(self) -> DoorView | None:
        return self.door

    def paint(self) -> None:
        view = self.shown
        if view is None:
            return
        if view.node != self.node:
            self.node = view.node
            door = self.door
            self.query_one(Checks).lay_out(door.checks if door else ())
        self._fit()
        self.banner(self.ui.standing_remark())
        self.head(self.session.record.name, "safety gate" if self.door else "")
        self.put("title", view.station_title)
        self.put("intro", view.intro)
        door = self.door
        self.put("ask", door.ask if door else "")
        self.put("cautions", "\n".join(f"! {caution}" for caution in door.cautions) if door else "")
        self.put("note-line", f"Note: {door.note}" if door and door.note else "")
        for id in ("later", "first", "decline"):
            self.query_one(f"#{id}").display = self.can(id)
        self.put("hint", "")
        self.show_hint()
        self.show_state()
        self.set_focus(None)
        self.query_one("#body", Body).scroll_home(animate=False)
        self.keys.refresh_keys()
        self.call_after_refresh(self.show_more_cue)

    def show_hint(self) -> None:
        """Say what helps to choose the way, where there is something to say."""

    def show_state(self) -> None:
        """Bring the marks and the way in up to date with what is confirmed."""
        missing = self.confirmed.count(False)
        way = self.query_one("#open", Pick)
        if self.door is None:
            way.show("o", "Begin")
        elif missing:
            way.show("o", f"Open: {missing} of {len(self.confirmed)} checks still to confirm")
        else:
            way.show("o", "Open: every check is confirmed")
        way.set_class(bool(missing), "shut")

    def on_key(self, event: events.Key) -> None:
        """The number in front of a check confirms it; until a line is marked, the reading keys scroll."""
        if not self.awake:
            return
        if self.focused is None and event.key in READING:
            event.stop()
            event.prevent_default()
            self.mark_first()
            if self.focused is not None:
                return
            body = self.query_one("#body", Body)
            if event.key == "down":
                body.scroll_down(animate=False)
            else:
                body.scroll_page_down(animate=False)
            return
        for pick in self.checks:
            if pick.key == event.character:
                event.stop()
                self.confirm(pick)

    async def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if not self.awake:
            return
        if event.pick in self.checks:
            self.confirm(event.pick)
        elif event.pick.id:
            await self.app.run_action(event.pick.id, default_namespace=self)

    def action_open(self) -> None:
        door = self.door
        if door is None:
            self.begin()
            return
        missing = [number for number, done in enumerate(self.confirmed, 1) if not done]
        if missing:
            first = self.checks[missing[0] - 1]
            self.set_focus(first)
            self.say(f"Not yet: confirm {numbered(missing)}.", error=True)
            return
        self.go_through(door)

    def begin(self) -> None:
        """Go on where nothing is opened."""

    def go_through(self, door: DoorView) -> None:
        """Open the gate with one confirmation for each of its checks."""
        raise NotImplementedError

    def action_later(self) -> None:
        raise NotImplementedError

    def action_back(self) -> None:
        raise NotImplementedError

    def action_note(self) -> None:
        door = self.door
        if door is None:
            return
        node = door.node

        def keep(text: str) -> None:
            if self.ui.session is not None:
                with self.calmly():
                    self.session.note(node, text)
                self.put("note-line", f"Note: {text}" if text else "")

        self.app.push_screen(LineDialog("A note", door.note, keep, prompt=door.ask))

    def action_leave(self) -> None:
        self.ui.show_list()

    def shown_keys(self) -> list[tuple[str, str, str]]:
        """Where nothing is opened, the way in is called what it is."""
        way = "Open" if self.door is not None else "Begin"
        return [(key, way if action == "open" else word, action) for key, word, action in super().shown_keys()]

    def on_resize(self) -> None:
        super().on_resize()
        self._fit()

    def _fit(self) -> None:
        self.set_class(self.app.size.height >= FLAT, "tall")
        self.put("picture-beside", self.drawing_beside())

    def can(self, action: str) -> bool:
        """The other place first, and rather not, are ways that a screen of its own has to add."""
        if action in {"later", "note"}:
            return self.door is not None
        return action not in {"first", "decline"} and super().can(action)
