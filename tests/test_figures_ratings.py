"""Wire and breaker, loads and marks, support and height, clues of the motor: against published figures."""

from __future__ import annotations

from fractions import Fraction

import pytest
from figures_world import TABLES, measure

from switchleg.advice.numbers.safety import figure_warnings
from switchleg.figures.circuit.loads import (
    control_carries_fan,
    fan_amps,
    general_switch_for_motor,
    light_on_control,
    light_within_limiter,
)
from switchleg.figures.circuit.wire import breaker_suits_wire, gauge_area_mm2, gauge_diameter_mm, nearest_metric
from switchleg.figures.fan.motor_clues import derived_numbers
from switchleg.figures.fan.support import blades_high_enough, box_carries_fan

# NFPA 70, 240.4(D): wire, metal, breaker, suits.
BREAKERS = [
    ("14 AWG", "copper", "15 A", True),
    ("14 AWG", "copper", "20 A", False),
    ("12 AWG", "copper", "20 A", True),
    ("12 AWG", "copper", "30 A", False),
    ("12 AWG", "aluminum", "15 A", True),
    ("12 AWG", "aluminum", "20 A", False),
    ("10 AWG", "copper", "30 A", True),
    ("10 AWG", "aluminum", "30 A", False),
    ("18 AWG", "copper", "6 A", False),
]


@pytest.mark.parametrize(("wire", "metal", "breaker", "suits"), BREAKERS)
def test_small_wire_has_its_largest_breaker(wire: str, metal: str, breaker: str, suits: bool) -> None:
    """NEC 240.4(D): each small wire bears its breaker and no larger one; fixture wire is no circuit wire."""
    fit = breaker_suits_wire(measure(wire, "wire"), measure(breaker, "current"), metal, "us", TABLES)
    assert fit.fits is suits
    assert fit.sources == ("nec_240_4",)


def test_canada_caps_small_copper_alike() -> None:
    """CSA C22.1 14-104 2): 15 A for 14 AWG, 20 A for 12 AWG (sparkshift.app/code/cec-rule-14-104)."""
    for wire, breaker, suits in (
        ("14 AWG", "15 A", True),
        ("14 AWG", "20 A", False),
        ("12 AWG", "20 A", True),
    ):
        fit = breaker_suits_wire(measure(wire, "wire"), measure(breaker, "current"), "copper", "ca", TABLES)
        assert fit.fits is suits


@pytest.mark.parametrize(
    ("wire", "metal", "region"),
    [
        ("1.5 mm2", "copper", "us"),
        ("1.5 mm2", "copper", "uk"),
        ("14 AWG", "copper", "uk"),
        ("14 AWG", "copper", None),
    ],
)
def test_wire_without_a_rule_here_is_not_covered(wire: str, metal: str, region: str | None) -> None:
    """Metric wire, other regions and an unknown region get no verdict rather than an American one."""
    fit = breaker_suits_wire(measure(wire, "wire"), measure("16 A", "current"), metal, region, TABLES)
    assert (fit.fits, fit.covered) == (None, False)


def test_an_unknown_metal_is_judged_as_copper_and_says_so() -> None:
    """With the metal unseen the sentence says "if the wire is copper"; too large stays too large."""
    wire, breaker = measure("12 AWG", "wire"), measure("20 A", "current")
    fit = breaker_suits_wire(wire, breaker, None, "us", TABLES)
    assert fit.fits is True
    assert fit.doubtful
    assert "if the wire is copper" in fit.text
    assert breaker_suits_wire(wire, measure("25 A", "current"), None, "us", TABLES).fits is False


def test_the_gauge_formula_gives_the_published_table() -> None:
    """ASTM B258: the formula gives the printed diameters and areas to the last printed digit."""
    for row in TABLES["wire_gauges"].row:
        gauge = int(row.name.split()[0])
        assert gauge_diameter_mm(gauge) == pytest.approx(float(row.values["mm"]), abs=0.0006)
        assert gauge_diameter_mm(gauge) / 25.4 == pytest.approx(float(row.values["in"]), abs=0.00006)
        assert gauge_area_mm2(gauge) == pytest.approx(float(row.values["mm2"]), abs=0.0006)


def test_the_gauge_formula_meets_its_anchors() -> None:
    """ASTM B258 fixes 36 AWG at 0.005 in and 0000 (written -3) at 0.46 in."""
    assert gauge_diameter_mm(36) == pytest.approx(0.005 * 25.4)
    assert gauge_diameter_mm(-3) == pytest.approx(0.46 * 25.4)


def test_metric_neighbours_stand_on_either_side_and_are_never_equal() -> None:
    """Each gauge lies strictly between its metric neighbours."""
    for row in TABLES["wire_gauges"].row:
        gauge = int(row.name.split()[0])
        neighbours = nearest_metric(gauge, TABLES)
        assert neighbours is not None
        assert float(neighbours[0]) < gauge_area_mm2(gauge) < float(neighbours[1])


