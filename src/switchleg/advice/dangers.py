"""Which dangers nobody could tell are better looked for first. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from switchleg.tree.conditions import all_hold
from switchleg.tree.model import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

RARE = 0.01
"""How likely a stop is where no estimate stands in clues.toml."""


def by_worth(
    knowledge: Knowledge, facts: Mapping[str, Value], dangers: Sequence[str], trouble: Callable[[str], float]
) -> list[str]:
    """The dangers, the one first that most likely ends the work for its trouble: what is left then is spared."""
    return sorted(dangers, key=lambda fact: -stops(knowledge, facts, fact) / trouble(fact))


def stops(knowledge: Knowledge, facts: Mapping[str, Value], fact: str) -> float:
    """How likely a look ends the work: the share of the answers that meet a stop."""
    chance = next((one for one in knowledge.clues.chance if one.fact == fact), None)
    if chance is None:
        return RARE
    rules = [stop.when for stop in knowledge.rules.stop if any(c.fact == fact for c in stop.when)]
    return sum(
        share.p for share in chance.shares if any(all_hold(when, {**facts, fact: share.value}) for when in rules)
    )
