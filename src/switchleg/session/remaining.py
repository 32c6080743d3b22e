"""Which of the tree's questions are still asked: the way stops when enough is known. Pure.

The tree says what may be asked and in which order; what is left out here is passed over as "can't tell" or "not
now" would be, so every way that is proved to end at the card still does.
"""

from __future__ import annotations

import functools
from collections.abc import Container, Mapping, MutableMapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from switchleg.schema.questions import CARD, Again, Door, Question, Reply, Value
from switchleg.tree.graph import Tree, reachable
from switchleg.tree.walk import Sparing, Walk, Walker, ahead_of, walk

if TYPE_CHECKING:
    from switchleg.advice.looks.worth_asking import Needed
    from switchleg.knowledge.load import Knowledge

_SOME_TIME = datetime.min.replace(tzinfo=UTC)
Memory = MutableMapping[object, "Needed"]
"""What was needed under facts that were looked at before."""


@dataclass(frozen=True)
class Way:
    """Where somebody stands. `facts` and `untold`: what is known, and what could not be told, further on too.

    `needed` is None when everything is asked.
    """

    walk: Walk
    facts: dict[str, Value]
    untold: frozenset[str]
    needed: Needed | None
    sparing: Sparing


def way(
    knowledge: Knowledge, replies: Mapping[str, Reply], *, everything: bool = False, memory: Memory | None = None
) -> Way:
    """Follow the replies, past every question and door whose answer could change nothing any more.

    `everything`: only what is known further on already is passed over.
    """
    tree = knowledge.tree
    everything = everything or not hasattr(knowledge, "schemes")
    memory = {} if memory is None else memory
    passing: set[str] = set()
    walker = Walker(tree, replies)
    while True:
        walked = walker.go(passing)
        ahead = ahead_of(walker, walked, passing)
        untold = frozenset(fact for fact in ahead.cant_tell if fact not in ahead.facts)
        found = None if everything else _needed(knowledge, ahead, untold, walked.at, memory)
        if found is not None and found.ended:
            walked = walk(tree, replies, _All())
            return Way(walked, ahead.facts, untold, found, Sparing())
        if walked.at == CARD or not _passes(tree, replies, passing, walked, found, ahead.facts):
            return Way(walked, ahead.facts, untold, found, _sparing(knowledge, found, ahead.facts))
        passing.add(walked.at)


class _All(Container[str]):
    def __contains__(self, node: object) -> bool:
        return True


def _needed(knowledge: Knowledge, ahead: Walk, untold: frozenset[str], at: str, memory: Memory) -> Needed:
    from switchleg.advice.looks.worth_asking import deciding, needed

    early = bool(deciding(knowledge) & asked_from(knowledge.tree, at) - ahead.facts.keys() - untold)
    known = frozenset((fact, type(value), value) for fact, value in ahead.facts.items())
    key = known, untold, early
    if key not in memory:
        memory[key] = needed(knowledge, ahead.facts, untold, early=early)
    return memory[key]


@functools.lru_cache(maxsize=1000)
def asked_from(tree: Tree, at: str) -> frozenset[str]:
    """Facts that may still be asked from a node on, its own too."""
    nodes = (tree.nodes[each] for each in reachable(tree, at) if each != CARD)
    return frozenset(node.fact for node in nodes if isinstance(node, Question | Again))


def _passes(
    tree: Tree,
    replies: Mapping[str, Reply],
    passing: set[str],
    walked: Walk,
    found: Needed | None,
    facts: Mapping[str, Value],
) -> bool:
    """Whether the node at hand is passed over."""
    node = tree.nodes[walked.at]
    if isinstance(node, Question | Again):
        return node.fact in facts or (found is not None and node.fact in found.left_out)
    if not isinstance(node, Door) or found is None or not found.settled:
        return False
    return node.opens in found.shut or not _asks_behind(tree, replies, passing, node, found, facts)


def _asks_behind(
    tree: Tree, replies: Mapping[str, Reply], passing: set[str], door: Door, found: Needed, facts: Mapping[str, Value]
) -> bool:
    """Whether anything would be asked in the station that a door opens."""
    passing = set(passing)
    opened = {**replies, door.id: Reply(kind="open", at=_SOME_TIME, station=tree.station_of[door.id])}
    walker = Walker(tree, opened)
    while True:
        walked = walker.go(passing)
        node = tree.nodes.get(walked.at)
        if not isinstance(node, Question | Again) or tree.station_of[walked.at] != door.opens:
            return False
        if node.fact not in facts and node.fact not in found.left_out:
            return True
        passing.add(walked.at)


def _sparing(knowledge: Knowledge, found: Needed | None, facts: Mapping[str, Value]) -> Sparing:
    if found is None:
        return Sparing(left_out=frozenset(facts))
    from switchleg.advice.looks.worth_asking import looks_only
    from switchleg.schema.questions import ABLE_TO_TEST_LIVE

    perhaps = looks_only(knowledge) | {ABLE_TO_TEST_LIVE}
    return Sparing(perhaps, found.left_out | facts.keys(), found.shut)