@pytest.mark.parametrize(
    ("mark", "load", "fits"), [("15 A", "12 A", True), ("15 A", "12.01 A", False), ("20 A", "16 A", True)]
)
def test_a_motor_takes_four_fifths_of_a_general_switch(mark: str, load: str, fits: bool) -> None:
    """NEC 404.14, AC general-use: motor loads up to 80 % of the mark, 12 A on 15 A, equality allowed."""
    fit = general_switch_for_motor(measure(load, "current"), measure(mark, "current"), "us", TABLES)
    assert fit.fits is fits


# Spec-sheet points, makers not named: watts, motor, amperes on the label at 120 V.
SHEETS = [("56 W", "ac", "0.47"), ("55 W", "ac", "0.46"), ("62.4 W", "ac", "0.523"), ("23 W", "dc", "0.39")]


@pytest.mark.parametrize(("watts", "motor", "amperes"), SHEETS)
def test_amperes_from_watts_never_come_out_below_the_label(watts: str, motor: str, amperes: str) -> None:
    """The estimate from watts is at or a little above what spec sheets print (within 20 %)."""
    current, text = fan_amps(measure(watts, "power"), 120, motor, TABLES)
    assert Fraction(amperes) * Fraction(97, 100) <= current <= Fraction(amperes) * Fraction(12, 10)
    assert "guessed" in text


def test_an_unknown_motor_is_reckoned_at_the_careful_end() -> None:
    """With the motor unknown the estimate is the larger current."""
    watts = measure("60 W", "power")
    assert fan_amps(watts, 120, None, TABLES)[0] == fan_amps(watts, 120, "dc", TABLES)[0]
    assert fan_amps(watts, 120, None, TABLES)[0] > fan_amps(watts, 120, "ac", TABLES)[0]


def test_a_fan_control_is_judged_by_its_own_mark() -> None:
    """Amperes up to the mark fit, above it they do not, and without a mark nothing is passed."""
    mark = measure("1.5 A", "current")
    assert control_carries_fan(Fraction("1.5"), mark, TABLES).fits is True
    assert control_carries_fan(Fraction("1.51"), mark, TABLES).fits is False
    unseen = control_carries_fan(Fraction("0.5"), None, TABLES, control="fan_speed_control")
    assert unseen.fits is None
    assert "1 to 1.5 A" in unseen.text


def test_two_fans_on_a_one_fan_control_do_not_fit() -> None:
    """A speed control for one fan does not take two, however small they are."""
    mark = measure("5 A", "current")
    fit = control_carries_fan(Fraction("0.8"), mark, TABLES, control="fan_speed_control", fans=2)
    assert fit.fits is False


def test_the_light_kit_limiter() -> None:
    """Energy Policy Act of 2005 (appliance-standards.org): 190 W passes, more does not, only in the US."""
    assert light_within_limiter(measure("190 W", "power"), "us", TABLES).fits is True
    assert light_within_limiter(measure("191 W", "power"), "us", TABLES).fits is False
    assert not light_within_limiter(measure("191 W", "power"), "uk", TABLES).covered


def test_lamps_need_a_mark_and_enough_watts() -> None:
    """Lamps over the mark or under the least load do not fit; without a mark it stays open."""
    lamps = measure("9 W", "power")
    assert light_on_control(lamps, None).fits is None
    assert light_on_control(lamps, measure("150 W", "power")).fits is True
    assert light_on_control(lamps, measure("150 W", "power"), measure("40 W", "power")).fits is False
    assert light_on_control(measure("160 W", "power"), measure("150 W", "power")).fits is False


# NFPA 70, 314.27(C) (ecmweb.com, Q&A on boxes at ceiling fans): marked, weight, rating, verdict.
SUPPORT = [
    (True, "35 lb", None, True),
    (True, "16 kg", None, True),
    (True, "36 lb", None, None),
    (True, "36 lb", "50 lb", True),
    (True, "51 lb", "50 lb", False),
    (True, "70 lb", "70 lb", True),
    (True, "71 lb", "150 lb", False),
    (True, "33 kg", "50 kg", False),
    (False, "20 lb", None, False),
    (None, "20 lb", None, None),
    (None, "71 lb", None, False),
    (True, None, None, None),
]


@pytest.mark.parametrize(("marked", "weight", "rating", "verdict"), SUPPORT)
def test_a_box_carries_a_fan_by_mark_and_weight_class(
    marked: bool | None, weight: str | None, rating: str | None, verdict: bool | None
) -> None:
    """NEC 314.27(C): marked for fans; over 35 lb the mark says how much; over 70 lb never on the box."""
    fit = box_carries_fan(
        marked,
        measure(weight, "mass") if weight else None,
        measure(rating, "mass") if rating else None,
        "us",
        TABLES,
    )
    assert fit.fits is verdict
    assert fit.text


