"""The tree as a graph: every node under its id, and the ways that lead out of it."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from switchleg.schema.questions import CARD, STATIONS, Again, Door, Fork, Question, Station, StationFile, Use

Node = Question | Again | Fork | Door


@dataclass(frozen=True, eq=False)
class Tree:
    """All stations together. Built by `build_tree`, which keeps the first of two nodes with one id."""

    questions: Mapping[str, Question]
    nodes: Mapping[str, Node]
    stations: Mapping[Station, StationFile]
    station_of: Mapping[str, Station]
    first: str


@functools.lru_cache(maxsize=64)
def serving(tree: Tree, *uses: Use) -> frozenset[str]:
    """Facts whose question says that the answer serves any of these uses."""
    return frozenset(fact for fact, question in tree.questions.items() if not {*uses}.isdisjoint(question.serves))


def node_id(node: Node) -> str:
    """A question bears the name of its fact; every other node its own id."""
    return node.fact if isinstance(node, Question) else node.id


def nodes_in(station: StationFile) -> tuple[Node, ...]:
    """The nodes of one file, in the order question, again, fork, door."""
    return (*station.question, *station.again, *station.fork, *station.door)


def build_tree(files: Iterable[StationFile]) -> Tree:
    """Join the station files. Without a floor that names its first node, the tree starts at its card."""
    stations: dict[Station, StationFile] = {}
    nodes: dict[str, Node] = {}
    station_of: dict[str, Station] = {}
    for file in sorted(files, key=lambda f: STATIONS.index(f.station)):
        stations.setdefault(file.station, file)
        for node in nodes_in(file):
            if node_id(node) != CARD:
                nodes.setdefault(node_id(node), node)
                station_of.setdefault(node_id(node), file.station)
    questions = {key: node for key, node in nodes.items() if isinstance(node, Question)}
    floor = stations.get("floor")
    first = floor.first if floor and floor.first else CARD
    return Tree(questions, nodes, stations, station_of, first)


def ways_out(node: Node) -> tuple[tuple[str, str], ...]:
    """Every way out as (dotted key below the node, target)."""
    if isinstance(node, Question):
        keys = [answer_key(answer.value, answer.at_least) for answer in node.answers]
        answers = [(f"answers.{key}.leads_to", a.leads_to) for key, a in zip(keys, node.answers, strict=True)]
        return (*answers, ("cant_tell", node.cant_tell))
    if isinstance(node, Again):
        return (("leads_to", node.leads_to),)
    if isinstance(node, Fork):
        branches = tuple((f"branch.{i}.leads_to", b.leads_to) for i, b in enumerate(node.branch, 1))
        return (*branches, ("otherwise", node.otherwise))
    return (("open", node.open), ("later", node.later), ("decline", node.decline))


@functools.lru_cache(maxsize=4)
def all_ways(tree: Tree) -> Mapping[str, tuple[tuple[str, str], ...]]:
    """The ways out of every node of the tree, as `ways_out` has them."""
    return {at: ways_out(node) for at, node in tree.nodes.items()}


def answer_key(value: object, at_least: int | None) -> str:
    """How a dotted key names an answer: its value as TOML writes it, "3+" for an open end, "typed" else."""
    if value is not None:
        return str(value).lower() if isinstance(value, bool) else str(value)
    return "typed" if at_least is None else f"{at_least}+"


def node_key(node: Node) -> str:
    """The dotted key of a node in its file, as `question.motor_label`."""
    return f"{type(node).__name__.lower()}.{node_id(node)}"


def reachable(tree: Tree, start: str, *, shut: frozenset[tuple[str, str]] = frozenset()) -> set[str]:
    """Nodes (CARD too) that can be reached from `start`; `shut` are (node, way key) that may not be taken."""
    seen: set[str] = set()
    todo, ways = [start], all_ways(tree)
    while todo:
        at = todo.pop()
        if at in seen:
            continue
        seen.add(at)
        todo += [to for key, to in ways.get(at, ()) if (at, key) not in shut]
    return seen & (tree.nodes.keys() | {CARD})


@functools.lru_cache(maxsize=64)
def doors_behind(tree: Tree, start: str) -> frozenset[str]:
    """The doors that can be reached from `start`."""
    return frozenset(at for at in reachable(tree, start) if isinstance(tree.nodes.get(at), Door))


def rings(tree: Tree) -> list[tuple[str, ...]]:
    """One ring of nodes for every knot of cycles, its smallest id first. A sound tree has none."""
    found: list[tuple[str, ...]] = []
    done: set[str] = set()
    for start in sorted(tree.nodes):
        if start in done:
            continue
        path: list[str] = []
        on_path: set[str] = set()
        stack: list[tuple[str, bool]] = [(start, False)]
        while stack:
            at, leaving = stack.pop()
            if leaving:
                path.pop()
                on_path.discard(at)
                done.add(at)
                continue
            if at in on_path:
                ring = path[path.index(at) :]
                turn = ring.index(min(ring))
                ring = ring[turn:] + ring[:turn]
                if not any(set(ring) & set(other) for other in found):
                    found.append(tuple(ring))
                continue
            if at in done or at not in tree.nodes:
                continue
            path.append(at)
            on_path.add(at)
            stack.append((at, True))
            stack += [(to, False) for _, to in reversed(ways_out(tree.nodes[at]))]
    return found


def in_order(tree: Tree, start: str | None = None) -> list[str]:
    """Node ids so that every way leads forward, from `start` (else `first`) on; if there is no ring."""
    order: list[str] = []
    seen: set[str] = set()
    stack: list[tuple[str, bool]] = [(tree.first if start is None else start, False)]
    while stack:
        at, leaving = stack.pop()
        if leaving:
            order.append(at)
        elif at not in seen and at in tree.nodes:
            seen.add(at)
            stack.append((at, True))
            stack += [(to, False) for _, to in all_ways(tree)[at]]
    return order[::-1]
