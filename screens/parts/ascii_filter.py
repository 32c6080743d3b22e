"""Plain signs: every line, border and mark that leaves for the terminal turned into ASCII, cell for cell."""

from __future__ import annotations

import codecs
import os
import sys
import unicodedata
from collections.abc import Mapping
from functools import lru_cache
from typing import TextIO

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

VARIABLE = "SWITCHLEG_ASCII"
"""Set to anything but 0: the screens begin in plain signs."""
OLD_TERMINALS = ("vt52", "vt100", "vt102", "vt220", "ansi", "dumb", "unknown")
"""Names in TERM whose letters are not to be trusted beyond ASCII."""
SIGNS = {
    **dict.fromkeys("─━═╌╍┄┅┈┉╴╶╸╺", "-"),
    **dict.fromkeys("│┃║╎╏┆┇┊┋╵╷╹╻▌▐▏▕", "|"),
    **dict.fromkeys("▸▶►→›", ">"),
    **dict.fromkeys("◂◀◄←‹", "<"),
    **dict.fromkeys("▼▾↓", "v"),
    **dict.fromkeys("▲▴↑", "^"),
    **dict.fromkeys("●○■□•·∙", "*"),
    **dict.fromkeys("█▓▒░▀▄", "#"),
    **dict.fromkeys("▁▂▃▔▎▊▋▍▉▆▇▅", " "),
    **dict.fromkeys("–—‐−", "-"),
    **dict.fromkeys("‘’", "'"),
    **dict.fromkeys("“”„", '"'),
    "✓": "+",
    "✗": "x",
    "×": "x",
    "…": ".",
    "Ω": "O",
    "µ": "u",
    "\N{NO-BREAK SPACE}": " ",
}


def only_ascii(stream: TextIO | None = None) -> bool:
    """Whether the terminal's letters are another encoding than UTF-8: then nothing but ASCII is safe there."""
    stream = sys.__stderr__ if stream is None else stream
    try:
        return codecs.lookup(getattr(stream, "encoding", None) or "ascii").name != "utf-8"
    except LookupError:
        return True


def wanted(environ: Mapping[str, str] = os.environ) -> bool:
    """Whether the person, the terminal's letters or its name ask for plain signs."""
    if only_ascii():
        return True
    chosen = environ.get(VARIABLE)
    if chosen is not None:
        return chosen not in ("", "0")
    return environ.get("TERM", "") in OLD_TERMINALS


@lru_cache(4096)
def plain(text: str) -> str:
    """`text` in ASCII, as many cells wide; a letter without a likeness becomes "?"."""
    return text if text.isascii() else "".join(map(_sign, text))


def _sign(sign: str) -> str:
    if sign.isascii():
        return sign
    if sign in SIGNS:
        return SIGNS[sign]
    if "\u2500" <= sign <= "\u257f":
        return "+"
    width = cell_len(sign)
    base = "".join(part for part in unicodedata.normalize("NFKD", sign) if part.isascii())
    return base if len(base) == width and base.isprintable() else "?" * width


class AsciiFilter(LineFilter):
    """The last step before the terminal: no sign beyond ASCII leaves."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:  # noqa: ARG002
        return [Segment(plain(text), style, control) for text, style, control in segments]
