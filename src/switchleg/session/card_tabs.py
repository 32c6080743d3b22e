"""Everything that the card's tabs show, worked out in one go for the answers as they are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from switchleg.advice.card.contradictions import why_at_odds
from switchleg.advice.card.tabs import Tab, tabs
from switchleg.errors import SwitchlegError
from switchleg.schema.sources import foreign

if TYPE_CHECKING:
    from switchleg.advice.card.build import Card
    from switchleg.advice.card.drawings import Pictures
    from switchleg.advice.model import Advice, SchemeVerdict, Why
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.questions import Value
    from switchleg.session.session import Session
    from switchleg.session.views.model import LookNow


@dataclass(frozen=True)
class Sheets:
    """The card, its tabs, the drawings or why there are none, the reasons, and titles of sources by id."""

    card: Card
    advice: Advice
    tabs: tuple[Tab, ...]
    drawn: Pictures | None
    not_drawn: str
    whys: tuple[Why, ...]
    sources: Mapping[str, str]
    look_now: LookNow | None
    """The look that can be taken without opening anything more."""

    @property
    def chosen(self) -> SchemeVerdict | None:
        """The recommended scheme."""
        return recommended(self.advice)

    def source(self, name: str) -> str:
        return self.sources.get(name, name)


def recommended(advice: Advice) -> SchemeVerdict | None:
    """The verdict of the recommended scheme, if one is recommended."""
    wanted = advice.recommendation.scheme if advice.recommendation else None
    return next((scheme for scheme in advice.schemes if scheme.id == wanted), None)


def sheets(knowledge: Knowledge, session: Session) -> Sheets:
    """The sheets of a session; its card is kept in the record as `Session.card` does."""
    card, advice = session.card(), session.advice()
    chosen = recommended(advice)
    drawn, not_drawn = _drawn(knowledge, session.facts)
    first = [scheme for scheme in advice.schemes if scheme is chosen]
    others = [scheme for scheme in advice.schemes if scheme is not chosen]
    return Sheets(
        card=card,
        advice=advice,
        tabs=tabs(card),
        drawn=drawn,
        not_drawn=not_drawn,
        whys=tuple(why for why in (why_at_odds(advice), *(s.why for s in (*first, *others))) if why is not None),
        look_now=session.look_now(),
        sources=_titles(knowledge, str(session.facts.get("region", ""))),
    )


def _drawn(knowledge: Knowledge, facts: Mapping[str, Value]) -> tuple[Pictures | None, str]:
    from switchleg.advice.card.drawings import pictures

    try:
        return pictures(knowledge, facts), ""
    except SwitchlegError as error:
        return None, error.line()


def _titles(knowledge: Knowledge, region: str) -> Mapping[str, str]:
    """Every source by its title; one of another region's rules says so."""
    return {name: source.title + foreign(source, region) for name, source in knowledge.sources.items()}
