"""Every electrical rule: a circuit that trips it, and one beside it that just does not."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from circuit_mutants import bridge, move, omit, swap
from circuit_world import built, end_of, lamp_at, two_places, two_switches
from wiring_world import bench

from switchleg.advice.wording import phrases
from switchleg.knowledge.load import load
from switchleg.wiring.cautions import cautions
from switchleg.wiring.netlist import ConductorEnd, Placed, Terminal, Wired
from switchleg.wiring.rules import findings
from switchleg.wiring.site import CEILING, GROUND, HOT, NEUTRAL, WALL, Cable, Site, Stub

Nets = tuple[tuple[str, str], ...]


def one_wall(*parts: Placed, run: int = 3, feed: str = WALL, stubs: tuple[Stub, ...] = ()) -> Wired:
    site = Site((CEILING, WALL), (Cable("run", (WALL, CEILING), run),), (Stub("feed", feed, (HOT, NEUTRAL)), *stubs))
    return built(site, *parts)


def part(name: str, control: str, box: str = WALL, **nets: str) -> Placed:
    return Placed(name, control, box, tuple(nets.items()))


def metal(sound: bool = True) -> Wired:
    """A switch and a fan with metal, grounded; or a fan whose ground lead hangs free."""
    switch = part("s", "plain_switch", line=HOT, load="FAN", ground=GROUND)
    wired = one_wall(switch, part("fan", "fan_motor", CEILING, hot="FAN", neutral=NEUTRAL, ground=GROUND))
    return wired if sound else omit(wired, Terminal("fan", "ground"))


def speed_on(load: str) -> Wired:
    control = part("c", "fan_speed_control", line=HOT, neutral=NEUTRAL, load="FAN")
    return one_wall(control, part("fan", load, CEILING, hot="FAN", neutral=NEUTRAL))


def grounded_electronics(back: str) -> Wired:
    """A control whose electronics return by the neutral, or by the ground."""
    control = part("c", "on_off_control", line=HOT, neutral=back, load="L", ground=GROUND)
    return one_wall(control, lamp_at("light", "L"))


def two_wire(load: str = "fan_lamp") -> Wired:
    """A control that lives on its load."""
    control = part("c", "on_off_control_two_wire", line=HOT, load="L")
    return one_wall(control, part("fan", load, CEILING, hot="L", neutral=NEUTRAL))


def side_by_side(*controls: str) -> Wired:
    """Controls that all feed the fan's leg."""
    parts = [part(f"c{n}", name, line=HOT, neutral=NEUTRAL, load="FAN") for n, name in enumerate(controls)]
    return one_wall(*parts, part("fan", "fan_motor", CEILING, hot="FAN", neutral=NEUTRAL))


def shaping_ahead(does: str) -> Wired:
    """A relay in the canopy behind a control at the wall that cuts, or only switches."""
    ahead = part("c", does, line=HOT, neutral=NEUTRAL, load="LIGHT")
    relay = part("r", "canopy_relay_module", CEILING, line="LIGHT", neutral=NEUTRAL, light="LAMP")
    return one_wall(ahead, relay, lamp_at("light", "LAMP"))


def relay_fed(line: str) -> Wired:
    switch = part("s", "plain_switch", line=HOT, load="LEG")
    relay = part("r", "canopy_relay_module", CEILING, line=line, neutral=NEUTRAL, fan="FAN")
    fan = part("fan", "fan_motor", CEILING, hot="FAN", neutral=NEUTRAL)
    return one_wall(switch, relay, fan, lamp_at("light", "LEG"))


def with_input(*, turned: bool) -> Wired:
    switch = part("s", "plain_switch", line=HOT, load="SENSE")
    module = part("m", "relay_module", line=HOT, neutral=NEUTRAL, load="FAN", sense="SENSE")
    wired = one_wall(switch, module, lamp_at("fan", "FAN"))
    return swap(wired, Terminal("m", "sense"), Terminal("s", "line")) if turned else wired


def with_stub(stub: Stub, change: Callable[[Wired], Wired] = lambda wired: wired, **nets: str) -> Wired:
    """A switch for a lamp, and one further cable at the wall; `nets` are a switch on that cable's own loop."""
    loop = (part("beside", "plain_switch", **nets),) if nets else ()
    return change(one_wall(part("s", "plain_switch", line=HOT, load="L"), *loop, lamp_at("light", "L"), stubs=(stub,)))


ONWARD = Stub("onward", WALL, (HOT, NEUTRAL))
BESIDE = Stub("beside", WALL, ("BESIDE_HOT", "BESIDE_LEG"))
LOOP = {"line": "BESIDE_HOT", "load": "BESIDE_LEG"}
SECOND = Stub("feed_2", WALL, ("HOT_2", "NEUTRAL_2"))


def loop_fed(run: int = 2) -> Wired:
    """A switch loop from the ceiling: in two conductors the white is the supply, marked."""
    return one_wall(part("s", "plain_switch", line=HOT, load="L"), lamp_at("light", "L"), run=run, feed=CEILING)


