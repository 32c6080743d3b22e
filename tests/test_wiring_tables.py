"""Truth tables of known circuits, sound and with one mistake, built as netlists and solved.

Sound rows: the article "Multiway switching" of a public encyclopedia and exploringbinary.com (parity of all switches).
Rows with a mistake: worked out once with networkx and with ngspice, which agreed.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

import pytest
from wiring_world import bench, circuit, lamp, switch, two_way

from switchleg.wiring.bench import Bench
from switchleg.wiring.netlist import Placed, Terminal, Wired
from switchleg.wiring.rules import findings
from switchleg.wiring.solve import solve

EQUAL = Bench(
    bench().controls, {name: load.model_copy(update={"watts": 60.0}) for name, load in bench().loads.items()}, 120.0
)
"""Loads alike, so that two in series stand at half the voltage."""


def _cell(share: float) -> str:
    return "1" if share > 0.92 else "0" if share < 0.08 else "d"


def table(wired: Wired, switches: Sequence[tuple[str, str]], loads: Sequence[str]) -> str:
    """States in binary order of the switches; a cell for each load, S for a short."""
    cells = []
    for values in product((0, 1), repeat=len(switches)):
        solution = solve(wired, EQUAL, dict(zip(switches, values, strict=True)))
        if solution.short:
            cells.append("S")
            continue
        shares = [solution.across(Terminal(x, "hot"), Terminal(x, "neutral")) / EQUAL.volts for x in loads]
        cells.append("".join(map(_cell, shares)))
    return " ".join(cells)


def test_single_pole() -> None:
    """A plain switch: off, on."""
    wired = circuit((switch("s", "HOT", "LIGHT"), lamp("light", "LIGHT")))
    assert table(wired, [("s", "on")], ["light"]) == "0 1"


THROWS = [("s1", "throw"), ("s2", "throw")]


@pytest.mark.parametrize(
    ("second", "expected"), [(("T1", "T2"), "1 0 0 1"), (("T2", "T1"), "0 1 1 0")], ids=["straight", "crossed"]
)
def test_two_locations(second: tuple[str, str], expected: str) -> None:
    """A pair of two-location switches follows parity, with travelers straight or crossed: both are right."""
    wired = circuit((two_way("s1", "HOT", "T1", "T2"), two_way("s2", "LIGHT", *second), lamp("light", "LIGHT")))
    assert table(wired, THROWS, ["light"]) == expected
    assert not findings(wired, EQUAL)


def test_three_locations() -> None:
    """With a four-way switch between them (as two pairs of contacts), each flip toggles the light."""
    ends = (two_way("s1", "HOT", "T1", "T2"), two_way("s2", "LIGHT", "T3", "T4"), lamp("light", "LIGHT"))
    straight = circuit((*ends, switch("a", "T1", "T3"), switch("b", "T2", "T4")))
    crossed = circuit((*ends, switch("a", "T1", "T4"), switch("b", "T2", "T3")))
    closed = {("a", "on"): 1, ("b", "on"): 1}
    found = []
    for s1, x, s2 in product((0, 1), repeat=3):
        state = {("s1", "throw"): s1, ("s2", "throw"): s2, **closed}
        solution = solve(crossed if x else straight, EQUAL, state)
        share = solution.across(Terminal("light", "hot"), Terminal("light", "neutral")) / 120
        found.append(_cell(share))
    assert " ".join(found) == "1 0 0 1 0 1 1 0"


@pytest.mark.parametrize(("bottom", "expected"), [("HOT", "01 11"), ("LEG", "00 11")], ids=["tab out", "both halves"])
def test_half_switched_receptacle(bottom: str, expected: str) -> None:
    """With the tab out one half follows the switch and the other is always live."""
    wired = circuit((switch("s", "HOT", "LEG"), lamp("top", "LEG"), lamp("bottom", bottom)))
    assert table(wired, [("s", "on")], ["top", "bottom"]) == expected


def test_receptacle_with_its_tab_left_in() -> None:
    """With the tab left in both halves are always live."""
    tab = Placed("tab", "wall_joint", "ceiling", (("one", "HOT"), ("other", "LEG")))
    wired = circuit((switch("s", "HOT", "LEG"), tab, lamp("top", "LEG"), lamp("bottom", "HOT")))
    assert table(wired, [("s", "on")], ["top", "bottom"]) == "11 11"


def test_both_poles_switched() -> None:
    """The obsolete circuit with hot and neutral on the travelers: off with both lamp terminals live: it is found.

    Not allowed since about 1923 (NEC 404.2(A)).
    """
    parts = (two_way("s1", "A", "HOT", "NEUTRAL"), two_way("s2", "B", "HOT", "NEUTRAL"), lamp("light", "A", "B"))
    wired = circuit(parts)
    assert table(wired, THROWS, ["light"]) == "0 1 1 0"
    off = solve(wired, EQUAL, dict.fromkeys(THROWS, 0))
    assert off.at(Terminal("light", "hot")) == off.at(Terminal("light", "neutral")) == pytest.approx(120)
    assert "neutral_not_solid" in {f.rule for f in findings(wired, EQUAL)}


def _two(sf: tuple[str, str], sl: tuple[str, str], fan: tuple[str, str], light: tuple[str, str]) -> Wired:
    return circuit((switch("sf", *sf), switch("sl", *sl), lamp("fan", *fan), lamp("light", *light)))


F, L, H, N = "FAN", "LIGHT", "HOT", "NEUTRAL"
TWO_SWITCHES = {
    "none": (_two((H, F), (H, L), (F, N), (L, N)), "00 01 10 11"),
    "legs swapped at the canopy": (_two((H, F), (H, L), (L, N), (F, N)), "00 10 01 11"),
    "both loads on the light's leg": (_two((H, F), (H, L), (L, N), (L, N)), "00 11 00 11"),
    "both loads on the fan's leg": (_two((H, F), (H, L), (F, N), (F, N)), "00 00 11 11"),
    "light's lead open": (_two((H, F), (H, L), (F, N), ("CUT", N)), "00 00 10 10"),
    "fan's lead open": (_two((H, F), (H, L), ("CUT", N), (L, N)), "00 01 00 01"),
    "feed open": (_two(("CUT", F), ("CUT", L), (F, N), (L, N)), "00 00 00 00"),
    "common neutral open": (_two((H, F), (H, L), (F, "CUT"), (L, "CUT")), "00 00 00 00"),
    "fan on the unswitched hot": (_two((H, F), (H, L), (H, N), (L, N)), "10 11 10 11"),
    "light on the unswitched hot": (_two((H, F), (H, L), (F, N), (H, N)), "01 01 11 11"),
    "light's switch fed from the fan's leg": (_two((H, F), (F, L), (F, N), (L, N)), "00 00 10 11"),
    "fan's switch fed from the light's leg": (_two((L, F), (H, L), (F, N), (L, N)), "00 01 00 11"),
    "legs bridged": (_two((H, F), (H, F), (F, N), (F, N)), "00 11 11 11"),
    "light's switch across the line": (_two((H, F), (H, N), (F, N), (H, N)), "01 S 11 S"),
    "fan's white on the light's leg": (_two((H, F), (H, L), (F, L), (L, N)), "00 01 dd 01"),
    "light's white on the fan's leg": (_two((H, F), (H, L), (F, N), (L, F)), "00 dd 10 10"),
}
UNSEEN = {
    "none",
    "legs swapped at the canopy",
    "legs bridged",
    "light's switch fed from the fan's leg",
    "fan's switch fed from the light's leg",
}
"""Circuits in which each switch works something, perhaps the wrong load, and that break no electrical rule."""


@pytest.mark.parametrize("name", TWO_SWITCHES)
def test_two_switches(name: str) -> None:
    """Fan and light under two switches: the function table of the sound circuit and of every single mistake."""
    wired, expected = TWO_SWITCHES[name]
    assert table(wired, [("sf", "on"), ("sl", "on")], ["fan", "light"]) == expected


@pytest.mark.parametrize("name", sorted(set(TWO_SWITCHES) - UNSEEN))
def test_mistakes_are_found(name: str) -> None:
    """Every mistake that leaves a load dead, dim, shorted, without a solid neutral, or a switch idle breaks a rule."""
    wired, _ = TWO_SWITCHES[name]
    assert findings(wired, EQUAL)


@pytest.mark.parametrize("name", sorted(UNSEEN))
def test_sound_circuits_break_nothing(name: str) -> None:
    """A circuit whose loads all get full voltage or none breaks no electrical rule."""
    wired, _ = TWO_SWITCHES[name]
    assert not findings(wired, EQUAL)


def test_half_voltage_in_series() -> None:
    """Two like loads in series stand at half the voltage each (published value 59.97 V with 0.2 ohm of source)."""
    wired, _ = TWO_SWITCHES["fan's white on the light's leg"]
    solution = solve(wired, EQUAL, {("sf", "on"): 1, ("sl", "on"): 0})
    for load in ("fan", "light"):
        assert solution.across(Terminal(load, "hot"), Terminal(load, "neutral")) == pytest.approx(59.97, rel=0.01)


PAIRS = {
    "s1 common swapped with the first traveler": ("T1", (H, "T2"), L, ("T1", "T2"), "1 0 0 0"),
    "s1 common swapped with the second traveler": ("T2", ("T1", H), L, ("T1", "T2"), "0 0 0 1"),
    "first traveler open": (H, ("X", "T2"), L, ("T1", "T2"), "0 0 0 1"),
    "second traveler open": (H, ("T1", "X"), L, ("T1", "T2"), "1 0 0 0"),
    "feed open": ("X", ("T1", "T2"), L, ("T1", "T2"), "0 0 0 0"),
    "travelers bonded": (H, ("T1", "T1"), L, ("T1", "T1"), "1 1 1 1"),
}


@pytest.mark.parametrize("name", PAIRS)
def test_two_locations_with_a_mistake(name: str) -> None:
    """A pair of two-location switches with one mistake gives the table that the mistake is known by."""
    common_1, ways_1, common_2, ways_2, expected = PAIRS[name]
    wired = circuit((two_way("s1", common_1, *ways_1), two_way("s2", common_2, *ways_2), lamp("light", L)))
    assert table(wired, THROWS, ["light"]) == expected
