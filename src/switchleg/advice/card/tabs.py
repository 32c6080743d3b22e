"""The card laid out on tabs: the verdict and what to do and not to do first, the rest by what it is for. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from switchleg.advice.card.build import Card, Section

TabId = Literal["card", "plan", "numbers", "parts", "checks", "why"]
TITLES: dict[TabId, str] = {
    "card": "Card",
    "plan": "Plan",
    "numbers": "Numbers",
    "parts": "Parts",
    "checks": "Checks",
    "why": "Why",
}
SECTIONS: dict[TabId, tuple[str, ...]] = {
    "card": ("hazards", "stops", "verdict", "next", "preparations", "cautions", "not_to_buy", "keeps"),
    "plan": ("steps", "splices", "afterwards", "functions"),
    "numbers": ("sums", "choosing", "numbers", "box_fill", "placing"),
    "parts": ("parts", "not_to_buy"),
    "checks": ("next", "cases", "known", "evidence"),
    "why": ("at_odds", "why_not", "sources"),
}
"""Sections by their ids, in the order they are read; one may stand on two tabs."""
NOTHING: dict[TabId, str] = {
    "card": "There is nothing to say yet.",
    "plan": "There is no plan yet. The tab Checks says what to look at next.",
    "numbers": "No sum can be made yet: the labels and measures for it are not known.",
    "parts": "Nothing to buy yet: no way is chosen.",
    "checks": "Nothing is left to check.",
    "why": "There are no reasons to show yet.",
}


@dataclass(frozen=True)
class Tab:
    """One tab; `nothing` is what it says when it has no sections."""

    id: TabId
    title: str
    sections: tuple[Section, ...]
    nothing: str


def tabs(card: Card) -> tuple[Tab, ...]:
    """Every tab in order. A section that no tab asks for stands at the end of the first, so that none is lost."""
    by_id = {section.id: section for section in card.sections}
    placed = {name for names in SECTIONS.values() for name in names}
    others = tuple(section for section in card.sections if section.id not in placed)
    return tuple(
        Tab(
            id=tab,
            title=title,
            sections=tuple(by_id[name] for name in SECTIONS[tab] if name in by_id) + (others if tab == "card" else ()),
            nothing=NOTHING[tab],
        )
        for tab, title in TITLES.items()
    )
