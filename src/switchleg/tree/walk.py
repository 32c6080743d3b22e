"""Where somebody stands in the tree, from nothing but what they replied: pure, and total for any replies."""

from __future__ import annotations

import functools
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass

from switchleg.errors import SwitchlegError
from switchleg.schema.questions import CARD, Again, Door, Fork, Question, Reply, Station, Value
from switchleg.tree.conditions import all_hold
from switchleg.tree.graph import Node, Tree, doors_behind, in_order, ways_out
from switchleg.tree.values import answer_for, offers_zero
from switchleg.units.names import Dimension


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
    passed: tuple[str, ...] = ()
    """Nodes on the way that were passed over without a reply."""
    after: tuple[str, ...] = ()
    """Doors that wait until the stations behind them are done."""


def walk(tree: Tree, replies: Mapping[str, Reply], passing: Container[str] = frozenset()) -> Walk:
    """Follow the replies from `tree.first`.

    A reply that does not suit its node counts as not given; replies off the way are ignored; a second look
    is passed over when its fact is known. Nodes in `passing` that have no reply are passed over as if somebody
    could not tell, or left a door shut. A door answered "after" is left shut at first and stands at the end of
    the way, once everything behind it is done. In an unsound tree the way ends at CARD where it would leave the
    tree or come round to a node again.
    """
    return Walker(tree, replies).go(passing)


class Walker:
    """A walk that can be gone on with when one more node is passed over."""

    def __init__(self, tree: Tree, replies: Mapping[str, Reply]) -> None:
        self.tree, self.replies = tree, replies
        self.at = tree.first
        self.declined = False
        self.seen: set[str] = set()
        self.steps: list[Step] = []
        self.facts: dict[str, Value] = {}
        self.cant_tell: dict[str, Station] = {}
        self.later: list[str] = []
        self.after: list[str] = []
        self.passed: list[str] = []

    def twin(self) -> Walker:
        """Another one that stands here."""
        other = Walker(self.tree, self.replies)
        other.at, other.declined = self.at, self.declined
        other.seen, other.facts, other.cant_tell = set(self.seen), dict(self.facts), dict(self.cant_tell)
        other.steps, other.passed = [*self.steps], [*self.passed]
        other.later, other.after = [*self.later], [*self.after]
        return other

    def go(self, passing: Container[str]) -> Walk:
        """As far as the replies go. What was in `passing` before is still in it."""
        nodes = self.tree.nodes
        while self.at in nodes and self.at not in self.seen:
            node = nodes[self.at]
            target = self._onward(node, passing)
            if target is None:
                return self._walk(self.at, self.after, self.passed)
            self.seen.add(self.at)
            self.at = target
        waiting = [] if self.declined else [door for door in self.after if door not in passing]
        passed = [*self.passed, *(door for door in self.after if door not in waiting)]
        return self._walk(waiting[0] if waiting else CARD, waiting, passed)

    def _onward(self, node: Node, passing: Container[str]) -> str | None:
        """Where the way goes on behind a node, what was replied to it noted; None where it stops."""
        if isinstance(node, Fork):
            return way_of(node, self.facts)
        if isinstance(node, Again) and (node.fact in self.facts or node.fact not in self.tree.questions):
            return node.leads_to
        at = self.at
        reply = self.replies.get(at)
        target = _after(self.tree, node, reply, self.replies) if reply is not None else None
        if reply is None or target is None:
            if at not in passing and not self.declined:
                return None
            self.passed.append(at)
            return _past(node)
        if isinstance(node, Door) and reply.kind == "after":
            self.after.append(at)
            return target
        self.steps.append(Step(at, reply))
        if isinstance(node, Door):
            self.declined = self.declined or reply.kind == "decline"
            if reply.kind == "later":
                self.later.append(at)
        elif reply.kind == "value" and reply.value is not None:
            self.facts[node.fact] = reply.value
            self.cant_tell.pop(node.fact, None)
        else:
            self.cant_tell[node.fact] = self.tree.station_of[at]
            self.facts.pop(node.fact, None)
        return target

    def _walk(self, at: str, after: Sequence[str], passed: Sequence[str]) -> Walk:
        facts, untold = dict(self.facts), dict(self.cant_tell)
        return Walk(tuple(self.steps), at, facts, untold, tuple(self.later), self.declined, tuple(passed), tuple(after))


def _past(node: Question | Again | Door) -> str:
    """Where the way goes on when a node is passed over."""
    if isinstance(node, Door):
        return node.later
    return node.cant_tell if isinstance(node, Question) else node.leads_to


def walk_ahead(tree: Tree, replies: Mapping[str, Reply], passing: Container[str] = frozenset()) -> Walk:
    """`walk`, gone on behind a question that a changed answer or another order has brought up, as far as answers
    wait there.

    A question without an answer counts as passed over here, as long as answers wait behind it: what was found
    at the wall is not forgotten because something is open on the floor. A door is never passed.
    """
    walker = Walker(tree, replies)
    return ahead_of(walker, walker.go(passing), passing)


