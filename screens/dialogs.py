"""The two dialogs: a text to read, and one line to type."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from switchleg.errors import SwitchlegError
from switchleg.screens.widgets import Pick

SCROLLING = {"up", "down", "pageup", "pagedown", "home", "end"}


class TextDialog(ModalScreen[None]):
    """Something to read; any key or tap closes it, the arrows scroll."""

    CSS_PATH = "dialogs.tcss"
    AUTO_FOCUS = "#dialog-text"

    def __init__(self, title: str, text: str) -> None:
        super().__init__()
        self.heading = title
        self.text = text

    def compose(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(self.heading, id="dialog-title", markup=False)
            with VerticalScroll(id="dialog-text"):
                yield Static(self.text, markup=False)
            yield Static("Any key or tap closes this.", classes="quiet", markup=False)

    def on_key(self, event: events.Key) -> None:
        if event.key not in SCROLLING:
            event.stop()
            self.close()

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.close()

    def close(self) -> None:
        """Close once: a second key may be on its way already."""
        if self.is_current:
            self.dismiss()


class LineDialog(ModalScreen[str | None]):
    """One line to type; closes with the text, or None when left as it was."""

    CSS_PATH = "dialogs.tcss"
    AUTO_FOCUS = "Input"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Leave as it was", show=False, id="line.leave", tooltip="Change nothing"),
    ]

    def __init__(self, title: str, text: str, *, prompt: str = "", limit: int = 500) -> None:
        super().__init__()
        self.heading = title
        self.text = text
        self.prompt = prompt
        self.limit = limit

    def compose(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(self.heading, id="dialog-title", markup=False)
            if self.prompt:
                yield Static(self.prompt, classes="quiet", markup=False)
            line = Input(self.text, max_length=self.limit)
            line.cursor_blink = False
            yield line
            yield Pick("enter", "Keep it", id="keep")
            yield Pick("esc", "Leave as it was", id="leave")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self.close(event.value)

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        self.close(self.query_one(Input).value if event.pick.id == "keep" else None)

    def action_leave(self) -> None:
        self.close(None)

    def close(self, text: str | None) -> None:
        """Close once, with what was typed or None."""
        if self.is_current:
            self.dismiss(text)


def plain(error: SwitchlegError) -> str:
    """The error's line with its first letter large, as it stands on a screen."""
    line = error.line()
    return line[:1].upper() + line[1:]
