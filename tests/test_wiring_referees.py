"""The solver, the router and the plans held against networkx and ngspice."""

from __future__ import annotations

import random
import shutil
import warnings
from itertools import pairwise
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from wiring_world import bench, copper, feed_ends, houses, ngspice_volts, plans, referee

from switchleg.wiring.finding import FULL
from switchleg.wiring.netlist import Terminal, Wired
from switchleg.wiring.positions import positions
from switchleg.wiring.rules import findings
from switchleg.wiring.site import CEILING, Cable, Site, Stub, route
from switchleg.wiring.solve import solve

PLANS_LOOKED_AT = 1000
"""Of some tens of thousands: every way of every scheme about forty times, other houses and fans each time."""


def _agrees(wired: Wired, name: str) -> None:
    for state in positions(wired, bench()):
        solution = solve(wired, bench(), state)
        short, loads = referee(wired, state)
        assert solution.short == short, name
        if short:
            continue
        for load, (hot, neutral) in loads.items():
            share = solution.across(Terminal(load, "hot"), Terminal(load, "neutral")) / bench().volts
            assert (share > FULL) == (hot and neutral), f"{name}: {load} in {state}: {share:.2f}, {hot}, {neutral}"


@pytest.mark.parametrize(("other_load", "has_light", "step"), [(False, True, 1), (True, True, 4), (False, False, 3)])
def test_candidate_houses_against_connectivity(other_load: bool, has_light: bool, step: int) -> None:
    """In every candidate house a load has full voltage exactly when networkx finds its way to hot and neutral."""
    for house in houses(other_load=other_load, has_light=has_light)[::step]:
        _agrees(house.wired, house.id)


@pytest.mark.parametrize(("other_load", "has_light", "step"), [(False, True, 1), (True, True, 4), (False, False, 3)])
def test_candidate_houses_are_sound(other_load: bool, has_light: bool, step: int) -> None:
    """No candidate house has a short, part voltage, a neutral that is not solid, or a load that never works."""
    for house in houses(other_load=other_load, has_light=has_light)[::step]:
        broken = {f.rule for f in findings(house.wired, bench())}
        assert not broken, f"{house.id}: {broken}"


def test_every_load_can_be_worked_or_is_always_live() -> None:
    """In a candidate house a load that a control works is off in some position, one on HOT is on in all."""
    for house in houses()[::3]:
        for load, net in (("fan", house.fan_on), ("light", house.light_on)):
            seen = {all(referee(house.wired, s)[1][load]) for s in positions(house.wired, bench())}
            assert seen == ({True} if net == "HOT" else {True, False}), f"{house.id}: {load}"


def test_plans_are_sound() -> None:
    """Sampled plans of every way, over all houses and kinds of fan, break no electrical rule, and networkx agrees."""
    ways = set()
    for way, house, fan, wired in plans(PLANS_LOOKED_AT, seed=20):
        ways.add(way)
        name = f"{way} in {house.id} with {fan}"
        assert not findings(wired, bench()), f"{name}: {[f.rule for f in findings(wired, bench())]}"
        _agrees(wired, name)
    every = {f"{s}.{w}" for s, w in _ways()}
    assert ways == every


def _ways() -> list[tuple[str, str]]:
    from switchleg.knowledge.load import load

    return [(scheme.id, way.id) for scheme in load().schemes.scheme for way in scheme.way]


def test_nothing_electronic_beyond_a_shaped_output() -> None:
    """By networkx: beyond an output that steps or cuts power lie only motors or lamps, whatever contacts are closed."""
    looked_at = 0
    for way, house, fan, wired in plans(PLANS_LOOKED_AT, seed=21):
        controls = bench().controls
        for part in wired.parts:
            control = controls.get(part.control)
            for channel in control.channel if control else ():
                if channel.does == "contact" or part.net(channel.joins[1]) is None:
                    continue
                looked_at += 1
                graph = copper(wired)
                for other in wired.parts:
                    known = controls.get(other.control)
                    if known is None or other.id == part.id:
                        continue
                    for ch in known.channel:
                        graph.add_edge(*(Terminal(other.id, t) for t in ch.joins))
                beyond = nx.node_connected_component(graph, Terminal(part.id, channel.joins[1]))
                kinds = {
                    bench().loads[p.control].kind
                    for p in wired.parts
                    if bench().is_load(p) and Terminal(p.id, "hot") in beyond
                }
                allowed = {"ac_motor"} if channel.does == "speed" else {"lamp"}
                name = f"{way} in {house.id} with {fan}"
                assert kinds <= allowed, f"{name}: {channel.does} reaches {kinds}"
                assert feed_ends(wired)["HOT"] not in beyond, f"{name}: the output is joined to hot past the control"
                stubs = {end.cable for end in beyond if hasattr(end, "cable")} & {s.id for s in wired.site.stubs}
                assert not stubs, f"{name}: {channel.does} leaves by {stubs}"
    assert looked_at > PLANS_LOOKED_AT // 4


