"""A page whose contents are worked out beside the screen, which stays awake meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.widgets import Static
from textual.worker import Worker, WorkerState

from switchleg.errors import SwitchlegError

from ..parts.dialogs import plain
from .page import Page

if TYPE_CHECKING:
    from switchleg.advice.card.build import Card
    from switchleg.session.card_tabs import Sheets


class ComputedPage(Page[None]):
    """Holds the card's sheets once they are there; `draw` puts them on the screen."""

    def __init__(self) -> None:
        super().__init__()
        self.sheets: Sheets | None = None
        self.working = False
        self.then: Callable[[], None] | None = None
        """What was asked for meanwhile."""

    def draw(self) -> None:
        raise NotImplementedError

    def work_out(self) -> None:
        """Begin; the keys that need the outcome come back with it."""
        session, knowledge = self.ui.session, self.ui.knowledge()
        assert session is not None
        self.working = True
        self.keys.refresh_keys()

        def work() -> Sheets:
            from switchleg.session.card_tabs import sheets

            return sheets(knowledge, session)

        self.run_worker(work, name="card", thread=True, exit_on_error=False)

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
            self.sheets = event.worker.result
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
    def card(self) -> Card | None:
        return self.sheets.card if self.sheets is not None else None

    @property
    def has_plan(self) -> bool:
        """There are joints to work by, the same in every case still open."""
        chosen = self.sheets.chosen if self.sheets is not None else None
        return chosen is not None and bool(chosen.plan and chosen.steps)

    def wait_for(self, act: Callable[[], None]) -> bool:
        """While the card is being worked out, keep `act` until it is done: the record must stand still."""
        if self.working:
            self.then = act
            self.say("One moment, until the card is worked out.")
        return self.working
