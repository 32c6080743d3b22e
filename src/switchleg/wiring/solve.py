"""Solve a wired site in one switch state: nodal analysis with ideal conductors and closed contacts.

Conductors and joints merge ends into pieces of copper once for a wired site; in each state closed contacts merge
pieces into nodes. Loads and electronics supplies are resistances between nodes; the feed holds its hot at nominal
voltage, its neutral and ground at zero. What remains is a small linear system, solved by elimination.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from switchleg.schema.parts import Channel, Control, Inside
from switchleg.wiring.bench import Bench
from switchleg.wiring.loads import uses
from switchleg.wiring.netlist import ConductorEnd, End, Placed, Terminal, Wired
from switchleg.wiring.positions import Key, Positions
from switchleg.wiring.site import GROUND, HOT, NEUTRAL


@dataclass(frozen=True)
class Solution:
    """Voltages to ground in one state, in volts; None where an end floats. `short`: hot meets neutral or ground.

    `pieces`: the piece of copper that each end is on, whatever any contact does. `nodes`: piece -> the node that
    closed contacts make it part of. `volts`: by node; all None in a short.
    """

    short: bool
    pieces: Mapping[End, int]
    nodes: Sequence[int]
    volts: Sequence[float | None]

    def at(self, end: End) -> float | None:
        node = self.node(end)
        return None if node is None else self.volts[node]

    def node(self, end: End) -> int | None:
        """Ends on the same node are joined in this state; None for an end that the site does not have."""
        piece = self.pieces.get(end)
        return None if piece is None else self.nodes[piece]

    def across(self, one: End, other: End) -> float:
        """Voltage between two ends; an end that floats, or is joined to nothing, gives none."""
        a, b = self.at(one), self.at(other)
        return 0.0 if a is None or b is None else abs(a - b)


def _root(parent: list[int], node: int) -> int:
    while parent[node] != node:
        parent[node] = parent[parent[node]]
        node = parent[node]
    return node


class Circuit:
    """A wired site with everything merged that no contact changes. Making one costs about five states."""

    def __init__(self, wired: Wired, bench: Bench) -> None:
        self.bench = bench
        self.pieces = _pieces(wired, bench)
        at = self.pieces
        self.count = max(at.values(), default=-1) + 1
        feed = next(s for s in wired.site.stubs if s.id == "feed")
        ends = {
            net: at[ConductorEnd(feed.id, colour, feed.box)]
            for (cable, colour), net in wired.conductors.items()
            if cable == feed.id
        }
        self.hot, self.neutral = ends[HOT], ends[NEUTRAL]
        self.ground = ends.get(GROUND, self.neutral)
        self.ways: list[_Way] = []
        for part in wired.parts:
            if load := bench.loads.get(part.control):
                for one in load.inside:
                    self.ways.append(self._stepped(part, one, ("hot", one.id), one.watts, one.top))
            elif control := bench.controls.get(part.control):
                self.ways += self._contacts(part, control)
        self.branches = [(at[a], at[b], watts / bench.volts**2) for _, a, b, watts in uses(wired, bench)]

    def _pair(self, part: Placed, one: str, other: str) -> tuple[int, int]:
        return self.pieces[Terminal(part.id, one)], self.pieces[Terminal(part.id, other)]

    def _stepped(self, part: Placed, way: Channel | Inside, ends: tuple[str, str], watts: float, kept: int) -> _Way:
        """Open, then each step as a resistance that leaves a load of these watts its share, then closed."""
        pair = self._pair(part, *ends)
        siemens = [watts / self.bench.volts**2 * share / (1 - share) for share in way.steps]
        through = (None, *((*pair, one) for one in siemens), None)
        return _Way((part.id, way.id), kept, ((), *(() for _ in siemens), (pair,)), through)

    def _contacts(self, part: Placed, control: Control) -> Iterator[_Way]:
        for channel in control.channel:
            yield self._stepped(part, channel, channel.joins, channel.step_watts, 0)
        if control.throws:
            common, first, second = control.throws
            joins = tuple((self._pair(part, common, way),) for way in (first, second))
            yield _Way((part.id, "throw"), 0, joins, (None, None))
        if control.crosses:
            (a, b), (c, d) = control.crosses
            straight = (self._pair(part, a, c), self._pair(part, b, d))
            crossed = (self._pair(part, a, d), self._pair(part, b, c))
            yield _Way((part.id, "crossed"), 0, (straight, crossed), (None, None))

    def solve(self, state: Positions) -> Solution:
        """Voltages in one state. A short is reported, not solved."""
        parent = list(range(self.count))
        steps: list[tuple[int, int, float]] = []
        for way in self.ways:
            position = state.get(way.key, way.kept)
            for one, other in way.joins[position]:
                parent[_root(parent, one)] = _root(parent, other)
            if step := way.through[position]:
                steps.append(step)
        nodes = [_root(parent, piece) for piece in range(self.count)]
        hot, neutral, ground = nodes[self.hot], nodes[self.neutral], nodes[self.ground]
        if hot in (neutral, ground):
            return Solution(True, self.pieces, nodes, [None] * self.count)
        fixed = {hot: self.bench.volts, neutral: 0.0, ground: 0.0}
        between = (*self.branches, *steps)
        branches = [(nodes[a], nodes[b], siemens) for a, b, siemens in between if nodes[a] != nodes[b]]
        return Solution(False, self.pieces, nodes, _nodal(self.count, fixed, branches))


@dataclass(frozen=True)
class _Way:
    """What one dial does: by position, the pairs of pieces it joins, and the resistance it puts between two."""

    key: Key
    kept: int
    joins: tuple[tuple[tuple[int, int], ...], ...]
    through: tuple[tuple[int, int, float] | None, ...]


_latest: tuple[Wired, Bench, Circuit] | None = None


def circuit_of(wired: Wired, bench: Bench) -> Circuit:
    """The wired site made ready; the latest is kept, for states are asked for one after the other."""
    global _latest
    if _latest is None or _latest[0] is not wired or _latest[1] is not bench:
        _latest = (wired, bench, Circuit(wired, bench))
    return _latest[2]


def solve(wired: Wired, bench: Bench, state: Positions) -> Solution:
    """Voltages in one state. A short is reported, not solved."""
    return circuit_of(wired, bench).solve(state)


def nodes_without_contacts(wired: Wired, bench: Bench) -> Mapping[End, int]:
    """Which ends are one by conductors and joints alone, every contact taken as open: end -> its piece of copper."""
    return circuit_of(wired, bench).pieces


def _pieces(wired: Wired, bench: Bench) -> dict[End, int]:
    """Every end of the site, numbered by the piece of copper that it is on."""
    number: dict[End, int] = {}
    parent: list[int] = []

    def find(end: End) -> int:
        at = number.get(end)
        if at is None:
            at = number[end] = len(parent)
            parent.append(at)
        return _root(parent, at)

    boxes = {cable.id: cable.ends for cable in wired.site.cables} | {s.id: (s.box,) for s in wired.site.stubs}
    for cable, colour in wired.conductors:
        first, *rest = (find(ConductorEnd(cable, colour, box)) for box in boxes.get(cable, ()))
        for other in rest:
            parent[other] = first
    for joint in wired.joints:
        if joint.ends:
            first = find(joint.ends[0])
            for end in joint.ends[1:]:
                parent[find(end)] = _root(parent, first)
    for part in wired.parts:
        control = bench.controls.get(part.control)
        within = bench.loads[part.control].inside if bench.is_load(part) else ()
        names = control.terminals if control else ("hot", "neutral", *(one.id for one in within))
        for name in (*names, *(t for t, _ in part.nets)):
            find(Terminal(part.id, name))
        if control and control.joined:
            one, other = (find(Terminal(part.id, t)) for t in control.joined)
            parent[one] = other
    dense: dict[int, int] = {}
    return {end: dense.setdefault(_root(parent, at), len(dense)) for end, at in number.items()}


def _nodal(count: int, fixed: Mapping[int, float], branches: list[tuple[int, int, float]]) -> list[float | None]:
    """Node voltages by elimination; nodes with no way to a fixed node float (None)."""
    volts: list[float | None] = [None] * count
    for node, known in fixed.items():
        volts[node] = known
    reached = set(fixed)
    grown = True
    while grown:
        grown = False
        for a, b, _ in branches:
            if (a in reached) != (b in reached):
                reached |= {a, b}
                grown = True
    free = sorted(reached - set(fixed))
    if not free:
        return volts
    at = {node: i for i, node in enumerate(free)}
    rows = [[0.0] * (len(free) + 1) for _ in free]
    for a, b, siemens in branches:
        for one, other in ((a, b), (b, a)):
            if one in at:
                rows[at[one]][at[one]] += siemens
                if other in at:
                    rows[at[one]][at[other]] -= siemens
                else:
                    rows[at[one]][-1] += siemens * fixed.get(other, 0.0)
    for i in range(len(rows)):
        pivot = max(range(i, len(rows)), key=lambda r: abs(rows[r][i]))
        rows[i], rows[pivot] = rows[pivot], rows[i]
        rows[i] = [value / rows[i][i] for value in rows[i]]
        for r in range(len(rows)):
            if r != i and rows[r][i]:
                rows[r] = [x - rows[r][i] * y for x, y in zip(rows[r], rows[i], strict=True)]
    for node, i in at.items():
        volts[node] = rows[i][-1]
    return volts
