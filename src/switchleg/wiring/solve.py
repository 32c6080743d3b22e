"""Solve a wired site in one switch state: nodal analysis with ideal conductors and closed contacts.

Conductors, joints and closed contacts merge ends into nodes; loads and electronics supplies are resistances
between nodes; the feed holds its hot at nominal voltage and its neutral at zero. What remains is a small
linear system per island, solved by elimination.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from switchleg.wiring.netlist import ConductorEnd, End, Placed, Terminal, Wired
from switchleg.wiring.parts import Control, LoadClass
from switchleg.wiring.site import GROUND, HOT, NEUTRAL, Stub

Positions = Mapping[tuple[str, str], int]
"""(part, channel) -> 1 closed or 0 open; (part, "throw") -> which traveler a two-way switch touches."""

OTHER_WATTS = 60.0
"""Another load on the leg: an estimate; only that it is a load matters."""

SUPPLY_WATTS = 0.5
"""What a control's electronics draw: an estimate; only that it is small matters."""


@dataclass(frozen=True)
class Solution:
    """Voltages to ground in one state, in volts; None where an end floats. `short`: hot meets neutral or ground."""

    short: bool
    nodes: Mapping[End, int]
    volts: Mapping[int, float | None]

    def at(self, end: End) -> float | None:
        node = self.nodes.get(end)
        return None if node is None else self.volts[node]

    def across(self, one: End, other: End) -> float:
        """Voltage between two ends; an end that floats, or is joined to nothing, gives none."""
        a, b = self.at(one), self.at(other)
        return 0.0 if a is None or b is None else abs(a - b)


class _Groups:
    """Union-find over ends."""

    def __init__(self) -> None:
        self.parent: dict[End, End] = {}

    def find(self, end: End) -> End:
        self.parent.setdefault(end, end)
        root = end
        while self.parent[root] != root:
            root = self.parent[root]
        while self.parent[end] != root:
            self.parent[end], end = root, self.parent[end]
        return root

    def merge(self, one: End, other: End) -> None:
        self.parent[self.find(one)] = self.find(other)


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
    for values in product((0, 1), repeat=len(keys)):
        yield dict(zip(keys, values, strict=True))


def solve(wired: Wired, bench: Bench, state: Positions) -> Solution:
    """Voltages in one state. A short is reported, not solved."""
    groups = _merge(wired, bench, state)
    feed = next(s for s in wired.site.stubs if s.id == "feed")
    ends = {
        net: ConductorEnd(feed.id, colour, feed.box)
        for (cable, colour), net in wired.conductors.items()
        if cable == feed.id
    }
    hot, neutral = groups.find(ends[HOT]), groups.find(ends[NEUTRAL])
    ground = groups.find(ends[GROUND]) if GROUND in ends else neutral
    roots: dict[End, int] = {}
    for end in list(groups.parent):
        roots.setdefault(groups.find(end), len(roots))
    nodes = {end: roots[groups.find(end)] for end in groups.parent}
    if hot in (neutral, ground):
        return Solution(True, nodes, dict.fromkeys(roots.values()))
    fixed = {roots[hot]: bench.volts, roots[neutral]: 0.0, roots[ground]: 0.0}
    branches = [
        (nodes[a], nodes[b], watts / bench.volts**2)
        for a, b, watts in _branches(wired, bench)
        if a in nodes and b in nodes and nodes[a] != nodes[b]
    ]
    return Solution(False, nodes, _nodal(len(roots), fixed, branches))


def nodes_without_contacts(wired: Wired, bench: Bench) -> dict[End, End]:
    """Which ends are one by conductors and joints alone, every contact taken as open: end -> its node's name."""
    groups = _merge(wired, bench, {}, throws=False)
    return {end: groups.find(end) for end in list(groups.parent)}


def _merge(wired: Wired, bench: Bench, state: Positions, *, throws: bool = True) -> _Groups:
    groups = _Groups()
    for cable in wired.site.cables:
        for name, colour in wired.conductors:
            if name == cable.id:
                groups.merge(*(ConductorEnd(name, colour, box) for box in cable.ends))
    for stub in wired.site.stubs:
        for name, colour in wired.conductors:
            if name == stub.id:
                groups.find(ConductorEnd(name, colour, stub.box))
    for joint in wired.joints:
        for end in joint.ends[1:]:
            groups.merge(joint.ends[0], end)
    for part in wired.parts:
        control = bench.controls.get(part.control)
        if control is None:
            continue
        for channel in control.channel:
            if state.get((part.id, channel.id)):
                groups.merge(*(Terminal(part.id, t) for t in channel.joins))
        if control.joined:
            groups.merge(*(Terminal(part.id, t) for t in control.joined))
        if control.throws and throws:
            common, first, second = control.throws
            chosen = second if state.get((part.id, "throw")) else first
            groups.merge(Terminal(part.id, common), Terminal(part.id, chosen))
    return groups


def _branches(wired: Wired, bench: Bench) -> Iterator[tuple[End, End, float]]:
    for part in wired.parts:
        if bench.is_load(part):
            yield Terminal(part.id, "hot"), Terminal(part.id, "neutral"), bench.loads[part.control].watts
        elif supply := bench.controls[part.control].supply:
            yield Terminal(part.id, supply[0]), Terminal(part.id, supply[1]), SUPPLY_WATTS
    for stub in wired.site.stubs:
        if stub.id.startswith("other"):
            yield *stub_ends(wired, stub), OTHER_WATTS


def stub_ends(wired: Wired, stub: Stub) -> tuple[ConductorEnd, ConductorEnd]:
    """The two ends of another load's cable: its leg and its neutral."""
    leg, neutral = (
        next(colour for (cable, colour), net in wired.conductors.items() if cable == stub.id and net == wanted)
        for wanted in stub.nets
    )
    return ConductorEnd(stub.id, leg, stub.box), ConductorEnd(stub.id, neutral, stub.box)


def _nodal(count: int, fixed: Mapping[int, float], branches: list[tuple[int, int, float]]) -> dict[int, float | None]:
    """Node voltages by elimination; nodes with no way to a fixed node float (None)."""
    reached = set(fixed)
    grown = True
    while grown:
        grown = False
        for a, b, _ in branches:
            if (a in reached) != (b in reached):
                reached |= {a, b}
                grown = True
    volts: dict[int, float | None] = {n: fixed.get(n) for n in range(count)}
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
    volts.update({node: rows[i][-1] for node, i in at.items()})
    return volts