def neutrals_mixed(wired: Wired) -> Wired:
    """The second circuit's neutral put under the first one's connector."""
    return move(wired, end_of(wired, "feed_2", "NEUTRAL_2", WALL), end_of(wired, "feed", NEUTRAL, WALL))


def _onward_swapped(wired: Wired) -> Wired:
    return swap(wired, end_of(wired, "onward", HOT, WALL), end_of(wired, "onward", NEUTRAL, WALL))


def _carrying(net: str) -> Wired:
    """A cable in which the white is marked as a hot, beside a neutral or beside nothing else than hots."""
    wired = two_switches()
    nets = {("run", "white"): "FAN", ("run", "black"): net, ("run", "red"): "LIGHT"}
    mark = frozenset({("run", "white")})
    return replace(wired, conductors={**wired.conductors, **nets}, relabelled=mark, marked=mark)


def _alone(net: str | None) -> Wired:
    wired = two_switches()
    nets = {("run", "white"): net, ("run", "red"): None}
    return replace(wired, conductors={**wired.conductors, **nets})


def _under_one_terminal(terminals: int) -> Wired:
    """Two conductors under one terminal, or one conductor from terminal to terminal."""
    wired = two_switches()
    which = "HOT" if terminals == 1 else "FAN"
    joint = next(j for j in wired.joints if j.box == WALL and j.net == which)
    return replace(wired, joints=tuple(replace(j, connector=False) if j == joint else j for j in wired.joints))


WHITE = ConductorEnd("run", "white", WALL)


SOUND = two_switches()
RUN_NEUTRAL = end_of(SOUND, "run", NEUTRAL, WALL)
FEED_HOT, FEED_NEUTRAL = end_of(SOUND, "feed", HOT, WALL), end_of(SOUND, "feed", NEUTRAL, WALL)

CASES: dict[str, list[tuple[Wired, Wired]]] = {
    "short": [
        (bridge(SOUND, FEED_HOT, FEED_NEUTRAL), bridge(SOUND, FEED_HOT, Terminal("sf", "load"))),
        (move(SOUND, Terminal("sl", "load"), FEED_NEUTRAL), omit(SOUND, Terminal("sl", "load"))),
    ],
    "neutral_not_solid": [
        (swap(SOUND, FEED_HOT, FEED_NEUTRAL), SOUND),  # a switched neutral
        (omit(SOUND, RUN_NEUTRAL), omit(SOUND, Terminal("light", "hot"))),  # an open neutral; an open hot
    ],
    "part_voltage": [(move(SOUND, Terminal("fan", "neutral"), Terminal("light", "hot")), SOUND)],
    "load_never_on": [(omit(SOUND, Terminal("fan", "hot")), SOUND)],
    "ground_open": [
        (metal(sound=False), metal()),
        (omit(metal(), ConductorEnd("run", "bare", WALL)), metal()),
        (with_stub(ONWARD, lambda w: omit(w, ConductorEnd("onward", "bare", WALL))), with_stub(ONWARD)),
    ],
    "ground_carries": [
        (grounded_electronics(GROUND), grounded_electronics(NEUTRAL)),
        (swap(metal(), ConductorEnd("run", "bare", CEILING), ConductorEnd("run", "white", CEILING)), metal()),
    ],
    "neutral_on_ground": [(bridge(metal(), ConductorEnd("run", "bare", WALL), WHITE), metal())],
    "electronics_lose_power": [(relay_fed("LEG"), relay_fed(HOT))],
    "shaped_power_ahead_of_electronics": [(shaping_ahead("light_dimmer"), shaping_ahead("on_off_control"))],
    "output_feeds_wrong_load": [
        (speed_on("fan_driver"), speed_on("fan_motor")),
        (speed_on("fan_receiver"), speed_on("fan_motor")),
        (speed_on("fan_lamp"), speed_on("fan_motor")),
    ],
    "lives_on_electronics": [(two_wire("fan_driver"), two_wire("fan_motor")), (two_wire("fan_receiver"), two_wire())],
    "line_load_reversed": [(swap(two_wire(), Terminal("c", "line"), Terminal("c", "load")), two_wire())],
    "input_not_switched": [(with_input(turned=True), with_input(turned=False))],
    "circuits_mixed": [(neutrals_mixed(with_stub(SECOND)), with_stub(SECOND))],
    "onward_supply": [(with_stub(ONWARD, _onward_swapped), with_stub(ONWARD))],
    "other_loop_changed": [
        (
            with_stub(BESIDE, lambda w: bridge(w, Terminal("beside", "line"), Terminal("s", "line")), **LOOP),
            with_stub(BESIDE, **LOOP),
        ),
        (with_stub(BESIDE, lambda w: omit(w, Terminal("beside", "load")), **LOOP), with_stub(BESIDE, **LOOP)),
    ],
    "conductors_apart": [(_alone(None), _alone(NEUTRAL))],
    "pale_outside_loop": [(_carrying(NEUTRAL), _carrying(HOT))],
    "not_marked": [(replace(loop_fed(), marked=frozenset()), loop_fed())],
    "mark_misleads": [
        (swap(loop_fed(), ConductorEnd("run", "white", CEILING), ConductorEnd("run", "black", CEILING)), loop_fed())
    ],
    "bare_end": [
        (replace(two_places(), bare=frozenset(two_places().capped("wall_2")[:1])), two_places()),
        (replace(omit(SOUND, RUN_NEUTRAL), bare=frozenset({WHITE})), omit(SOUND, RUN_NEUTRAL)),
    ],
    "unused_conductor_joined": [
        (
            move(loop_fed(3), next(e for e in loop_fed(3).capped(WALL)), Terminal("s", "line")),
            loop_fed(3),
        )
    ],
    "terminal_open": [(omit(SOUND, Terminal("sf", "line")), SOUND)],
    "many_under_one_terminal": [(_under_one_terminal(1), _under_one_terminal(2))],
    "control_without_effect": [
        (bridge(SOUND, FEED_HOT, Terminal("sf", "load")), SOUND),
        (omit(with_input(turned=False), Terminal("m", "sense")), with_input(turned=False)),
    ],
    "outputs_meet": [
        (side_by_side("fan_speed_control", "on_off_control"), side_by_side("on_off_control", "on_off_control"))
    ],
}
"""Rule -> (circuit that breaks it, circuit beside it that does not). The second may break other rules."""


