"""Where somebody stands in the tree, from nothing but what they replied: pure, and total for any replies."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

from switchleg.errors import SwitchlegError
from switchleg.tree.conditions import all_hold
from switchleg.tree.graph import Tree, in_order, ways_out
from switchleg.tree.model import CARD, Again, Dimension, Door, Fork, Question, Reply, Station, Value
from switchleg.tree.values import answer_for, offers_zero


@dataclass(frozen=True)
class Step:
    """A node that was replied to on the way."""

    node_id: str
    reply: Reply


@dataclass(frozen=True)
class Walk:
    """The way from the first question as far as the replies go."""

    steps: tuple[Step, ...]
    at: str
    """The node to show now, a question, a second look or a door; CARD at the end."""
    facts: dict[str, Value]
    cant_tell: dict[str, Station]
    """Facts that could not be told, with the last station where that was said; none of them is in `facts`."""
    later: tuple[str, ...]
    """Doors on the way that were answered "not now"."""
    declined: bool
    """A door on the way was answered "I'd rather not"."""


def walk(tree: Tree, replies: Mapping[str, Reply]) -> Walk:
    """Follow the replies from `tree.first`.

    A reply that does not suit its node counts as not given; replies off the way are ignored; a second look
    is passed over when its fact is known. In an unsound tree the way ends at CARD where it would leave the
    tree or come round to a node again.
    """
    steps: list[Step] = []
    facts: dict[str, Value] = {}
    cant_tell: dict[str, Station] = {}
    later: list[str] = []
    declined = False
    at = tree.first
    seen: set[str] = set()
    while at in tree.nodes and at not in seen:
        seen.add(at)
        node = tree.nodes[at]
        if isinstance(node, Fork):
            at = way_of(node, facts)
            continue
        if isinstance(node, Again) and (node.fact in facts or node.fact not in tree.questions):
            at = node.leads_to
            continue
        reply = replies.get(at)
        target = _after(tree, node, reply) if reply is not None else None
        if reply is None or target is None:
            return Walk(tuple(steps), at, facts, cant_tell, tuple(later), declined)
        steps.append(Step(at, reply))
        if isinstance(node, Door):
            declined = declined or reply.kind == "decline"
            if reply.kind == "later":
                later.append(at)
        elif reply.kind == "value" and reply.value is not None:
            facts[node.fact] = reply.value
            cant_tell.pop(node.fact, None)
        else:
            cant_tell[node.fact] = tree.station_of[at]
            facts.pop(node.fact, None)
        at = target
    return Walk(tuple(steps), CARD, facts, cant_tell, tuple(later), declined)


def facts_ahead(tree: Tree, replies: Mapping[str, Reply]) -> dict[str, Value]:
    """The facts of `walk`, and those that are known behind a question which a changed answer has brought up.

    A question without an answer counts as "can't tell" here, as long as answers wait behind it: what was found
    at the wall is not forgotten because something is open on the floor. A door is never passed.
    """
    given = dict(replies)
    walked = walk(tree, given)
    waiting = given.keys() - {step.node_id for step in walked.steps}
    while waiting and isinstance(tree.nodes.get(walked.at), Question | Again):
        station = tree.station_of[walked.at]
        given[walked.at] = Reply(kind="cant_tell", at=_NEVER, station=station)
        walked = walk(tree, given)
        waiting -= {step.node_id for step in walked.steps}
    return walked.facts


_NEVER = datetime.min.replace(tzinfo=UTC)


def way_of(fork: Fork, facts: Mapping[str, Value]) -> str:
    """Where a fork leads: an unknown fact does not open a branch."""
    return next((b.leads_to for b in fork.branch if all_hold(b.when, facts) is True), fork.otherwise)


def _after(tree: Tree, node: Question | Again | Door, reply: Reply) -> str | None:
    """Where a reply leads, or None when it does not suit the node."""
    if isinstance(node, Door):
        return {"open": node.open, "later": node.later, "decline": node.decline}.get(reply.kind)
    question = tree.questions[node.fact]
    if reply.kind == "cant_tell":
        return node.cant_tell if isinstance(node, Question) else node.leads_to
    if reply.kind != "value" or reply.value is None:
        return None
    answer = answer_for(question, reply.value)
    if answer is None or (answer.typed and not _is_measure(question, reply.value)):
        return None
    return answer.leads_to if isinstance(node, Question) else node.leads_to


@functools.lru_cache(maxsize=1000)
def _measures(text: str, dimension: Dimension, zero: bool) -> bool:
    from switchleg.figures.units import parse_measure

    try:
        parse_measure(text, dimension, zero=zero)
    except SwitchlegError:
        return False
    return True


def _is_measure(question: Question, value: Value) -> bool:
    """Whether a typed value can be read; one that may be a trade size of a table is left to the table."""
    if question.sizes_from or question.dimension is None:
        return True
    return isinstance(value, str) and _measures(value, question.dimension, offers_zero(question))


def remaining(tree: Tree, walked: Walk) -> tuple[int, int]:
    """The least and the most questions that may still come, the one at hand counted; doors are not.

    A door counts as opened or put off, not as declined. Forks and second looks that what is known
    already decides are decided; the others may go either way, so the range may be too wide, never too narrow.
    """
    if walked.at not in tree.nodes:
        return (0, 0)
    order = in_order(tree, walked.at)
    nodes = [tree.nodes[at] for at in order]
    ahead = {node.fact for node in nodes if isinstance(node, Question | Again)}
    least: dict[str, int] = {}
    most: dict[str, int] = {}
    for at in reversed(order):
        node = tree.nodes[at]
        if isinstance(node, Fork):
            ways = _open_ways(node, walked.facts, ahead)
        elif isinstance(node, Door):
            ways = (node.open, node.later)
        else:
            ways = tuple(target for _, target in ways_out(node))
        cost_least = cost_most = 0
        if isinstance(node, Question):
            cost_least = cost_most = 1
        elif isinstance(node, Again) and node.fact in tree.questions and node.fact not in walked.facts:
            cost_least = 1 if at == walked.at else 0
            cost_most = 1
        least[at] = cost_least + min(least.get(way, 0) for way in ways)
        most[at] = cost_most + max(most.get(way, 0) for way in ways)
    return least[walked.at], most[walked.at]


def _open_ways(fork: Fork, facts: Mapping[str, Value], ahead: set[str]) -> tuple[str, ...]:
    """The ways a fork may still lead, when only the facts in `ahead` can change."""
    ways: list[str] = []
    for branch in fork.branch:
        fixed = [c for c in branch.when if c.fact in facts or c.fact not in ahead]
        if all_hold(fixed, facts) is not True:
            continue
        ways.append(branch.leads_to)
        if len(fixed) == len(branch.when):
            return tuple(ways)
    return (*ways, fork.otherwise)
