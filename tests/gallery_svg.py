"""A screen as an SVG that stands alone: generic fonts, nothing from the net."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from rich.cells import cell_len
from rich.color import blend_rgb
from rich.color_triplet import ColorTriplet
from rich.segment import Segment
from rich.style import Style
from textual.app import App

WIDE, HIGH, FONT, BASE = 9, 18, 15, 14
"""Of one cell and its letter, in the picture's units; BASE is where a letter stands, from the top. Letters of
usual fixed-width fonts are three fifths as wide as high, so that also a viewer without textLength draws it well."""
FAINT = 0.6
"""How much of its colour a dim letter keeps."""
PLAIN, GROUND = ColorTriplet(0xD0, 0xD0, 0xD0), ColorTriplet(0x10, 0x10, 0x10)


def picture(app: App[Any], title: str) -> str:
    """The top screen as it stands, with `title` for whoever cannot see it."""
    rows = [list(cells(strip)) for strip in app.screen._compositor.render_strips()]
    wide, high = app.size.width * WIDE, app.size.height * HIGH
    body = [line for y, row in enumerate(rows) for line in (*grounds(row, y), *letters(row, y))]
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" '
        f'role="img" aria-label={quoteattr(title)} font-family="monospace" font-size="{FONT}">'
    )
    return "\n".join([head, f"<title>{escape(title)}</title>", *body, "</svg>", ""])


Run = tuple[int, str, ColorTriplet, ColorTriplet, str]
"""First column, text, colour of the letters, colour behind them, further attributes."""


def cells(strip: Iterable[Segment]) -> Iterator[Run]:
    """A row in runs of one look each."""
    x = 0
    for style, group in groupby(strip, key=lambda segment: segment.style or Style()):
        text = "".join(segment.text for segment in group)
        yield (x, text, *colours(style), more(style))
        x += cell_len(text)


def colours(style: Style) -> tuple[ColorTriplet, ColorTriplet]:
    """(letters, ground) as they are seen: reversed and dimmed where the style says so."""
    front = style.color.get_truecolor() if style.color and not style.color.is_default else PLAIN
    back = style.bgcolor.get_truecolor() if style.bgcolor and not style.bgcolor.is_default else GROUND
    if style.reverse:
        front, back = back, front
    return (blend_rgb(back, front, FAINT) if style.dim else front), back


def more(style: Style) -> str:
    """Weight, slant and lines as attributes."""
    lines = [name for name, on in (("underline", style.underline), ("line-through", style.strike)) if on]
    told = {
        "font-weight": "bold" if style.bold else "",
        "font-style": "italic" if style.italic else "",
        "text-decoration": " ".join(lines),
    }
    return "".join(f' {name}="{value}"' for name, value in told.items() if value)


def grounds(row: list[Run], y: int) -> Iterator[str]:
    """The colour behind a row, a rectangle for each change."""
    for back, group in groupby(row, key=lambda run: run[3]):
        runs = list(group)
        wide = sum(cell_len(text) for _, text, *_ in runs) * WIDE
        yield (
            f'<rect x="{runs[0][0] * WIDE}" y="{y * HIGH}" width="{wide}" height="{HIGH}" '
            f'fill="{back.hex}" shape-rendering="crispEdges"/>'
        )


def letters(row: list[Run], y: int) -> Iterator[str]:
    """The letters of a row, each run held to the width of its cells whatever font is there."""
    for x, text, front, _, attributes in row:
        seen = text.strip()
        if not seen:
            continue
        x += cell_len(text) - cell_len(text.lstrip())
        # Two blanks in a row would become one.
        kept = escape(seen).replace(" ", "\N{NO-BREAK SPACE}")
        yield (
            f'<text x="{x * WIDE}" y="{y * HIGH + BASE}" textLength="{cell_len(seen) * WIDE}" '
            f'fill="{front.hex}"{attributes}>{kept}</text>'
        )
