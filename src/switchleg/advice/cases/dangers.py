"""Which stops can still come because nobody has told what they hang on, and which of them to look for first. Pure."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from switchleg.advice.cases.survey import Survey
from switchleg.advice.numbers import safety
from switchleg.advice.plans.outcome import Outcome
from switchleg.schema.questions import Condition, Value
from switchleg.schema.schemes import Blind
from switchleg.tree.conditions import all_hold, holds

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

RARE = 0.01
"""How likely a stop is where no estimate stands in clues.toml."""


@dataclass(frozen=True)
class Danger:
    """A stop that can still come: `open` are the facts nobody has told, on which it hangs; `finding` is what a figure
    says of them."""

    rule: str
    open: tuple[str, ...]
    blind: Blind
    finding: str = ""
    everywhere: bool = False
    """It bears on the work wherever that is done."""


def open_dangers(knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str] = ()) -> tuple[Danger, ...]:
    """The stops that can still come, in the order of the rules, as far as anybody can look for them.

    What was looked for and could not be told (`untold`) is open too where nobody would have asked for it; nothing
    waits for it there.
    """
    station_of, found = knowledge.tree.station_of, []
    shut = _shut(facts)
    for danger, arises in _hanging(knowledge, facts, untold):
        asked = all(_may_hold(c, facts) for c in arises)
        near = tuple(fact for fact in danger.open if fact in station_of and station_of[fact] not in shut)
        if not asked or len(near) < len(danger.open):
            near = tuple(fact for fact in near if fact in untold)
        if near:
            found.append(replace(danger, open=near, blind=danger.blind if asked else "stands"))
    return tuple(found)


def _hanging(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str]
) -> Iterator[tuple[Danger, tuple[Condition, ...]]]:
    """Every stop that is neither met nor out of the question, and when anybody would look for it."""
    for stop in knowledge.rules.stop:
        met = {c.fact: holds(c, facts) for c in stop.when}
        if False not in met.values() and None in met.values():
            needs = tuple(fact for fact, held in met.items() if held is None)
            yield Danger(stop.id, needs, stop.blind, everywhere=stop.everywhere), stop.arises
    for rule in knowledge.rules.tested:
        figure = safety.FIGURES.get(rule.id)
        fit = safety.still_open(rule.id, facts, knowledge.tables, untold) if figure else None
        if figure and fit:
            yield Danger(rule.id, fit.missing, rule.blind, fit.text), () if figure.parent in facts else rule.arises


def _may_hold(condition: Condition, facts: Mapping[str, Value]) -> bool:
    """Whether it holds; what is not known makes no exception."""
    held = holds(condition, facts)
    return held is True or (held is None and condition.is_not is not None)


def _shut(facts: Mapping[str, Value]) -> set[str]:
    """Stations where there is nothing to look at, or that stay closed."""
    shut = {"wall"} if facts.get("wall_boxes") == 0 else set()
    return shut | ({"canopy"} if facts.get("may_open_canopy") is False else set())


def facts_of(dangers: Iterable[Danger]) -> tuple[str, ...]:
    """What they hang on, each fact once."""
    return tuple(dict.fromkeys(fact for danger in dangers for fact in danger.open))


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


def dangers_of(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str], survey: Survey, best: Outcome | None
) -> tuple[Danger, ...]:
    """Stops that can still come, as far as the recommended work goes to where they are."""
    dangers = open_dangers(knowledge, facts, untold)
    if best is None or survey.goes_up():
        return dangers
    found = []
    for danger in dangers:  # nobody climbs for what is left as it is
        stays = danger.everywhere
        below = tuple(f for f in danger.open if stays or f in untold or knowledge.tree.station_of[f] != "canopy")
        found += [replace(danger, open=below)] if below else []
    return tuple(found)


def untold_dangers(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str], survey: Survey, best: Outcome | None
) -> tuple[str, ...]:
    """Dangers that somebody looked for and could not tell, and for which the verdict waits."""
    waited_for = (d for d in dangers_of(knowledge, facts, untold, survey, best) if d.blind == "waits")
    return tuple(fact for fact in facts_of(waited_for) if fact in untold)
