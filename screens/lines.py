"""A list of lines to pick from, and the menu; both bear a page key in a window that shows no line at all.

The frame's own list looks up the marked line among those laid out and fails when there is none.
"""

from __future__ import annotations

from contextlib import suppress

from rich.segment import Segment
from textual import events
from textual.await_complete import AwaitComplete
from textual.command import CommandPalette
from textual.strip import Strip
from textual.widgets import OptionList


class Lines(OptionList):
    """Lines with a mark, which is a sign and not a colour alone; `Enter` or a tap picks one."""

    def render_line(self, y: int) -> Strip:
        strip = super().render_line(y)
        line = self.scroll_offset.y + y
        if line < len(self._lines) and self._lines[line] == (self.highlighted, 0):
            style = next((segment.style for segment in strip), None)
            strip = Strip.join([Strip([Segment("▸", style)]), strip.crop(1)])
        return strip

    def action_page_down(self) -> None:
        with suppress(KeyError):
            super().action_page_down()  # type: ignore[no-untyped-call]

    def action_page_up(self) -> None:
        with suppress(KeyError):
            super().action_page_up()  # type: ignore[no-untyped-call]


class Menu(CommandPalette):
    """Everything that can be done here, found by its words."""

    def on_mount(self, event: events.Mount) -> None:
        """A menu that was left before it stood has nothing to offer."""
        if not self.is_current:
            event.prevent_default()

    def dismiss(self, result: None = None) -> AwaitComplete:
        """Close once: a second key may be on its way already."""
        self.workers.cancel_node(self)
        return super().dismiss(result) if self.is_current else AwaitComplete()

    def _action_command_list(self, action: str) -> None:
        with suppress(KeyError):
            super()._action_command_list(action)
