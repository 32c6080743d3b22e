"""Every path is walked: the clever count against plain enumeration; `switchleg check` walks the real tree."""

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
        ways = (node.open, node.later, node.decline)
        return [n for to in ways for n in enumerate_paths(tree, to, facts, asked)]
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
    """On any small tree the count, shortest and longest path equal those of walking every path singly."""
    single = enumerate_paths(tree, tree.first, {}, 0)
    proof = walk_every_path(tree)
    assert proof.paths == len(single)
    assert (proof.shortest, proof.longest) == (min(single), max(single))
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


def test_facts_read_far_away_are_told_apart() -> None:
    """An answer that a fork three questions on reads keeps its paths apart; one that nothing reads: no."""
    tree = tree_of(
        "a",
        question=[
            yes_no("a", "b", "b", "b"),
            yes_no("b", "c", "c", "c"),
            yes_no("c", "f", "f", "f"),
            yes_no("d", CARD, CARD, CARD),
        ],
        fork=[fork("f", [([{"fact": "a", "is": True}], "d")], CARD)],
    )
    proof = walk_every_path(tree)
    assert proof.paths == 9 * 3 + 18
    assert proof.states == 1 + 2 + 2 + 2 + 1 + 1
    assert (proof.shortest, proof.longest) == (3, 4)


def test_an_open_ended_answer_counts_once_for_each_group_told_apart() -> None:
    """ "2 or more" is two ways to answer where a fork asks for four or more, and one where none does."""
    asked = question("n", "count", {0: "f", 1: "f", "2+": "f"}, "f")
    apart = tree_of("n", question=[asked], fork=[fork("f", [([{"fact": "n", "at_least": 4}], CARD)], CARD)])
    alike = tree_of("n", question=[asked], fork=[fork("f", [([{"fact": "n", "at_least": 1}], CARD)], CARD)])
    assert walk_every_path(apart).paths == 5
    assert walk_every_path(alike).paths == 4


def test_ways_that_no_answers_take_are_named() -> None:
    """A branch that contradicts itself, and what lies behind it, are found although they are drawn."""
    both = [{"fact": "a", "is": True}, {"fact": "a", "is": False}]
    tree = tree_of(
        "a",
        question=[yes_no("a", "f", "f", "f"), yes_no("b", CARD, CARD, CARD)],
        fork=[fork("f", [(both, "b")], CARD)],
    )
    proof = walk_every_path(tree)
    assert proof.never == ("b",)
    assert proof.idle == (("f", 1),)
    assert proof.ends_at_card


def test_a_dangling_way_is_a_path_that_never_ends() -> None:
    """A tree with a target that is no node is not proved."""
    proof = walk_every_path(tree_of("a", question=[yes_no("a", "nowhere", CARD, CARD)]))
    assert proof.stuck == ("a",)
    assert not proof.ends_at_card


def test_too_many_states_are_given_up_and_said() -> None:
    """The proof stops at its limit and does not claim anything."""
    tree = tree_of("a", question=[yes_no("a", "b", "b", "b"), yes_no("b", CARD, CARD, CARD)])
    proof = walk_every_path(tree, most_states=1)
    assert proof.given_up
    assert not proof.ends_at_card


def test_the_real_tree_is_one_sound_graph() -> None:
    """A general graph library sees no cycle in the installed tree, all reachable, one sink: the card."""
    tree = load().tree
    graph: Any = networkx.MultiDiGraph()
    for at, node in tree.nodes.items():
        graph.add_edges_from((at, target) for _, target in ways_out(node))
    assert networkx.is_directed_acyclic_graph(graph)
    assert networkx.descendants(graph, tree.first) | {tree.first} == {*tree.nodes, CARD}
    assert [at for at in graph if graph.out_degree(at) == 0] == [CARD]


@pytest.mark.parametrize("station", ["wall", "canopy"])
def test_no_question_behind_a_gate_is_reached_past_it(station: str) -> None:
    """With the gate's open way cut out of the graph, no question of its station can be reached."""
    tree = load().tree
    graph: Any = networkx.MultiDiGraph()
    for at, node in tree.nodes.items():
        cut = isinstance(node, Door) and node.opens == station
        graph.add_edges_from((at, to) for key, to in ways_out(node) if not (cut and key == "open"))
    inside = networkx.descendants(graph, tree.first) | {tree.first}
    behind = {
        at for at, node in tree.nodes.items() if isinstance(node, Question | Again) and tree.station_of[at] == station
    }
    assert behind
    assert not inside & behind
