"""The solver against ngspice, networkx and a slow plain solver."""

from __future__ import annotations

import shutil
import warnings
from collections.abc import Iterable
from pathlib import Path

import pytest
from circuit_checks import against_networkx, against_spice, other_regions, same_joins, spice_stock
from circuit_referees import TRIP, elements, joined_ends, plain_volts
from circuit_world import EQUAL, many_places, states_of
from hypothesis import given, settings
from hypothesis import strategies as st
from test_circuit_tables import TWO_PLACES, TWO_SWITCHES
from wiring_world import bench

from switchleg.wiring.function_table import works
from switchleg.wiring.netlist import ConductorEnd, End, Joint, Placed, Terminal, Wired
from switchleg.wiring.positions import dials
from switchleg.wiring.site import Cable, Site, Stub
from switchleg.wiring.solve import solve

NGSPICE = shutil.which("ngspice")
MISSING = "ngspice is NOT INSTALLED: no voltage of any circuit has an outside check in this run"
if NGSPICE is None:
    warnings.warn(MISSING, stacklevel=1)
needs_ngspice = pytest.mark.skipif(NGSPICE is None, reason=MISSING)


@needs_ngspice
def test_every_house_and_many_plans_against_ngspice(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In every candidate house, in plans of every way and kind of fan, and in some hundred circuits with a wrong
    joint, ngspice finds in every state the same class for every load and every voltage within one per cent."""
    assert NGSPICE is not None
    told = against_spice(spice_stock(1, 120), bench(), tmp_path, NGSPICE)
    with capsys.disabled():
        print(f"\nngspice: {told.circuits} circuits, {told.states} states, largest deviation {told.largest:.2%}")
    assert not told.wrong, told.wrong[:5]
    assert told.largest < 0.01
    assert told.states > 10_000
    assert min(told.classes.values()) > 20, told.classes


@needs_ngspice
def test_other_regions_against_ngspice(tmp_path: Path) -> None:
    """A sample of every other region's houses, with its colours and voltage, agrees with ngspice."""
    assert NGSPICE is not None
    for region, stock, kit in other_regions(25):
        told = against_spice(stock, kit, tmp_path, NGSPICE)
        assert not told.wrong, (region, told.wrong[:5])


@needs_ngspice
def test_known_tables_against_ngspice(tmp_path: Path) -> None:
    """The sound circuits and single mistakes of the truth tables agree with ngspice, part voltage and trips too."""
    assert NGSPICE is not None
    stock = [(name, wired) for known in (TWO_SWITCHES, TWO_PLACES) for name, (wired, _) in known.items()]
    stock += [(f"{n + 2} places", many_places(n)) for n in range(4)]
    told = against_spice(stock, EQUAL, tmp_path, NGSPICE)
    assert not told.wrong, told.wrong[:5]
    assert told.classes["part"] == 4
    assert told.classes["trip"] == 4


def test_connectivity_against_networkx() -> None:
    """In the same circuits and states the solver's nodes are exactly the components that networkx finds."""
    told = against_networkx(spice_stock(1, 120), bench())
    assert not told.wrong, told.wrong[:5]
    assert told.states > 10_000


@st.composite
def netlists(draw: st.DrawFn) -> tuple[Wired, dict[tuple[str, str], int]]:
    """Boxes in a random tree, random parts, and in every box all ends joined at random; and a random state."""
    boxes = [f"b{n}" for n in range(draw(st.integers(1, 3)))]
    cables = tuple(
        Cable(f"c{n}", (boxes[draw(st.integers(0, n - 1))], boxes[n]), draw(st.integers(1, 3)))
        for n in range(1, len(boxes))
    )
    stubs = [Stub("feed", draw(st.sampled_from(boxes)), ("HOT", "NEUTRAL"))]
    if draw(st.booleans()):
        stubs.append(Stub("other", draw(st.sampled_from(boxes)), ("LEG", "NEUTRAL")))
    conductors: dict[tuple[str, str], str | None] = {(c.id, f"w{n}"): None for c in cables for n in range(c.conductors)}
    for stub in stubs:
        nets = (*stub.nets, "GROUND") if draw(st.booleans()) else stub.nets
        conductors |= {(stub.id, f"w{n}"): net for n, net in enumerate(nets)}
    kinds = [*bench().controls.values()]
    parts = []
    for n in range(draw(st.integers(2, 7))):
        box = draw(st.sampled_from(boxes))
        if draw(st.integers(0, 2)):
            names, kind = ("hot", "neutral"), draw(st.sampled_from(sorted(bench().loads)))
        else:
            control = draw(st.sampled_from([c for c in kinds if c.terminals]))
            names, kind = control.terminals, control.id
        parts.append(Placed(f"p{n}", kind, box, tuple((name, "?") for name in names)))
    site = Site(tuple(boxes), cables, tuple(stubs))
    joints = []
    apart = draw(st.integers(0, 4)) > 0
    for box in boxes:
        ends: list[End] = [Terminal(p.id, t) for p in parts if p.box == box for t, _ in p.nets]
        here = {c.id for c in site.at(box)}
        ends += [ConductorEnd(cable, colour, box) for cable, colour in conductors if cable in here]
        groups: dict[int, list[End]] = {}
        most = draw(st.integers(2, max(3, len(ends) // 2)))
        for end in ends:
            # Mostly a feed whose hot and neutral are apart: shorts come by other ways too.
            fed = isinstance(end, ConductorEnd) and end.cable == "feed" and apart
            group = int(end.colour[1:]) if fed and isinstance(end, ConductorEnd) else draw(st.integers(0, most))
            groups.setdefault(group, []).append(end)
        joints += [Joint(box, "?", tuple(group)) for group in groups.values() if len(group) > 1]
    wired = Wired(site, tuple(parts), conductors, tuple(joints), frozenset())
    return wired, {dial.key: draw(st.integers(0, dial.top)) for dial in dials(wired, bench())}


SEEN: set[str] = set()


@given(netlists())
@settings(max_examples=500, deadline=None)
def test_random_netlists_against_a_plain_solver(drawn: tuple[Wired, dict[tuple[str, str], int]]) -> None:
    """On random netlists a plain solver, where every wire and closed contact is a resistor and nothing is merged,
    finds the same shorts and, within one per cent of nominal, the same voltages; networkx finds the same joins."""
    wired, state = drawn
    circuit = elements(wired, bench())
    solution = solve(wired, bench(), state)
    assert same_joins(circuit, state, solution)
    amperes, across = plain_volts(circuit, bench().volts, state)
    assert solution.short == (amperes > TRIP)
    SEEN.add("trip" if solution.short else "solved")
    for use, one, other, _ in () if solution.short else circuit.uses:
        assert solution.across(one, other) == pytest.approx(across[use], abs=0.01 * bench().volts)
        SEEN.add(works(across[use], bench().volts))


def test_the_random_netlists_were_no_easy_ones() -> None:
    """Among the random netlists were loads on, off and at part voltage, and shorts."""
    if not SEEN:
        test_random_netlists_against_a_plain_solver()
    assert {"on", "off", "part", "trip"} <= SEEN


def test_a_referee_that_differs_is_noticed() -> None:
    """The comparison itself can fail: with one contact turned over, joins differ in some state."""
    wired = many_places(1)
    circuit = elements(wired, EQUAL)
    states = states_of(wired, EQUAL)
    turned: Iterable[dict[tuple[str, str], int]] = ({**s, ("first", "throw"): 1 - s["first", "throw"]} for s in states)
    assert all(same_joins(circuit, s, solve(wired, EQUAL, s)) for s in states)
    assert not any(same_joins(circuit, t, solve(wired, EQUAL, s)) for s, t in zip(states, turned, strict=True))
    assert len(joined_ends(circuit, states[0])) > 3
