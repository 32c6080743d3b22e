"""Conductor colours in letters and on a screen: a drawing never tells by colour alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

LETTERS: Mapping[str, str] = {
    "black": "BK",
    "brown": "BN",
    "red": "RD",
    "orange": "OG",
    "yellow": "YE",
    "green": "GN",
    "blue": "BU",
    "violet": "VT",
    "grey": "GY",
    "gray": "GY",
    "white": "WH",
    "pink": "PK",
    "green-yellow": "GNYE",
    "ground": "GND",
}
"""Letter codes of IEC 60757 (from memory); GND is ours, for a ground of unnamed colour."""

INK: Mapping[str, str] = {
    "black": "#111111",
    "brown": "#7a4a1e",
    "red": "#d01c1c",
    "orange": "#ee7f00",
    "yellow": "#ffd800",
    "green": "#1a8f3c",
    "blue": "#1f5fd0",
    "light blue": "#7fb8ee",
    "dark blue": "#14306e",
    "violet": "#7b3fa0",
    "grey": "#8c8c8c",
    "gray": "#8c8c8c",
    "white": "#ffffff",
    "pink": "#f29bb8",
    "green-yellow": "#1a8f3c",
    "bare": "#c98a4b",
    "ground": "#1a8f3c",
}
"""What is drawn for a colour's name; a name that is not here is drawn as `OTHER_INK`."""

OTHER_INK = "#b9b9b9"
STRIPES: Mapping[str, str] = {"green-yellow": "#ffd800"}
"""The second colour of conductors that wear two."""


def letters_of(colours: Iterable[str]) -> dict[str, str]:
    """A short code for each colour, no two alike; without one of its own, a colour gets its first letters."""
    given: dict[str, str] = {}
    for colour in colours:
        if colour not in given:
            given[colour] = _free(LETTERS.get(colour) or _first_letters(colour), set(given.values()))
    return given


def _first_letters(colour: str) -> str:
    words = colour.upper().replace("-", " ").split()
    return "".join(w[0] for w in words) if len(words) > 1 else "".join(words)[:2] or "X"


def _free(code: str, taken: set[str]) -> str:
    if code not in taken:
        return code
    number = 2
    while f"{code}{number}" in taken:
        number += 1
    return f"{code}{number}"
