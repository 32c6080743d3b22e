"""The card as plain text: wrapped lines, nothing drawn, good to hear and to print."""

from __future__ import annotations

from typing import TYPE_CHECKING

from switchleg.command.shell.output import wrapped

if TYPE_CHECKING:
    from switchleg.advice.card.build import Card

_LEADS = {
    "text": ("", ""),
    "item": ("- ", "  "),
    "warning": ("Caution: ", "  "),
    "good": ("+ ", "  "),
    "bad": ("- ", "  "),
    "sum": ("  ", "    "),
}


def card_text(card: Card) -> str:
    """The whole card in reading order, a blank line between its parts."""
    parts = [wrapped(card.title)] if card.title else []
    parts.append(wrapped(card.headline))
    for section in card.sections:
        lines = [wrapped(section.title.upper())]
        step = 0
        for line in section.lines:
            if line.kind == "step":
                step += 1
                first, rest = f"{step}. ", " " * (len(str(step)) + 2)
            else:
                first, rest = _LEADS.get(line.kind, ("", ""))
            lines.append(wrapped(line.text, first=first, rest=rest))
            lines += [wrapped(text, first="      ", rest="        ") for text in line.brief]
        parts.append("\n".join(lines))
    return "\n\n".join(parts)
