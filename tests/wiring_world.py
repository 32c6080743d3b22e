"""What the tests of the circuit share: candidate houses, plans, small circuits, and two outside referees.

The referees are networkx (who is joined to what) and ngspice (which voltage stands where); both are fed from the
netlist alone, none of the project's own solving is used.
"""

from __future__ import annotations

import itertools
import random
import subprocess
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

import networkx as nx

from switchleg.advice.cases.beliefs import bench_of, palette_of
from switchleg.advice.plans.plan import Obstacle, setting, wirings
from switchleg.diagnosis.fans import Fan
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.houses.generate import Generator
from switchleg.knowledge.load import load
from switchleg.schema.parts import Control
from switchleg.wiring.bench import Bench
from switchleg.wiring.netlist import ConductorEnd, Placed, Terminal, Wired, join
from switchleg.wiring.site import CEILING, Site, Stub

State = Mapping[tuple[str, str], int]

FANS = (
    Fan("ac", False, "own_lead", True, False),
    Fan("ac", False, "none", True, False),
    Fan("ac", True, "receiver_mains", True, True),
    Fan("ac", True, "own_lead", False, True),
    Fan("ac_tapped", True, "receiver_mains", True, True),
    Fan("dc", True, "receiver_low_voltage", False, True),
    Fan("dc", True, "receiver_mains", True, True),
    Fan("dc", True, "own_lead", True, False),
    Fan("dc", True, "none", True, True),
)
"""One fan of every kind that wiring can tell apart."""


@cache
def bench() -> Bench:
    knowledge = load()
    return bench_of(knowledge, knowledge.regions["us"])


@cache
def houses(*, other_load: bool = False, has_light: bool = True, region: str = "us") -> tuple[Candidate, ...]:
    knowledge = load()
    palette = palette_of(knowledge.regions[region])
    return Generator(knowledge.wiring, palette, other_load=other_load, has_light=has_light).all()


def plans(count: int, seed: int) -> Iterator[tuple[str, Candidate, Fan, Wired]]:
    """So many plans, drawn evenly over schemes' ways, houses (with other loads too) and kinds of fan."""
    draw = random.Random(seed)
    ways = [(scheme.id, way) for scheme in load().schemes.scheme for way in scheme.way]
    stock = (*houses(), *houses(other_load=True), *houses(has_light=False))
    found = 0
    while found < count:
        scheme, way = ways[found % len(ways)]
        house, fan = draw.choice(stock), draw.choice(FANS)
        fed = setting(way, house, fan)
        if isinstance(fed, Obstacle):
            continue
        wired, _ = wirings(way, house, fed, bench(), may_pull=draw.random() < 0.5)
        if wired:
            found += 1
            yield f"{scheme}.{way.id}", house, fan, draw.choice(wired)[0]


def circuit(parts: tuple[Placed, ...], *stubs: Stub) -> Wired:
    """Parts that all meet in one box, beside the feed: ends of the same net are joined."""
    feed = Stub("feed", CEILING, ("HOT", "NEUTRAL"))
    site = Site((CEILING,), (), (feed, *stubs))
    conductors: dict[tuple[str, str], str | None] = {
        (stub.id, colour): net for stub in site.stubs for colour, net in zip(("black", "white"), stub.nets, strict=True)
    }
    return Wired(site, parts, conductors, join(site, parts, conductors), frozenset())


def switch(name: str, line: str, load_net: str) -> Placed:
    return Placed(name, "plain_switch", CEILING, (("line", line), ("load", load_net)))


def two_way(name: str, common: str, first: str, second: str) -> Placed:
    return Placed(name, "plain_two_way", CEILING, (("common", common), ("traveler_1", first), ("traveler_2", second)))


def lamp(name: str, hot: str, neutral: str = "NEUTRAL") -> Placed:
    return Placed(name, "fan_lamp", CEILING, (("hot", hot), ("neutral", neutral)))


# ---- the referees ----


def contacts(wired: Wired, controls: Mapping[str, Control], state: State) -> Iterator[tuple[Terminal, Terminal, bool]]:
    """Every contact with whether it is closed."""
    for part in wired.parts:
        control = controls.get(part.control)
        if control is None:
            continue
        for channel in control.channel:
            one, other = (Terminal(part.id, t) for t in channel.joins)
            yield one, other, bool(state.get((part.id, channel.id)))
        if control.joined:
            one, other = (Terminal(part.id, t) for t in control.joined)
            yield one, other, True
        if control.throws:
            common, *ways = control.throws
            for place, way in enumerate(ways):
                closed = state.get((part.id, "throw"), 0) == place
                yield Terminal(part.id, common), Terminal(part.id, way), closed


