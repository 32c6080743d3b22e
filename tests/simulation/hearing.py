"""How a questionnaire goes: what is asked of somebody who answers one question after the other, and what twice."""

from __future__ import annotations

import random
from bisect import bisect_left
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from simulation.people import Case, Told, once_more
from switchleg.advice.looks.worth_asking import Needed, asked, deciding, needed
from switchleg.advice.verdict.decide import Decision, decide
from switchleg.knowledge.load import Knowledge
from switchleg.schema.questions import CARD, Reply
from switchleg.session.remaining import Way, asked_from, way
from switchleg.tree.walk import Sparing, Walk, walk


@dataclass(frozen=True)
class Heard:
    """How a questionnaire went: the last way and replies, the decision on it, how many looks were taken twice."""

    walk: Walk
    decision: Decision
    again: int
    replies: Mapping[str, Reply]


ROUNDS = 4
"""How often somebody looks once more at what the card asks for."""


def hear(
    knowledge: Knowledge, case: Case, told: Told, rng: random.Random, slip: float, *, everything: bool = False
) -> Heard:
    """Ask as a session does: no more than is needed, and once more what all else hangs on.

    `everything`: whoever wants to be asked the whole tree, as a session offers too; much quicker to simulate.
    """

    def twice(walked: Walk, fact: str) -> Any:
        return once_more(rng, knowledge, case, walked, fact, slip)

    return heard_from(knowledge, told.replies, twice, everything=everything)


def heard_from(
    knowledge: Knowledge, given: Mapping[str, Reply], twice: Callable[[Walk, str], Any], *, everything: bool = False
) -> Heard:
    """`hear` of any replies. `twice`: what a second look finds, None for the same as before."""
    replies, confirmed, again = dict(given), set(), 0
    for _ in range(ROUNDS):
        way = at_length(knowledge, replies) if everything else as_asked(knowledge, replies)
        decision = decide(knowledge, way.facts, way.untold, confirmed)
        if not decision.again:
            break
        node_of = {knowledge.tree.nodes[s.node_id].fact: s for s in way.walk.steps if s.reply.kind == "value"}  # type: ignore[union-attr]
        for fact in decision.again:
            step = node_of[fact]
            found = twice(way.walk, fact)
            again += 1
            if found is None:
                confirmed.add(fact)
            else:
                replies[step.node_id] = step.reply.model_copy(update={"value": found})
    return Heard(way.walk, decision, again, replies)


def at_length(knowledge: Knowledge, replies: Mapping[str, Reply]) -> Way:
    """The way through the whole tree."""
    walked = walk(knowledge.tree, replies)
    return Way(walked, walked.facts, frozenset(walked.cant_tell) - walked.facts.keys(), None, Sparing())


def as_asked(knowledge: Knowledge, replies: Mapping[str, Reply]) -> Way:
    """The way of somebody who answers one question after the other.

    Before enough is known only looks that would tell nothing are left out, and from then on enough is known: the
    first such place is searched for, and only from there on the session is asked what comes next.
    """
    full, passed = walk(knowledge.tree, replies), set()
    telling = asked(knowledge, "where_it_tells")
    for node in [n for n in replies if getattr(knowledge.tree.nodes[n], "fact", None) in telling]:
        at = next((n for n, step in enumerate(full.steps) if step.node_id == node), None)
        if at is not None and node in _needed(knowledge, full, at).left_out:
            passed.add(node)
            full = walk(knowledge.tree, {n: r for n, r in replies.items() if n not in passed}, passed)
    enough = bisect_left(range(len(full.steps)), True, key=lambda n: _enough(knowledge, full, n))
    given = {step.node_id: step.reply for step in full.steps[:enough]}
    return one_by_one(knowledge, replies, given)


def one_by_one(knowledge: Knowledge, replies: Mapping[str, Reply], given: Mapping[str, Reply]) -> Way:
    """The way of somebody who has given these replies already and goes on from there."""
    told, memory = dict(given), {}
    while True:
        found = way(knowledge, told, memory=memory)
        if found.walk.at == CARD:
            return found
        told[found.walk.at] = replies[found.walk.at]


def _enough(knowledge: Knowledge, full: Walk, number: int) -> bool:
    """Whether the first so many steps of a way leave nothing but details to ask."""
    found = _needed(knowledge, full, number)
    return found.ended or found.settled


def _needed(knowledge: Knowledge, full: Walk, number: int) -> Needed:
    """What is still worth asking after the first so many steps of a way."""
    facts: dict[str, Any] = {}
    untold: set[str] = set()
    for step in full.steps[:number]:
        fact = getattr(knowledge.tree.nodes[step.node_id], "fact", None)
        if fact is not None and step.reply.value is not None:
            facts[fact] = step.reply.value
        elif fact is not None:
            facts.pop(fact, None)
            untold.add(fact)
    blind = frozenset(untold - facts.keys())
    ahead = asked_from(knowledge.tree, full.steps[number].node_id)
    early = bool(deciding(knowledge) & ahead - facts.keys() - blind)
    return needed(knowledge, facts, blind, early=early)
