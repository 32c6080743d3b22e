"""Answers that cannot all be true: which is best checked again first, and what it does not go with, in words. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from switchleg.advice.card.model import Line, lower
from switchleg.advice.model import Advice, Stop, Why
from switchleg.advice.wording import phrases
from switchleg.schema.questions import Value
from switchleg.tree.values import show

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

DISAGREE = "readings_contradict"
ALL = "All answers that disagree"
"""What the whole list is called, on the card and among the reasons."""
MOST_SHOWN = 2
"""Sets of three answers and more that are told of the first suspect, of each further one the smallest; the others
stand in the whole list."""
IN_FULL = 2
"""Answers beside the suspect that are named by their whole question; longer sets by their short names."""


@dataclass(frozen=True)
class Suspect:
    """An answer to check again, and the sets that hold it and no suspect before it, smallest first."""

    fact: str
    sets: tuple[tuple[str, ...], ...]


def suspects(advice: Advice) -> tuple[Suspect, ...]:
    """Answers that between them stand in every set, best checked again first: the first is the first next check."""
    order = dict.fromkeys([check.fact for check in advice.next_checks])
    order |= dict.fromkeys(sorted(advice.doubtful, key=lambda f: -advice.doubtful[f]))
    order |= dict.fromkeys(fact for one in advice.contradictions for fact in one)
    left = sorted(advice.contradictions, key=len)
    found = []
    for fact in order:
        mine = tuple(one for one in left if fact in one)
        left = [one for one in left if fact not in one]
        found += [Suspect(fact, mine)] if mine else []
    return tuple(found)


def lines(knowledge: Knowledge, facts: Mapping[str, Value], advice: Advice) -> Iterator[Line]:
    """For each suspect its question, then what it does not go with; how many more sets there are, and where."""
    for number, suspect in enumerate(suspects(advice)):
        lead = "Then, for what disagrees besides" if number else "Best checked again first"
        yield Line(text=f"{lead}: {_told(knowledge, facts, suspect.fact)}.")
        pairs = [fact for one in suspect.sets if len(one) == 2 for fact in one if fact != suspect.fact]
        if pairs:
            of = "this answer" if len(pairs) == 1 else "any of these answers"
            told = "; ".join(_told(knowledge, facts, fact) for fact in pairs)
            yield Line(text=f"It does not go with {of}: {told}.", kind="warning")
        shown, left = _larger(suspect, first=not number)
        for one in shown:
            beside = [fact for fact in one if fact != suspect.fact]
            told = phrases.listed(_told(knowledge, facts, fact, full=len(beside) <= IN_FULL) for fact in beside)
            lead = "Nor does it go" if pairs or one is not shown[0] else "It does not go"
            yield Line(text=f"{lead} with these together: {told}.", kind="warning")
        if left:
            more = "one more set" if left == 1 else f"{phrases.number(left)} more sets"
            yield Line(text=f'And {more} like it: see "{ALL}" (under Why).')


def _larger(suspect: Suspect, *, first: bool) -> tuple[tuple[tuple[str, ...], ...], int]:
    """Its sets of three answers and more that are told at once, and how many are left for the whole list."""
    larger = tuple(one for one in suspect.sets if len(one) > 2)
    shown = larger[: MOST_SHOWN if first else max(0, 1 - len(suspect.sets) + len(larger))]
    return shown, len(larger) - len(shown)


def some_left(advice: Advice) -> bool:
    """Whether some set is told in the whole list alone."""
    return any(_larger(suspect, first=not number)[1] for number, suspect in enumerate(suspects(advice)))


def first_looks(advice: Advice) -> frozenset[str]:
    """The suspects, and the answers of the smallest set of each."""
    return frozenset(fact for suspect in suspects(advice) for fact in suspect.sets[0])


def _told(knowledge: Knowledge, facts: Mapping[str, Value], fact: str, *, full: bool = True) -> str:
    """An answer with its question: whole, or by its short name."""
    question = knowledge.tree.questions[fact]
    name = f'"{question.ask}"' if full else question.short or fact.replace("_", " ")
    label = show(question, facts[fact])
    return f"{name} ({lower(label) if label[1:2].islower() else label})"


def all_sets(advice: Advice) -> Iterator[Stop]:
    """The stop of every set of answers that disagree, in the order of their suspects."""
    by_set = {stop.facts: stop for stop in advice.stops if stop.rule == DISAGREE}
    for suspect in suspects(advice):
        yield from (by_set[one] for one in suspect.sets if one in by_set)


def why_at_odds(advice: Advice) -> Why | None:
    """All sets as a step of the reasons; None where all answers can be true."""
    steps = tuple(Why(text=stop.text, sources=stop.sources) for stop in all_sets(advice))
    return Why(text=f"{ALL}: {len(steps)} {'set' if len(steps) == 1 else 'sets'}.", steps=steps) if steps else None
