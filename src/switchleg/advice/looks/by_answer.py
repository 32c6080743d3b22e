"""What it will be, by what the next look shows: each answer is told in turn, and the verdict that it leads to."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from switchleg.advice.cases.survey import LOOKED_THROUGH, Survey
from switchleg.advice.looks.next_checks import FAN_LOOKS, MOTOR_LOOKS, shares
from switchleg.advice.looks.outlook import Prospect, prospect
from switchleg.advice.model import Case, NextCheck, Outlook
from switchleg.diagnosis.houses.agreement import LOOKED_AT
from switchleg.schema.questions import ABLE_TO_TEST_LIVE, Answer, Question, Value
from switchleg.tree.values import answer_for

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

LEAST = 0.005
"""Outcomes less likely than this are not told one by one, nor answers unless they lead elsewhere than the others."""

NOTHING_SEEN: Mapping[str, Value] = {"motor_label": "unmarked", "capacitor_in": "not_seen"}
"""What is answered where a look shows no clue."""

ON_THE_RECEIVER = frozenset(
    {"receiver_label", "receiver_motor_plug", "receiver_motor_leads", "receiver_light_lead", "light_joined_to"}
)
NO_RECEIVER = "There is no receiver"

Told = tuple[str, Value]
"""A fact and the answer to it."""


def cases(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    untold: Collection[str],
    survey: Survey,
    checks: Sequence[NextCheck],
    doubtful: Mapping[str, float],
) -> tuple[Case, ...]:
    """The answers to the best next look, likeliest first, with what the program would say if each were told.

    `p` is today's likelihood; None where the answer is a decision and not a find.
    """
    questions = knowledge.tree.questions
    names = (check.fact for check in checks if check.fact != ABLE_TO_TEST_LIVE)
    fact = next((name for name in names if questions[name].kind != "measure"), None)
    if fact is None or not survey.hypotheses:
        return ()
    chances = _chances(knowledge, facts, survey, questions[fact], doubtful)
    found: list[tuple[str, float | None, Prospect]] = []
    for (name, value), p in sorted(chances.items(), key=lambda kv: -(kv[1] or 0.0)):
        ahead = prospect(knowledge, {**facts, name: value}, untold)
        rare = p is not None and p < LEAST
        if ahead.shares and not (rare and any(one.shares == ahead.shares for _, _, one in found)):
            label = _label(questions[name], value) if name == fact else NO_RECEIVER
            found.append((label, p, ahead))
    whole = sum(p for _, p, _ in found if p is not None)
    told = (_case(fact, label, None if p is None else p / whole, ahead) for label, p, ahead in found)
    return tuple(sorted(told, key=lambda c: -(c.p or 0.0)))


def _chances(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    survey: Survey,
    question: Question,
    doubtful: Mapping[str, float],
) -> Mapping[Told, float | None]:
    """How likely each answer is today."""
    fact = question.fact
    if fact in facts:
        return _told_before(knowledge, question, facts[fact], doubtful)
    if fact in FAN_LOOKS or fact in MOTOR_LOOKS or fact in LOOKED_AT:
        found = _believed(knowledge, survey, question)
        if found:
            return found
    given = next((chance for chance in knowledge.clues.chance if chance.fact == fact), None)
    if given is not None:
        return {(fact, share.value): share.p for share in given.shares}
    return {(fact, value): None for value in _values(question)}


def _told_before(
    knowledge: Knowledge, question: Question, said: Value, doubtful: Mapping[str, float]
) -> Mapping[Told, float | None]:
    """An answer to be looked at again: it holds, or any other is the truth."""
    wrong = doubtful.get(question.fact, knowledge.clues.slip.rate(question.fact))
    own = answer_for(question, said)
    others = [value for value in _values(question) if answer_for(question, value) is not own]
    return {(question.fact, said): 1 - wrong} | {(question.fact, value): wrong / len(others) for value in others}


def _believed(knowledge: Knowledge, survey: Survey, question: Question) -> Mapping[Told, float | None]:
    """The share of today's cases that would show each answer; what shows none of them is left out."""
    found: dict[int, dict[Value, float]] = {}
    without = 0.0
    for h in survey.hypotheses[:LOOKED_THROUGH]:
        for shown, share in shares(survey, knowledge.clues, h, question.fact).items():
            value = _value(question, shown)
            answer = None if value is None else answer_for(question, value)
            if value is not None and answer is not None:
                part = found.setdefault(question.answers.index(answer), {})
                part[value] = part.get(value, 0.0) + h.p * share
            elif question.fact in ON_THE_RECEIVER and not h.fan.receiver:
                without += h.p * share
    likeliest: dict[Told, float] = {
        (question.fact, max(part, key=lambda v: part[v])): sum(part.values()) for part in found.values()
    }
    if without and "receiver" not in survey.facts:
        likeliest["receiver", False] = without
    return likeliest


def _value(question: Question, shown: Hashable) -> Value | None:
    if shown is None:
        return NOTHING_SEEN.get(question.fact)
    if isinstance(shown, str) and question.kind == "count":
        return int(shown.split()[0])  # "4 or more"
    return shown if isinstance(shown, bool | int | str) else None


def _values(question: Question) -> Iterator[Value]:
    for answer in question.answers:
        value = answer.value if answer.value is not None else answer.at_least
        if value is not None:
            yield value


def _label(question: Question, value: Value) -> str:
    answer: Answer | None = answer_for(question, value)
    return answer.label if answer else str(value)


def _case(fact: str, label: str, p: float | None, ahead: Prospect) -> Case:
    schemes: dict[str, float] = {}
    for (scheme, _), share in ahead.shares.items():
        schemes[scheme or "none"] = schemes.get(scheme or "none", 0.0) + share
    ranked = sorted(ahead.shares.items(), key=lambda kv: -kv[1])
    return Case(
        fact=fact,
        answer=label,
        p=None if p is None else round(p, 4),
        schemes={one: round(q, 4) for one, q in sorted(schemes.items(), key=lambda kv: -kv[1]) if q >= LEAST},
        outlooks=tuple(
            Outlook(scheme=scheme, preparations=needs, p=round(q, 4)) for (scheme, needs), q in ranked if q >= LEAST
        ),
        settles=ahead.settled,
    )
