"""All ways through the tree are proved: against the plain walk where that can be done; the real tree as a whole."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import networkx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_knowledge_broken import FAULTS, build
from test_knowledge_broken import HERE as BROKEN
from tree_making import fork, question, small_trees, tree_of, yes_no
from tree_plain import TooMany, in_a_row, led_elsewhere, part_of, plain_walk, renamed, single_paths, with_nodes

from switchleg.checking.paths import Paths, prove_paths, representatives
from switchleg.knowledge.load import load, read_models
from switchleg.schema.questions import CARD, Again, Door, Question
from switchleg.tree.graph import Tree, in_order, reachable, rings, ways_out

LIMIT = 3_000
"""States at one node that the plain walk may hold."""


def proved(tree: Tree) -> Paths:
    """What is proved of a tree, but for the size of the proof."""
    return replace(prove_paths(tree), size=0)


@settings(max_examples=300, deadline=None)
@given(small_trees())
def test_the_proof_equals_plain_enumeration(tree: Tree) -> None:
    """On any small tree the shortest and longest way are those of walking every path singly, and all else is as a
    walk through every combination of known facts finds it."""
    single = list(single_paths(tree, tree.first, {}))
    proof = proved(tree)
    assert (proof.shortest, proof.longest) == (min(single), max(single))
    assert proof.ends_at_card
    assert proof == plain_walk(tree, LIMIT)


@settings(max_examples=200, deadline=None)
@given(small_trees(), st.data())
def test_the_proof_of_a_torn_tree_equals_the_plain_walk(tree: Tree, data: st.DataObject) -> None:
    """Where ways lead to a node that is not there, both find the same of it."""
    lost = data.draw(st.sampled_from(sorted(tree.nodes)))
    nodes = {at: led_elsewhere(node, {lost: "nowhere"}) for at, node in tree.nodes.items()}
    torn = with_nodes(tree, nodes, tree.first)
    assert proved(torn) == plain_walk(torn, LIMIT)


@settings(max_examples=100, deadline=None)
@given(small_trees(), small_trees())
def test_two_trees_in_a_row_take_both_ways(one: Tree, other: Tree) -> None:
    """Of two trees, one behind the other, the shortest and longest ways add up."""
    first, second = renamed(one, "_a", other.first + "_b"), renamed(other, "_b")
    both = with_nodes(first, {**first.nodes, **second.nodes}, first.first)
    proofs = [proved(tree) for tree in (one, other, both)]
    assert proofs[2].shortest == proofs[0].shortest + proofs[1].shortest
    assert proofs[2].longest == proofs[0].longest + proofs[1].longest


def test_the_proof_of_parts_of_the_real_tree_equals_the_plain_walk() -> None:
    """Every part of the installed tree that the plain walk can do: its ends, and what lies between two nodes."""
    tree = load().tree
    order = in_order(tree)
    parts = [part_of(tree, order[at:], order[at]) for at in range(0, len(order), 8)]
    for length in (15, 40):
        parts += [part_of(tree, order[at : at + length], order[at]) for at in range(0, len(order), length // 2)]
    done = 0
    for part in parts:
        try:
            plain = plain_walk(part, LIMIT // 10)
        except TooMany:
            continue
        done += len(plain.idle) > 0 or plain.longest > 3
        assert proved(part) == plain, part.first
    assert done > len(parts) / 3


def test_the_proof_of_each_broken_tree_equals_the_plain_walk(tmp_path: Path) -> None:
    """The broken trees that can be walked at all: the same is found wrong with them."""
    found = 0
    for name in FAULTS:
        fault = tomllib.loads((BROKEN / name / "fault.toml").read_text(encoding="utf-8"))
        tree = read_models(build(tmp_path / name, fault["change"])).tree
        if tree.first in tree.nodes and not rings(tree):
            proof = proved(tree)
            assert proof == plain_walk(tree, LIMIT), name
            found += not proof.ends_at_card or bool(proof.never) or bool(proof.idle)
    assert found > 5


def test_the_proof_grows_with_the_questions() -> None:
    """The installed tree three times over, one behind the other, takes hardly more than three times the diagrams."""
    tree = load().tree
    once, thrice = prove_paths(tree), prove_paths(in_a_row(tree, 3))
    assert (thrice.shortest, thrice.longest) == (3 * once.shortest, 3 * once.longest)
    assert thrice.ends_at_card
    assert not thrice.idle
    assert not thrice.never
    assert thrice.size < 3.1 * once.size


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


def test_an_answer_read_far_away_decides() -> None:
    """A fork three questions on goes by an answer, and both its ways count."""
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
    proof = prove_paths(tree)
    assert (proof.shortest, proof.longest) == (3, 4)


def test_two_forks_on_one_answer_agree() -> None:
    """Nobody goes the long way twice where the second fork asks the contrary of the first, although both ways are
    drawn: the longest way is not the sum of the longest parts."""
    tree = tree_of(
        "a",
        question=[yes_no("a", "f", "f", CARD), yes_no("b", "g", "g", "g"), yes_no("c", CARD, CARD, CARD)],
        fork=[
            fork("f", [([{"fact": "a", "is": True}], "b")], "g"),
            fork("g", [([{"fact": "a", "is": False}], "c")], CARD),
        ],
    )
    proof = prove_paths(tree)
    assert (proof.shortest, proof.longest) == (1, 2)


def test_a_question_behind_its_second_look_is_the_last_word() -> None:
    """What is told at a second look is forgotten when its own question, later on, cannot be told."""
    tree = tree_of(
        "early",
        again=[{"id": "early", "fact": "a", "look": "Look.", "leads_to": "a"}],
        question=[yes_no("a", CARD, CARD, "f"), yes_no("b", CARD, CARD, CARD)],
        fork=[fork("f", [([{"fact": "a", "known": True}], "b")], CARD)],
    )
    proof = proved(tree)
    assert proof.never == ("b",)
    assert proof == plain_walk(tree, LIMIT)


def test_an_open_ended_answer_has_a_value_for_each_group_told_apart() -> None:
    """ "2 or more" is two ways to answer where a fork asks for four or more, and one where none does."""
    asked = question("n", "count", {0: "f", 1: "f", "2+": "f"}, "f")
    for bound, ways in ((4, 4), (1, 3)):
        tree = tree_of("n", question=[asked], fork=[fork("f", [([{"fact": "n", "at_least": bound}], CARD)], CARD)])
        assert len(representatives(tree, tree.questions["n"])) == ways
        assert prove_paths(tree).idle == ()


def test_ways_that_no_answers_take_are_named() -> None:
    """A branch that contradicts itself, and what lies behind it, are found although they are drawn."""
    both = [{"fact": "a", "is": True}, {"fact": "a", "is": False}]
    tree = tree_of(
        "a",
        question=[yes_no("a", "f", "f", "f"), yes_no("b", CARD, CARD, CARD)],
        fork=[fork("f", [(both, "b")], CARD)],
    )
    proof = prove_paths(tree)
    assert proof.never == ("b",)
    assert proof.idle == (("f", 1),)
    assert proof.ends_at_card


def test_a_dangling_way_is_a_path_that_never_ends() -> None:
    """A tree with a target that is no node is not proved."""
    proof = prove_paths(tree_of("a", question=[yes_no("a", "nowhere", CARD, CARD)]))
    assert proof.stuck == ("a",)
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