def test_added_parts_count_in_the_weight() -> None:
    """A fan at the limit goes over it with half a pound of parts in the canopy."""
    added = measure("8 oz", "mass")
    assert box_carries_fan(True, measure("70 lb", "mass"), measure("70 lb", "mass"), "us", TABLES).fits is True
    fit = box_carries_fan(True, measure("70 lb", "mass"), measure("70 lb", "mass"), "us", TABLES, added=added)
    assert fit.fits is False


def test_support_in_canada_and_elsewhere() -> None:
    """CSA C22.1:21 12-3000 9): under 16 kg on a marked box; other regions are not covered."""
    assert box_carries_fan(True, measure("15.9 kg", "mass"), None, "ca", TABLES).fits is True
    assert box_carries_fan(True, measure("16 kg", "mass"), None, "ca", TABLES).fits is False
    assert box_carries_fan(True, measure("36 lb", "mass"), None, "ca", TABLES).fits is False
    assert box_carries_fan(True, measure("10 kg", "mass"), None, "uk", TABLES).covered is False


@pytest.mark.parametrize("region", ["us", "ca", "uk", "eu", "au_nz", "in", None])
def test_the_mark_of_the_box_holds_in_every_region(region: str | None) -> None:
    """More than the weight marked on the box is a stop everywhere, also where no rule is known here."""
    fit = box_carries_fan(True, measure("12 kg", "mass"), measure("9 kg", "mass"), region, TABLES)
    assert fit.fits is False
    assert fit.sources
    over = box_carries_fan(
        True, measure("9 kg", "mass"), measure("9 kg", "mass"), region, TABLES, added=measure("0.1 kg", "mass")
    )
    assert over.fits is False


@pytest.mark.parametrize(
    ("region", "facts", "words"),
    [
        ("us", {"blade_height": "6 ft 6 in"}, ["too low"]),
        ("us", {"blade_height": "7 ft", "breaker": "20 A", "wire_size": "12 AWG", "bath_near": True}, []),
        ("us", {"breaker": "30 A", "wire_size": "10 AWG"}, ["A circuit of 30 A"]),
        ("uk", {"breaker": "32 A", "wire_size": "1 mm2"}, ["not compared here"]),
        ("ca", {"bath_near": True}, ["A bath or shower is near."]),
    ],
)
def test_a_figure_that_stops_nothing_is_warned_of(region: str, facts: dict[str, str | bool], words: list[str]) -> None:
    """Low blades, a circuit over 20 A, a bath or a wire without a rule here: each is told on the card as a caution."""
    found = figure_warnings({"region": region, **facts}, TABLES)
    assert len(found) == len(words)
    assert all(word in text for word, text in zip(words, found, strict=True))


@pytest.mark.parametrize(
    ("height", "region", "fits"),
    [
        ("7 ft", "us", True),
        ("6 ft 11 in", "us", False),
        ("84 in", "us", True),
        ("2.13 m", "us", True),
        ("2.12 m", "us", False),
        ("2.3 m", "uk", False),
        ("2301 mm", "uk", True),
        ("2.2 m", "uk", False),
        ("7 ft", "uk", False),
        ("2.1 m", "au_nz", True),
        ("7 ft", None, None),
    ],
)
def test_blades_hang_high_enough(height: str, region: str | None, fits: bool | None) -> None:
    """Listing instructions (from memory): 7 ft or 2.13 m in the US, equality allowed; by IEC more than 2.3 m."""
    assert blades_high_enough(measure(height, "length"), region, TABLES).fits is fits


# Spec-sheet points, makers not named: watts, amperes at 120 V, cfm -> cfm/W, power factor.
POINTS = [
    ("55 W", "0.46 A", "4908 cfm", 89, 1.00),
    ("23 W", "0.39 A", "4664 cfm", 202, 0.49),
    ("35 W", "0.47 A", "9448 cfm", 270, 0.62),
]


@pytest.mark.parametrize(("watts", "amperes", "airflow", "per_watt", "factor"), POINTS)
def test_clue_figures_agree_with_spec_sheets(
    watts: str, amperes: str, airflow: str, per_watt: int, factor: float
) -> None:
    """Airflow per watt and power factor come out as the spec sheets have them, within rounding."""
    facts = {"fan_watts_high": watts, "fan_amps": amperes, "fan_airflow_high": airflow}
    found = {number.id: number.value for number in derived_numbers(facts, 120)}
    assert float(found["airflow_per_watt"]) == pytest.approx(per_watt, abs=1)
    assert float(found["power_factor"]) == pytest.approx(factor, abs=0.01)


def test_clue_figures_need_their_facts() -> None:
    """No watts, no figures; no voltage, no power factor; all of one family."""
    assert derived_numbers({"fan_amps": "0.5 A"}, 120) == ()
    known = derived_numbers({"fan_watts_high": "30 W", "fan_amps": "0.5 A"}, None)
    assert [number.id for number in known] == ["watts_high"]
    assert {number.family for number in derived_numbers({"fan_watts_high": "30 W", "fan_amps": "1 A"}, 120)} == {
        "power"
    }
