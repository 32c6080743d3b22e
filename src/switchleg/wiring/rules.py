"""Electrical rules over every state of a wired site. Each finding names its rule, the place and the parts.

The rules' sentences, severities and sources stand in rules.toml under these ids. What needs no state
(joints, marks, caps, ground) is in wiring/joint_rules.py.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from typing import get_args

from switchleg.schema.parts import Channel, LoadKind, OtherKind
from switchleg.wiring.bench import Bench
from switchleg.wiring.effect_rules import idle_controls, outputs_that_meet
from switchleg.wiring.finding import FULL, NONE, Finding, Words
from switchleg.wiring.joint_rules import static_findings
from switchleg.wiring.loads import Fed, loads_of
from switchleg.wiring.netlist import Placed, Terminal, Wired
from switchleg.wiring.positions import Dial, Positions, at_full, dials, positions
from switchleg.wiring.site import HOT, NEUTRAL
from switchleg.wiring.solve import Circuit, Solution, circuit_of, nodes_without_contacts

ELECTRONIC = ("receiver", "driver")
Node = Callable[[Placed, str], Hashable | None]
"""The node that a part's terminal lies on; None where it lies on nothing."""


def findings(wired: Wired, bench: Bench) -> tuple[Finding, ...]:
    """Every rule broken in any state or in none, once each, in the order found. Looks at joints as they are made."""
    found: dict[Finding, None] = {}
    circuit, loads = circuit_of(wired, bench), loads_of(wired, bench)
    on: set[str] = set()
    heard: dict[str, set[bool]] = {}
    seen: dict[tuple[int, ...], Hashable] = {}
    stepped = [dial for dial in dials(wired, bench) if dial.reduced]
    within = [dial for dial in dials(wired, bench) if dial.kept]
    for state in positions(wired, bench, inside=True, steps=True):
        solution = circuit.solve(state)
        if solution.short:
            found[Finding("short", "", ())] = None
            continue
        full = turned_up(circuit, stepped, state)
        shares = [solution.across(load.hot, load.neutral) / bench.volts for load in loads]
        for load, share in zip(loads, shares, strict=True):
            if share > FULL:
                on.add(load.id)
            meant = full is not None and full.across(load.hot, load.neutral) > FULL * bench.volts
            for rule in _load_faults(solution, bench, load, FULL + 1 if meant else share):
                found[Finding(rule, load.box, (("load", load.id),))] = None
        for part_id in unpowered(wired, bench, solution, state) if _within_at_full(state, within) else ():
            box = next(p.box for p in wired.parts if p.id == part_id)
            found[Finding("electronics_lose_power", box, (("part", part_id),))] = None
        listening = tuple(inputs(wired, bench, solution))
        for part_id, live in listening:
            heard.setdefault(part_id, set()).add(live)
        seen[tuple(state.values())] = (*(round(share, 2) for share in shares), *listening)
    for load in loads:
        if load.id not in on:
            found[Finding("load_never_on", load.box, (("load", load.id),))] = None
    for part in wired.parts:
        if len(heard.get(part.id, {True, False})) < 2:
            found[Finding("input_not_switched", part.box, (("part", part.id),))] = None
    nodes = nodes_without_contacts(wired, bench)
    for finding in output_findings(wired, bench, lambda part, terminal: nodes.get(Terminal(part.id, terminal))):
        found[finding] = None
    for finding in static_findings(wired, bench, nodes):
        found[finding] = None
    for finding in (*idle_controls(wired, bench, seen), *outputs_that_meet(wired, bench, nodes)):
        found[finding] = None
    return tuple(found)


def _within_at_full(state: Positions, within: Iterable[Dial]) -> bool:
    """What a chain or a remote turns off is no position of a wall control."""
    return all(state[dial.key] == dial.top for dial in within)


def turned_up(circuit: Circuit, stepped: Iterable[Dial], state: Positions) -> Solution | None:
    """The same state with every reduced step at full: what is whole there is slow or dim on purpose here.

    None where nothing is at a step.
    """
    full = at_full(stepped, state)
    return circuit.solve(full) if full != state else None


def _load_faults(solution: Solution, bench: Bench, load: Fed, share: float) -> Iterator[str]:
    if NONE <= share <= FULL:
        yield "part_voltage"
    neutral = solution.at(load.neutral)
    if neutral is None or neutral > NONE * bench.volts:
        yield "neutral_not_solid"


