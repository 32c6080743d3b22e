"""Answers that a verdict hangs on alone: before it stands, each is looked at once more.

That nothing fits ends the work as a stop does. When one look, easily misread, makes all the difference, that look
is asked for again; an answer given twice stands.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.cases.survey import Survey
from switchleg.advice.plans.outcome import Outcome
from switchleg.schema.clues import Unusual
from switchleg.schema.questions import Question, Value
from switchleg.tree.conditions import all_hold, same
from switchleg.units.reading import parse_measure

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

MOST = 6
"""Answers named at once."""


def deciding(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    survey: Survey,
    confirmed: Collection[str],
    retry: Callable[[Mapping[str, Value]], Survey],
) -> tuple[str, ...]:
    """Looks, told once, each of which alone decides that nothing fits: likeliest slips first."""
    rate = knowledge.clues.slip.rate
    against = {fact for h in survey.hypotheses[:FEW] for fact in _standing_against(survey, h)}
    named = sorted((f for f in against if f in facts and f not in confirmed and rate(f)), key=lambda f: (-rate(f), f))
    found = []
    for fact in named:
        others = _others(knowledge.tree.questions[fact], facts[fact])
        if any(_fits(retry({**facts, fact: other})) for other in others):
            found.append(fact)
        if len(found) == MOST:
            break
    return tuple(found)


FEW = 8
"""Likeliest cases whose obstacles are looked at, and in which another answer is tried."""


TURNS = 0.1
"""An answer from the floor as doubtful as this is looked at again where another one would turn the recommendation."""


def turning(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    best: Outcome,
    doubts: Mapping[str, float],
    retry: Callable[[Mapping[str, Value]], Survey],
) -> tuple[str, ...]:
    """Looks from the floor, somewhat doubtful, each of which with another answer leads to another recommendation.

    Where none of a thing was told, nothing more was asked about it: that is looked at again whatever else is known.
    """
    found = []
    for fact, p in doubts.items():
        if p < TURNS or knowledge.tree.station_of.get(fact) != "floor":
            continue
        if type(facts[fact]) is int and facts[fact] == 0:
            found.append(fact)
            continue
        surveys = (retry({**facts, fact: other}) for other in _others(knowledge.tree.questions[fact], facts[fact]))
        if any(s.decided(h) != (best.scheme, best.preparations) for s in surveys for h in s.hypotheses[:FEW]):
            found.append(fact)
    return tuple(found)


def unusual(knowledge: Knowledge, facts: Mapping[str, Value]) -> tuple[str, ...]:
    """Answers told that are seldom met: a measure out by ten, or in another country's unit; or rare beside others."""
    return tuple(
        dict.fromkeys(row.fact for row in knowledge.clues.unusual if row.fact in facts and _odd(knowledge, row, facts))
    )


def _odd(knowledge: Knowledge, row: Unusual, facts: Mapping[str, Value]) -> bool:
    if not all_hold(row.when, facts):
        return False
    if row.value is not None:
        return same(facts[row.fact], row.value)
    if row.units and facts.get("region") in row.regions:
        return str(facts[row.fact]).endswith(row.units)
    dimension = knowledge.tree.questions[row.fact].dimension
    if dimension is None or dimension == "wire":
        return False
    told = parse_measure(str(facts[row.fact]), dimension)
    low, high = (parse_measure(bound, dimension) if bound else None for bound in (row.below, row.above))
    return (low is not None and told.to(low.unit) < low.amount) or (
        high is not None and told.to(high.unit) > high.amount
    )


def _standing_against(survey: Survey, hypothesis: object) -> Iterator[str]:
    for scheme in survey.judge.schemes.scheme:
        for obstacle in survey.outcome(scheme.id, hypothesis).obstacles:  # type: ignore[arg-type]
            yield from obstacle.facts


def _fits(survey: Survey) -> bool:
    return any(survey.best(h) is not None for h in survey.hypotheses[:FEW])


def _others(question: Question, told: Value) -> tuple[Value, ...]:
    """What somebody might have told instead: a count is mostly out by one; a measure is not tried."""
    if question.kind == "yes_no":
        return (told is not True,)
    if question.kind == "count" and isinstance(told, int):
        given = {a.value for a in question.answers} | {a.at_least for a in question.answers}
        return tuple(n for n in (told - 1, told + 1) if n in given)
    if question.kind == "choice":
        return tuple(a.value for a in question.answers if a.value is not None and a.value != told)
    return ()
