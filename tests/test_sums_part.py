"""A person's own part and the ratings of a circuit: what the marks say, and what they do not."""

from __future__ import annotations

from typing import Any

import pytest
from figures_world import REGIONS, TABLES, measure

from switchleg.advice.numbers.part_kinds import part_kind, part_kinds
from switchleg.errors import SwitchlegError
from switchleg.figures.circuit.part_marks import Duty, Judged, Marks, judge_part
from switchleg.figures.circuit.part_place import listing
from switchleg.figures.circuit.ratings import judged_sheet, ratings
from switchleg.figures.fan.placing import canopy_holds, canopy_holds_module, placing
from switchleg.knowledge.load import load

V120 = (measure("120 V", "voltage"), measure("120 V", "voltage"))
WIDE = (measure("100 V", "voltage"), measure("240 V", "voltage"))
AMPS = {name: measure(name, "current") for name in ("0.6 A", "0.8 A", "1 A", "1.5 A", "3 A", "10 A", "15 A", "12 A")}


def judged(kind: str, marks: dict[str, Any], duty: dict[str, Any]) -> dict[str, Judged]:
    """The aspects of a part by their names."""
    given = Duty(**{"region": REGIONS["us"], **duty})
    return {one.aspect: one for one in judge_part(part_kind(load(), kind), Marks(**marks), given, TABLES)}


def verdict(kind: str, marks: dict[str, Any], duty: dict[str, Any]) -> str:
    """The verdict on the whole part."""
    return judged_sheet("part", "", list(judged(kind, marks, duty).values()), [], "nothing").verdict


# Fan mark 1.5 A as on two published data sheets of wall fan controls; the fan's label 0.6 A.
FAN_CONTROL = {"amps": AMPS["1.5 A"], "volts": V120}
PLAIN_FAN = {"fan_amps": AMPS["0.6 A"], "motor": "ac", "neutral_at_wall": True}


def test_a_fan_control_fits_a_plain_fan_within_its_mark() -> None:
    """Right volts, a neutral, a plain AC motor, amperes within the mark: it fits."""
    assert verdict("fan_speed_control", FAN_CONTROL, PLAIN_FAN) == "Fits, by what was given."


@pytest.mark.parametrize(
    ("change", "aspect"),
    [
        ({"motor": "dc"}, "motor"),
        ({"motor": "ac_tapped"}, "motor"),
        ({"neutral_at_wall": False}, "neutral"),
        ({"fan_amps": AMPS["3 A"]}, "fan"),
        ({"fans": 2}, "fan"),
        ({"region": REGIONS["uk"]}, "voltage"),
    ],
)
def test_a_fan_control_does_not_fit(change: dict[str, Any], aspect: str) -> None:
    """A driver, a tapped motor, no neutral, too many amperes, a second fan or the wrong volts: no."""
    assert verdict("fan_speed_control", FAN_CONTROL, {**PLAIN_FAN, **change}) == f"Does not fit: {aspect}."


@pytest.mark.parametrize(
    ("marks", "duty", "aspect"),
    [
        ({"amps": None}, {}, "fan"),
        ({"volts": None}, {}, "voltage"),
        ({}, {"motor": None}, "motor"),
        ({}, {"neutral_at_wall": None}, "neutral"),
        ({}, {"fan_amps": None}, "fan"),
    ],
)
def test_what_is_not_known_is_asked_for(marks: dict[str, Any], duty: dict[str, Any], aspect: str) -> None:
    """A mark or a fact that is missing is named, and nothing is taken for granted."""
    found = verdict("fan_speed_control", {**FAN_CONTROL, **marks}, {**PLAIN_FAN, **duty})
    assert found == f"A mark or a fact is missing: {aspect}."


def test_a_plain_mark_is_no_motor_mark() -> None:
    """A relay marked 10 A for plain loads says nothing about a 0.6 A motor; one marked 3 A for motors does."""
    duty = {"fan_amps": AMPS["0.6 A"], "neutral_at_wall": True}
    plain = judged("relay_module", {"amps": AMPS["10 A"], "volts": WIDE}, duty)["fan"].fit
    assert plain.fits is None
    assert "at least 0.6 A" in plain.text
    motor = judged("relay_module", {"amps": AMPS["10 A"], "motor_amps": AMPS["3 A"], "volts": WIDE}, duty)["fan"].fit
    assert motor.fits is True


def test_a_tungsten_mark_is_no_led_mark() -> None:
    """300 W for tungsten lamps does not allow 40 W of LED; a mark for LED does; too much does not fit."""
    duty = {"light_watts": measure("40 W", "power"), "lamp": "led", "neutral_at_wall": True}
    tungsten = judged("light_dimmer", {"watts": measure("300 W", "power"), "volts": V120}, duty)["light"].fit
    assert tungsten.fits is None
    led = judged("light_dimmer", {"led_watts": measure("150 W", "power"), "volts": V120}, duty)["light"].fit
    assert led.fits is True
    small = judged("light_dimmer", {"led_watts": measure("30 W", "power"), "volts": V120}, duty)["light"].fit
    assert small.fits is False


