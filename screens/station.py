"""The way into a station: what it is about, and the safety gate before anything is opened."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from switchleg.session.session import Session
from switchleg.session.views import CardView, DoorView, QuestionView

from .answers import FLAT
from .checks import Checks, numbered
from .checks_page import ChecksPage
from .dialogs import LineDialog
from .page import Body
from .widgets import Pick

OTHER = {"wall": "The wall plate", "canopy": "The canopy", "floor": "The room"}
READING = {"down", "space", "enter", "pagedown"}


class StationScreen(ChecksPage):
    """Introduces a station. At a gate each check is confirmed by itself, and it opens only when all are."""

    CSS_PATH = "station.tcss"
    HELP = (
        "Do each check, then confirm it: its number, Space on it, or a tap. A check that is out of sight is "
        'shown first and confirmed with the next press. "Not now" keeps everything for later. '
        '"I\'d rather not" is a good answer: you get a card for the electrician.'
    )
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
        """The gate in view; None when the station opens nothing."""
        view = self.ui.session.view if self.ui.session is not None else None
        return view if isinstance(view, DoorView) else None

    @property
    def pictured(self) -> DoorView | None:
        return self.door

    @property
    def shown(self) -> QuestionView | DoorView | None:
        """What the way leads into; None for the moment in which the screen is being replaced."""
        view = self.session.view
        return None if isinstance(view, CardView) else view

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
        self._show_hint()
        self.show_state()
        self.set_focus(None)
        self.query_one("#body", Body).scroll_home(animate=False)
        self.keys.refresh_keys()
        self.call_after_refresh(self.show_more_cue)

    def _show_hint(self) -> None:
        """Say that the gate may wait, once that is worked out beside the screen."""
        door, session = self.door, self.session
        self.put("hint", "")
        if door is None or getattr(session.view, "node", "") != door.node:
            return
        if door.other:
            self.query_one("#first", Pick).show("f", f"{OTHER[door.other]} first, then back here")
        self.run_worker(session.door_hint, name=f"hint {door.node}", group="hint", thread=True, exit_on_error=False)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        door = self.door if self.alive else None
        if event.state is WorkerState.SUCCESS and door is not None and event.worker.name == f"hint {door.node}":
            self.put("hint", self.session.door_hint().text)
            self.call_after_refresh(self.show_more_cue)

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

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if not self.awake:
            return
        if event.pick in self.checks:
            self.confirm(event.pick)
        elif event.pick.id == "open":
            self.action_open()
        elif event.pick.id == "later":
            self.action_later()
        elif event.pick.id == "first":
            self.action_first()
        else:
            self.action_decline()

    def action_open(self) -> None:
        door = self.door
        if door is None:
            view = self.shown
            if isinstance(view, QuestionView):
                self.ui.introduced.add(view.station)
                self.ui.show_place()
            return
        missing = [number for number, done in enumerate(self.confirmed, 1) if not done]
        if missing:
            first = self.checks[missing[0] - 1]
            self.set_focus(first)
            self.say(f"Not yet: confirm {numbered(missing)}.", error=True)
            return
        self._reply(lambda: self.unlock(self.confirmed), opens=door.opens)

    def unlock(self, confirmed: Sequence[bool]) -> None:
        """Open the gate in view with one confirmation for each of its checks."""
        self.session.open_door(confirmed)

    def _reply(self, act: Callable[[], object], opens: str = "") -> None:
        self.say("")
        node = self.node
        with self.calmly():
            act()
            if opens:
                self.ui.introduced.add(opens)
        view = self.shown
        if view is None or view.node != node:
            self.ui.show_place()

    def action_later(self) -> None:
        if self.door is not None:
            self._reply(self.session.later)

    def action_first(self) -> None:
        if self.door is not None and self.door.other:
            self._reply(self.session.other_first)

    def action_decline(self) -> None:
        if self.door is not None:
            self._reply(self.session.decline)

    def action_back(self) -> None:
        if self.session.back():
            self.ui.show_place()
        else:
            self.say("There is nothing before this.")

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
        if action in {"later", "decline", "note"}:
            return self.door is not None
        if action == "first":
            return self.door is not None and bool(self.door.other)
        return super().can(action)
