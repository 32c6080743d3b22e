"""Walk every path of the tree and prove that each ends at the card.

Two people stand at the same state when they are at the same node and no fork or second look further on can
tell them apart. The number of ways to a state is the sum over the states before it, so every path is walked
and none is walked twice. The tree must have no rings (tree.check).
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from time import perf_counter

from switchleg.tree.conditions import all_hold, holds, values_named
from switchleg.tree.graph import Node, Tree, in_order, ways_out
from switchleg.tree.model import CARD, Again, Condition, Door, Fork, Question, Value
from switchleg.tree.values import MOST, answer_for

OTHER = "\0other"
"""Stands for any typed measure that no condition names."""

MOST_STATES = 4_000_000
"""Beyond this the proof takes too long to go with every check; it is given up and says so."""

State = tuple[Value | None, ...]
"""For each fact that is still read further on, in the order of the node's readers: the first of the values
that are alike from there, or None where that reads like an unknown fact."""
Answers = Mapping[str, tuple[tuple[Value, str], ...]]
"""For each fact, its representative values and where each leads."""
Readers = Mapping[str, Mapping[Value, Value]]
"""For each fact read further on: each of its values -> the first that is alike."""


@dataclass(frozen=True)
class Paths:
    """What walking every path showed."""

    paths: int
    """Exact number of answer paths; an open-ended answer counts once for each group of values told apart."""
    states: int
    """Distinct states: a node, with what of the known facts is still read further on. The card is one."""
    seconds: float
    shortest: int
    longest: int
    """Questions asked on the shortest and on the longest path; doors are not counted."""
    stuck: tuple[str, ...]
    """Nodes from which some way leads neither on nor to the card."""
    never: tuple[str, ...]
    """Nodes that no path comes to."""
    idle: tuple[tuple[str, int], ...]
    """Branches that no path takes: the fork and the branch, counted from 1."""
    given_up: bool = False

    @property
    def ends_at_card(self) -> bool:
        """Every path was walked, and none stops before the card."""
        return self.paths > 0 and not self.stuck and not self.given_up


@functools.lru_cache(maxsize=4)
def walk_every_path(tree: Tree, most_states: int = MOST_STATES) -> Paths:
    """Walk all paths from `tree.first`, node by node in order, carrying (paths, shortest, longest)."""
    began = perf_counter()
    order = in_order(tree)
    answers = {fact: representatives(tree, question) for fact, question in tree.questions.items()}
    readers = _readers(tree, order, answers)
    waiting: dict[str, dict[State, tuple[int, int, int]]] = {at: {} for at in (*order, CARD)}
    waiting[tree.first] = {(None,) * len(readers.get(tree.first, {})): (1, 0, 0)}
    visited: set[str] = set()
    taken: set[tuple[str, int]] = set()
    stuck: list[str] = []
    states = 0
    for at in order:
        here = waiting.pop(at)
        states += len(here)
        if states > most_states:
            return Paths(0, states, perf_counter() - began, 0, 0, (), (), (), given_up=True)
        if here:
            visited.add(at)
        crossing = _Crossing(tree, at, answers, readers)
        for state, (count, least, most) in here.items():
            for way, carry in crossing.ways(state):
                arrivals = waiting[way.target]
                then = carry(state)
                low, high = least + way.asked, most + way.asked
                if then in arrivals:
                    paths, lowest, highest = arrivals[then]
                    arrivals[then] = (paths + count, min(lowest, low), max(highest, high))
                else:
                    arrivals[then] = (count, low, high)
        taken |= crossing.taken
        if crossing.stuck:
            stuck.append(at)
    paths, shortest, longest = waiting[CARD].get((), (0, 0, 0))
    branches = [(at, i) for at in order for i in _branches(tree.nodes[at]) if at in visited]
    return Paths(
        paths=paths,
        states=states + bool(paths),
        seconds=perf_counter() - began,
        shortest=shortest,
        longest=longest,
        stuck=tuple(stuck),
        never=tuple(at for at in tree.nodes if at not in visited),
        idle=tuple(branch for branch in branches if branch not in taken),
    )


@dataclass(frozen=True)
class Way:
    """One way out of a node in a state: target, what it settles, the branch taken, questions asked."""

    target: str
    settles: tuple[str, Value] | None = None
    branch: int = 0
    asked: int = 0


Moves = list[tuple[Way, Callable[[State], State]]]


class _Crossing:
    """The ways across one node. Only the facts that the node itself reads choose among them."""

    def __init__(self, tree: Tree, at: str, answers: Answers, readers: Mapping[str, Readers]) -> None:
        self.tree, self.at, self.answers, self.readers = tree, at, answers, readers
        self.node = tree.nodes[at]
        self.taken: set[tuple[str, int]] = set()
        self.stuck = False
        self.reads = [i for i, fact in enumerate(readers[at]) if fact in _read_by(self.node)]
        self.facts = list(readers[at])
        self.known_moves: dict[State, Moves] = {}

    def ways(self, state: State) -> Moves:
        read = tuple([state[i] for i in self.reads])
        moves = self.known_moves.get(read)
        if moves is None:
            named = zip(self.reads, read, strict=True)
            known = {self.facts[i]: value for i, value in named if value is not None}
            moves = self.known_moves[read] = self._moves(known)
        return moves

    def _moves(self, known: Mapping[str, Value]) -> Moves:
        moves: Moves = []
        for way in _ways(self.node, known, self.answers):
            if way.branch:
                self.taken.add((self.at, way.branch))
            if way.target in self.tree.nodes or way.target == CARD:
                there = self.readers.get(way.target, {})
                moves.append((way, _carry(self.readers[self.at], there, way.settles)))
            else:
                self.stuck = True
        return moves


def _read_by(node: Node) -> set[str]:
    if isinstance(node, Again):
        return {node.fact}
    return {condition.fact for condition in fork_conditions([node])}


def _carry(here: Readers, there: Readers, settles: tuple[str, Value] | None) -> Callable[[State], State]:
    """How a state at one node becomes a state at the next: some facts are dropped, some values grow alike."""
    position = {fact: i for i, fact in enumerate(here)}
    picks: list[tuple[int, Mapping[Value | None, Value | None] | None]] = []
    told: State = ()
    for fact, alike in there.items():
        if settles is not None and settles[0] == fact:
            told = (alike.get(settles[1]),)
            picks.append((len(here), None))
        else:
            change: dict[Value | None, Value | None] = {v: alike.get(v) for v in here[fact].values()}
            same = all(before == after for before, after in change.items())
            picks.append((position[fact], None if same else {None: None, **change}))
    if all(change is None for _, change in picks):
        places = [place for place, _ in picks]

        def pick(state: State) -> State:
            full = state + told
            return tuple([full[place] for place in places])

        return pick

    def carry(state: State) -> State:
        full = state + told
        return tuple([full[place] if change is None else change[full[place]] for place, change in picks])

    return carry


def _ways(node: Node, known: Mapping[str, Value], answers: Answers) -> list[Way]:
    if isinstance(node, Fork):
        for index, branch in enumerate(node.branch, 1):
            if all_hold(branch.when, known) is True:
                return [Way(branch.leads_to, branch=index)]
        return [Way(node.otherwise)]
    if isinstance(node, Door):
        return [Way(node.open), Way(node.later), Way(node.decline)]
    if isinstance(node, Again):
        if node.fact in known or node.fact not in answers:
            return [Way(node.leads_to)]
        told = [Way(node.leads_to, (node.fact, value), asked=1) for value, _ in answers[node.fact]]
        return [*told, Way(node.leads_to, asked=1)]
    told = [Way(target, (node.fact, value), asked=1) for value, target in answers[node.fact]]
    return [*told, Way(node.cant_tell, asked=1)]


def representatives(tree: Tree, question: Question) -> tuple[tuple[Value, str], ...]:
    """One value, with where it leads, for each way to answer that the tree's forks tell apart."""
    conditions = [c for c in fork_conditions(tree.nodes.values()) if c.fact == question.fact]
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
            profile = tuple(holds(condition, {question.fact: value}) is True for condition in conditions)
            if answer_for(question, value) is answer and profile not in seen:
                seen.add(profile)
                found.append((value, answer.leads_to))
    return tuple(found)


