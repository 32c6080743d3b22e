"""What a fan is called, which home it is in and which breaker feeds it: for a new record, and for an old one."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.suggester import SuggestFromList
from textual.widgets import Input, Static

from switchleg.errors import SwitchlegError

from ..pages.page import Page
from ..parts.body import Body
from ..parts.widgets import Pick

if TYPE_CHECKING:
    from switchleg.record.summary import Summary

NEAR = 0.8
"""How alike two names of homes are before one is taken for a slip of the other."""


def meant(home: str, known: Iterable[str]) -> str:
    """The known home that `home` looks like a slip or the beginning of; "" when it is known or unlike them all.

    Names that differ in a number alone are two homes. A beginning counts: the line shows the rest of the name behind
    it, so that one who presses Enter there has read the whole name.
    """
    from switchleg.record.index import folded

    spellings = {folded(text): text for text in known}
    wanted = folded(home)
    if not wanted or wanted in spellings:
        return spellings.get(wanted, "") if spellings.get(wanted) != home else ""
    begun = [spelling for spelling in sorted(spellings) if spelling.startswith(wanted)]
    for close in begun + difflib.get_close_matches(wanted, spellings, n=3, cutoff=NEAR):
        if _letters(close) != _letters(wanted):
            return spellings[close]
    return ""


def _letters(text: str) -> str:
    return "".join(sign for sign in text if not sign.isdigit())


class LabelScreen(Page[None]):
    """Lines to type, each under its words; Enter goes from one to the next, and the last one ends it."""

    CSS_PATH = "labels.tcss"
    AUTO_FOCUS = "#name"
    WAY_ON: ClassVar[str] = "Begin"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave it", key_display="esc", id="new.leave", tooltip="Change nothing"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.homes: list[str] = []
        self.asked = ""
        """The spelling of a home that was questioned once."""

    def lines(self) -> list[tuple[str, str, str]]:
        """(id, words above, text) of each line; the first is "name", then "home"."""
        raise NotImplementedError

    def body(self) -> ComposeResult:
        try:
            self.homes = sorted({line.home for line in self.ui.store.list() if line.home})
        except SwitchlegError:
            self.homes = []
        with Body(id="body"):
            for id, words, text in self.lines():
                yield Static(words, classes="label", markup=False)
                known = SuggestFromList(self.homes, case_sensitive=False) if id == "home" and self.homes else None
                line = Input(text, id=id, max_length=80, suggester=known)
                line.cursor_blink = False
                yield line
            yield Pick("enter", self.WAY_ON, id="begin")
            yield Pick("esc", "Leave it", id="leave-it")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        if not self.awake:
            return
        inputs = list(self.query(Input))
        following = inputs[inputs.index(event.input) + 1 :]
        if following:
            following[0].focus()
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

    def text(self, id: str) -> str:
        return self.query_one(f"#{id}", Input).value.strip()

    def begin(self) -> None:
        """Take what was typed, unless the name is missing or the home looks like a slip of another."""
        if not self.text("name"):
            self.say("Give the fan a name first: the room is enough.", error=True)
            self.query_one("#name", Input).focus()
            return
        home = self.text("home")
        close = meant(home, self.homes)
        if close and self.asked != home:
            self.asked = home
            line = self.query_one("#home", Input)
            line.value, line.cursor_position = close, len(close)
            line.focus()
            self.say(f"There is a home called {close!r}; it stands there now. Enter takes it; or type {home!r} again.")
            return
        with self.calmly():
            self.take()

    def take(self) -> None:
        """Do what the screen is for; SwitchlegError stays on it."""
        raise NotImplementedError

    def action_leave(self) -> None:
        self.ui.show_list()


class NewScreen(LabelScreen):
    """A new record; both lines have something standing there, so that one tap is enough."""

    HELP = "A name that you will know again, such as the room. The home groups fans of one building; → completes it."

    def __init__(self, home: str = "") -> None:
        super().__init__()
        self.home = home

    def lines(self) -> list[tuple[str, str, str]]:
        return [
            ("name", "What is this fan called? The room is a good name.", self._free_name()),
            ("home", "Which home is it in? It may stay empty.", self.home),
        ]

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

    def take(self) -> None:
        self.ui.create_record(self.text("name"), self.text("home"))
        self.ui.show_place()
        self.ui.show_offers()


class EditScreen(LabelScreen):
    """Name, home and breaker of a fan that is there; its answers stay as they are."""

    WAY_ON = "Keep it"
    HELP = (
        "The name and the home group the list. Fans with the same breaker are put together on the home's trip: "
        "copy the label from the panel."
    )

    def __init__(self, fan: Summary) -> None:
        super().__init__()
        self.fan = fan

    def lines(self) -> list[tuple[str, str, str]]:
        return [
            ("name", "What is this fan called?", self.fan.name),
            ("home", "Which home is it in?", self.fan.home),
            ("breaker", "Which breaker feeds it? Its label; it may stay empty.", self.fan.breaker_label),
        ]

    def paint(self) -> None:
        self.head(f"{self.fan.name} · name and place")
        self.banner(self.ui.demo_remark())

    def take(self) -> None:
        self.ui.store.relabel(
            self.fan.id, name=self.text("name"), home=self.text("home"), breaker_label=self.text("breaker")
        )
        self.ui.show_list()
