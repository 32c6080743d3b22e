"""A picture in text: rows are ends, columns are joints, a dot where an end meets a joint.

A line that runs on behind an upright without a dot does not touch it.
"""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace

from switchleg.wiring.drawing.model import SIGNS, BoxPicture, Picture

INDENT = 2
"""Columns at the left that hold the sign of a change."""


@dataclass(frozen=True)
class Strokes:
    across: str
    upright: str
    corner: str
    dot: str
    rule: str


LINES = Strokes("─", "│", "┐", "●", "═")
ASCII = Strokes("-", "|", ".", "o", "=")


@dataclass(frozen=True)
class Grid:
    """`label`: width of the words at the left, in signs; joint k stands at column `at(k)`."""

    label: int
    step: int

    def at(self, column: int) -> int:
        return self.label + 1 + self.step * column


def draw_text(picture: Picture, *, width: int = 40, ascii_only: bool = False, notes: bool = True) -> str:
    """The picture in lines of at most `width` signs where it can be done, else as narrow as the joints allow.

    Ends in a line break. With `ascii_only` there is nothing but ASCII in it; `notes` False leaves out the
    signs and sentences below.
    """
    strokes = ASCII if ascii_only else LINES
    if ascii_only:
        picture = _in_ascii(picture)
    grid = _grid(picture, width)
    lines: list[str] = []
    for box in picture.boxes:
        lines += [*_box(box, grid, strokes, width), ""]
    if picture.cables:
        names = {box.id: box.title for box in picture.boxes}
        lines += _wrapped("Between the boxes, in the same order at both ends:", width)
        for cable in picture.cables:
            lines += _wrapped(f"{names[cable.boxes[0]]} to {names[cable.boxes[1]]}: {cable.words}", width)
        lines.append("")
    if not notes:
        return "\n".join(lines)
    signs = [f"{strokes.dot} joined here", *(f"{sign} {meaning}" for sign, meaning in picture.legend())]
    for words in (*signs, *picture.notes()):
        lines += _wrapped(words, width)
    return "\n".join(lines) + "\n"


def _grid(picture: Picture, width: int) -> Grid:
    """Joints stand three signs apart where the words leave room, else two; words wrap before lines grow."""
    texts = [c.words for box in picture.boxes for c in box.columns]
    texts += [row.words for box in picture.boxes for group in box.groups for row in group.rows]
    titles = [group.title for box in picture.boxes for group in box.groups]
    natural = INDENT + max((len(t) for t in texts), default=0)
    longest_word = max((len(w) for t in (*texts, *titles) for w in t.split()), default=0)
    most = max(len(box.columns) for box in picture.boxes)
    step = 3 if natural + 3 * most <= width else 2
    room = width - step * most
    return Grid(max(INDENT * 2 + longest_word, min(natural, room)), step)


def _box(box: BoxPicture, grid: Grid, strokes: Strokes, width: int) -> list[str]:
    lines = [f"{strokes.rule * 2} {box.title} ".ljust(width, strokes.rule)]
    rows = [row for group in box.groups for row in group.rows]
    if not box.columns:
        grid = replace(grid, label=width)
    last = {k: max((i for i, r in enumerate(rows) if k in r.joints), default=-1) for k in range(len(box.columns))}
    for k in reversed(range(len(box.columns))):
        sign = SIGNS["as_today"] if box.columns[k].as_today else " "
        standing = set(range(k, len(box.columns)))
        lines += _line(_label(sign, box.columns[k].words, grid.label), grid, strokes, standing, {k: strokes.corner})
    seen = -1
    for group in box.groups:
        lines += _line(_label("", group.title, grid.label), grid, strokes, {k for k, end in last.items() if end > seen})
        for row in group.rows:
            seen += 1
            standing = {k for k, end in last.items() if end > seen}
            dots = dict.fromkeys(row.joints, strokes.dot)
            lines += _line(_label(SIGNS.get(row.change, " "), row.words, grid.label), grid, strokes, standing, dots)
    for title in box.taken_out:
        lines += _wrapped(f"Taken out: {title}", width)
    return lines


def _line(
    label: list[str], grid: Grid, strokes: Strokes, standing: set[int], marks: Mapping[int, str] | None = None
) -> list[str]:
    """Words with a stroke to each mark, behind the uprights that are `standing` below this line."""
    lines = []
    for number, part in enumerate(label):
        here = (marks or {}) if number == 0 else {}
        reach = max((grid.at(k) for k in here), default=0)
        end = max((grid.at(k) for k in {*here, *standing}), default=0)
        line = f"{part} ".ljust(reach, strokes.across)
        cells = list(line.ljust(end + 1))
        for k in standing:
            cells[grid.at(k)] = strokes.upright
        for k, mark in here.items():
            cells[grid.at(k)] = mark
        lines.append("".join(cells).rstrip())
    return lines


def _label(sign: str, words: str, width: int) -> list[str]:
    """Words behind their sign, wrapped; a heading has no sign and no indent."""
    indent = INDENT if sign else 0
    if len(words) <= width - indent:
        return [sign.ljust(indent) + words]
    lines = textwrap.wrap(words, width - 2 * indent, break_long_words=False, break_on_hyphens=False)
    return [sign.ljust(indent) + lines[0], *(" " * 2 * indent + line for line in lines[1:])]


def _wrapped(words: str, width: int) -> list[str]:
    return textwrap.wrap(words, width, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False)


def _in_ascii(picture: Picture) -> Picture:
    """The picture with every word in ASCII; done before anything is measured."""
    boxes = []
    for box in picture.boxes:
        groups = tuple(
            replace(g, title=_ascii(g.title), rows=tuple(replace(r, name=_ascii(r.name)) for r in g.rows))
            for g in box.groups
        )
        columns = tuple(replace(c, name=_ascii(c.name)) for c in box.columns)
        gone = tuple(map(_ascii, box.taken_out))
        boxes.append(replace(box, title=_ascii(box.title), columns=columns, groups=groups, taken_out=gone))
    cables = tuple(replace(c, words=_ascii(c.words)) for c in picture.cables)
    return replace(picture, boxes=tuple(boxes), cables=cables, ground=_ascii(picture.ground))


def _ascii(text: str) -> str:
    flat = unicodedata.normalize("NFKD", text.replace("’", "'").replace("–", "-"))
    return "".join(c for c in flat if not unicodedata.combining(c)).encode("ascii", "replace").decode()
