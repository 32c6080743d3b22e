"""Three outside referees of the solver, fed from the netlist alone: networkx, ngspice, and a slow plain solver."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import networkx as nx

from switchleg.wiring.bench import Bench
from switchleg.wiring.loads import OTHER_WATTS, SUPPLY_WATTS
from switchleg.wiring.netlist import ConductorEnd, End, Terminal, Wired
from switchleg.wiring.site import Stub

State = Mapping[tuple[str, str], int]

CLOSED, OPEN, SOURCE = 1e-3, 1e9, 0.2
"""Ohms of a closed contact or a conductor, of an open contact, and of the supply behind the feed."""
TRIP = 100.0
"""Amperes of the feed above which a breaker trips at once; a dead short draws some hundreds."""


Contact = tuple[tuple[str, str], tuple[float, ...], int, End, End]
"""(position key, ohms by position, the position when the state does not say, one end, other end)."""


@dataclass(frozen=True)
class Elements:
    """A netlist as two-ended elements. `wires` always conduct, `contacts` in some states, `uses` draw power."""

    wires: tuple[tuple[End, End], ...]
    contacts: tuple[Contact, ...]
    uses: tuple[tuple[str, End, End, float], ...]
    """(name, hot end, neutral end, ohms)."""
    hot: End
    grounded: tuple[End, ...]
    """The feed's neutral and ground, both at zero."""


def elements(wired: Wired, kit: Bench) -> Elements:
    """Read a wired site off its cables, joints and parts."""
    wires: list[tuple[End, End]] = []
    for cable in wired.site.cables:
        for name, colour in wired.conductors:
            if name == cable.id:
                one, other = (ConductorEnd(name, colour, box) for box in cable.ends)
                wires.append((one, other))
    for joint in wired.joints:
        wires += list(zip(joint.ends, joint.ends[1:], strict=False))
    contacts: list[Contact] = []
    uses: list[tuple[str, End, End, float]] = []
    for part in wired.parts:
        at = lambda name, part=part: Terminal(part.id, name)  # noqa: E731
        if part.control in kit.loads:
            kind = kit.loads[part.control]
            if kind.watts:
                uses.append((part.id, at("hot"), at("neutral"), kit.volts**2 / kind.watts))
            for one in kind.inside:
                ohms = kit.volts**2 / one.watts
                uses.append((f"{part.id} {one.id}", at(one.id), at("neutral"), ohms))
                by_position = stepped(one.steps, ohms)
                contacts.append(((part.id, one.id), by_position, len(by_position) - 1, at("hot"), at(one.id)))
            continue
        control = kit.controls[part.control]
        if control.supply:
            line, neutral = control.supply
            uses.append((f"{part.id} supply", at(line), at(neutral), kit.volts**2 / SUPPLY_WATTS))
        if control.lives_on_load:
            line, out = control.channel[0].joins
            uses.append((f"{part.id} supply", at(line), at(out), kit.volts**2 / SUPPLY_WATTS))
        if control.joined:
            wires.append((at(control.joined[0]), at(control.joined[1])))
        for channel in control.channel:
            ohms = stepped(channel.steps, kit.volts**2 / channel.step_watts)
            contacts.append(((part.id, channel.id), ohms, 0, at(channel.joins[0]), at(channel.joins[1])))
        if control.throws:
            common, *ways = control.throws
            contacts += [((part.id, "throw"), CHANGES[n], 0, at(common), at(way)) for n, way in enumerate(ways)]
        if control.crosses:
            (a, b), (c, d) = control.crosses
            pairs = ((0, a, c), (0, b, d), (1, a, d), (1, b, c))
            contacts += [((part.id, "crossed"), CHANGES[n], 0, at(one), at(other)) for n, one, other in pairs]
    feed = _stub_ends(wired, next(s for s in wired.site.stubs if s.id == "feed"))
    for stub in wired.site.stubs:
        if stub.id.startswith("other"):
            ends = _stub_ends(wired, stub)
            uses.append((stub.id, ends[stub.nets[0]], ends[stub.nets[1]], kit.volts**2 / OTHER_WATTS))
    at_zero = tuple(feed[net] for net in ("NEUTRAL", "GROUND") if net in feed)
    return Elements(tuple(wires), tuple(contacts), tuple(uses), feed["HOT"], at_zero)


