"""What it will be, by what the next look shows: for each answer the recommendation it would lead to."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.model import Case, NextCheck, Outlook
from switchleg.advice.open_looks import shares
from switchleg.advice.survey import LOOKED_THROUGH, Survey

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

Decided = tuple[str, tuple[str, ...]]
"""A scheme and its preparations."""

LEAST = 0.005
"""Outcomes less likely than this are not told one by one."""


def cases(knowledge: Knowledge, survey: Survey, checks: tuple[NextCheck, ...]) -> tuple[Case, ...]:
    """The answers to the best next look with what each would leave: schemes and their shares (today's belief)."""
    fact = next((check.fact for check in checks if check.fact not in survey.judge.facts), None)
    if fact is None or not survey.hypotheses:
        return ()
    question = knowledge.tree.questions[fact]
    labels: Mapping[Hashable, str] = {a.value: a.label for a in question.answers if a.value is not None}
    by_answer: dict[Hashable, dict[Decided, float]] = {}
    for h in survey.hypotheses[:LOOKED_THROUGH]:
        decided = survey.decided(h)
        for answer, share in shares(survey, knowledge.clues, h, fact).items():
            if answer is not None and answer in labels:
                part = by_answer.setdefault(answer, {})
                part[decided] = part.get(decided, 0.0) + h.p * share
    whole = sum(p for part in by_answer.values() for p in part.values())
    found = []
    for answer, part in by_answer.items():
        total = sum(part.values())
        if whole and total / whole >= LEAST:
            found.append(_case(fact, labels[answer], total / whole, {one: p / total for one, p in part.items()}))
    return tuple(sorted(found, key=lambda c: -c.p))


def _case(fact: str, answer: str, p: float, part: Mapping[Decided, float]) -> Case:
    schemes: dict[str, float] = {}
    for (scheme, _), share in part.items():
        schemes[scheme or "none"] = schemes.get(scheme or "none", 0.0) + share
    ranked = sorted(part.items(), key=lambda kv: -kv[1])
    return Case(
        fact=fact,
        answer=answer,
        p=round(p, 4),
        schemes={one: round(q, 4) for one, q in sorted(schemes.items(), key=lambda kv: -kv[1]) if q >= LEAST},
        outlooks=tuple(
            Outlook(scheme=scheme, preparations=needs, p=round(q, 4)) for (scheme, needs), q in ranked if q >= LEAST
        ),
    )
