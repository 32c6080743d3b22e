"""What a card is made of, sections of plain lines, and how likelihoods are told on it."""

from __future__ import annotations

from typing import Literal

from switchleg.advice.model import Plain, Status

LineKind = Literal["text", "step", "item", "warning", "good", "bad", "sum"]


class Line(Plain):
    text: str
    kind: LineKind = "text"
    under: tuple[str, ...] = ()
    """What stands beneath it for who asks: the sum, its edition, its sources."""
    brief: tuple[str, ...] = ()
    """The same for paper, sources by their ids."""


class Section(Plain):
    id: str
    title: str
    lines: tuple[Line, ...]


class Card(Plain):
    title: str
    status: Status
    headline: str
    sections: tuple[Section, ...]


PERHAPS = 0.4
LIKELIHOODS = (
    (0.95, "almost surely"),
    (0.75, "probably"),
    (PERHAPS, "perhaps"),
    (0.1, "less likely"),
    (0.0, "hardly"),
)


def likelihood(p: float) -> str:
    """A share in words."""
    return next(word for least, word in LIKELIHOODS if p >= least)


def percent(p: float) -> str:
    """A share in numbers; what may yet be otherwise is never told as sure."""
    return f"{100 if p == 1 else max(1, min(99, round(100 * p)))} %"


def chance(p: float, *, first: bool = False) -> str:
    """A share in words and numbers; of several the `first` is never told as unlikely, however many share it."""
    word = "likeliest" if first and p < PERHAPS else likelihood(p)
    return f"{word}, {percent(p)}"


def lower(text: str) -> str:
    """A title in the middle of a sentence."""
    return text[0].lower() + text[1:]