def _stub_ends(wired: Wired, stub: Stub) -> dict[str, End]:
    return {str(net): ConductorEnd(n, c, stub.box) for (n, c), net in wired.conductors.items() if n == stub.id}


CHANGES = ((CLOSED, OPEN), (OPEN, CLOSED))
"""Ohms by position of a contact that is closed at rest, and of one that is closed when moved."""


def stepped(shares: Sequence[float], ohms: float) -> tuple[float, ...]:
    """Ohms by position of an output: open, then what leaves each share of the voltage to a load, then closed.

    The divider rule: a load R behind r has the share R / (R + r).
    """
    return (OPEN, *(ohms / share - ohms for share in shares), CLOSED)


def ohms_in(contact: Contact, state: State) -> float:
    return contact[1][state.get(contact[0], contact[2])]


def closed_in(contact: Contact, state: State) -> bool:
    return ohms_in(contact, state) == CLOSED


# ---- referee: connectivity ----


def joined_ends(circuit: Elements, state: State) -> list[set[End]]:
    """By networkx: which ends are one, in one state."""
    graph = nx.Graph()
    graph.add_nodes_from([circuit.hot, *circuit.grounded])
    graph.add_nodes_from(end for _, one, other, _ in circuit.uses for end in (one, other))
    graph.add_nodes_from(end for *_, one, other in circuit.contacts for end in (one, other))
    graph.add_edges_from(circuit.wires)
    graph.add_edges_from((c[3], c[4]) for c in circuit.contacts if closed_in(c, state))
    return list(nx.connected_components(graph))


# ---- referee: plain and slow ----


def plain_volts(circuit: Elements, volts: float, state: State) -> tuple[float, dict[str, float]]:
    """Amperes of the feed and volts across everything that uses power: every wire a resistor, nothing merged.

    Dense elimination over all ends that some element joins to the feed; the others float and show no voltage.
    """
    resistors = [(one, other, CLOSED) for one, other in circuit.wires]
    resistors += [(c[3], c[4], ohms_in(c, state)) for c in circuit.contacts if ohms_in(c, state) < OPEN]
    resistors += [(one, other, ohms) for _, one, other, ohms in circuit.uses]
    at_zero = set(circuit.grounded)
    reached: set[End] = {circuit.hot, *at_zero}
    grown = True
    while grown:
        grown = False
        for one, other, _ in resistors:
            if (one in reached) != (other in reached):
                reached |= {one, other}
                grown = True
    order = {end: i for i, end in enumerate(sorted(reached - at_zero, key=repr))}
    n = len(order)
    rows = [[0.0] * (n + 1) for _ in range(n)]
    for one, other, ohms in resistors:
        if one not in reached or one == other:
            continue
        for a, b in ((one, other), (other, one)):
            if a in order:
                rows[order[a]][order[a]] += 1 / ohms
                if b in order:
                    rows[order[a]][order[b]] -= 1 / ohms
    feed = order[circuit.hot]
    rows[feed][feed] += 1 / SOURCE
    rows[feed][n] += volts / SOURCE
    for i in range(n):
        pivot = max(range(i, n), key=lambda r: abs(rows[r][i]))
        rows[i], rows[pivot] = rows[pivot], rows[i]
        for r in range(i + 1, n):
            if rows[r][i]:
                factor = rows[r][i] / rows[i][i]
                rows[r] = [x - factor * y for x, y in zip(rows[r], rows[i], strict=True)]
    found = [0.0] * n
    for i in reversed(range(n)):
        found[i] = (rows[i][n] - sum(rows[i][j] * found[j] for j in range(i + 1, n))) / rows[i][i]

    def at(end: End) -> float | None:
        return 0.0 if end in at_zero else found[order[end]] if end in order else None

    across = {}
    for name, one, other, _ in circuit.uses:
        a, b = at(one), at(other)
        across[name] = 0.0 if a is None or b is None else abs(a - b)
    return (volts - found[feed]) / SOURCE, across


