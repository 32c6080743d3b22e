"""The line for an answer that is typed, with what it takes and what is wrong with it."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Input, Static


class TypedAnswer(Vertical):
    """Hidden until an answer asks for text; submitting posts `Input.Submitted`."""

    def __init__(self) -> None:
        super().__init__(id="typing")

    def compose(self) -> ComposeResult:
        yield Static("", id="typed-hint", classes="quiet", markup=False)
        line = Input(id="typed", max_length=60, select_on_focus=False)
        line.cursor_blink = False
        yield line
        yield Static("", id="typed-error", classes="error-line", markup=False)

    def on_mount(self) -> None:
        self.close()

    @property
    def line(self) -> Input:
        return self.query_one("#typed", Input)

    @property
    def is_open(self) -> bool:
        return self.display

    def open(self, hint: str, text: str, *, replace: bool) -> None:
        """Show the line with `text` in it and put the cursor there; `replace`: the next letter takes its place."""
        self.display = True
        self.fault("")
        self.query_one("#typed-hint", Static).update(f"Type {hint or 'the answer'}. Enter keeps it, Esc closes.")
        self.line.value = text
        self.line.focus()
        self.line.cursor_position = len(text)
        if replace:
            self.line.select_all()
        self.in_sight()

    def close(self) -> None:
        self.display = False
        self.line.value = ""

    def fault(self, text: str) -> None:
        """Say what is wrong under the line; what was typed stays there to be mended."""
        fault = self.query_one("#typed-error", Static)
        fault.display = bool(text)
        fault.update(f"! {text}" if text else "")
        if text:
            self.in_sight()

    def in_sight(self) -> None:
        self.call_after_refresh(self.scroll_visible, animate=False)
