"""Published and worked-out truth tables, by circuits that the router wired and mistakes made as wrong joints.

Sound rows: the article "Multiway switching" of a public encyclopedia and exploringbinary.com (parity of all
switches). Rows with a mistake: worked out once with networkx and with ngspice, which agreed in all but the two
cells with loads in series, where only a circuit solver sees half the voltage.
"""

from __future__ import annotations

from itertools import product

import pytest
from circuit_mutants import bridge, move, omit, reversed_at_source, swap
from circuit_world import EQUAL, at, end_of, many_places, states_of, two_places, two_switches

from switchleg.wiring.function_table import function_table
from switchleg.wiring.netlist import End, Wired
from switchleg.wiring.rules import findings
from switchleg.wiring.site import CEILING, SECOND_WALL, WALL
from switchleg.wiring.solve import solve

CELL = {"on": "1", "off": "0", "part": "d"}


def table(wired: Wired, loads: tuple[str, ...]) -> str:
    """States in binary order of the switches, first slowest: on 1, off 0, part voltage d; S for a short."""
    cells = []
    for row in function_table(wired, EQUAL):
        told = [row.load(name) for name in loads]
        cells.append("S" if "trip" in told else "".join(CELL[str(works)] for works in told))
    return " ".join(cells)


def _mistakes_with_two_switches() -> dict[str, tuple[Wired, str]]:
    sound = two_switches()

    def run(net: str, box: str) -> End:
        return end_of(sound, "run", net, box)

    hot, neutral = end_of(sound, "feed", "HOT", WALL), end_of(sound, "feed", "NEUTRAL", WALL)
    fan, light = at("fan", "hot"), at("light", "hot")
    across = move(move(sound, run("LIGHT", WALL), hot), at("sl", "load"), neutral)
    return {
        "none": (sound, "00 01 10 11"),
        "hot and neutral reversed at the source": (reversed_at_source(sound), "00 01 10 11"),
        "legs swapped at the canopy": (swap(sound, fan, light), "00 10 01 11"),
        "both loads on the light's leg": (move(sound, fan, light), "00 11 00 11"),
        "both loads on the fan's leg": (move(sound, light, fan), "00 00 11 11"),
        "light's lead open": (omit(sound, light), "00 00 10 10"),
        "fan's lead open": (omit(sound, fan), "00 01 00 01"),
        "feed open": (omit(sound, hot), "00 00 00 00"),
        "common neutral open": (omit(sound, run("NEUTRAL", CEILING)), "00 00 00 00"),
        "fan on the unswitched hot": (move(sound, run("FAN", WALL), hot), "10 11 10 11"),
        "fan switch's line and load joined": (bridge(sound, at("sf", "line"), at("sf", "load")), "10 11 10 11"),
        "light on the unswitched hot": (move(sound, run("LIGHT", WALL), hot), "01 01 11 11"),
        "light's switch fed from the fan switch's load": (
            move(sound, at("sl", "line"), at("sf", "load")),
            "00 00 10 11",
        ),
        "fan's switch fed from the light switch's load": (
            move(sound, at("sf", "line"), at("sl", "load")),
            "00 01 00 11",
        ),
        "legs bridged": (bridge(sound, fan, light), "00 11 11 11"),
        "light's switch across the line": (across, "01 S 11 S"),
        "fan's white on the light's leg": (move(sound, at("fan", "neutral"), light), "00 01 dd 01"),
        "light's white on the fan's leg": (move(sound, at("light", "neutral"), fan), "00 dd 10 10"),
    }


def _mistakes_in_two_places() -> dict[str, tuple[Wired, str]]:
    sound = two_places()
    ends = {name: at(*name.split()) for name in ("s1 common", "s1 traveler_1", "s1 traveler_2")}
    ends |= {name: at(*name.split()) for name in ("s2 common", "s2 traveler_1", "s2 traveler_2")}

    def swapped(*pairs: tuple[str, str]) -> Wired:
        wired = sound
        for one, other in pairs:
            wired = swap(wired, ends[one], ends[other])
        return wired

    s1a, s1b = ("s1 common", "s1 traveler_1"), ("s1 common", "s1 traveler_2")
    s2a, s2b = ("s2 common", "s2 traveler_1"), ("s2 common", "s2 traveler_2")
    past_both = move(sound, end_of(sound, "run", "LIGHT", SECOND_WALL), end_of(sound, "link", "HOT", SECOND_WALL))
    return {
        "none": (sound, "1 0 0 1"),
        "travelers crossed": (swapped(("s2 traveler_1", "s2 traveler_2")), "0 1 1 0"),
        "s1 common with traveler a": (swapped(s1a), "1 0 0 0"),
        "s2 common with traveler a": (swapped(s2a), "1 0 0 0"),
        "both commons with traveler a": (swapped(s1a, s2a), "1 0 0 0"),
        "traveler b open": (omit(sound, ends["s1 traveler_2"]), "1 0 0 0"),
        "s1 common with traveler b": (swapped(s1b), "0 0 0 1"),
        "s2 common with traveler b": (swapped(s2b), "0 0 0 1"),
        "traveler a open": (omit(sound, ends["s1 traveler_1"]), "0 0 0 1"),
        "feed open": (omit(sound, end_of(sound, "feed", "HOT", WALL)), "0 0 0 0"),
        "neutral open": (omit(sound, end_of(sound, "run", "NEUTRAL", CEILING)), "0 0 0 0"),
        "s1 with a and s2 with b": (swapped(s1a, s2b), "0 0 0 0"),
        "travelers bonded": (bridge(sound, ends["s1 traveler_1"], ends["s1 traveler_2"]), "1 1 1 1"),
        "light on the unswitched hot": (past_both, "1 1 1 1"),
    }


