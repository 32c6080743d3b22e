"""Whether the tree holds together: every way leads on, every gate is passed, every path ends at the card."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from switchleg.checking.condition_rules import check_condition, unknown_fact
from switchleg.checking.paths import prove_paths
from switchleg.checking.promised_names import FIXED, Vocabulary
from switchleg.checking.question_rules import check_node
from switchleg.knowledge.problems import Problem
from switchleg.schema.questions import (
    ABLE_TO_TEST_LIVE,
    CARD,
    STATIONS,
    Again,
    Door,
    Fork,
    Question,
    Station,
    StationFile,
)
from switchleg.spelling import nearest_of
from switchleg.tree.conditions import same
from switchleg.tree.graph import Tree, build_tree, node_id, node_key, nodes_in, reachable, rings, ways_out

if TYPE_CHECKING:
    from switchleg.schema.tables import Table

TITLE = 40


@dataclass(frozen=True)
class Around:
    """What the tree is checked against."""

    tables: Mapping[str, Table] = field(default_factory=dict)
    pictures: Collection[str] = ()
    vocabulary: Vocabulary = field(default_factory=lambda: FIXED)
    lost: frozenset[str] = frozenset()
    """Names in parts that could not be read: nobody who points at them is blamed."""
    whole: bool = True
    """False when parts of the tree could not be read: nothing that rests on the whole tree is concluded."""


def check_tree(files: Mapping[str, StationFile], around: Around, tree: Tree | None = None) -> list[Problem]:
    """Every problem of the station files (path -> model) and of the tree that they make."""
    check = _Check(files, tree or build_tree(files.values()), around)
    shape = [*check.stations(), *check.names(), *check.targets(), *check.second_looks(), *check.ringed()]
    conditions = list(check.conditions())
    problems = [*shape, *conditions]
    for file, node in check.all_nodes():
        problems += check_node(file, node, around.tables, around.pictures)
    if check.whole:
        problems += [*check.unreached(), *check.fixed_facts()]
    if check.all_stations:
        problems += [*check.shut_doors(), *check.live_readings()]
    if check.whole and not shape:
        problems += check.paths(conditions_sound=not conditions)
    return problems


class _Check:
    def __init__(self, files: Mapping[str, StationFile], tree: Tree, around: Around) -> None:
        self.files, self.tree, self.around = files, tree, around
        self.file_of: dict[str, str] = {}
        for file, node in self.all_nodes():
            self.file_of.setdefault(node_id(node), file)
        self.all_stations = all(station in tree.stations for station in STATIONS)
        self.whole = around.whole and self.all_stations

    def all_nodes(self) -> Iterator[tuple[str, Question | Again | Fork | Door]]:
        for file, station in self.files.items():
            for node in nodes_in(station):
                yield file, node

    def at(self, node: str, inner: str, message: str, near: str = "") -> Problem:
        key = f"{node_key(self.tree.nodes[node])}.{inner}".rstrip(".")
        return Problem(self.file_of[node], key, message, near)

    def stations(self) -> Iterator[Problem]:
        seen: dict[Station, str] = {}
        for file, station in self.files.items():
            if station.station in seen:
                message = f'"{station.station}" has a file already: {seen[station.station]}'
                yield Problem(file, "station", message)
            seen.setdefault(station.station, file)
            for key, text, most in (("title", station.title, TITLE), ("intro", station.intro, None)):
                if not text.strip():
                    yield Problem(file, key, "is empty")
                elif most is not None and len(text) > most:
                    yield Problem(file, key, f"is too long: {len(text)} characters, at most {most}")
            if station.station != "floor" and station.first is not None:
                yield Problem(file, "first", "only the floor says where the tree starts")
        for name in STATIONS:
            if name not in seen and self.around.whole:
                yield Problem("questions", "", f'no file has station = "{name}"')
        floor = self.tree.stations.get("floor")
        if floor is None:
            return
        if floor.first is None:
            yield Problem(seen["floor"], "first", "is missing: it names the first node")
        elif floor.first not in self.tree.nodes and floor.first not in self.around.lost:
            near = nearest_of(floor.first, self.tree.nodes)
            yield Problem(seen["floor"], "first", f'leads to "{floor.first}", which is no node', near)

    def names(self) -> Iterator[Problem]:
        seen: dict[str, str] = {}
        for file, node in self.all_nodes():
            name = node_id(node)
            if name == CARD:
                yield Problem(file, node_key(node), f'"{CARD}" is where every way ends, no name for a node')
            elif not (name.isascii() and name.isidentifier() and name == name.lower()):
                yield Problem(file, node_key(node), "is no name: expected lower-case letters, digits and _")
            if name in seen:
                yield Problem(file, node_key(node), f"has the name of another node, in {seen[name]}")
            seen.setdefault(name, file)

    def targets(self) -> Iterator[Problem]:
        known = {*self.tree.nodes, CARD}
        for file, node in self.all_nodes():
            for key, target in ways_out(node):
                if target not in known and target not in self.around.lost and self.all_stations:
                    message = f'leads to "{target}", which is no node'
                    yield Problem(file, f"{node_key(node)}.{key}", message, nearest_of(target, known))

    def conditions(self) -> Iterator[Problem]:
        questions, tables = self.tree.questions, self.around.tables
        for file, node in self.all_nodes():
            for condition in node.only_where if isinstance(node, Question) else ():
                key = f"{node_key(node)}.only_where.{condition.fact}"
                yield from check_condition(file, key, condition, questions, tables, self.around.lost)
            if not isinstance(node, Fork):
                continue
            upstream = self._asked_before(node.id)
            for index, branch in enumerate(node.branch, 1):
                for condition in branch.when:
                    key = f"{node_key(node)}.branch.{index}.when.{condition.fact}"
                    found = check_condition(file, key, condition, questions, tables, self.around.lost)
                    yield from found
                    if not found and condition.fact not in upstream and self.whole:
                        yield Problem(file, key, f'"{condition.fact}" is never asked before this fork')

    def _asked_before(self, name: str) -> set[str]:
        return {fact for fact in self.tree.questions if name in self._after(fact)} | {
            node.fact for node in self.tree.nodes.values() if isinstance(node, Again) and name in self._after(node.id)
        }

    def _after(self, name: str) -> set[str]:
        if not hasattr(self, "_reach"):
            self._reach: dict[str, set[str]] = {at: reachable(self.tree, at) for at in self.tree.nodes}
        return self._reach[name]

    def second_looks(self) -> Iterator[Problem]:
        for file, node in self.all_nodes():
            if not isinstance(node, Again):
                continue
            if node.fact not in self.tree.questions:
                if node.fact not in self.around.lost:
                    yield unknown_fact(file, node_key(node), node.fact, self.tree.questions)
            elif not self.whole:
                continue
            elif node.fact in self._after(node.id):
                yield Problem(file, node_key(node), f'stands before the question "{node.fact}" itself')
            elif node.id in self._reached() and node.id not in self._after(node.fact):
                yield Problem(file, node_key(node), f'no way leads here from the question "{node.fact}"')

    def ringed(self) -> Iterator[Problem]:
        for ring in rings(self.tree):
            yield self.at(ring[0], "", f"leads round in a ring: {' -> '.join((*ring, ring[0]))}")

    def _reached(self) -> set[str]:
        """What the first question leads to; everything, where it is not known which one is first."""
        if self.tree.first not in self.tree.nodes:
            return set(self.tree.nodes)
        return reachable(self.tree, self.tree.first)

    def unreached(self) -> Iterator[Problem]:
        reached = self._reached()
        for name in self.tree.nodes:
            if name not in reached:
                yield self.at(name, "", "no way leads here from the first question")

    def shut_doors(self) -> Iterator[Problem]:
        doors = {name: node for name, node in self.tree.nodes.items() if isinstance(node, Door)}
        for station in STATIONS[1:]:
            shut = frozenset((name, "open") for name, door in doors.items() if door.opens == station)
            reached = reachable(self.tree, self.tree.first, shut=shut)
            for name in sorted(reached & self.tree.nodes.keys()):
                node = self.tree.nodes[name]
                if isinstance(node, Question | Again) and self.tree.station_of[name] == station:
                    yield self.at(name, "", f"can be reached without opening a door to the {station}")

    def live_readings(self) -> Iterator[Problem]:
        allowed: set[tuple[str, str]] = set()
        for name, node in self.tree.nodes.items():
            if isinstance(node, Fork):
                for index, branch in enumerate(node.branch, 1):
                    if any(c.fact == ABLE_TO_TEST_LIVE and c.is_ is True for c in branch.when):
                        allowed.add((name, f"branch.{index}.leads_to"))
        reached = reachable(self.tree, self.tree.first, shut=frozenset(allowed))
        for name in sorted(reached & self.tree.questions.keys()):
            if self.tree.questions[name].power_on:
                message = f'needs power on, but is asked of people who did not say "{ABLE_TO_TEST_LIVE}"'
                yield self.at(name, "power_on", message)

    def fixed_facts(self) -> Iterator[Problem]:
        for fact, fixed in self.around.vocabulary.items():
            question = self.tree.questions.get(fact)
            if question is None:
                near = nearest_of(fact, self.tree.questions.keys() - self.around.vocabulary.keys())
                key = f"question.{fact}"
                yield Problem("questions", key, "is never asked; answers files rely on it", near)
            elif question.kind != fixed.kind:
                yield self.at(fact, "kind", f'is "{question.kind}"; answers files rely on "{fixed.kind}"')
            for value in fixed.choices if question is not None and question.kind == "choice" else ():
                if question is not None and not any(
                    answer.value is not None and same(answer.value, value) for answer in question.answers
                ):
                    yield self.at(fact, f"answers.{value}", "is missing; answers files rely on it")

    def paths(self, *, conditions_sound: bool) -> Iterator[Problem]:
        proof = prove_paths(self.tree)
        for name in proof.stuck:
            yield self.at(name, "", "a path stops here and never comes to the card")
        if not conditions_sound:
            return
        reached = self._reached()
        for name in proof.never:
            if name in reached:
                yield self.at(name, "", "a way is drawn to here, but no answers lead along it")
        for name, index in proof.idle:
            yield self.at(name, f"branch.{index}", "no answers ever lead along this branch")
