"""The few widgets that every screen is made of."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ClassVar

from rich.cells import cell_len
from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.geometry import Offset, Size
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from .words.fit_text import wrap


class Pick(Widget, can_focus=True):
    """Something to choose by its key, by Enter on it, or by a tap: an answer, a check, a way on."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space", "choose", "Choose", show=False, tooltip="Choose the marked line", id="pick.choose"),
        Binding("down", "app.focus_next", "Next", show=False, tooltip="Mark the next line", id="pick.next"),
        Binding(
            "up",
            "app.focus_previous",
            "Previous",
            show=False,
            tooltip="Mark the line before",
            id="pick.previous",
        ),
    ]

    @dataclass
    class Chosen(Message):
        """The person chose this one."""

        pick: Pick

    def __init__(self, key: str = "", label: str = "", *, mark: str = "", id: str | None = None) -> None:
        super().__init__(id=id)
        self.key = key
        self.label = label
        self.mark = mark

    def show(self, key: str, label: str, *, mark: str = "") -> None:
        """Change what stands here; `mark` is a word or sign before the label ("[x]", "now:")."""
        if (key, label, mark) != (self.key, self.label, self.mark):
            self.key, self.label, self.mark = key, label, mark
            self.refresh(layout=True)

    def lines(self, width: int) -> list[str]:
        """The label's lines beside the key at `width` cells."""
        text = f"{self.mark} {self.label}" if self.mark else self.label
        return wrap(text, width - self.indent)

    @property
    def indent(self) -> int:
        return 4 + cell_len(self.key)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:  # noqa: ARG002
        return len(self.lines(width))

    def render(self) -> Content:
        pointer = "▸" if self.has_focus else " "
        first, *others = self.lines(self.content_size.width or 80)
        parts: list[str | tuple[str, str]] = [pointer, (f" {self.key} ", "bold reverse"), " ", first]
        parts += [f"\n{' ' * self.indent}{line}" for line in others]
        return Content.assemble(*parts)

    def on_focus(self) -> None:
        self.refresh()

    def on_blur(self) -> None:
        self.refresh()

    def action_choose(self) -> None:
        self.post_message(self.Chosen(self))

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.post_message(self.Chosen(self))


class KeyBar(Widget):
    """The screen's keys with their words, packed into as few rows as they need; each can be tapped."""

    def __init__(self, keys: Callable[[], list[tuple[str, str, str]]]) -> None:
        """`keys` gives (key, word, action) for each key to show now, in the order they stand in."""
        super().__init__(id="keys")
        self.items = keys
        self._signature: tuple[tuple[str, str, str], ...] = ()

    def packed(self, width: int) -> list[list[tuple[int, tuple[str, str, str]]]]:
        """The items by row, each with its column; as few rows as possible, the rest of a row shared out."""
        items = self.items()
        least: list[list[tuple[str, str, str]]] = [[]]
        used = 0
        for item in items:
            takes = self._cells(item) + 1
            if least[-1] and used + takes > width + 1:
                least.append([])
                used = 0
            least[-1].append(item)
            used += takes
        count = -(-len(items) // len(least)) if items else 1
        even = [items[start : start + count] for start in range(0, len(items), count)]
        fits = all(sum(self._cells(item) + 1 for item in row) <= width + 1 for row in even)
        return [self._spread(row, width) for row in (even if fits else least)]

    def _spread(self, row: list[tuple[str, str, str]], width: int) -> list[tuple[int, tuple[str, str, str]]]:
        gap = max(1, min(4, (width - sum(map(self._cells, row))) // max(1, len(row))))
        placed, x = [], 0
        for item in row:
            placed.append((x, item))
            x += self._cells(item) + gap
        return placed

    @staticmethod
    def _cells(item: tuple[str, str, str]) -> int:
        return cell_len(f"{item[0]} {item[1]}")

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:  # noqa: ARG002
        return len(self.packed(width))

    def render(self) -> Content:
        lines = []
        for row in self.packed(self.content_size.width or 80):
            parts: list[str | tuple[str, str]] = []
            end = 0
            for x, (key, word, _) in row:
                parts += [" " * (x - end), (key, "bold $primary"), f" {word}"]
                end = x + cell_len(f"{key} {word}")
            lines.append(Content.assemble(*parts))
        return Content("\n").join(lines)

    def find(self, action: str) -> Offset:
        """Where the key of `action` stands inside this widget."""
        for y, row in enumerate(self.packed(self.content_size.width)):
            for x, item in row:
                if item[2] == action:
                    return Offset(x, y) + self.content_offset_inside
        raise KeyError(action)

    @property
    def content_offset_inside(self) -> Offset:
        return self.content_region.offset - self.region.offset

    def refresh_keys(self) -> None:
        """Show the keys anew when other ones apply."""
        signature = tuple(self.items())
        if signature != self._signature:
            self._signature = signature
            self.refresh(layout=True)

    async def on_click(self, event: events.Click) -> None:
        event.stop()
        offset = event.get_content_offset(self)
        if offset is None:
            return
        packed = self.packed(self.content_size.width)
        row = packed[offset.y] if offset.y < len(packed) else []
        for x, (_, _, action) in reversed(row):
            if offset.x >= x - 1:
                await self.app.run_action(action, default_namespace=self.screen)
                return


class Notice(Static):
    """One calm line above the keys: an error and what to do, something done, or that there is more below."""

    def __init__(self) -> None:
        super().__init__("", id="notice", markup=False)
        self.text = ""
        self._shown = ""

    def say(self, text: str, *, error: bool = False) -> None:
        """Show `text`; an error is marked with a sign, not by colour alone."""
        self.text = text
        self.set_class(error, "error")
        self.set_class(bool(text) and not error, "said")
        self._show(f"! {text}" if error else text)

    def hint(self, text: str) -> None:
        """Show `text` while nothing has been said."""
        if not self.text:
            self._show(text)

    def _show(self, text: str) -> None:
        """Laying out the screen anew costs a frame, so do it only for another text."""
        if text != self._shown:
            self._shown = text
            self.update(text)