def test_a_fan_never_fits_on_a_dimmer() -> None:
    """NEC 404.14 and every maker: a light dimmer is no fan control, whatever its mark."""
    assert judged("light_dimmer", {"watts": measure("600 W", "power")}, PLAIN_FAN)["fan"].fit.fits is False


def test_a_light_control_without_lamps_is_not_said_to_fit() -> None:
    """Volts and neutral alone prove nothing: the lamps' watts are asked for."""
    assert "light" in verdict("light_on_off", {"volts": V120}, {"neutral_at_wall": True})


def test_without_a_neutral_the_smallest_load_counts() -> None:
    """A two-wire control that needs 20 W flickers on a 9 W lamp, even with a 60 W fan beside it."""
    duty = {"light_watts": measure("9 W", "power"), "fan_watts": measure("60 W", "power"), "motor": "ac", "lamp": "led"}
    marks = {"least_load": measure("20 W", "power"), "led_watts": measure("150 W", "power"), "volts": V120}
    found = judged("on_off_control_two_wire", marks, duty)
    assert found["least load"].fit.fits is False
    assert judged("on_off_control_two_wire", {**marks, "least_load": None}, duty)["least load"].fit.fits is None


def test_fan_and_lamps_through_one_contact_add_up() -> None:
    """12 A of fans and 480 W of lamps at 120 V are 16 A: too much for a contact of 15 A."""
    duty = {"fan_amps": AMPS["12 A"], "light_watts": measure("480 W", "power"), "lamp": "tungsten"}
    marks = {"amps": AMPS["15 A"], "motor_amps": AMPS["15 A"], "watts": measure("600 W", "power"), "volts": V120}
    assert judged("on_off_control", marks, duty)["together"].fit.fits is False


# A motor on an AC general-use switch: 80 % of its mark (NEC 404.14(A), read on an exam page): 15 A -> 12 A.
@pytest.mark.parametrize(("load", "fits"), [("12 A", True), ("15 A", False)])
def test_a_plain_switch_bears_four_fifths_of_a_motor(load: str, fits: bool) -> None:
    """The 80 % rule for motors, exactly at the limit and above it."""
    found = judged("plain_switch", {"amps": AMPS["15 A"], "volts": V120}, {"fan_amps": AMPS[load]})
    assert found["fan"].fit.fits is fits


def test_a_canopy_part_needs_warmth_room_and_listing() -> None:
    """In a canopy 50 C is asked for (common practice), each length decides, and damp needs a listing."""
    marks = {"motor_amps": AMPS["3 A"], "volts": WIDE, "size": measure("60 x 45 x 25 mm", "space")}
    duty = {"fan_amps": AMPS["0.6 A"], "canopy_space": measure("130 x 130 x 60 mm", "space"), "place": "damp"}
    cool = judged("canopy_relay_module", {**marks, "temperature": measure("40 C", "temperature")}, duty)
    assert cool["temperature"].fit.fits is False
    warm = judged("canopy_relay_module", {**marks, "temperature": measure("122 F", "temperature")}, duty)
    assert warm["temperature"].fit.fits is True
    assert warm["room"].fit.fits is True
    assert warm["place"].fit.fits is None
    flat = judged("canopy_relay_module", marks, {**duty, "canopy_space": measure("130 x 130 x 20 mm", "space")})
    assert flat["room"].fit.fits is False


@pytest.mark.parametrize(
    ("listed", "place", "fits"),
    [("wet", "damp", True), ("damp", "wet", False), (None, "dry", True), (None, "wet", None), ("dry", "damp", False)],
)
def test_a_listing_serves_its_place_and_milder_ones(listed: str | None, place: str, fits: bool | None) -> None:
    """NEC Article 100: what is listed for wet serves damp and dry, never the other way round."""
    assert listing(listed, place).fits is fits


def test_depth_of_a_wall_part_against_its_box() -> None:
    """Deeper than the box: no; tight: look first; with room for wires: yes."""
    for depth, fits in (("50 mm", False), ("42 mm", None), ("30 mm", True)):
        duty = {**PLAIN_FAN, "box_depth": measure("47 mm", "length")}
        found = judged("fan_speed_control", {**FAN_CONTROL, "depth": measure(depth, "length")}, duty)
        assert found["depth"].fit.fits is fits


