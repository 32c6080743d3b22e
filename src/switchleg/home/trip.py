"""One trip for a home: what is done where, box by box, with each breaker off once. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from switchleg.record.index import folded
from switchleg.schema.questions import Station

Purpose = Literal["look", "read", "work", "prove"]
FEW = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


@dataclass(frozen=True)
class Errand:
    """One thing to do at one place of one fan. `read` needs the power on."""

    fan: str
    fan_id: str
    place: str
    station: Station
    purpose: Purpose
    text: str
    breaker: str = ""
    """The label of the breaker that feeds the fan; "" while nobody has named it."""


@dataclass(frozen=True)
class BoxVisit:
    """A box that is opened once, and everything that is done there."""

    fan: str
    place: str
    errands: tuple[Errand, ...]


@dataclass(frozen=True)
class Trip:
    """A breaker that is taken off once, and its boxes: wall boxes before ceilings."""

    breaker: str
    """Its label; "" when it has not been named: then all boxes are of one fan."""
    boxes: tuple[BoxVisit, ...]

    @property
    def title(self) -> str:
        """What to do, as a heading."""
        many = len(self.boxes)
        count = FEW[many] if many < len(FEW) else str(many)
        boxes = "this box" if many == 1 else f"these {count} boxes"
        whose = f"Breaker {self.breaker}" if self.breaker else f"The breaker of {self.boxes[0].fan}, not named yet,"
        return f"{whose} off once: do {boxes}"


def trips(errands: Iterable[Errand]) -> tuple[Trip, ...]:
    """The looks and the work that are done with the power off, by breaker; named ones first.

    Fans whose breaker nobody has named are not put together: two of them may hang on two breakers.
    """
    by_breaker: dict[tuple[bool, tuple[object, ...], str], list[Errand]] = {}
    for one in errands:
        if one.station != "floor" and one.purpose in ("look", "work"):
            named = bool(one.breaker.strip())
            key = (not named, _order(one.breaker if named else one.fan), "" if named else one.fan_id)
            by_breaker.setdefault(key, []).append(one)
    return tuple(Trip(found[0].breaker.strip(), tuple(_boxes(found))) for _, found in sorted(by_breaker.items()))


def _boxes(errands: Iterable[Errand]) -> Iterator[BoxVisit]:
    """Wall boxes first: their ladder-free work is done while the ceiling still holds."""
    boxes: dict[tuple[bool, str, str], list[Errand]] = {}
    for one in errands:
        boxes.setdefault((one.station == "canopy", one.fan_id, one.place), []).append(one)
    for _, found in sorted(boxes.items(), key=lambda item: item[0][0]):
        yield BoxVisit(found[0].fan, found[0].place, tuple(found))


def _order(label: str) -> tuple[object, ...]:
    """Labels in the order of a panel: 2 before 10, letters after numbers."""
    pieces = re.findall(r"\d+|\D+", folded(label))
    return tuple((not piece.isdigit(), int(piece) if piece.isdigit() else 0, piece) for piece in pieces)
