"""Prove of every way through the tree that it ends at the card, without walking each.

What matters of the answers behind somebody is which of the facts that are still read have which values. The sets of
such facts, and the fewest and most questions still to come as functions of them, are kept as decision diagrams
(tree.diagrams): once forward through the nodes for what can be met, once backward for what it costs. The number of
ways grows without bound as questions are added; the work grows with the nodes and the size of the diagrams, which
follows how many facts are remembered at a time. The tree must have no rings (tree.check).
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import inf

from switchleg.checking.diagrams import NOWHERE, Diagrams, Function, Tests, constant, plus, result
from switchleg.schema.questions import CARD, Again, Branch, Condition, Door, Fork, Question, Value
from switchleg.tree.conditions import holds, values_named
from switchleg.tree.graph import Node, Tree, in_order, ways_out
from switchleg.tree.values import MOST, answer_for

OTHER = "\0other"
"""Stands for any typed measure that no condition names."""

UNKNOWN = 0
"""The index of a fact that is not known; its values follow from 1 on."""


@dataclass(frozen=True)
class Paths:
    """What is true of all the ways from the first node on."""

    shortest: int
    longest: int
    """Questions asked on the shortest and on the longest way to the card; doors are not counted."""
    stuck: tuple[str, ...]
    """Nodes from which some way leads neither on nor to the card."""
    never: tuple[str, ...]
    """Nodes that no answers lead to."""
    idle: tuple[tuple[str, int], ...]
    """Branches that no answers take: the fork and the branch, counted from 1; of forks that are come to."""
    ends_at_card: bool
    """Some way comes to the card, and none stops before it."""
    size: int
    """Nodes of all diagrams: what the proof took."""


@functools.lru_cache(maxsize=4)
def prove_paths(tree: Tree) -> Paths:
    """What holds of every way through the tree, whatever is answered, "can't tell" and shut doors too."""
    return _Proof(tree).paths()


class _Replies:
    """What can be answered to a question, as the tree's forks tell it apart."""

    def __init__(self, tree: Tree, question: Question) -> None:
        conditions = _conditions_on(tree, question.fact)
        told: dict[tuple[bool, ...], int] = {}
        self.values: list[Value] = []
        """One value of each kind, in the order of their indices, which begin behind UNKNOWN."""
        self.ways: list[tuple[int, str]] = []
        """Each kind of value that may be answered, by index, with where it leads."""
        for value, target in representatives(tree, question):
            profile = _profile(conditions, question.fact, value)
            if profile not in told:
                self.values.append(value)
            self.ways.append((told.setdefault(profile, UNKNOWN + len(self.values)), target))


