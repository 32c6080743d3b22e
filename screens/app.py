"""The app: one record at a time, the way between the screens, and a clean end whatever happens."""

from __future__ import annotations

import asyncio
import signal
import sys
from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING, Any, ClassVar, Literal

from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.dom import DOMNode
from textual.screen import Screen
from textual.worker import Worker, WorkerState

from switchleg.errors import COULD_NOT, SwitchlegError

from .looks import DARK, LIGHT
from .page import Page
from .signs import PlainSigns, only_ascii, wanted

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.record.opened import Opened
    from switchleg.record.store import Store
    from switchleg.session.papers import Kind
    from switchleg.session.session import Session

Start = Literal["records", "new", "resume"]


class SwitchlegApp(App[int]):
    """Holds the open record and shows the screen that its session asks for."""

    # The first screen's style is not read by itself, because it is there before any other is pushed.
    CSS_PATH = ["app.tcss", "records.tcss"]  # noqa: RUF012 - the frame declares it
    TITLE = "switchleg"
    ENABLE_COMMAND_PALETTE = True
    # A finger that slides means to tap; the terminal itself still selects with Shift.
    ALLOW_SELECT = False
    COMMAND_PALETTE_BINDING = "ctrl+p"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark", "help", "Help", key_display="?", id="app.help", tooltip="What this screen is for"),
        Binding("m", "command_palette", "Menu", id="app.menu", tooltip="Everything that can be done here"),
        Binding(
            "f2,ctrl+t",
            "light_or_dark",
            "Light or dark",
            show=False,
            id="app.theme",
            tooltip="Change between light and dark",
        ),
        Binding(
            "f3",
            "signs",
            "Plain signs",
            show=False,
            id="app.signs",
            tooltip="Change between drawn lines and plain letters",
        ),
        Binding("q", "quit", "Quit", show=False, id="app.quit", tooltip="Close the program; all is saved"),
        Binding("ctrl+c", "quit", "Quit", show=False, id="app.interrupt"),
    ]

    def __init__(
        self,
        store: Store,
        *,
        start: Start = "records",
        name: str | None = None,
        home: str = "",
        knowledge: Knowledge | None = None,
    ) -> None:
        super().__init__()
        self.store = store
        self.start = start
        self.first_name = name
        self.first_home = home
        self.session: Session | None = None
        self.opened: Opened | None = None
        self.introduced: set[str] = set()
        self.weighing = ""
        """The question that was picked from the review: another answer is weighed before it is taken."""
        self._knowledge = knowledge
        self.animation_level = "none"
        self.register_theme(DARK)
        self.register_theme(LIGHT)
        self.theme = DARK.name
        self._plain_signs = PlainSigns(enabled=wanted())
        self._filters.append(self._plain_signs)

    @property
    def plain_signs(self) -> bool:
        """Nothing but ASCII goes to the terminal."""
        return self._plain_signs.enabled

    def get_default_screen(self) -> Screen[Any]:
        from .records import RecordsScreen

        return RecordsScreen()

    def on_mount(self) -> None:
        self._leave_on_signals()
        if self.start == "resume":
            self.show_place()
            self.tell_next_look()
        elif self.start == "new":
            if self.session is not None:
                self.show_place()
            else:
                self.ask_for_new(self.first_home)

    def _leave_on_signals(self) -> None:
        """Hang-up and termination end the program as "quit" does: the terminal is put back."""
        if self.is_headless:
            return
        loop = asyncio.get_running_loop()
        for name in ("SIGTERM", "SIGHUP"):
            number = getattr(signal, name, None)
            if number is not None:
                try:
                    loop.add_signal_handler(number, self.exit, 128 + number)
                except (NotImplementedError, RuntimeError):
                    return

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
        from .card import CardScreen

        page = self.screen
        if event.worker.name != "next look" or event.state is not WorkerState.SUCCESS or self.session is None:
            return
        if event.worker.result and isinstance(page, Page) and not isinstance(page, CardScreen):
            page.say(event.worker.result)

    def _screen_for(self) -> type[Page[None]]:
        from switchleg.session.views import CardView, QuestionView

        assert self.session is not None
        view = self.session.view
        if isinstance(view, CardView):
            from .card import CardScreen

            return CardScreen
        if isinstance(view, QuestionView) and not (view.first_of_station and view.station not in self.introduced):
            from .question import QuestionScreen

            return QuestionScreen
        from .station import StationScreen

        return StationScreen

    def show_offers(self) -> bool:
        """Show what other fans of this home answered, when there is any to offer."""
        offers = self.session.offers() if self.session is not None else ()
        if offers:
            from .offers import OffersScreen

            self.push_screen(OffersScreen(offers))
        return bool(offers)

    def show_work(self) -> None:
        """Show the work where it was left, above the card: its safety checks, its step, its proof."""
        from .ladder import LadderScreen
        from .work_gate import WorkGateScreen

        work = self.session.work if self.session is not None else None
        if work is None:
            return
        kind = WorkGateScreen if work.phase == "gate" else LadderScreen
        if isinstance(self.screen, kind):
            self.screen.paint()
        elif isinstance(self.screen, LadderScreen | WorkGateScreen):
            self.switch_screen(kind())
        else:
            self.push_screen(kind())

    def leave_work(self) -> None:
        """From the work back to the card under it, also where that card was looked at from a question."""
        from .card import CardScreen

        under = self.screen_stack[-2] if len(self.screen_stack) > 3 else None
        if isinstance(under, CardScreen):
            self.pop_screen()
            under.paint()
        else:
            self.show_place()

    def show_export(self) -> None:
        """Ask where to write the open fan's paper; it is made from a copy that saves nowhere."""
        from .export import ExportScreen

        if self.session is None:
            return
        knowledge, record = self.session.knowledge, self.session.record

        def paper(kind: Kind) -> str:
            from switchleg.record.store import local_now
            from switchleg.session.papers import fan_paper
            from switchleg.session.session import Session

            return fan_paper(Session(knowledge, record, None, local_now), kind)

        self.push_screen(ExportScreen(record.name, paper))

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
        from .new import NewScreen

        self.push_screen(NewScreen(home))

    def action_help(self) -> None:
        from .dialogs import TextDialog

        if isinstance(self.screen, Page) and self.screen.awake:
            self.push_screen(TextDialog("Help", self.screen.help_text()))

    def action_command_palette(self) -> None:
        from .lines import Menu

        if self.use_command_palette and isinstance(self.screen, Page) and self.screen.awake:
            self.push_screen(Menu(id="--command-palette"))

    def action_light_or_dark(self) -> None:
        self.theme = LIGHT.name if self.theme == DARK.name else DARK.name

    def action_signs(self) -> None:
        if self.plain_signs and only_ascii():
            if isinstance(self.screen, Page):
                self.screen.say("This terminal's letters are not UTF-8, so the signs stay plain.")
            return
        self._plain_signs.enabled = not self.plain_signs
        self.refresh_css(animate=False)
        if isinstance(self.screen, Page):
            self.screen.paint()

    async def action_quit(self) -> None:
        self.exit(0)

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """Every action that a key has here, by its words."""
        if not isinstance(screen, Page):
            return
        for binding, node in screen.ways():
            if not binding.tooltip or binding.action == "command_palette":
                continue

            async def act(action: str = binding.action, node: DOMNode = node) -> None:
                await self.run_action(action, default_namespace=node)

            yield SystemCommand(binding.description, f"{binding.tooltip} ({screen.key_words(binding)})", act)

    def _fatal_error(self) -> None:
        """Leave without a word: `run` raises the fault again, and whoever called says it in one line."""
        if self.is_headless:
            super()._fatal_error()
            return
        self._close_messages_no_wait()


def run(store: Store, *, start: Start = "records", name: str | None = None, home: str = "") -> int:
    """Show the screens until the person leaves; the exit code. SwitchlegError when they cannot be shown.

    A fault inside the screens is raised once the terminal is as it was.
    `start`: "records" opens the list; "new" begins `name` (asks for it when None); "resume" opens `name`,
    or the latest record when None.
    """
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise SwitchlegError(
            "the screens need a terminal", mend="run it in one, or use `switchleg ask`", exit_code=COULD_NOT
        )
    app = SwitchlegApp(store, start=start, name=name, home=home)
    try:
        if start == "resume":
            app.open_record(latest(store) if name is None else name)
        elif start == "new" and name is not None:
            app.create_record(name, home)
        result = app.run()
    finally:
        app.close_record()
    if app._exception is not None:
        raise app._exception
    return (app.return_code or 0) if result is None else result


def latest(store: Store) -> str:
    """The id of the record that was changed last; SwitchlegError when there is none."""
    summaries = [summary for summary in store.list() if not summary.problem]
    if not summaries:
        raise SwitchlegError(
            "there is no record to resume", mend="start one with `switchleg new NAME`", exit_code=COULD_NOT
        )
    return max(summaries, key=lambda summary: summary.changed).id
