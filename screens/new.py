"""A new record: what the fan is called and which home it is in."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input, Static

from switchleg.errors import SwitchlegError

from .page import Body, Page
from .widgets import Pick


class NewScreen(Page[None]):
    """Asks for a name and a home; both have something standing there, so that one tap is enough."""

    CSS_PATH = "new.tcss"
    AUTO_FOCUS = "#name"
    HELP = "A name that you will know again, such as the room. The home groups fans of one building."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave it", key_display="esc", id="new.leave", tooltip="Begin nothing"),
    ]

    def __init__(self, home: str = "") -> None:
        super().__init__()
        self.home = home

    def body(self) -> ComposeResult:
        with Body(id="body"):
            yield Static("What is this fan called? The room is a good name.", classes="label", markup=False)
            yield self._line("name", self._free_name())
            yield Static("Which home is it in? It may stay empty.", classes="label", markup=False)
            yield self._line("home", self.home)
            yield Pick("enter", "Begin", id="begin")
            yield Pick("esc", "Leave it", id="leave-it")

    @staticmethod
    def _line(id: str, text: str) -> Input:
        line = Input(text, id=id, max_length=80)
        line.cursor_blink = False
        return line

    def _free_name(self) -> str:
        try:
            taken = {summary.name.casefold() for summary in self.ui.store.list()}
        except SwitchlegError:
            taken = set()
        number = len(taken) + 1
        while f"fan {number}" in taken:
            number += 1
        return f"Fan {number}"

    def paint(self) -> None:
        self.head("A new fan")
        self.banner(self.ui.demo_remark())

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        if not self.awake:
            return
        if event.input.id == "name":
            self.query_one("#home", Input).focus()
        else:
            self.begin()

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if not self.awake:
            return
        if event.pick.id == "begin":
            self.begin()
        else:
            self.action_leave()

    def begin(self) -> None:
        name = self.query_one("#name", Input).value.strip()
        if not name:
            self.say("Give the fan a name first: the room is enough.", error=True)
            self.query_one("#name", Input).focus()
            return
        with self.calmly():
            self.ui.create_record(name, self.query_one("#home", Input).value.strip())
            self.ui.show_place()
            self.ui.show_offers()

    def action_leave(self) -> None:
        self.ui.show_list()