class _Proof:
    def __init__(self, tree: Tree) -> None:
        self.tree = tree
        self.order = in_order(tree)
        self.replies = {fact: _Replies(tree, question) for fact, question in tree.questions.items()}
        read = dict.fromkeys(fact for at in self.order for fact in _read_at(tree.nodes[at]) if fact in self.replies)
        self.place = {fact: place for place, fact in enumerate(read)}
        """Facts in the order in which they are first read: that keeps the diagrams small."""
        self.all_places = frozenset(self.place.values())
        self.diagrams = Diagrams([1 + len(self.replies[fact].values) for fact in read])
        self.read_on = self._read_on()

    def paths(self) -> Paths:
        visited, taken, stuck = self._forward()
        shortest, longest = -self._backward(-1), self._backward(1)
        branches = [(at, i) for at in self.order if at in visited for i in _branches(self.tree.nodes[at])]
        ends = shortest < inf
        return Paths(
            shortest=int(shortest) if ends else 0,
            longest=int(longest) if ends else 0,
            stuck=tuple(at for at in self.order if at in stuck),
            never=tuple(at for at in self.tree.nodes if at not in visited),
            idle=tuple(branch for branch in branches if branch not in taken),
            ends_at_card=ends and not stuck,
            size=len(self.diagrams),
        )

    def _forward(self) -> tuple[set[str], set[tuple[str, int]], set[str]]:
        """Nodes that are come to, branches that are taken, and nodes from which some way leads nowhere; by the sets of
        what may be known at each node."""
        nothing_known = [(place, (UNKNOWN,)) for place in range(len(self.diagrams.sizes))]
        arrived = {self.tree.first: self.diagrams.chosen(nothing_known, constant(0), NOWHERE)}
        visited: set[str] = set()
        taken: set[tuple[str, int]] = set()
        stuck: set[str] = set()
        for at in self.order:
            here = arrived.pop(at, NOWHERE)
            if here == NOWHERE:
                continue
            visited.add(at)
            for target, branch, states in self._ways(self.tree.nodes[at], here):
                if states == NOWHERE:
                    continue
                if branch:
                    taken.add((at, branch))
                if target not in self.tree.nodes and target != CARD:
                    stuck.add(at)
                    continue
                done_with = self.all_places - self.read_on.get(target, set())
                states = self.diagrams.best(states, done_with)
                arrived[target] = self.diagrams.joined(arrived.get(target, NOWHERE), states)
        return visited, taken, stuck

    def _ways(self, node: Node, here: Function) -> Iterator[tuple[str, int, Function]]:
        """Every way out: target, branch (0: none), and the states in which it is taken, as they are behind it."""
        diagrams = self.diagrams
        if isinstance(node, Fork):
            for index, branch in enumerate(node.branch, 1):
                tests = self._tests(branch)
                if tests is not None:
                    yield branch.leads_to, index, diagrams.chosen(tests, here, NOWHERE)
                    here = diagrams.chosen(tests, NOWHERE, here)
            yield node.otherwise, 0, here
        elif isinstance(node, Door):
            for _, target in ways_out(node):
                yield target, 0, here
        else:
            place = self.place.get(node.fact)
            asked = here
            if isinstance(node, Again) and place is not None:
                unknown: Tests = [(place, (UNKNOWN,))]
                asked = diagrams.chosen(unknown, here, NOWHERE)
                yield node.leads_to, 0, diagrams.chosen(unknown, NOWHERE, here)
            if place is not None:
                asked = diagrams.best(asked, {place})
            for target, values in self._answers(node).items():
                said = asked if place is None else diagrams.chosen([(place, values)], asked, NOWHERE)
                yield target, 0, said

    def _backward(self, each: int) -> float:
        """The greatest sum on the ways to the card, with `each` for every question asked; -inf where no way leads
        there. So 1 gives the length of the longest way, and -1 that of the shortest, below zero."""
        to_come = {CARD: constant(0)}
        before = self._asked_before()
        for at in reversed(self.order):
            node = self.tree.nodes[at]
            ahead = {target: to_come.get(target, NOWHERE) for _, target in ways_out(node)}
            unasked = dict.fromkeys(self.all_places - before[at], UNKNOWN)
            to_come[at] = self.diagrams.given(self._still(node, ahead, each), unasked)
        return result(to_come.get(self.tree.first, NOWHERE))

    def _still(self, node: Node, ahead: Mapping[str, Function], each: int) -> Function:
        """What is still to come at a node, given what is behind each of its ways."""
        diagrams = self.diagrams
        if isinstance(node, Fork):
            still = ahead[node.otherwise]
            for branch in reversed(node.branch):
                tests = self._tests(branch)
                if tests is not None:
                    still = diagrams.chosen(tests, ahead[branch.leads_to], still)
            return still
        if isinstance(node, Door):
            return functools.reduce(diagrams.joined, ahead.values())
        place = self.place.get(node.fact)
        if place is None and isinstance(node, Again):
            return ahead[node.leads_to]
        asked = NOWHERE
        for target, values in self._answers(node).items():
            said = ahead[target]
            if place is not None:
                said = diagrams.best(diagrams.chosen([(place, values)], said, NOWHERE), {place})
            asked = diagrams.joined(asked, plus(said, each))
        if place is None or isinstance(node, Question):
            return asked
        return diagrams.chosen([(place, (UNKNOWN,))], asked, ahead[node.leads_to])

    def _answers(self, node: Question | Again) -> dict[str, list[int]]:
        """For each target, the values that lead there; "can't tell" is the unknown value."""
        answers: dict[str, list[int]] = {}
        for index, target in self.replies[node.fact].ways if node.fact in self.replies else ():
            answers.setdefault(target if isinstance(node, Question) else node.leads_to, []).append(index)
        untold = node.cant_tell if isinstance(node, Question) else node.leads_to
        answers.setdefault(untold, []).append(UNKNOWN)
        return answers

    def _tests(self, branch: Branch) -> Tests | None:
        """The values of each fact with which the branch is taken; None: one that nobody asks stands against it."""
        passing: dict[int, set[int]] = {}
        for condition in branch.when:
            place = self.place.get(condition.fact)
            if place is None:
                if holds(condition, {}) is not True:
                    return None
                continue
            known = [{condition.fact: value} for value in self.replies[condition.fact].values]
            good = {index for index, facts in enumerate([{}, *known]) if holds(condition, facts) is True}
            passing[place] = passing.get(place, good) & good
        return sorted(passing.items())

    def _read_on(self) -> dict[str, set[int]]:
        """For each node, the facts that it or a node further on reads."""
        read_on: dict[str, set[int]] = {}
        for at in reversed(self.order):
            node = self.tree.nodes[at]
            own = {self.place[fact] for fact in _read_at(node) if fact in self.place}
            read_on[at] = own.union(*(read_on.get(target, set()) for _, target in ways_out(node)))
        return read_on

    def _asked_before(self) -> dict[str, set[int]]:
        """For each node, the facts that some node before it settles; the others are not known there."""
        before: dict[str, set[int]] = {at: set() for at in self.order}
        for at in self.order:
            node = self.tree.nodes[at]
            behind = set(before[at])
            if isinstance(node, Question | Again) and node.fact in self.place:
                behind.add(self.place[node.fact])
            for _, target in ways_out(node):
                if target in before:
                    before[target] |= behind
        return before


