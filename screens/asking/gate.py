"""The way into a station: what it is about, and the safety gate before anything is opened."""

from __future__ import annotations

from collections.abc import Callable

from textual.worker import Worker, WorkerState

from switchleg.session.views.model import CardView, DoorView, QuestionView

from ..pages.gate_page import GatePage
from ..parts.widgets import Pick

OTHER = {"wall": "The wall plate", "canopy": "The canopy", "floor": "The room"}


class GateScreen(GatePage):
    """Introduces a station, with its gate where something is opened."""

    HELP = (
        "Do each check, then confirm it: its number, Space on it, or a tap. A check that is out of sight is "
        'shown first and confirmed with the next press. "Not now" keeps everything for later. '
        '"I\'d rather not" is a good answer: you get a card for the electrician.'
    )

    @property
    def door(self) -> DoorView | None:
        """The gate in view; None when the station opens nothing."""
        view = self.ui.session.view if self.ui.session is not None else None
        return view if isinstance(view, DoorView) else None

    @property
    def shown(self) -> QuestionView | DoorView | None:
        view = self.session.view
        return None if isinstance(view, CardView) else view

    def show_hint(self) -> None:
        """Say that the gate may wait, once that is worked out beside the screen."""
        door = self.door
        if door is None:
            return
        if door.other:
            self.query_one("#first", Pick).show("f", f"{OTHER[door.other]} first, then back here")
        hint = self.session.door_hint
        self.run_worker(hint, name=f"hint {door.node}", group="hint", thread=True, exit_on_error=False)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        door = self.door if self.alive else None
        if event.state is WorkerState.SUCCESS and door is not None and event.worker.name == f"hint {door.node}":
            self.put("hint", self.session.door_hint().text)
            self.call_after_refresh(self.show_more_cue)

    def begin(self) -> None:
        view = self.shown
        if isinstance(view, QuestionView):
            self.ui.introduced.add(view.station)
            self.ui.show_place()

    def go_through(self, door: DoorView) -> None:
        self._reply(lambda: self.session.open_door(self.confirmed), opens=door.opens)

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

    def can(self, action: str) -> bool:
        if action == "first":
            return self.door is not None and bool(self.door.other)
        if action == "decline":
            return self.door is not None
        return super().can(action)
