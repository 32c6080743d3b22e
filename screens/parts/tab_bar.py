"""The tabs of a screen in one line: the open one stands in brackets, each can be tapped."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len
from textual import events
from textual.content import Content
from textual.message import Message
from textual.widget import Widget

TABS = (
    ("card", "c", "Card"),
    ("plan", "p", "Plan"),
    ("numbers", "u", "Numbers"),
    ("parts", "t", "Parts"),
    ("checks", "k", "Checks"),
    ("why", "w", "Why"),
)
"""Id, key and title of each tab; the title alone where the window is narrow."""


class TabBar(Widget):
    """`show` says which tabs there are, each with its key; a tap posts `Chosen`."""

    @dataclass
    class Chosen(Message):
        """The person chose this tab."""

        tab: str

    def __init__(self, tabs: Sequence[tuple[str, str, str]]) -> None:
        """`tabs`: (id, key, title) of each."""
        super().__init__(id="tabs")
        self.tabs = tuple(tabs)
        self.open = self.tabs[0][0]

    def show(self, tab: str) -> None:
        if tab != self.open:
            self.open = tab
            self.refresh()

    def placed(self, width: int) -> list[tuple[int, str, str]]:
        """(column, text, id) of each tab: with its key where all fit, else its title alone."""
        for pattern in (" {key} {title} ", " {title} ", "{title}"):
            texts = [
                (f"[{pattern.strip()}]" if tab == self.open else pattern).format(key=key, title=title)
                for tab, key, title in self.tabs
            ]
            if sum(map(cell_len, texts)) + len(texts) - 1 <= width:
                break
        found, x = [], 0
        for text, (tab, _, _) in zip(texts, self.tabs, strict=True):
            found.append((x, text, tab))
            x += cell_len(text) + 1
        return found

    def get_content_height(self, *_: object) -> int:
        return 1

    def render(self) -> Content:
        parts: list[str | tuple[str, str]] = []
        for _, text, tab in self.placed(self.content_size.width or 80):
            parts += [(text, "bold reverse" if tab == self.open else "$secondary"), " "]
        return Content.assemble(*parts)

    def on_click(self, event: events.Click) -> None:
        event.stop()
        offset = event.get_content_offset(self)
        if offset is None:
            return
        for x, _, tab in reversed(self.placed(self.content_size.width)):
            if offset.x >= x:
                self.post_message(self.Chosen(tab))
                return
