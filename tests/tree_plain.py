"""The plain walks through a tree that the proof of all its ways is measured against; and parts of a tree."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from typing import Any

from switchleg.checking.paths import Paths, fork_conditions, representatives
from switchleg.schema.questions import CARD, Again, Door, Fork, Question, Value
from switchleg.tree.conditions import all_hold
from switchleg.tree.graph import Node, Tree, in_order, ways_out

Known = frozenset[tuple[str, Value]]
Way = tuple[str, int, int, dict[str, Value]]
"""Where it leads, the branch taken (0: none), questions asked, and what is known behind it."""


class TooMany(Exception):
    """There are more states than the plain walk was to hold."""


def single_paths(tree: Tree, at: str, facts: dict[str, Value], asked: int = 0) -> Iterator[int]:
    """The plainest way: for every single path to the card, how many questions it asks."""
    if at == CARD:
        yield asked
    elif at in tree.nodes:
        for target, _, more, then in ways_from(tree, at, facts):
            yield from single_paths(tree, target, then, asked + more)


def plain_walk(tree: Tree, most_states: int) -> Paths:
    """As `prove_paths`, by holding every combination of known facts that are still read, node by node.

    Raises TooMany when that are more than `most_states` at one node.
    """
    order = in_order(tree)
    read = facts_read_on(tree, order)
    waiting: dict[str, dict[Known, tuple[int, int]]] = {at: {} for at in (*order, CARD)}
    waiting.setdefault(tree.first, {})[frozenset()] = (0, 0)
    taken: set[tuple[str, int]] = set()
    stuck: dict[str, None] = {}
    for at in order:
        if len(waiting[at]) > most_states:
            raise TooMany
        for known, (least, most) in waiting[at].items():
            for target, branch, asked, facts in ways_from(tree, at, dict(known)):
                taken.add((at, branch))
                if target not in waiting:
                    stuck[at] = None
                    continue
                there = frozenset((f, v) for f, v in facts.items() if f in read.get(target, ()))
                low, high = waiting[target].get(there, (least + asked, most + asked))
                waiting[target][there] = min(low, least + asked), max(high, most + asked)
    ends = waiting[CARD].values()
    forks = {at: node for at in order if waiting[at] and isinstance(node := tree.nodes[at], Fork)}
    branches = [(at, i) for at, fork in forks.items() for i in range(1, len(fork.branch) + 1)]
    return Paths(
        shortest=min((low for low, _ in ends), default=0),
        longest=max((high for _, high in ends), default=0),
        stuck=tuple(stuck),
        never=tuple(at for at in tree.nodes if not waiting.get(at)),
        idle=tuple(branch for branch in branches if branch not in taken),
        ends_at_card=bool(ends) and not stuck,
        size=0,
    )


def ways_from(tree: Tree, at: str, facts: dict[str, Value]) -> list[Way]:
    """Every way out of a node for somebody who knows these facts."""
    node = tree.nodes[at]
    if isinstance(node, Fork):
        for index, branch in enumerate(node.branch, 1):
            if all_hold(branch.when, facts) is True:
                return [(branch.leads_to, index, 0, facts)]
        return [(node.otherwise, 0, 0, facts)]
    if isinstance(node, Door):
        return [(target, 0, 0, facts) for target in (node.open, node.later, node.decline)]
    if isinstance(node, Again) and (node.fact in facts or node.fact not in tree.questions):
        return [(node.leads_to, 0, 0, facts)]
    found: list[Way] = []
    for value, target in representatives(tree, tree.questions[node.fact]):
        found.append((target if isinstance(node, Question) else node.leads_to, 0, 1, {**facts, node.fact: value}))
    without = {fact: value for fact, value in facts.items() if fact != node.fact}
    return [*found, (node.cant_tell if isinstance(node, Question) else node.leads_to, 0, 1, without)]


def facts_read_on(tree: Tree, order: list[str]) -> dict[str, set[str]]:
    """For each node, the facts that it or a node further on reads."""
    read: dict[str, set[str]] = {}
    for at in reversed(order):
        node = tree.nodes[at]
        own = {node.fact} if isinstance(node, Again) else {c.fact for c in fork_conditions([node])}
        read[at] = own.union(*(read.get(target, set()) for _, target in ways_out(node)))
    return read


def part_of(tree: Tree, names: Collection[str], first: str) -> Tree:
    """The nodes `names` by themselves, from `first` on; a way that leaves them ends at the card."""
    nodes = {at: led_elsewhere(tree.nodes[at], {to: to if to in names else CARD for to in tree.nodes}) for at in names}
    return with_nodes(tree, nodes, first)


def with_nodes(tree: Tree, nodes: Mapping[str, Node], first: str) -> Tree:
    """A tree of these nodes."""
    questions = {at: node for at, node in nodes.items() if isinstance(node, Question)}
    return replace(tree, questions=questions, nodes=nodes, first=first)


def led_elsewhere(node: Node, targets: dict[str, str]) -> Node:
    """The node with its ways led to other targets."""
    keys = {"leads_to", "cant_tell", "otherwise", "open", "later", "decline"}
    return type(node).model_validate(_changed(node.model_dump(by_alias=True), keys, targets))


def renamed(tree: Tree, ending: str, card: str = CARD) -> Tree:
    """The tree with every node and fact named anew, leading to `card` at its end."""
    names = {name: name + ending for name in (*tree.nodes, *tree.questions)}
    keys = {"leads_to", "cant_tell", "otherwise", "open", "later", "decline", "fact", "id"}
    nodes = {
        names[at]: type(node).model_validate(_changed(node.model_dump(by_alias=True), keys, {**names, CARD: card}))
        for at, node in tree.nodes.items()
    }
    return with_nodes(tree, nodes, names[tree.first])


def in_a_row(tree: Tree, times: int) -> Tree:
    """The tree several times over, one behind the other, each with facts of its own."""
    rows = [renamed(tree, f"_{n}", f"{tree.first}_{n + 1}" if n + 1 < times else CARD) for n in range(times)]
    return with_nodes(tree, {at: node for row in rows for at, node in row.nodes.items()}, rows[0].first)


def _changed(data: Any, keys: Collection[str], names: dict[str, str]) -> Any:
    if isinstance(data, dict):
        return {
            key: names.get(value, value) if key in keys and isinstance(value, str) else _changed(value, keys, names)
            for key, value in data.items()
        }
    return [_changed(one, keys, names) for one in data] if isinstance(data, list | tuple) else data