def test_an_unknown_kind_is_answered_with_the_nearest() -> None:
    """A misspelt kind of part names the nearest and all others."""
    with pytest.raises(SwitchlegError) as caught:
        part_kind(load(), "fan_speed_controler")
    assert "did you mean fan_speed_control?" in caught.value.line()
    assert "wall_button" not in part_kinds(load())


def test_every_kind_of_part_can_be_judged_and_never_fits_on_nothing() -> None:
    """Without a single mark no kind of part is said to fit."""
    for kind in part_kinds(load()):
        assert not verdict(kind, {}, {}).startswith("Fits")


def test_two_parts_go_into_a_canopy_only_together() -> None:
    """Each part goes in alone, both by volume, but side by side only where a length allows it."""
    part = (measure("100 mm", "length").amount, measure("50 mm", "length").amount, measure("30 mm", "length").amount)
    pair = [("one part", part), ("another", part)]
    assert canopy_holds(measure("110 x 110 x 40 mm", "space"), pair, TABLES, joints=0).fits is True
    assert canopy_holds(measure("110 x 90 x 40 mm", "space"), pair, TABLES, joints=0).fits is None
    assert canopy_holds(measure("95 x 95 x 95 mm", "space"), pair, TABLES, joints=0).fits is False


def test_a_receiver_that_may_go_is_said_both_ways() -> None:
    """A canopy too small for both: with the receiver out the module goes in, and both cases are told."""
    space = measure("120 x 60 x 40 mm", "space")
    assert canopy_holds_module(space, TABLES).fits is True
    (fit,) = placing({"canopy_space": "120 x 60 x 40 mm", "receiver": True}, TABLES)
    assert fit.fits is None
    assert fit.text.startswith("If the receiver goes: ")


# The circuit: NEC 240.4(D) for wire, 210.20(A) for the share of long loads, 404.14 for the motor, 190 W by EPAct 2005.
def test_ratings_of_a_sound_circuit_fit() -> None:
    """15 A on 14 AWG, 1.2 A of fans on a 15 A switch, 60 W of lamps behind the limiter."""
    found = ratings(
        REGIONS["us"],
        TABLES,
        wire=measure("14 AWG", "wire"),
        metal="copper",
        breaker=AMPS["15 A"],
        switch=AMPS["15 A"],
        fan=AMPS["0.6 A"],
        fans=2,
        light=measure("60 W", "power"),
        lamp="led",
        limited=True,
    )
    sheet = judged_sheet("ratings", "", found, [], "")
    assert sheet.verdict == "Fits, by what was given."
    assert any("1.2 A of fan" in line for line in sheet.lines)
    assert any("5 to 50 A for less than a millisecond" in line for line in sheet.lines)


def test_each_rating_rule_can_stop() -> None:
    """Too large a breaker, 12.1 A of long load on 15 A, and 200 W behind the limiter are each a no."""
    us = REGIONS["us"]
    too_large = ratings(us, TABLES, wire=measure("14 AWG", "wire"), breaker=measure("20 A", "current"))
    assert too_large[0].fit.fits is False
    long = ratings(us, TABLES, breaker=AMPS["15 A"], fan=measure("12.1 A", "current"))
    assert [one.fit.fits for one in long if one.aspect == "whole circuit"] == [False]
    lamps = ratings(us, TABLES, light=measure("200 W", "power"), limited=True)
    assert [one.fit.fits for one in lamps if one.aspect == "light kit"] == [False]


def test_a_circuit_that_no_control_is_made_for_is_no_plain_fit() -> None:
    """30 A on 10 AWG is sound wire, but fan controls are made for circuits of 15 and 20 A (scope of UL 1917)."""
    us = REGIONS["us"]
    large = ratings(us, TABLES, wire=measure("10 AWG", "wire"), breaker=measure("30 A", "current"))
    assert [(one.aspect, one.fit.fits) for one in large] == [("breaker and wire", True), ("kind of circuit", None)]
    assert judged_sheet("ratings", "", large, [], "").fits is None


def test_notes_alone_are_no_verdict() -> None:
    """Amperes without anything to hold them against give no "fits"."""
    found = ratings(REGIONS["us"], TABLES, fan=AMPS["0.6 A"])
    assert judged_sheet("ratings", "", found, [], "nothing to compare").verdict == "nothing to compare"


def test_ratings_elsewhere_are_not_covered() -> None:
    """No American share, limiter or breaker rule is used in another region."""
    found = ratings(
        REGIONS["eu"],
        TABLES,
        wire=measure("1.5 mm2", "wire"),
        breaker=AMPS["10 A"],
        switch=AMPS["10 A"],
        fan=AMPS["0.6 A"],
        light=measure("60 W", "power"),
        limited=True,
    )
    assert all(not one.fit.covered for one in found if not one.note)
    assert judged_sheet("ratings", "", found, [], "").verdict == "Not covered here for this region."
