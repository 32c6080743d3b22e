"""The card's lines as they stand on a screen: a sign in front of each, never colour alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from .fit_text import wrap

if TYPE_CHECKING:
    from switchleg.advice.card.build import Line, Section
    from switchleg.advice.card.drawings import Pictures

STATUS = {
    "recommended": "✓ THIS CAN WORK",
    "needs_checks": "? MORE TO CHECK",
    "stop": "! STOP",
}
SIGNS = {
    "text": "",
    "step": "{n}. ",
    "item": "- ",
    "warning": "! ",
    "good": "✓ yes: ",
    "bad": "✗ no: ",
    "sum": "= ",
}
COLOURS = {"warning": "bold $warning", "good": "$success", "bad": "$error", "sum": "bold"}
GAP = 4
"""Blanks between two drawings side by side."""
NARROWEST = 36
"""Columns that a drawing is asked to fit; where its joints need more, it is scrolled sideways."""


def line_words(line: Line, number: int, width: int) -> Content:
    """One line of the card, its sign in front and its further rows under its first word."""
    sign = SIGNS.get(line.kind, "").format(n=number)
    first, *others = wrap(line.text, width - len(sign))
    text = "\n".join([sign + first, *(" " * len(sign) + other for other in others)])
    return Content.styled(text, COLOURS.get(line.kind, ""))


def _beneath(text: str, width: int) -> Content:
    lead = "    "
    return Content.styled("\n".join(lead + row for row in wrap(text, width - len(lead))), "$text-muted")


def section_words(section: Section, width: int, *, under: bool = False) -> Content:
    """A section: its title, then its lines; steps are numbered from one. `under`: what stands beneath them too."""
    parts = [Content.styled(section.title, "bold $primary")]
    number = 0
    for line in section.lines:
        number += line.kind == "step"
        parts.append(line_words(line, number, width))
        if under:
            parts += [_beneath(text, width) for text in line.under]
    return Content("\n").join(parts)


def drawing_words(drawn: Pictures, scheme: str, width: int, *, ascii_only: bool) -> str:
    """Today's wiring and the planned one: side by side where both fit, else one below the other."""
    from switchleg.wiring.drawing.text import draw_text

    def form(room: int) -> list[list[str]]:
        forms = [["TODAY", "", *draw_text(drawn.today, width=room, ascii_only=ascii_only).splitlines()]]
        if drawn.new is not None:
            new = draw_text(drawn.new, width=room, ascii_only=ascii_only).splitlines()
            forms.append([*wrap(f"NEW: {scheme}", room), "", *new])
        return forms

    half = (width - GAP) // 2
    sides = form(max(NARROWEST, min(half, 48)))
    widest = max(len(line) for line in sides[0])
    if len(sides) == 2 and widest + GAP + max(map(len, sides[1])) <= width:
        rows = max(map(len, sides))
        left, right = ([*side, *[""] * (rows - len(side))] for side in sides)
        return "\n".join(f"{one.ljust(widest + GAP)}{other}".rstrip() for one, other in zip(left, right, strict=True))
    return "\n\n".join("\n".join(side) for side in form(max(NARROWEST, min(width, 48))))