def test_neutral_colours_carry_neutral_or_are_marked() -> None:
    """In sampled plans of every region: a neutral-coloured conductor with another net is marked, a spare is capped."""
    for way, house, _, wired in plans(120, seed=22):
        for (cable, colour), net in wired.conductors.items():
            if colour in ("white", "gray") and net not in (None, "NEUTRAL"):
                assert (cable, colour) in wired.relabelled, f"{way} in {house.id}"
        for box in wired.site.boxes:
            ends = {e for j in wired.joints if j.box == box for e in j.ends} | set(wired.capped(box))
            cables = {c.id for c in wired.site.at(box)}
            assert all(
                any(getattr(e, "cable", "") == c and e.colour == k for e in ends if hasattr(e, "colour"))
                for c, k in wired.conductors
                if c in cables
            ), f"{way} in {house.id}: an end is left out at {box}"


NGSPICE = shutil.which("ngspice")
if NGSPICE is None:
    warnings.warn("ngspice is not installed: the circuits' voltages are not checked by it", stacklevel=1)


@pytest.mark.skipif(NGSPICE is None, reason="ngspice is NOT installed: voltages have no outside check in this run")
def test_voltages_against_ngspice(tmp_path: Path) -> None:
    """In sampled houses and plans ngspice finds every load's voltage within one per cent of nominal, in every state."""
    draw = random.Random(5)
    stock = [h.wired for h in draw.sample(houses(), 30)] + [wired for *_, wired in plans(24, seed=23)]
    circuits = [(wired, state) for wired in stock for state in positions(wired, bench())]
    assert NGSPICE is not None
    for (wired, state), volts in zip(circuits, ngspice_volts(circuits, tmp_path, NGSPICE), strict=True):
        solution = solve(wired, bench(), state)
        for load, found in volts.items():
            ours = solution.across(Terminal(load, "hot"), Terminal(load, "neutral"))
            assert found == pytest.approx(ours, abs=0.01 * bench().volts), f"{load} in {state}"


@st.composite
def trees(draw: st.DrawFn) -> tuple[Site, dict[str, frozenset[str]]]:
    """A random tree of boxes with a feed somewhere, and random demands for nets."""
    count = draw(st.integers(1, 9))
    boxes = [CEILING, *(f"box{n}" for n in range(1, count))]
    cables = tuple(
        Cable(f"c{n}", (boxes[draw(st.integers(0, n - 1))], boxes[n]), draw(st.integers(1, 5))) for n in range(1, count)
    )
    feed = Stub("feed", draw(st.sampled_from(boxes)), ("HOT", "NEUTRAL"))
    names = ("HOT", "NEUTRAL", "FAN", "LIGHT", "T1")
    demands = {net: frozenset(draw(st.sets(st.sampled_from(boxes), max_size=4))) for net in names}
    return Site(tuple(boxes), cables, (feed,)), demands


@given(trees())
@settings(max_examples=150, deadline=None)
def test_routes_against_networkx(drawn: tuple[Site, dict[str, frozenset[str]]]) -> None:
    """A net crosses a cable exactly when it lies on a path between two boxes that need the net."""
    site, demands = drawn
    graph = nx.Graph([c.ends for c in site.cables])
    graph.add_nodes_from(site.boxes)
    routing = route(site, demands)
    for cable in site.cables:
        crossing = set()
        for net, boxes in demands.items():
            needed = set(boxes) | ({site.feed_box} if net in ("HOT", "NEUTRAL") else set())
            paths = [nx.shortest_path(graph, a, b) for a in needed for b in needed if a < b]
            if any(set(cable.ends) == {a, b} for path in paths for a, b in pairwise(path)):
                crossing.add(net)
        assert set(routing.nets[cable.id]) == crossing
        short = [s for s in routing.shortfalls if s.cable == cable.id]
        assert bool(short) == (len(crossing) > cable.conductors)
        assert all(s.missing == len(crossing) - cable.conductors for s in short)
    assert routing.possible == (not routing.shortfalls)
