"""Every path is walked: the clever count against plain enumeration, and the real tree to its end."""

from __future__ import annotations

from typing import Any

import networkx
import pytest
from hypothesis import given, settings
from tree_making import fork, question, small_trees, tree_of, yes_no

from switchleg.knowledge.load import load
from switchleg.tree.conditions import all_hold
from switchleg.tree.graph import Tree, in_order, reachable, rings, ways_out
from switchleg.tree.model import CARD, Again, Door, Fork, Question, Value
from switchleg.tree.paths import representatives, walk_every_path


def enumerate_paths(tree: Tree, at: str, facts: dict[str, Value], asked: int) -> list[int]:
    """The plain way: one entry, the number of questions, for every single path."""
    if at == CARD:
        return [asked]
    node = tree.nodes[at]
    if isinstance(node, Fork):
        for branch in node.branch:
            if all_hold(branch.when, facts) is True:
                return enumerate_paths(tree, branch.leads_to, facts, asked)
        return enumerate_paths(tree, node.otherwise, facts, asked)
    if isinstance(node, Door):
        return [n for to in (node.open, node.later, node.decline) for n in enumerate_paths(tree, to, facts, asked)]
    if isinstance(node, Again) and node.fact in facts:
        return enumerate_paths(tree, node.leads_to, facts, asked)
    found: list[int] = []
    for value, target in representatives(tree, tree.questions[node.fact]):
        to = target if isinstance(node, Question) else node.leads_to
        found += enumerate_paths(tree, to, {**facts, node.fact: value}, asked + 1)
    unknown = node.cant_tell if isinstance(node, Question) else node.leads_to
    without = {fact: value for fact, value in facts.items() if fact != node.fact}
    return found + enumerate_paths(tree, unknown, without, asked + 1)


@settings(max_examples=300, deadline=None)
@given(small_trees())
def test_the_count_equals_plain_enumeration(tree: Tree) -> None:
    """On any small tree the exact count and the longest path equal those of walking every path singly."""
    single = enumerate_paths(tree, tree.first, {}, 0)
    proof = walk_every_path(tree)
    assert proof.paths == len(single)
    assert proof.longest == max(single)
    assert proof.ends_at_card


@settings(max_examples=200, deadline=None)
@given(small_trees())
def test_order_and_reach_agree_with_networkx(tree: Tree) -> None:
    """A general graph library finds the same reachable nodes, no cycle, and accepts our order."""
    graph: Any = networkx.MultiDiGraph()
    for at, node in tree.nodes.items():
        graph.add_edges_from((at, target) for _, target in ways_out(node))
    assert networkx.is_directed_acyclic_graph(graph)
    assert rings(tree) == []
    assert reachable(tree, tree.first) == {tree.first} | networkx.descendants(graph, tree.first)
    place = {at: i for i, at in enumerate([*in_order(tree), CARD])}
    inside = set(place)
    assert all(place[a] < place[b] for a, b in graph.edges() if a in inside and b in inside)
