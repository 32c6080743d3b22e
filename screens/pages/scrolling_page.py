"""A page that is read from the top down: the arrows and the space bar move it."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from ..parts.body import Body
from .page import Page

WIDEST = 88
"""Columns beyond which lines get hard to follow."""


class ScrollingPage(Page[None]):
    """Its `Body` scrolls a row or a page at a time; `draw` lays it out again when the window changes."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "line_down", "Down", show=False, id="reading.down", tooltip="One row down"),
        Binding("up", "line_up", "Up", show=False, id="reading.up", tooltip="One row up"),
        Binding("space", "page_down", "Further down", show=False, id="reading.space"),
        Binding("home", "top", "Top", show=False, id="reading.top", tooltip="To the top"),
        Binding("end", "bottom", "End", show=False, id="reading.bottom", tooltip="To the end"),
    ]

    @property
    def reading_width(self) -> int:
        """Cells in a line of text."""
        return max(20, min(WIDEST, self.query_one("#body").size.width - 2))

    def draw(self) -> None:
        """Put what was found on the screen at the present width."""

    def on_resize(self) -> None:
        self.call_after_refresh(self._resized)

    def _resized(self) -> None:
        if self.alive:
            self.draw()
            self.show_more_cue()

    def action_line_down(self) -> None:
        self.query_one("#body", Body).scroll_down(animate=False)

    def action_line_up(self) -> None:
        self.query_one("#body", Body).scroll_up(animate=False)

    def action_top(self) -> None:
        self.query_one("#body", Body).scroll_home(animate=False)

    def action_bottom(self) -> None:
        self.query_one("#body", Body).scroll_end(animate=False)