def copper(wired: Wired) -> nx.Graph:
    """Everything that copper and connectors join, no contact closed."""
    graph = nx.Graph()
    for cable in wired.site.cables:
        for name, colour in wired.conductors:
            if name == cable.id:
                graph.add_edge(*(ConductorEnd(name, colour, box) for box in cable.ends))
    for stub in wired.site.stubs:
        graph.add_nodes_from(ConductorEnd(n, c, stub.box) for n, c in wired.conductors if n == stub.id)
    for joint in wired.joints:
        nx.add_path(graph, joint.ends)
    for part in wired.parts:
        graph.add_nodes_from(Terminal(part.id, t) for t, _ in part.nets)
    return graph


def feed_ends(wired: Wired) -> dict[str, ConductorEnd]:
    box = wired.site.feed_box
    return {net or "": ConductorEnd(n, c, box) for (n, c), net in wired.conductors.items() if n == "feed"}


def referee(wired: Wired, state: State) -> tuple[bool, dict[str, tuple[bool, bool]]]:
    """By networkx: whether hot meets neutral, and for each load (reaches hot, reaches neutral)."""
    graph = copper(wired)
    for one, other, closed in contacts(wired, bench().controls, state):
        if closed:
            graph.add_edge(one, other)
    feed = feed_ends(wired)
    hot, neutral = (nx.node_connected_component(graph, feed[net]) for net in ("HOT", "NEUTRAL"))
    loads = [p.id for p in wired.parts if bench().is_load(p)]
    reached = {name: (Terminal(name, "hot") in hot, Terminal(name, "neutral") in neutral) for name in loads}
    return feed["HOT"] in neutral, reached


def ngspice_volts(circuits: list[tuple[Wired, State]], folder: Path, program: str) -> list[dict[str, float]]:
    """By ngspice: the voltage across every load of every circuit, all solved in one direct-current operating point.

    Closed contacts, conductors and connectors are 1 milliohm, open contacts 1 gigaohm.
    """
    lines, asked = ["* candidate houses"], []
    for number, (wired, state) in enumerate(circuits):
        names: dict[object, str] = {}

        def node(end: object, names: dict[object, str] = names, number: int = number) -> str:
            return names.setdefault(end, f"n{number}_{len(names)}")

        count = itertools.count()
        graph = copper(wired)
        edges = [(a, b, 1e-3) for a, b in graph.edges]
        edges += [(a, b, 1e-3 if closed else 1e9) for a, b, closed in contacts(wired, bench().controls, state)]
        for part in wired.parts:
            if bench().is_load(part):
                ohms = bench().volts ** 2 / bench().loads[part.control].watts
                edges.append((Terminal(part.id, "hot"), Terminal(part.id, "neutral"), ohms))
                asked.append((number, part.id, node(Terminal(part.id, "hot")), node(Terminal(part.id, "neutral"))))
        lines += [f"R{number}_{next(count)} {node(a)} {node(b)} {ohms:g}" for a, b, ohms in edges]
        lines += [f"R{number}_{next(count)} {name} 0 1e12" for name in list(names.values())]
        feed = feed_ends(wired)
        lines.append(f"V{number} {node(feed['HOT'])} {node(feed['NEUTRAL'])} {bench().volts:g}")
        lines.append(f"R{number}_{next(count)} {node(feed['NEUTRAL'])} 0 1e-3")
    lines += [".control", "op", *(f"print v({a},{b})" for _, _, a, b in asked), ".endc", ".end"]
    deck = folder / "houses.cir"
    deck.write_text("\n".join(lines) + "\n", encoding="ascii")
    done = subprocess.run([program, "-b", str(deck)], capture_output=True, text=True, timeout=60, check=False)
    printed = [float(line.split("=")[1]) for line in done.stdout.splitlines() if line.startswith("v(")]
    if len(printed) != len(asked):
        raise AssertionError(f"ngspice printed {len(printed)} of {len(asked)} voltages: {done.stdout[-400:]}")
    answers: list[dict[str, float]] = [{} for _ in circuits]
    for (number, name, _, _), volts in zip(asked, printed, strict=True):
        answers[number][name] = abs(volts)
    return answers