def fork_conditions(nodes: Iterable[Node]) -> list[Condition]:
    """Every condition of the forks among `nodes`."""
    forks = [node for node in nodes if isinstance(node, Fork)]
    return [condition for fork in forks for branch in fork.branch for condition in branch.when]


def _readers(tree: Tree, order: list[str], answers: Answers) -> dict[str, Readers]:
    """For each node and each fact that it or a node further on reads: which values are alike from there on.

    A value that reads like an unknown fact is not listed: a fork takes no branch for either.
    """
    further: dict[str, set[str]] = {}
    readers: dict[str, Readers] = {}
    for at in reversed(order):
        node = tree.nodes[at]
        further[at] = {at}.union(*(further.get(target, set()) for _, target in ways_out(node)))
        nodes = [tree.nodes[name] for name in further[at]]
        looked_again = {node.fact for node in nodes if isinstance(node, Again)}
        read: dict[str, list[Condition]] = {fact: [] for fact in looked_again}
        for condition in fork_conditions(nodes):
            read.setdefault(condition.fact, []).append(condition)
        here: dict[str, dict[Value, Value]] = {}
        for fact in sorted(read.keys() & answers.keys()):
            unknown = (False, *(holds(condition, {}) is True for condition in read[fact]))
            first: dict[tuple[bool, ...], Value] = {}
            alike: dict[Value, Value] = {}
            for value, _ in answers[fact]:
                profile = tuple(holds(condition, {fact: value}) is True for condition in read[fact])
                known_profile = (fact in looked_again, *profile)
                if known_profile != unknown:
                    alike[value] = first.setdefault(known_profile, value)
            here[fact] = alike
        readers[at] = here
    return readers


def _branches(node: Node) -> range:
    return range(1, len(node.branch) + 1) if isinstance(node, Fork) else range(0)
