"""Where everything of a picture stands on paper, in SVG units. No colours and no markup."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass, field

from switchleg.wiring.drawing.model import SIGNS, BoxPicture, Group, Picture, Row

Point = tuple[int, int]

SLOT = 30
"""From row to row; cables' rows and parts' rows stand half a slot apart, so that no two lines lie on each other."""
ORDINARY = 13
"""Size of ordinary letters."""
LETTER = 7.4
"""Width of a letter at ordinary size, on the generous side: the reader's font is not known."""
SAID = {"new": "new", "moved": "changed"}
STEP = 36
EDGE = 26
TITLE_LETTERS = 28
STAIR = 22
LANE = 26
FIRST_LANE = 42
TITLE = 34
BETWEEN = 34


@dataclass(frozen=True)
class Spot:
    """Words and where their baseline begins, or ends."""

    x: int
    y: int
    text: str
    bold: bool = False
    ends_here: bool = False
    size: int = ORDINARY


@dataclass(frozen=True)
class Line:
    points: tuple[Point, ...]
    colour: str = ""


@dataclass(frozen=True)
class Frame:
    x: int
    y: int
    width: int
    height: int
    strong: bool


@dataclass
class Layout:
    """Everything on paper; filled box by box."""

    width: int
    height: int = 0
    frames: list[Frame] = field(default_factory=list)
    sheaths: list[Line] = field(default_factory=list)
    conductors: list[Line] = field(default_factory=list)
    leads: list[Line] = field(default_factory=list)
    uprights: list[Line] = field(default_factory=list)
    dots: list[Point] = field(default_factory=list)
    caps: list[Point] = field(default_factory=list)
    words: list[Spot] = field(default_factory=list)
    mouths: dict[tuple[str, str], Point] = field(default_factory=dict)
    """Where a cable enters a box, by cable and box."""


@dataclass(frozen=True)
class Measures:
    """Common to all boxes of a picture: left edge of the frames, widths of the three parts of a box."""

    left: int
    cables: int
    joints: int
    parts: int

    @property
    def rows(self) -> int:
        return self.left + EDGE

    @property
    def first_joint(self) -> int:
        return self.rows + self.cables + 14

    @property
    def terminals(self) -> int:
        return self.first_joint + self.joints

    @property
    def right(self) -> int:
        return self.terminals + self.parts + 16


def lay_out(picture: Picture) -> Layout:
    """Boxes one below the other, the ceiling's on top; cables between them run at the left."""
    measures = _measures(picture)
    plan = Layout(measures.right + 2)
    for box in reversed(picture.boxes):
        plan.height += _box(plan, box, measures, plan.height) + BETWEEN
    for number, cable in enumerate(picture.cables):
        (ax, ay), (bx, by) = (plan.mouths[cable.id, box] for box in cable.boxes)
        lane = measures.left - FIRST_LANE - LANE * number
        plan.sheaths.append(Line(((ax, ay), (lane, ay), (lane, by), (bx, by))))
    plan.height -= BETWEEN
    return plan


def words_of(row: Row) -> str:
    """A row's words with its sign and what the sign means."""
    return f"{SIGNS[row.change]} {row.words}, {SAID[row.change]}" if row.change else row.words


def wrapped_title(group: Group) -> list[str]:
    """A part's title in lines of no great width."""
    return textwrap.wrap(group.title, TITLE_LETTERS, break_long_words=False) or [""]


def _measures(picture: Picture) -> Measures:
    cables = [140.0]
    parts = [90.0]
    for box in picture.boxes:
        cables += [width_of(_stair(box, k)) for k in range(len(box.columns))]
        for group in box.groups:
            titles = [group.title] if group.kind == "cable" else wrapped_title(group)
            texts = [*titles, *(words_of(row) for row in group.rows)]
            (cables if group.kind == "cable" else parts).append(max(map(width_of, texts)) + 24)
    most = max(len(box.columns) for box in picture.boxes)
    left = LANE * len(picture.cables) + 34
    return Measures(left, round(max(cables)), max(most, 1) * STEP + 14, round(max(parts)))


