"""Text for paper: what was typed made harmless, and lines wrapped by the columns they take."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

WIDTH = 80
MOST_MARKS = 4
"""Combining marks kept on one letter: enough for every script in use, too few to smear over other lines."""

# Letters and marks that show nothing although they count as letters: fillers, selectors, joiners.
_UNSEEN = re.compile("[\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u3164\uffa0\ufe00-\ufe0f\U000e0000-\U000e0fff]")
_DROPPED = {"Cf", "Cs", "Co", "Cn"}
_SPACES = {"Cc", "Zs", "Zl", "Zp"}

_SIGNS = str.maketrans(
    {
        "–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-", "‘": "'", "’": "'", "“": '"', "”": '"', "„": '"',
        "…": "...", "×": "x", "÷": "/", "·": "*", "•": "*", "→": "->", "←": "<-", "↔": "<->", "≤": "<=",
        "≥": ">=", "≠": "!=", "≈": "about ", "±": "+/-", "²": "2", "³": "3", "Ω": " ohm", "\u2126": " ohm",
        "µ": "u", "μ": "u", "°": " deg ", "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3",
        "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8", "✓": "yes", "✔": "yes", "✗": "no", "✘": "no",
        "′": "'", "″": '"', "§": "section ",
    }
)  # fmt: skip


def typed(text: str) -> str:
    """What a person typed, on one line: letters as they are, nothing that could move, hide or turn text."""
    out: list[str] = []
    marks = 0
    for sign in unicodedata.normalize("NFC", _UNSEEN.sub("", text)):
        category = unicodedata.category(sign)
        if category in _SPACES:
            out.append(" ")
        elif category not in _DROPPED:
            marks = marks + 1 if category in ("Mn", "Me") else 0
            if marks <= MOST_MARKS and (marks == 0 or (out and out[-1] != " ")):
                out.append(sign)
    return " ".join("".join(out).split())


def plain(text: str) -> str:
    """The tool's own words with their few typographic signs written in ASCII; also safe to print."""
    return typed(text.translate(_SIGNS))


def columns(text: str) -> int:
    """The columns that `text` takes: wide letters two, marks none."""
    return sum(_columns(sign) for sign in text)


def wrap(text: str, first: str = "", rest: str | None = None, width: int = WIDTH) -> list[str]:
    """Lines of at most `width` columns; `first` leads the first one, `rest` (else as many spaces) the others.

    A word longer than a line is cut. Empty text gives the lead alone.
    """
    rest = " " * columns(first) if rest is None else rest
    lines: list[str] = []
    line, room = first, width - columns(first)
    empty = True
    for piece in _pieces(text, max(2, width - max(columns(first), columns(rest)))):
        need = columns(piece) + (0 if empty else 1)
        if need > room and not empty:
            lines.append(line)
            line, room, empty = rest, width - columns(rest), True
            need = columns(piece)
        line += piece if empty else f" {piece}"
        room -= need
        empty = False
    return [*(kept.rstrip() for kept in lines), line.rstrip()]


def _pieces(text: str, longest: int) -> Iterator[str]:
    for word in text.split():
        piece, size = "", 0
        for sign in word:
            wide = _columns(sign)
            if size + wide > longest:
                yield piece
                piece, size = "", 0
            piece += sign
            size += wide
        yield piece


def _columns(sign: str) -> int:
    if sign.isascii():
        return 1
    if unicodedata.category(sign) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1
