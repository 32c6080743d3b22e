"""What hangs within a fan: a motor on its chain, behind a receiver, behind a driver; lamps; and steps of speed."""

from __future__ import annotations

from itertools import product

import pytest
from circuit_world import built
from wiring_world import bench

from switchleg.wiring.function_table import function_table
from switchleg.wiring.netlist import Placed, Terminal, Wired
from switchleg.wiring.positions import dials, positions
from switchleg.wiring.rules import findings
from switchleg.wiring.site import CEILING, HOT, NEUTRAL, WALL, Cable, Site, Stub
from switchleg.wiring.solve import solve


def fan_on(control: str, load: str) -> Wired:
    """A wall control for the fan, fed at the wall, and a fan of the given kind."""
    site = Site((CEILING, WALL), (Cable("run", (WALL, CEILING), 2),), (Stub("feed", WALL, (HOT, NEUTRAL)),))
    nets = {"line": HOT, "load": "FAN"} | ({"neutral": NEUTRAL} if bench().controls[control].supply else {})
    fan = Placed("fan", load, CEILING, (("hot", "FAN"), ("neutral", NEUTRAL)))
    return built(site, Placed("c", control, WALL, tuple(nets.items())), fan)


def table(wired: Wired, load: str) -> dict[tuple[int, ...], str | None]:
    return {tuple(at for _, at in row.positions): row.load(load) for row in function_table(wired, bench())}


@pytest.mark.parametrize("load", sorted(bench().loads))
def test_a_switch_and_what_is_within_the_fan_stand_in_series(load: str) -> None:
    """For every kind of load: it runs only with the wall switch on and its own chain or remote on, whatever else is
    off; between off and full it is slow. (A truth table of contacts in series: AND.)"""
    wired = fan_on("plain_switch", load)
    inside = bench().loads[load].inside
    for name in ("motor", "lamp"):
        mine = next((n for n, one in enumerate(inside, 1) if one.id == name), None)
        if mine is None:
            continue
        for state, works in table(wired, {"motor": "fan", "lamp": "light"}[name] if inside else "fan").items():
            top = inside[mine - 1].top
            wanted = "off" if not (state[0] and state[mine]) else "on" if state[mine] == top else "slow"
            assert works == wanted, (state, works)
    assert not findings(wired, bench())


def test_a_step_leaves_its_share_of_the_voltage() -> None:
    """The divider rule: at the step of 0.5 and of 0.7 a 60 W motor stands at half and seven tenths of nominal."""
    wired, volts = fan_on("fan_speed_control", "fan_motor"), bench().volts
    shares = [0.0, *bench().controls["fan_speed_control"].channel[0].steps, 1.0]
    for at, share in enumerate(shares):
        across = solve(wired, bench(), {("c", "fan"): at}).across(Terminal("fan", "hot"), Terminal("fan", "neutral"))
        assert across == pytest.approx(share * volts, abs=1e-6)
    assert list(table(wired, "fan").values()) == ["off", "slow", "slow", "on"]


def test_two_steps_in_series_are_slower_than_either() -> None:
    """A chain left low behind a wall speed control: slower than by either alone, which is why it is set to high."""
    wired = fan_on("fan_speed_control", "fan_motor_with_chain")

    def motor(at: int, chain: int) -> float:
        state = {("c", "fan"): at, ("fan", "motor"): chain}
        return solve(wired, bench(), state).across(Terminal("fan", "motor"), Terminal("fan", "neutral"))

    assert motor(1, 1) < min(motor(1, 3), motor(3, 1)) < motor(3, 3)


@pytest.mark.parametrize("load", ["fan_receiver", "fan_driver", "fan_receiver_with_lamp", "fan_driver_with_lamp"])
def test_electronics_are_fed_by_the_supply_not_by_their_own_outputs(load: str) -> None:
    """Receiver and driver stand at full voltage whenever the wall switch is on, with every output off too."""
    wired = fan_on("plain_switch", load)
    for state in positions(wired, bench(), inside=True):
        across = solve(wired, bench(), state).across(Terminal("fan", "hot"), Terminal("fan", "neutral"))
        assert across == pytest.approx(bench().volts if state["c", "on"] else 0.0)


def test_a_speed_control_ahead_of_electronics_is_found() -> None:
    """A speed control feeds a motor, on a chain too; ahead of every kind of electronics a rule speaks."""
    for load, kind in ((name, one.kind) for name, one in bench().loads.items()):
        rules = {f.rule for f in findings(fan_on("fan_speed_control", load), bench())}
        assert ("output_feeds_wrong_load" in rules) == (kind != "ac_motor"), load


def test_every_state_is_gone_through() -> None:
    """With chains, remotes and steps the states are the product of all positions, each once."""
    wired = fan_on("fan_speed_control", "fan_motor_with_chain")
    ranges = [range(dial.top + 1) for dial in dials(wired, bench())]
    states = [tuple(state.values()) for state in positions(wired, bench(), inside=True, steps=True)]
    assert states == list(product(*ranges))
    assert len(states) == 16


def test_a_control_without_neutral_lives_on_its_load() -> None:
    """An on/off control that needs no neutral is online, contact open or closed, while something behind it can carry
    its current; with the fan's chain at off it is not, and no wall position is to blame."""
    wired = fan_on("on_off_control_two_wire", "fan_motor_with_chain")
    for row in function_table(wired, bench()):
        assert row.online == (dict(row.positions)["fan", "motor"] > 0), row
        if not dict(row.positions)["c", "load"]:
            assert row.load("fan") == "off"
    assert not findings(wired, bench())
