"""What it will be, by what the next look shows: for each answer the recommendation it would lead to."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.model import Case, NextCheck
from switchleg.advice.open_looks import shares
from switchleg.advice.survey import LOOKED_THROUGH, Survey

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

LEAST = 0.005
"""Outcomes less likely than this are not told one by one."""


def cases(knowledge: Knowledge, survey: Survey, checks: tuple[NextCheck, ...]) -> tuple[Case, ...]:
    """The answers to the best next look with what each would leave: schemes and their shares (today's belief)."""
    if not checks or not survey.hypotheses:
        return ()
    fact = checks[0].fact
    question = knowledge.tree.questions[fact]
    labels: Mapping[Hashable, str] = {a.value: a.label for a in question.answers if a.value is not None}
    by_answer: dict[Hashable, dict[str, float]] = {}
    for h in survey.hypotheses[:LOOKED_THROUGH]:
        scheme = survey.decided(h)[0]
        for answer, share in shares(survey, knowledge.clues, h, fact).items():
            if answer is not None and answer in labels:
                part = by_answer.setdefault(answer, {})
                part[scheme] = part.get(scheme, 0.0) + h.p * share
    whole = sum(p for part in by_answer.values() for p in part.values())
    found = []
    for answer, part in by_answer.items():
        total = sum(part.values())
        if whole and total / whole >= LEAST:
            ranked = sorted(part.items(), key=lambda kv: -kv[1])
            schemes = {scheme or "none": round(p / total, 4) for scheme, p in ranked if p / total >= LEAST}
            found.append(Case(fact=fact, answer=labels[answer], p=round(total / whole, 4), schemes=schemes))
    return tuple(sorted(found, key=lambda c: -c.p))