def _read_at(node: Node) -> list[str]:
    """The facts that a node itself reads."""
    return [node.fact] if isinstance(node, Again) else [condition.fact for condition in fork_conditions([node])]


def representatives(tree: Tree, question: Question) -> tuple[tuple[Value, str], ...]:
    """One value, with where it leads, for each way to answer that the tree's forks tell apart."""
    conditions = _conditions_on(tree, question.fact)
    named = {value for condition in conditions for value in values_named(condition)}
    bounds = {b for c in conditions for b in (c.at_least, c.at_most) if b is not None}
    numbers = {n for n in named | bounds if type(n) is int}
    found: list[tuple[Value, str]] = []
    for answer in question.answers:
        candidates: list[Value]
        if answer.value is not None:
            candidates = [answer.value]
        elif answer.at_least is not None:
            near = {n + step for n in numbers for step in (-1, 0, 1)}
            candidates = [answer.at_least, *sorted(n for n in near if answer.at_least < n <= MOST)]
        else:
            candidates = [*sorted(v for v in named if isinstance(v, str)), OTHER]
        seen: set[tuple[bool, ...]] = set()
        for value in candidates:
            profile = _profile(conditions, question.fact, value)
            if answer_for(question, value) is answer and profile not in seen:
                seen.add(profile)
                found.append((value, answer.leads_to))
    return tuple(found)


def _profile(conditions: Iterable[Condition], fact: str, value: Value) -> tuple[bool, ...]:
    return tuple(holds(condition, {fact: value}) is True for condition in conditions)


def _conditions_on(tree: Tree, fact: str) -> list[Condition]:
    return [condition for condition in fork_conditions(tree.nodes.values()) if condition.fact == fact]


def fork_conditions(nodes: Iterable[Node]) -> list[Condition]:
    """Every condition of the forks among `nodes`."""
    forks = [node for node in nodes if isinstance(node, Fork)]
    return [condition for fork in forks for branch in fork.branch for condition in branch.when]


def _branches(node: Node) -> range:
    return range(1, len(node.branch) + 1) if isinstance(node, Fork) else range(0)
