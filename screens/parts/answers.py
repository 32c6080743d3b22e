"""The answers of a question as targets for a finger: framed rows, tiles of three rows, or plain rows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Literal

from textual.binding import Binding, BindingType
from textual.containers import Vertical

from .widgets import Pick

Look = Literal["framed", "tiles", "plain"]

TALL = 3
"""Rows of a target that a thumb meets."""
TWO_FROM = 34
"""Columns from which tiles stand two abreast."""
FLAT = 18
"""Rows of a window below which targets are low rather than out of sight."""


class Answer(Pick):
    """One answer; the arrows move as the tiles stand."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "go(1, 0)", "Below", show=False, tooltip="Mark the answer below", id="answer.below"),
        Binding("up", "go(-1, 0)", "Above", show=False, tooltip="Mark the answer above", id="answer.above"),
        Binding("right", "go(0, 1)", "Next", show=False, tooltip="Mark the next answer", id="answer.next"),
        Binding("left", "go(0, -1)", "Before", show=False, tooltip="Mark the answer before", id="answer.before"),
    ]

    def action_go(self, down: int, right: int) -> None:
        if isinstance(self.parent, Answers):
            self.parent.go(self, down, right)


class Answers(Vertical):
    """All answers of the question in view, in widgets that are kept from question to question."""

    def __init__(self) -> None:
        super().__init__(id="answers")
        self.look: Look = "plain"

    @property
    def picks(self) -> list[Answer]:
        return [pick for pick in self.query(Answer) if pick.display]

    def show(self, wanted: Sequence[tuple[str, str, str]]) -> None:
        """(key, label, mark) of each answer."""
        held = list(self.query(Answer))
        if len(held) < len(wanted):
            fresh = [Answer() for _ in range(len(wanted) - len(held))]
            self.mount_all(fresh)
            held += fresh
        for index, pick in enumerate(held):
            pick.display = index < len(wanted)
            if pick.display:
                key, label, mark = wanted[index]
                pick.show(key, label, mark=mark)

    def rows(self, look: Look, width: int) -> int:
        """How many rows the answers take in a body of `width` columns."""
        if look == "tiles":
            return sum(self._tile_rows(width))
        frame = 4 if look == "framed" else 0
        return sum(len(pick.lines(width - frame)) + frame // 2 for pick in self.picks)

    def fit(self, width: int, room: int, beside: int, window: int) -> int:
        """Take the look that suits `room` rows, with `beside` rows for a text if that can be; its rows.

        Low targets are taken only where the window of `window` rows is too flat for anything else.
        """
        best: Look = "tiles"
        for look in ("framed", "tiles"):
            if self.rows(look, width) + beside <= room:
                best = look
                break
        else:
            if self.rows("framed", width) <= room:
                best = "framed"
            elif self.rows("tiles", width) > room and window < FLAT:
                best = "plain"
        self.lay_out(best, width)
        return self.rows(best, width)

    def lay_out(self, look: Look, width: int) -> None:
        """Stand the answers as `look` has it."""
        self.look = look
        self.set_class(look == "framed", "roomy")
        self.set_class(look == "tiles", "tiles")
        columns = self._columns(width)
        picks = self.picks
        if look == "tiles":
            self.styles.grid_size_columns = columns
            self.styles.grid_rows = " ".join(map(str, self._tile_rows(width)))
        for pick in picks:
            last = pick is picks[-1] and len(picks) % columns == 1
            pick.styles.column_span = columns if look == "tiles" and last else 1

    def go(self, pick: Answer, down: int, right: int) -> None:
        """Mark the answer that stands so many places from `pick`; from the end it goes on at the start."""
        picks = self.picks
        columns = self.styles.grid_size_columns if self.look == "tiles" else 1
        at = (picks.index(pick) + down * columns + right) % len(picks)
        picks[at].focus()

    @staticmethod
    def _columns(width: int) -> int:
        return 2 if width >= TWO_FROM else 1

    def _tile_rows(self, width: int) -> list[int]:
        """The rows of each row of tiles: three, or as many as the longest label needs."""
        columns, picks = self._columns(width), self.picks
        inside = (width - columns + 1) // columns - 1
        found = []
        for start in range(0, len(picks), columns):
            row = picks[start : start + columns]
            wide = width - 1 if len(row) < columns else inside
            found.append(max(TALL, *(len(pick.lines(wide)) for pick in row)))
        return found
