"""The app: its keys, its looks, how it begins, and a clean end whatever happens."""

from __future__ import annotations

import asyncio
import signal
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, ClassVar, Literal

from textual.app import SystemCommand
from textual.binding import Binding, BindingType
from textual.dom import DOMNode
from textual.screen import Screen

from switchleg.errors import COULD_NOT, SwitchlegError

from .by_name import screen
from .navigation import Navigation
from .pages.page import Page
from .parts.ascii_filter import AsciiFilter, only_ascii, wanted
from .parts.themes import DARK, LIGHT

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.record.store import Store

    from .pages.ui import Ui

Start = Literal["records", "new", "resume"]


class SwitchlegApp(Navigation):
    """The frame round the screens."""

    # The first screen's style is not read by itself, because it is there before any other is pushed.
    CSS_PATH = ["app.tcss", "showing/records.tcss"]  # noqa: RUF012 - the frame declares it
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
        super().__init__(store, knowledge)
        self.start = start
        self.first_name = name
        self.first_home = home
        self.animation_level = "none"
        self.register_theme(DARK)
        self.register_theme(LIGHT)
        self.theme = DARK.name
        self._plain_signs = AsciiFilter(enabled=wanted())
        self._filters.append(self._plain_signs)

    @property
    def plain_signs(self) -> bool:
        """Nothing but ASCII goes to the terminal."""
        return self._plain_signs.enabled

    def get_default_screen(self) -> Screen[Any]:
        return screen("records")()

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

    def action_help(self) -> None:
        from .parts.dialogs import TextDialog

        if isinstance(self.screen, Page) and self.screen.awake:
            self.push_screen(TextDialog("Help", self.screen.help_text()))

    def action_command_palette(self) -> None:
        from .parts.option_lines import Menu

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


if TYPE_CHECKING:
    _asked: type[Ui] = SwitchlegApp
    """All that a page may ask of its app is here."""


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
