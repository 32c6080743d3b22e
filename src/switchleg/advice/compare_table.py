"""The schemes against the wants as rows of plain text, for a narrow, a usual and a wide window. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from switchleg.advice.compare import Compared

HEADS = {
    "want_wall_control": "wall",
    "want_speed_from_app": "speeds",
    "want_light_apart": "apart",
    "want_light_dimming": "dims",
    "want_keep_remote": "remote",
    "want_keep_wall_look": "look",
}
"""Heads of the columns; a want without one shows the end of its name. Their first letters differ."""
SHORT = {
    "fits": "fits",
    "fits, with preparation": "with prep",
    "open: more to check": "open",
    "not possible": "no",
}
"""Verdicts as they stand in a column."""
CELLS = {True: "yes", False: "no", None: "?"}
WISHED = {"must": "must", "nice": "nice"}
WISH_SIGN = {"must": "!", "nice": "~"}
SIGNS = {True: "+", False: "-", None: "?"}
NARROW = 64
"""Columns below which a want has a letter and a sign only."""
LEAST_NAME, MOST_NAME = 12, 52


@dataclass(frozen=True)
class TableRow:
    """A line of text; `strong` for the heads and the recommended scheme."""

    text: str
    strong: bool = False


def table(schemes: Sequence[Compared], wishes: Mapping[str, Value], width: int) -> tuple[TableRow, ...]:
    """Each scheme with its verdict and what it does for each want; the wishes stand above.

    A want about which nothing is known for any scheme has no column. Narrow windows get two rows a scheme.
    """
    wants = [
        want
        for want in dict.fromkeys(want for scheme in schemes for want, _ in scheme.keeps)
        if any(dict(scheme.keeps).get(want) is not None for scheme in schemes)
    ]
    return tuple((_narrow if width < NARROW else _wide)(schemes, wants, wishes, width))


def _wide(
    schemes: Sequence[Compared], wants: Sequence[str], wishes: Mapping[str, Value], width: int
) -> Iterator[TableRow]:
    rooms = [max(len(_head(want)), 4) + 1 for want in wants]
    verdict = max(len(word) for word in SHORT.values()) + 1
    name = max(LEAST_NAME, min(MOST_NAME, width - 2 - verdict - sum(rooms) - 1))

    def line(mark: str, title: str, word: str, told: Sequence[str]) -> str:
        columns = "".join(text.ljust(room) for text, room in zip(told, rooms, strict=True))
        return f"{mark} {_cut(title, name - 1).ljust(name)}{word.ljust(verdict)}{columns}".rstrip()

    yield TableRow(line(" ", "scheme", "verdict", [_head(want) for want in wants]), strong=True)
    yield TableRow(line(" ", "you wish", "", [WISHED.get(str(wishes.get(want)), "") for want in wants]))
    for scheme in schemes:
        keeps = dict(scheme.keeps)
        told = [CELLS[keeps[want]] if want in keeps else "" for want in wants]
        mark = "*" if scheme.recommended else " "
        yield TableRow(line(mark, scheme.title, SHORT[scheme.verdict], told), strong=scheme.recommended)
    if any(scheme.recommended for scheme in schemes):
        yield TableRow("* recommended")


def _narrow(
    schemes: Sequence[Compared], wants: Sequence[str], wishes: Mapping[str, Value], width: int
) -> Iterator[TableRow]:
    names = [f"{_head(want)[0]} {_head(want)}{WISH_SIGN.get(str(wishes.get(want)), '')}" for want in wants]
    for start in range(0, len(names), 3):
        yield TableRow("  ".join(names[start : start + 3]))
    yield TableRow("! you must have it  ~ would be nice")
    yield TableRow("+ keeps it  - loses it  ? not known")
    for scheme in schemes:
        keeps = dict(scheme.keeps)
        told = " ".join(f"{_head(want)[0]}{SIGNS[keeps[want]]}" for want in wants if want in keeps)
        mark = "*" if scheme.recommended else " "
        yield TableRow(f"{mark} {_cut(scheme.title, width - 2)}", strong=scheme.recommended)
        yield TableRow(f"    {SHORT[scheme.verdict].ljust(10)}{told}".rstrip(), strong=scheme.recommended)
    if any(scheme.recommended for scheme in schemes):
        yield TableRow("* recommended")


def _head(want: str) -> str:
    return HEADS.get(want, want.rpartition("_")[2])


def _cut(title: str, room: int) -> str:
    return title if len(title) <= room else f"{title[: room - 2].rstrip()}.."