def width_of(text: str, size: int = ORDINARY) -> float:
    """About how wide a text is drawn."""
    return LETTER * len(text) * size / ORDINARY


def _stair(box: BoxPicture, k: int) -> str:
    column = box.columns[k]
    return f"{SIGNS['as_today']} {column.words}, as today" if column.as_today else column.words


def _box(plan: Layout, box: BoxPicture, m: Measures, top: int) -> int:
    """Draw a box from `top` down; its height. Names of joints come as stairs whose lines cross nothing."""
    plan.words.append(Spot(m.rows, top + 24, box.title[:1].upper() + box.title[1:], bold=True, size=16))
    stairs_top = top + TITLE + 12
    first = stairs_top + STAIR * len(box.columns) + 12
    ends = dict.fromkeys(range(len(box.columns)), first)
    for k in range(len(box.columns)):
        y = stairs_top + STAIR * (len(box.columns) - 1 - k)
        plan.words.append(Spot(m.rows + m.cables, y + 4, _stair(box, k), bold=True, ends_here=True))
    left = right = first
    for group in box.groups:
        if group.kind == "cable":
            left = _cable(plan, box, group, m, left, ends)
        else:
            right = _part(plan, group, m, right + SLOT // 2, ends) - SLOT // 2
    bottom = max(left, right + SLOT // 2)
    for title in box.taken_out:
        plan.words.append(Spot(m.rows, bottom + 10, f"Taken out: {title}"))
        bottom += STAIR
    for k, end in ends.items():
        x, y = m.first_joint + STEP * k, stairs_top + STAIR * (len(box.columns) - 1 - k)
        plan.uprights.append(Line(((m.rows + m.cables + 6, y), (x, y), (x, end))))
    plan.frames.insert(0, Frame(m.left, top, m.right - m.left, bottom - top, strong=True))
    return bottom - top


def _cable(plan: Layout, box: BoxPicture, group: Group, m: Measures, y: int, ends: dict[int, int]) -> int:
    """A cable's sheath ends at the box's edge; its conductors go to their joints with their words above them."""
    plan.words.append(Spot(m.rows + 8, y + 2, group.title, bold=True))
    y += SLOT
    mouth = (m.left + 12, y + SLOT * (len(group.rows) - 1) // 2)
    plan.mouths[group.id, box.id] = mouth
    plan.sheaths.append(Line(((m.left - 14, mouth[1]), mouth)))
    for row in group.rows:
        plan.words.append(Spot(m.rows + 12, y - 7, words_of(row)))
        cap = m.rows + 18 + round(width_of(words_of(row)))
        reach = max((m.first_joint + STEP * k for k in row.joints), default=cap)
        plan.conductors.append(Line((mouth, (m.rows + 8, y), (reach, y)), row.colour))
        if not row.joints:
            plan.caps.append((reach, y))
        _dots(plan, row, m, y, ends)
        y += SLOT
    return y


def _part(plan: Layout, group: Group, m: Measures, y: int, ends: dict[int, int]) -> int:
    """A part as a frame of its terminals, each with a lead to its joints."""
    title = wrapped_title(group)
    below = SLOT * ((len(title) + 1) // 2)
    height = SLOT * len(group.rows) + below - 6
    plan.frames.append(Frame(m.terminals, y - 10, m.parts, height, strong=False))
    first = y + 5 if len(title) == 1 else y + 2
    for number, line in enumerate(title):
        plan.words.append(Spot(m.terminals + 10, first + 14 * number, line, bold=True))
    y += below
    for row in group.rows:
        plan.words.append(Spot(m.terminals + 10, y + 4, words_of(row)))
        reach = min((m.first_joint + STEP * k for k in row.joints), default=m.terminals - 12)
        plan.leads.append(Line(((m.terminals, y), (reach, y))))
        _dots(plan, row, m, y, ends)
        y += SLOT
    return y


def _dots(plan: Layout, row: Row, m: Measures, y: int, ends: dict[int, int]) -> None:
    for k in row.joints:
        plan.dots.append((m.first_joint + STEP * k, y))
        ends[k] = max(ends[k], y)
