"""The two dialogs: a text to read, and one line to type."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.suggester import SuggestFromList
from textual.widgets import Input, Static

from switchleg.errors import SwitchlegError

from .widgets import Pick

SCROLLING = {"up", "down", "pageup", "pagedown", "home", "end"}


class Dialog(ModalScreen[None]):
    """A box over a page. It closes once: a second key may be on its way already."""

    CSS_PATH = "dialogs.tcss"

    def close(self) -> bool:
        """Close the box; False when it was closed before."""
        if not self.is_current:
            return False
        self.app.pop_screen()
        return True


class TextDialog(Dialog):
    """Something to read; any key or tap closes it, the arrows scroll."""

    AUTO_FOCUS = "#dialog-text"

    def __init__(self, title: str, text: str, *, drawn: str = "") -> None:
        super().__init__()
        self.heading = title
        self.text = text
        self.drawn = drawn

    def compose(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(self.heading, id="dialog-title", markup=False)
            with VerticalScroll(id="dialog-text"):
                if self.drawn:
                    yield Static(f"{self.drawn}\n", classes="drawn", markup=False)
                yield Static(self.text, markup=False)
            yield Static("Any key or tap closes this.", classes="quiet", markup=False)

    def on_key(self, event: events.Key) -> None:
        if event.key not in SCROLLING:
            event.stop()
            self.close()

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.close()


class LineDialog(Dialog):
    """One line to type; `keep` gets the text unless it is left as it was."""

    AUTO_FOCUS = "Input"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave as it was", show=False, id="line.leave", tooltip="Change nothing"),
    ]

    def __init__(
        self,
        title: str,
        text: str,
        keep: Callable[[str], None],
        *,
        prompt: str = "",
        known: Sequence[str] = (),
        done: str = "Keep it",
    ) -> None:
        """`known` completes what is typed, on the right arrow; `done` is the word on the way out."""
        super().__init__()
        self.known = known
        self.way_out = done
        self.heading = title
        self.text = text
        self.keep = keep
        self.prompt = prompt

    def compose(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(self.heading, id="dialog-title", markup=False)
            yield Static(self.prompt, classes="quiet", markup=False)
            suggester = SuggestFromList(self.known, case_sensitive=False) if self.known else None
            line = Input(self.text, max_length=500, suggester=suggester)
            line.cursor_blink = False
            yield line
            yield Pick("enter", self.way_out, id="keep")
            yield Pick("esc", "Leave as it was", id="leave")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self.done(event.value)

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if event.pick.id == "keep":
            self.done(self.query_one(Input).value)
        else:
            self.close()

    def done(self, text: str) -> None:
        if self.close():
            self.keep(text)

    def action_leave(self) -> None:
        self.close()


def plain(error: SwitchlegError) -> str:
    """The error's line with its first letter large, as it stands on a screen."""
    line = error.line()
    return line[:1].upper() + line[1:]
