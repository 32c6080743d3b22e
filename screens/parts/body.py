"""The part of a screen that scrolls; it tells its screen when there may be more below."""

from __future__ import annotations

from typing import Protocol, runtime_checkable

from textual.containers import VerticalScroll
from textual.widget import Widget


@runtime_checkable
class SaysMore(Protocol):
    """A screen that says when there is more below."""

    def show_more_cue(self) -> None: ...


def tell_moved(widget: Widget) -> None:
    """Let the screen of `widget` look again whether there is more below."""
    if widget.is_attached and isinstance(widget.screen, SaysMore):
        widget.screen.show_more_cue()


class Body(VerticalScroll, can_focus=False):
    """The part that scrolls; it tells its screen when it has moved or grown, so that "more below" stays true."""

    def on_mount(self) -> None:
        self.watch(self, "virtual_size", self._tell, init=False)

    def on_resize(self) -> None:
        self._tell()

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        super().watch_scroll_y(old_value, new_value)
        self._tell()

    def _tell(self) -> None:
        tell_moved(self)
