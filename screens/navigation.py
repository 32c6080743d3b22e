"""The way between the screens: one record at a time, and the screen for where its session stands."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any

from textual.app import App
from textual.screen import Screen
from textual.worker import Worker, WorkerState

from .by_name import screen
from .pages.page import Page

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.paper.fan import Kind
    from switchleg.record.opened import Opened
    from switchleg.record.store import Store
    from switchleg.session.session import Session


class Navigation(App[int]):
    """Holds the open record and shows the screen that its session asks for."""

    def __init__(self, store: Store, knowledge: Knowledge | None = None) -> None:
        super().__init__()
        self.store = store
        self.session: Session | None = None
        self.opened: Opened | None = None
        self.introduced: set[str] = set()
        self.weighing = ""
        """The question that was picked from the review: another answer is weighed before it is taken."""
        self._knowledge = knowledge

    # The open record

    def knowledge(self) -> Knowledge:
        if self._knowledge is None:
            from switchleg.knowledge.load import load

            self._knowledge = load()
        return self._knowledge

    def open_record(self, name: str, *, write: bool = True) -> None:
        """Open a record by id or name and stand where it stopped; SwitchlegError when it cannot be opened."""
        knowledge = self.knowledge()
        self._take(knowledge, self.store.open(name, write=write))

    def create_record(self, name: str, home: str) -> None:
        """Begin a new record and open it."""
        knowledge = self.knowledge()
        record = self.store.create(name, home)
        self._take(knowledge, self.store.open(record.id, write=True))

    def _take(self, knowledge: Knowledge, opened: Opened) -> None:
        from switchleg.session.session import Session

        self.close_record()
        save = None if opened.read_only else self.store.save
        self.opened = opened
        self.introduced = set()
        record = opened.record
        self.session = Session(
            knowledge,
            record,
            save,
            lambda: datetime.now().astimezone(),
            others=lambda: self.store.others(record),
        )

    def close_record(self) -> None:
        """Let go of the record, so that another program may write to it."""
        opened, self.opened, self.session = self.opened, None, None
        if opened is not None:
            opened.close()

    def demo_remark(self) -> str:
        """What stands under the top line while the records are thrown away at the end."""
        return "Demo: nothing here is kept." if getattr(self.store, "throw_away", False) else ""

    def standing_remark(self) -> str:
        """What stands under the top line of an open record: read-only and why, not saved, a demo."""
        if self.opened is not None and self.opened.read_only:
            return f"Read only: {self.opened.reason}"
        if self.session is not None and self.session.save_error is not None:
            return "! Not saved yet: see the line below."
        return self.demo_remark()

    # The screens

    def open_screen(self, name: str, /, *about: Any) -> None:
        """Open the screen of this name above the present one, with what it is about."""
        self.push_screen(screen(name)(*about))

    def show_place(self) -> None:
        """Show the screen for where the session stands, in place of everything above the list."""
        if self.session is None:
            return
        kind = self._screen_for()
        self.weighing = self.weighing if getattr(self.session.view, "node", "") == self.weighing else ""
        while len(self.screen_stack) > 2:
            self.pop_screen()
        if len(self.screen_stack) == 1:
            self.push_screen(kind())
        elif isinstance(self.screen, kind):
            if self.screen.is_mounted:
                self.screen.paint()
        else:
            self.switch_screen(kind())

    def tell_next_look(self) -> None:
        """Say to somebody who comes back which look brings the decision closest, once that is worked out."""
        session = self.session
        if session is not None:
            self.run_worker(session.next_look, name="next look", group="look", thread=True, exit_on_error=False)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        page = self.screen
        if event.worker.name != "next look" or event.state is not WorkerState.SUCCESS or self.session is None:
            return
        if event.worker.result and isinstance(page, Page) and not isinstance(page, screen("card")):
            page.say(event.worker.result)

    def _screen_for(self) -> type[Page[Any]]:
        from switchleg.session.views.model import CardView, QuestionView

        assert self.session is not None
        view = self.session.view
        if isinstance(view, CardView):
            return screen("card")
        if isinstance(view, QuestionView) and not (view.first_of_station and view.station not in self.introduced):
            return screen("question")
        return screen("gate")

    def show_offers(self) -> bool:
        """Show what other fans of this home answered, when there is any to offer."""
        offers = self.session.offers() if self.session is not None else ()
        if offers:
            self.open_screen("borrowed answers", offers)
        return bool(offers)

    def show_work(self) -> None:
        """Show the work where it was left, above the card: its safety checks, its step, its proof."""
        work = self.session.work if self.session is not None else None
        if work is None:
            return
        gate, work_screen = screen("work gate"), screen("work")
        kind = gate if work.phase == "gate" else work_screen
        if isinstance(self.screen, kind):
            self.screen.paint()
        elif isinstance(self.screen, gate | work_screen):
            self.switch_screen(kind())
        else:
            self.push_screen(kind())

    def leave_work(self) -> None:
        """From the work back to the card under it, also where that card was looked at from a question."""
        under = self.screen_stack[-2] if len(self.screen_stack) > 3 else None
        if isinstance(under, screen("card")):
            self.pop_screen()
            under.paint()
        else:
            self.show_place()

    def show_export(self) -> None:
        """Ask where to write the open fan's paper; it is made from a copy that saves nowhere."""
        if self.session is None:
            return
        knowledge, record = self.session.knowledge, self.session.record

        def paper(kind: Kind) -> str:
            from switchleg.paper.fan import fan_paper
            from switchleg.record.store import local_now
            from switchleg.session.session import Session

            return fan_paper(Session(knowledge, record, None, local_now), kind)

        self.open_screen("export", record.name, paper)

    def show_list(self) -> None:
        """Back to the list of records; the open one is let go."""
        self.close_record()
        while len(self.screen_stack) > 1:
            self.pop_screen()

    def close(self, screen: Screen[Any]) -> None:
        """Leave a screen for the one below; a second key that asks for it finds it gone."""
        if self.screen is screen and len(self.screen_stack) > 1:
            self.pop_screen()

    def ask_for_new(self, home: str = "") -> None:
        self.open_screen("new", home)
