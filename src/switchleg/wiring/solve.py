"""Solve a wired site in one switch state: nodal analysis with ideal conductors and closed contacts.

Conductors and joints merge ends into pieces of copper once for a wired site; in each state closed contacts merge
pieces into nodes. Loads and electronics supplies are resistances between nodes; the feed holds its hot at nominal
voltage, its neutral and ground at zero. What remains is a small linear system, solved by elimination.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from switchleg.wiring.netlist import ConductorEnd, End, Placed, Terminal, Wired
from switchleg.wiring.parts import Control, LoadClass
from switchleg.wiring.site import GROUND, HOT, NEUTRAL, Stub

Positions = Mapping[tuple[str, str], int]
"""(part, channel) -> 1 closed or 0 open; (part, "throw") -> which traveler a two-way switch touches;
(part, "crossed") -> 1 when a crossing switch joins its pairs crosswise."""

OTHER_WATTS = 60.0
"""Another load on the leg: an estimate; only that it is a load matters."""

SUPPLY_WATTS = 0.5
"""What a control's electronics draw: an estimate; only that it is small matters."""


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


@dataclass(frozen=True)
class Bench:
    """What the solver must know of parts: control classes, load classes, and the nominal voltage."""

    controls: Mapping[str, Control]
    loads: Mapping[str, LoadClass]
    volts: float

    def is_load(self, part: Placed) -> bool:
        return part.control in self.loads


def positions(wired: Wired, bench: Bench, *, by: str | None = None) -> Iterator[dict[tuple[str, str], int]]:
    """Every combination of contacts and throws (only those worked `by` hand or app, the rest open)."""
    keys: list[tuple[str, str]] = []
    for part in wired.parts:
        control = bench.controls.get(part.control)
        if control is None:
            continue
        keys += [(part.id, ch.id) for ch in control.channel if by is None or by in ch.by]
        if control.throws:
            keys.append((part.id, "throw"))
        if control.crosses:
            keys.append((part.id, "crossed"))
    for values in product((0, 1), repeat=len(keys)):
        yield dict(zip(keys, values, strict=True))


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
        self.contacts: list[tuple[tuple[str, str], tuple[tuple[int, int], ...], tuple[tuple[int, int], ...]]] = []
        """Position key, pairs joined at 0, pairs joined at 1."""
        for part in wired.parts:
            if control := bench.controls.get(part.control):
                self.contacts += self._contacts(part, control)
        self.branches = [(at[a], at[b], watts / bench.volts**2) for a, b, watts in _branches(wired, bench)]

    def _contacts(
        self, part: Placed, control: Control
    ) -> Iterator[tuple[tuple[str, str], tuple[tuple[int, int], ...], tuple[tuple[int, int], ...]]]:
        def pair(one: str, other: str) -> tuple[int, int]:
            return self.pieces[Terminal(part.id, one)], self.pieces[Terminal(part.id, other)]

        for channel in control.channel:
            yield (part.id, channel.id), (), (pair(*channel.joins),)
        if control.throws:
            common, first, second = control.throws
            yield (part.id, "throw"), (pair(common, first),), (pair(common, second),)
        if control.crosses:
            (a, b), (c, d) = control.crosses
            yield (part.id, "crossed"), (pair(a, c), pair(b, d)), (pair(a, d), pair(b, c))

    def solve(self, state: Positions) -> Solution:
        """Voltages in one state. A short is reported, not solved."""
        parent = list(range(self.count))
        for key, at_rest, moved in self.contacts:
            for one, other in moved if state.get(key) else at_rest:
                parent[_root(parent, one)] = _root(parent, other)
        nodes = [_root(parent, piece) for piece in range(self.count)]
        hot, neutral, ground = nodes[self.hot], nodes[self.neutral], nodes[self.ground]
        if hot in (neutral, ground):
            return Solution(True, self.pieces, nodes, [None] * self.count)
        fixed = {hot: self.bench.volts, neutral: 0.0, ground: 0.0}
        branches = [(nodes[a], nodes[b], siemens) for a, b, siemens in self.branches if nodes[a] != nodes[b]]
        return Solution(False, self.pieces, nodes, _nodal(self.count, fixed, branches))


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
        names = control.terminals if control else ("hot", "neutral", *(t for t, _ in part.nets))
        for name in (*names, *(t for t, _ in part.nets)):
            find(Terminal(part.id, name))
        if control and control.joined:
            one, other = (find(Terminal(part.id, t)) for t in control.joined)
            parent[one] = other
    dense: dict[int, int] = {}
    return {end: dense.setdefault(_root(parent, at), len(dense)) for end, at in number.items()}


def _branches(wired: Wired, bench: Bench) -> Iterator[tuple[End, End, float]]:
    watts = {part.id: bench.loads[part.control].watts for part in wired.parts if bench.is_load(part)}
    for load in loads_of(wired, bench):
        yield load.hot, load.neutral, watts.get(load.id, OTHER_WATTS)
    for part in wired.parts:
        control = bench.controls.get(part.control)
        if control and control.supply:
            line, neutral = control.supply
            yield Terminal(part.id, line), Terminal(part.id, neutral), SUPPLY_WATTS


@dataclass(frozen=True)
class Fed:
    """Something that uses power: a load that is a part, or another load at the end of its own cable."""

    id: str
    box: str
    hot: End
    neutral: End


def loads_of(wired: Wired, bench: Bench) -> tuple[Fed, ...]:
    """Every load of the site: parts first, then other loads on their cables."""
    parts = [
        Fed(p.id, p.box, Terminal(p.id, "hot"), Terminal(p.id, "neutral")) for p in wired.parts if bench.is_load(p)
    ]
    others = [Fed(s.id, s.box, *stub_ends(wired, s)) for s in wired.site.stubs if s.id.startswith("other")]
    return (*parts, *others)


def stub_ends(wired: Wired, stub: Stub) -> tuple[ConductorEnd, ConductorEnd]:
    """The two ends of another load's cable: its leg and its neutral."""
    leg, neutral = (
        next(colour for (cable, colour), net in wired.conductors.items() if cable == stub.id and net == wanted)
        for wanted in stub.nets
    )
    return ConductorEnd(stub.id, leg, stub.box), ConductorEnd(stub.id, neutral, stub.box)


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
