"""The tree of reasons: each step folds its own steps away; a sign says whether it is open."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets.option_list import Option

from .body import tell_moved
from .option_lines import Lines
from .words.fit_text import wrap

if TYPE_CHECKING:
    from switchleg.advice.model import Why
    from switchleg.advice.verdict.reason_rows import Path, WhyRow

SIGNS = {True: "[-] ", False: "[+] ", None: "    "}
"""Open, folded, nothing beneath."""


class ReasonList(Lines):
    """Enter or a tap opens or folds a step; right opens, left folds it or goes to the one above."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("right", "unfold", "Open", show=False),
        Binding("left", "fold", "Fold", show=False),
    ]

    def __init__(self) -> None:
        super().__init__(id="why", markup=False)
        self.roots: Sequence[Why] = ()
        self.source: Callable[[str], str] = str
        self.opened: set[Path] = set()
        self.rows: list[WhyRow] = []

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        super().watch_scroll_y(old_value, new_value)
        tell_moved(self)

    def load(self, roots: Sequence[Why], source: Callable[[str], str], width: int) -> None:
        """Show these trees; what was open stays open when they are the same."""
        if roots != self.roots:
            self.opened = {(0,)} if roots else set()
        self.roots, self.source = roots, source
        self.draw(width)

    def draw(self, width: int | None = None, mark: Path | None = None) -> None:
        from switchleg.advice.verdict.reason_rows import why_rows

        room = (width or self.size.width) - 5
        self.rows = list(why_rows(self.roots, self.opened, self.source))
        self.clear_options()
        self.add_options([Option(self._words(row, room)) for row in self.rows])
        if self.rows:
            paths = [row.path for row in self.rows]
            self.highlighted = paths.index(mark) if mark in paths else 0

    @staticmethod
    def _words(row: WhyRow, room: int) -> Content:
        indent = min(2 * row.depth, room // 3)
        sign = SIGNS[row.open]
        first, *others = wrap(row.text, max(8, room - indent - len(sign)))
        blank = " " * (indent + len(sign))
        text = "\n".join([" " * indent + sign + first, *(blank + other for other in others)])
        return Content.styled(text, "" if row.depth else "bold")

    @property
    def marked(self) -> WhyRow | None:
        return self.rows[self.highlighted] if self.highlighted is not None and self.rows else None

    def toggle(self) -> None:
        row = self.marked
        if row is None or row.open is None:
            return
        self.opened ^= {row.path}
        self.draw(mark=row.path)

    def action_unfold(self) -> None:
        if (row := self.marked) is not None and row.open is False:
            self.toggle()

    def action_fold(self) -> None:
        row = self.marked
        if row is not None and row.open:
            self.toggle()
        elif row is not None and row.depth:
            self.draw(mark=row.path[:-1])