TWO_SWITCHES = _mistakes_with_two_switches()
TWO_PLACES = _mistakes_in_two_places()


@pytest.mark.parametrize("name", TWO_SWITCHES)
def test_two_switches_with_a_wrong_joint(name: str) -> None:
    """Every single mistake with two wall switches gives exactly the table that it is known by."""
    wired, expected = TWO_SWITCHES[name]
    assert table(wired, ("fan", "light")) == expected


@pytest.mark.parametrize("name", TWO_PLACES)
def test_two_places_with_a_wrong_joint(name: str) -> None:
    """Every single mistake with a pair of two-location switches gives exactly the table that it is known by."""
    wired, expected = TWO_PLACES[name]
    assert table(wired, ("light",)) == expected


def test_what_a_table_can_tell_apart() -> None:
    """18 cases show 15 tables (13 when part voltage is taken for off), 14 cases in two places show 6."""
    seen = {table(wired, ("fan", "light")) for wired, _ in TWO_SWITCHES.values()}
    unseen = {cells.replace("d", "0") for cells in seen}
    assert (len(TWO_SWITCHES), len(seen), len(unseen)) == (18, 15, 13)
    assert (len(TWO_PLACES), len({table(wired, ("light",)) for wired, _ in TWO_PLACES.values()})) == (14, 6)


def test_loads_in_series_halve_the_voltage() -> None:
    """Two like loads in series: 59.97 V each in the published table (0.2 ohm of source), ours within one per cent."""
    for name, state in (("fan's white on the light's leg", (1, 0)), ("light's white on the fan's leg", (0, 1))):
        solution = solve(TWO_SWITCHES[name][0], EQUAL, dict(zip((("sf", "on"), ("sl", "on")), state, strict=True)))
        for load in ("fan", "light"):
            assert solution.across(at(load, "hot"), at(load, "neutral")) == pytest.approx(59.97, rel=0.01)


def test_a_small_load_in_series_looks_almost_right() -> None:
    """240 ohm (60 W) in series with 1440 ohm (10 W): 102.9 V on the small load; it is called part voltage, not on."""
    watts = {"fan_motor": 60.0, "fan_lamp": 10.0}
    loads = {n: kind.model_copy(update={"watts": watts.get(n, 60.0)}) for n, kind in EQUAL.loads.items()}
    kit = type(EQUAL)(EQUAL.controls, loads, 120.0)
    sound = two_switches()
    parts = tuple(p if p.id != "fan" else type(p)("fan", "fan_motor", p.box, p.nets) for p in sound.parts)
    wired = move(type(sound)(**{**vars(sound), "parts": parts}), at("fan", "neutral"), at("light", "hot"))
    state = {("sf", "on"): 1, ("sl", "on"): 0}
    assert solve(wired, kit, state).across(at("light", "hot"), at("light", "neutral")) == pytest.approx(102.9, abs=0.1)
    row = next(r for r in function_table(wired, kit) if dict(r.positions) == state)
    assert (row.load("light"), row.load("fan")) == ("part", "part")


def test_three_places() -> None:
    """Two-way, crossing, two-way switch: 1 0 0 1 0 1 1 0, and each single flip toggles the light."""
    wired = many_places(1)
    assert table(wired, ("light",)) == "1 0 0 1 0 1 1 0"
    assert not findings(wired, EQUAL)


@pytest.mark.parametrize("crossing", range(5))
def test_parity_of_any_number_of_places(crossing: int) -> None:
    """From two to six places the light follows the parity of all switches."""
    wired = many_places(crossing)
    cells = table(wired, ("light",)).split()
    for values, cell in zip(product((0, 1), repeat=crossing + 2), cells, strict=True):
        assert cell == str(1 - sum(values) % 2)
    assert len(states_of(wired, EQUAL)) == 2 ** (crossing + 2)


def test_a_crossing_switch_wired_side_by_side() -> None:
    """A crossing switch whose pairs are taken one from each side no longer toggles in every state: it shows."""
    wired = swap(many_places(1), at("cross_0", "in_2"), at("cross_0", "out_1"))
    assert table(wired, ("light",)) not in ("1 0 0 1 0 1 1 0", "0 1 1 0 1 0 0 1")


def test_reversed_at_the_source_takes_a_reading() -> None:
    """Reversed polarity has the sound circuit's own table; the rules see it once a reading says where hot comes in."""
    wired = TWO_SWITCHES["hot and neutral reversed at the source"][0]
    assert function_table(wired, EQUAL) == function_table(two_switches(), EQUAL)
    assert wired.joints == two_switches().joints
    assert "neutral_not_solid" in {f.rule for f in findings(wired, EQUAL)}