def ahead_of(walker: Walker, walked: Walk, passing: Container[str]) -> Walk:
    """`walk_ahead` from where a walker stands; it stays there."""
    tree, ahead = walker.tree, set[str]()
    given = _Either(passing, ahead)
    waiting = walker.replies.keys() - {step.node_id for step in walked.steps}
    if waiting:
        walker = walker.twin()
    while waiting and isinstance(tree.nodes.get(walked.at), Question | Again):
        ahead.add(walked.at)
        walked = walker.go(given)
        waiting -= {step.node_id for step in walked.steps}
    return walked


def facts_ahead(tree: Tree, replies: Mapping[str, Reply]) -> dict[str, Value]:
    """The facts of `walk_ahead`."""
    return walk_ahead(tree, replies).facts


@dataclass(frozen=True)
class _Either(Container[str]):
    one: Container[str]
    other: Container[str]

    def __contains__(self, node: object) -> bool:
        return node in self.one or node in self.other


def way_of(fork: Fork, facts: Mapping[str, Value]) -> str:
    """Where a fork leads: an unknown fact does not open a branch."""
    return next((b.leads_to for b in fork.branch if all_hold(b.when, facts) is True), fork.otherwise)


def _after(tree: Tree, node: Question | Again | Door, reply: Reply, replies: Mapping[str, Reply]) -> str | None:
    """Where a reply leads, or None when it does not suit the node.

    Who opened a later station first and then declines this one keeps what was found there.
    """
    if isinstance(node, Door):
        if reply.kind == "decline" and any(
            replies[at].kind == "open" for at in doors_behind(tree, node.later) if at in replies
        ):
            return node.later
        ways = {"open": node.open, "later": node.later, "after": node.later, "decline": node.decline}
        return ways.get(reply.kind)
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
    from switchleg.units.reading import parse_measure

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


@dataclass(frozen=True)
class Sparing:
    """What a walk may leave out. `perhaps`: facts that need not be asked once enough is known; `left_out` and `shut`:
    facts and stations that need not now."""

    perhaps: Container[str] = frozenset()
    left_out: Container[str] = frozenset()
    shut: Container[str] = frozenset()


def remaining(
    tree: Tree, walked: Walk, replies: Mapping[str, Reply] | None = None, sparing: Sparing | None = None
) -> tuple[int, int]:
    """The least and the most questions that may still come, the one at hand counted; doors are not.

    A door counts as opened or put off, not as declined. Forks and second looks that what is known
    already decides are decided; the others may go either way, so the range may be too wide, never too narrow
    (only something that stops the work ends it sooner). What has a reply further on is not asked again.
    """
    if walked.at not in tree.nodes:
        return (0, 0)
    counting = _Counting(tree, walked, replies or {}, sparing or Sparing())
    least, most = counting.range(walked.at)
    doors = [at for at, reply in counting.replies.items() if reply.kind == "after" and at != walked.at]
    return least, most + sum(counting.range(at)[1] for at in doors if isinstance(tree.nodes.get(at), Door))


class _Counting:
    """Counts the questions on every way from a node to the card."""

    def __init__(self, tree: Tree, walked: Walk, replies: Mapping[str, Reply], sparing: Sparing) -> None:
        self.tree, self.walked, self.replies, self.sparing = tree, walked, replies, sparing

    def range(self, start: str) -> tuple[int, int]:
        """Least and most from `start` on."""
        tree = self.tree
        order = in_order(tree, start)
        nodes = [tree.nodes[at] for at in order]
        ahead = {node.fact for node in nodes if isinstance(node, Question | Again)}
        least: dict[str, int] = {}
        most: dict[str, int] = {}
        for at in reversed(order):
            node = tree.nodes[at]
            low, high = self._cost(at)
            ways = self._ways(node, ahead)
            least[at] = low + min(least.get(way, 0) for way in ways)
            most[at] = high + max(most.get(way, 0) for way in ways)
        return least[start], most[start]

    def _ways(self, node: Node, ahead: set[str]) -> tuple[str, ...]:
        if isinstance(node, Fork):
            return _open_ways(node, self.walked.facts, ahead)
        if isinstance(node, Door):
            return (node.later,) if node.opens in self.sparing.shut else (node.open, node.later)
        return tuple(target for _, target in ways_out(node))

    def _cost(self, at: str) -> tuple[int, int]:
        """Whether a node is surely asked, and whether it may be."""
        node = self.tree.nodes[at]
        if not isinstance(node, Question | Again) or node.fact not in self.tree.questions:
            return 0, 0
        if at == self.walked.at:
            return 1, 1
        reply = self.replies.get(at)
        if reply is not None and _after(self.tree, node, reply, self.replies) is not None:
            return 0, 0
        if node.fact in self.walked.facts and isinstance(node, Again):
            return 0, 0
        if node.fact in self.sparing.left_out:
            return 0, 0
        surely = isinstance(node, Question) and node.fact not in self.sparing.perhaps
        return int(surely), 1


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
