"""A picture as SVG: cables at the left, joints as uprights in the middle, parts at the right.

One self-contained file: no script, no link, no outside font. Every line has its words, so that it reads
in black and white, and the whole is told in words for those who listen.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Mapping
from html import escape

from switchleg.wiring.drawing.colours import INK, OTHER_INK, STRIPES
from switchleg.wiring.drawing.layout import LETTER, Layout, Line, Spot, lay_out, width_of
from switchleg.wiring.drawing.model import CAUTION, Picture, plain
from switchleg.wiring.drawing.sentences import told

FONT = "Helvetica, Arial, 'DejaVu Sans', sans-serif"
DARK, SOFT, PAPER, SHEATH = "#222222", "#666666", "#ffffff", "#d9d9d9"
COLOUR = re.compile(r"#[0-9a-fA-F]{3,8}|[a-zA-Z]+")
"""A CSS colour by number or by name; anything else might point outside the file and is not taken."""
MARGIN = 24
TITLE_HEIGHT = 40
TITLE_SIZE = 20
LINE = 20
"""From line to line of the sentences below."""
GAP = 48
"""Between two pictures side by side."""


def draw_svg(picture: Picture, *, title: str, colours: Mapping[str, str] | None = None) -> str:
    """The picture as an SVG file. `colours`: conductor colour -> CSS colour, where it differs from ours."""
    return _document(title, [("", picture)], colours or {})


def draw_svg_pair(
    today: Picture,
    new: Picture,
    *,
    title: str,
    headings: tuple[str, str] = ("Today", "New"),
    colours: Mapping[str, str] | None = None,
) -> str:
    """Today's wiring and the new one side by side in one SVG file."""
    return _document(title, [(headings[0], today), (headings[1], new)], colours or {})


def _document(title: str, pictures: list[tuple[str, Picture]], colours: Mapping[str, str]) -> str:
    ink = {**INK, **{name: css for name, css in colours.items() if COLOUR.fullmatch(css)}}
    heading = any(name for name, _ in pictures)
    top = MARGIN + TITLE_HEIGHT + (TITLE_HEIGHT if heading else 0)
    x, height, body, words = MARGIN, 0, [], []
    for name, picture in pictures:
        plan = lay_out(picture)
        if name:
            body.append(_text(Spot(x, top - 14, plain(name), bold=True, size=18)))
        body.append(f'<g transform="translate({x} {top})">')
        body += _picture(plan, ink)
        body.append("</g>")
        words += [f"{plain(name)}." if name else "", told(picture)]
        x += plan.width + GAP
        height = max(height, plan.height)
    width = max(x - GAP, MARGIN + round(width_of(plain(title), TITLE_SIZE))) + MARGIN
    height += top + LINE + MARGIN
    for sentence in _notes([picture for _, picture in pictures]):
        for line in textwrap.wrap(sentence, int((width - 2 * MARGIN) / LETTER)):
            body.append(_text(Spot(MARGIN, height, line)))
            height += LINE
    said = _escaped(" ".join(filter(None, words)))
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
            f'viewBox="0 0 {width} {height}" role="img" aria-labelledby="title desc" font-family="{_escaped(FONT)}">',
            f'<title id="title">{_escaped(plain(title))}</title>',
            f'<desc id="desc">{said}</desc>',
            f'<rect width="{width}" height="{height}" fill="{PAPER}"/>',
            _text(Spot(MARGIN, MARGIN + 20, plain(title), bold=True, size=TITLE_SIZE)),
            *body,
            "</svg>",
            "",
        ]
    )


def _notes(pictures: list[Picture]) -> list[str]:
    """What the signs mean and the sentences below, each once."""
    said = ["A dot joins. Lines that cross without a dot do not touch."]
    said += [f"{sign} {meaning}" for picture in pictures for sign, meaning in picture.legend()]
    said += [note for picture in pictures for note in picture.notes()]
    return sorted(dict.fromkeys(said), key=lambda note: note == CAUTION)


def _picture(plan: Layout, ink: Mapping[str, str]) -> list[str]:
    """From back to front: frames, sheaths, conductors, uprights with their gaps, dots, words."""
    out = []
    for frame in plan.frames:
        width = 2 if frame.strong else 1.2
        out.append(
            f'<rect x="{frame.x}" y="{frame.y}" width="{frame.width}" height="{frame.height}" rx="5" '
            f'fill="{PAPER}" stroke="{DARK}" stroke-width="{width}"/>'
        )
    for sheath in plan.sheaths:
        out += [_stroke(sheath, PAPER, 20), _stroke(sheath, SOFT, 14), _stroke(sheath, SHEATH, 11)]
    for line in plan.conductors:
        out += _conductor(line, ink)
    for line in plan.leads:
        out.append(_stroke(line, DARK, 1.6))
    for line in plan.uprights:
        out.append(_stroke(line, PAPER, 11, cap="butt"))
    for line in plan.uprights:
        out.append(_stroke(line, DARK, 3))
    out += [f'<circle cx="{x}" cy="{y}" r="6.5" fill="{DARK}"/>' for x, y in plan.dots]
    out += [
        f'<rect x="{x}" y="{y - 7}" width="16" height="14" rx="4" fill="{PAPER}" stroke="{DARK}" stroke-width="2"/>'
        for x, y in plan.caps
    ]
    out += [_text(spot) for spot in plan.words]
    return out


def _conductor(line: Line, ink: Mapping[str, str]) -> list[str]:
    """A conductor in its colour between dark edges, so that pale ones show on paper."""
    drawn = [_stroke(line, DARK, 6), _stroke(line, ink.get(line.colour, OTHER_INK), 3.6, cap="butt")]
    if line.colour in STRIPES:
        drawn.append(_stroke(line, STRIPES[line.colour], 3.6, cap="butt", dashes="9 9"))
    return drawn


def _stroke(line: Line, colour: str, width: float, *, cap: str = "round", dashes: str = "") -> str:
    points = " ".join(f"{x},{y}" for x, y in line.points)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return (
        f'<polyline points="{points}" fill="none" stroke="{_escaped(colour)}" stroke-width="{width}" '
        f'stroke-linecap="{cap}" stroke-linejoin="round"{dashed}/>'
    )


def _text(spot: Spot) -> str:
    weight = ' font-weight="bold"' if spot.bold else ""
    anchor = ' text-anchor="end"' if spot.ends_here else ""
    return (
        f'<text x="{spot.x}" y="{spot.y}" font-size="{spot.size}" fill="{DARK}"{weight}{anchor}>'
        f"{_escaped(spot.text)}</text>"
    )


def _escaped(text: str) -> str:
    return escape(text, quote=True)
