"""A list of lines to pick from, and the menu; both bear a page key in a window that shows no line at all.

The frame's own list looks up the marked line among those laid out and fails when there is none.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.segment import Segment
from textual import events
from textual.await_complete import AwaitComplete
from textual.command import CommandPalette
from textual.content import Content
from textual.strip import Strip
from textual.visual import RenderOptions, Visual
from textual.widgets import OptionList

from .words.fit_text import wrap

if TYPE_CHECKING:
    from textual.css.styles import RulesMap
    from textual.style import Style


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


class Entry(Visual):
    """Lines of text for one place in a list. Its height costs next to nothing, its colours are made when it is seen:
    a list of thousands opens at once."""

    def __init__(self, *lines: tuple[str, str]) -> None:
        """Each line as (text, style); blanks in front of a line stand before its further rows too."""
        self.lines = lines

    def rows(self, width: int) -> Iterator[tuple[str, str]]:
        """The lines wrapped at `width` cells."""
        for text, style in self.lines:
            if len(text) <= width and text.isascii():
                yield text, style
            else:
                lead = text[: len(text) - len(text.lstrip())]
                yield from ((lead + row, style) for row in wrap(text, width - len(lead)))

    def get_height(self, rules: RulesMap, width: int) -> int:  # noqa: ARG002
        return sum(1 for _ in self.rows(width))

    def get_optimal_width(self, rules: RulesMap, container_width: int) -> int:  # noqa: ARG002
        return max((cell_len(text) for text, _ in self.lines), default=0)

    def render_strips(self, width: int, height: int | None, style: Style, options: RenderOptions) -> list[Strip]:
        content = Content("\n").join(Content.styled(text, own) for text, own in self.rows(width))
        return content.render_strips(width, height, style, options)

    def __str__(self) -> str:
        return "\n".join(text for text, _ in self.lines)


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