# ---- referee: ngspice ----

IN_A_DECK = 12
"""Circuits to a process: ngspice looks devices up one by one, so a few small decks beat a big one."""


def spice_volts(
    circuits: Sequence[tuple[Elements, Sequence[State]]], volts: float, folder: Path, program: str
) -> Iterator[list[tuple[float, dict[str, float]]]]:
    """By ngspice, for each circuit and each of its states: (amperes of the feed, volts across each use).

    Circuits with as many states stand in one deck and step through them together; `alter` moves the contacts.
    Yields in the order given.
    """
    answers: dict[int, list[tuple[float, dict[str, float]]]] = {}
    by_states: dict[int, list[int]] = {}
    for number, (_, states) in enumerate(circuits):
        by_states.setdefault(len(states), []).append(number)
    for numbers in by_states.values():
        for start in range(0, len(numbers), IN_A_DECK):
            batch = numbers[start : start + IN_A_DECK]
            answers.update(_deck({n: circuits[n] for n in batch}, volts, folder, program))
    for number in range(len(circuits)):
        yield answers[number]


def _deck(
    batch: Mapping[int, tuple[Elements, Sequence[State]]], volts: float, folder: Path, program: str
) -> dict[int, list[tuple[float, dict[str, float]]]]:
    lines = ["* wired sites, direct current in place of its effective value"]
    moves: list[list[str]] = []
    prints: list[str] = []
    for number, (circuit, states) in batch.items():
        names: dict[End, str] = dict.fromkeys(circuit.grounded, "0")

        def node(end: End, names: dict[End, str] = names, number: int = number) -> str:
            return names.setdefault(end, f"n{number}_{len(names)}")

        lines += [f"V{number} s{number} 0 {volts:g}", f"RS{number} s{number} {node(circuit.hot)} {SOURCE:g}"]
        for i, (one, other) in enumerate(circuit.wires):
            if node(one) != node(other):
                lines.append(f"RW{number}_{i} {node(one)} {node(other)} {CLOSED:g}")
        for i, contact in enumerate(circuit.contacts):
            ohms = ohms_in(contact, states[0])
            lines.append(f"RC{number}_{i} {node(contact[3])} {node(contact[4])} {ohms:.9g}")
        prints.append(f"print i(V{number})")
        for i, (_, one, other, ohms) in enumerate(circuit.uses):
            lines.append(f"RU{number}_{i} {node(one)} {node(other)} {ohms:g}")
            # A probe that measures a difference, so that either end may be ground.
            lines.append(f"EU{number}_{i} p{number}_{i} 0 {node(one)} {node(other)} 1")
            prints.append(f"print v(p{number}_{i})")
        lines += [f"RB{number}_{i} {name} 0 1e12" for i, name in enumerate(set(names.values()) - {"0"})]
        for step in range(1, len(states)):
            moves += [[] for _ in range(step - len(moves))]
            for i, contact in enumerate(circuit.contacts):
                now = ohms_in(contact, states[step])
                if now != ohms_in(contact, states[step - 1]):
                    moves[step - 1].append(f"alter RC{number}_{i} = {now:.9g}")
    lines += [".control", "op", *prints]
    for changed in moves:
        lines += [*changed, "op", *prints]
    deck = folder / "sites.cir"
    deck.write_text("\n".join([*lines, "quit", ".endc", ".end"]) + "\n", encoding="ascii")
    done = subprocess.run([program, "-b", str(deck)], capture_output=True, text=True, timeout=120, check=False)
    printed = [float(line.split("=")[1]) for line in done.stdout.splitlines() if line.startswith(("v(", "i("))]
    if len(printed) != len(prints) * (len(moves) + 1):
        raise AssertionError(f"ngspice printed {len(printed)} values: {done.stdout[-300:]} {done.stderr[-300:]}")
    values = iter(printed)
    found: dict[int, list[tuple[float, dict[str, float]]]] = {number: [] for number in batch}
    for _ in range(len(moves) + 1):
        for number, (circuit, _) in batch.items():
            amperes = abs(next(values))
            found[number].append((amperes, {name: abs(next(values)) for name, *_ in circuit.uses}))
    return found