@pytest.mark.parametrize("rule", CASES)
def test_a_rule_speaks_and_keeps_still(rule: str) -> None:
    """The rule speaks of the circuit that breaks it and keeps still about the one that just does not."""
    for broken, sound in CASES[rule]:
        assert rule in {f.rule for f in findings(broken, bench())}
        assert rule not in {f.rule for f in findings(sound, bench())}


def test_every_electrical_rule_has_its_sentence() -> None:
    """Every rule here has its words, a severity and a source in the data; what is told names no id of net or cable."""
    sentences = {t.id: t for t in load().rules.tested}
    for rule, cases in CASES.items():
        assert sentences[rule].sources
        for broken, _ in cases:
            for finding in findings(broken, bench()):
                assert sentences[finding.rule].text.format(**dict(finding.words))
                text = phrases.broken(finding, load().rules, bench().controls).text
                assert not re.search(r"_|\b(run|link|[A-Z]{3,})\b", text), text
    for rule in ("load_never_off", "was_live"):
        assert sentences[rule].severity == "caution"


def told(wired: Wired, today: Wired | None = None, otherwise: tuple[str, ...] = ()) -> set[tuple[str, Nets]]:
    return {(f.rule, f.words) for f in cautions(wired, bench(), today, worked_otherwise=otherwise)}


def test_a_load_that_cannot_be_turned_off() -> None:
    """A load always on the hot is told, unless a chain or a remote works it; one behind a switch is not."""
    always = one_wall(part("s", "plain_switch", line=HOT, load="L"), lamp_at("light", "L"), lamp_at("fan", HOT))
    assert told(always) == {("load_never_off", (("load", "fan"),))}
    assert told(always, otherwise=("fan",)) == set()
    assert told(two_switches()) == set()


def test_a_joined_leg_keeps_another_load_on() -> None:
    """Another load on a leg that a connector now keeps live is told."""
    other = Stub("other", CEILING, ("LEG", NEUTRAL))
    for control, ends, live in (
        ("wall_joint", {"one": HOT, "other": "LEG"}, True),
        ("plain_switch", {"line": HOT, "load": "LEG"}, False),
    ):
        wired = one_wall(part("c", control, **ends), lamp_at("light", "LEG"), stubs=(other,))
        assert (("load_never_off", (("load", "other"),)) in told(wired)) == live


def test_a_conductor_that_was_live() -> None:
    """A hot that becomes a leg, a leg that becomes a hot or another load's leg is told; one that stays is not."""
    today = two_switches()

    def planned(**carry: str) -> Wired:
        conductors = {**today.conductors, **{("run", colour): net for colour, net in carry.items()}}
        return replace(today, conductors=conductors)

    def was_live(wired: Wired) -> set[str]:
        return {dict(phrases)["colour"] for rule, phrases in told(wired, today) if rule == "was_live"}

    assert today.conductors[("run", "black")] == "FAN"
    assert was_live(today) == set()
    assert was_live(planned(black=HOT)) == {"black"}
    assert was_live(planned(black="LIGHT", red="FAN")) == {"black", "red"}
    assert was_live(planned(white=HOT)) == set()  # a neutral today
    hot_today = planned(black=HOT)
    assert {dict(w)["colour"] for r, w in told(today, hot_today) if r == "was_live"} == {"black"}


def test_a_leg_of_both_that_keeps_its_load_is_no_other_use() -> None:
    """A leg of fan and light together that becomes the fan's own leg goes on feeding the fan: nothing is told."""
    switch = part("s", "plain_switch", line=HOT, load="BOTH")
    today = one_wall(switch, lamp_at("fan", "BOTH"), lamp_at("light", "BOTH"))
    now = two_switches()
    assert today.conductors[("run", "black")] == "BOTH"
    assert now.conductors[("run", "black")] == "FAN"
    assert {r for r, _ in told(now, today)} == set()