def inputs(wired: Wired, bench: Bench, solution: Solution) -> Iterator[tuple[str, bool]]:
    """Controls whose wired input listens to a switch, and whether it sees voltage in a solved state."""
    for part in wired.parts:
        control = bench.controls.get(part.control)
        if control and control.senses and control.supply and part.net(control.senses):
            across = solution.across(Terminal(part.id, control.senses), Terminal(part.id, control.supply[1]))
            yield part.id, across > FULL * bench.volts


def unpowered(wired: Wired, bench: Bench, solution: Solution, state: Positions) -> Iterator[str]:
    """Controls whose electronics are without full voltage in a solved state.

    One that lives on its load takes its current through it: with its own contact open it must see full voltage
    across itself, and with it closed it lives on the current of the same loop.
    """
    for part in wired.parts:
        control = bench.controls.get(part.control)
        if control and (ends := control.electronics):
            one, other = (Terminal(part.id, t) for t in ends)
            seen = solution
            if control.lives_on_load:
                seen = circuit_of(wired, bench).solve(dict(state) | {(part.id, ch.id): 0 for ch in control.channel})
            if seen.across(one, other) < FULL * bench.volts:
                yield part.id


def _by_net(part: Placed, terminal: str) -> str | None:
    return part.net(terminal)


def downstream(wired: Wired, bench: Bench, start: Hashable, node: Node = _by_net) -> tuple[list[Placed], list[Placed]]:
    """Loads fed from a node, directly or through further channels; and controls whose electronics live on it.

    By default a node is a net, which is right for everything the router wired; `node` looks at joints.
    """
    seen, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        for part in wired.parts:
            control = bench.controls.get(part.control)
            ways = control.ways() if control else ()
            for line, load in ways:
                beyond = node(part, load)
                if node(part, line) == here and beyond is not None and beyond not in seen:
                    seen.add(beyond)
                    waiting.append(beyond)
    loads = [p for p in wired.parts if bench.is_load(p) and node(p, "hot") in seen]
    supplied = [
        p for p in wired.parts if (c := bench.controls.get(p.control)) and c.supply and node(p, c.supply[0]) in seen
    ]
    return loads, supplied


OTHERS: frozenset[LoadKind] = frozenset(get_args(OtherKind))


def works_other(wired: Wired, part: Placed, channel: Channel) -> bool:
    """Whether another load hangs on the leg that a part's channel feeds."""
    out = part.net(channel.joins[1])
    return any(stub.id.startswith("other") and out in stub.nets for stub in wired.site.stubs)


def output_findings(wired: Wired, bench: Bench, node: Node = _by_net) -> Iterator[Finding]:
    """Outputs that feed what they may not, cut or stepped power ahead of electronics, other loads left unfed."""
    may_be = {bench.other} if bench.other else OTHERS
    for part in wired.parts:
        control = bench.controls.get(part.control)
        for channel in control.channel if control else ():
            out = node(part, channel.joins[1])
            if out is None:
                continue
            loads, supplied = downstream(wired, bench, out, node)
            for load in loads:
                kind: LoadKind = bench.loads[load.control].kind
                if kind not in channel.feeds:
                    words: Words = (("part", part.id), ("load", load.id), ("does", channel.does), ("kind", kind))
                    yield Finding("output_feeds_wrong_load", part.box, words)
            if works_other(wired, part, channel) and not may_be & set(channel.feeds):
                words = (("part", part.id), ("load", "other"), ("does", channel.does), ("kind", bench.other or "other"))
                yield Finding("output_feeds_wrong_load", part.box, words)
            if control and control.lives_on_load and any(bench.loads[p.control].kind in ELECTRONIC for p in loads):
                yield Finding("lives_on_electronics", part.box, (("part", part.id),))
            if channel.does != "contact":
                for other in supplied:
                    words = (("part", part.id), ("load", other.id), ("does", channel.does))
                    yield Finding("shaped_power_ahead_of_electronics", part.box, words)
    for stub in wired.site.stubs:
        worked = {net for p in wired.parts if p.control in bench.controls for _, net in p.nets} | {HOT}
        if stub.id.startswith("other") and not set(stub.nets) - {NEUTRAL} <= worked:
            yield Finding("other_load_stranded", stub.box, (("load", stub.id),))
