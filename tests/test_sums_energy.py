"""Yearly energy and cost, efficiency against the law, capacitors: against published labels and data."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest
from figures_world import TABLES, measure

from switchleg.advice.numbers.motor import motor_sheet
from switchleg.errors import SwitchlegError
from switchleg.figures.fan.capacitor import capacitor_sheet, current_a, microfarads_of, reactance_ohm
from switchleg.figures.fan.energy import (
    added_standby,
    efficiency_against_law,
    kwh_per_year,
    label_hours,
    label_price,
    least_efficiency,
    parse_price,
    weighted_efficiency,
    yearly_cost,
)
from switchleg.knowledge.load import load

DATA = Path(__file__).parent / "data" / "ceiling-fans"

# Printed on three spec sheets and labels (makers not named): W low, W high, W standby, kWh, printed cost in dollars.
LABELS = [
    ("14", "56", "0", "84.83", "10"),
    ("10", "55", "0", "79.21", "10"),
    ("62.38", "62.38", "0", "145.72", "17.49"),
]


@pytest.mark.parametrize(("low", "high", "standby", "kwh", "printed"), LABELS)
def test_the_label_rule_gives_the_printed_cost(low: str, high: str, standby: str, kwh: str, printed: str) -> None:
    """3.4 h high, 3.0 h low, 17.6 h standby and 12 cents a kWh come to what the sheets print."""
    total = kwh_per_year(Fraction(high), Fraction(low), Fraction(standby), label_hours(TABLES))
    assert abs(total - Fraction(kwh)) <= Fraction("0.005")
    cost = float(total * label_price(TABLES).per_kwh)
    assert (f"{cost:.2f}" if "." in printed else f"{cost:.0f}") == printed


def test_the_hours_of_the_label_fill_a_day() -> None:
    """High, low and standby hours of the test procedure come to 24."""
    hours = label_hours(TABLES)
    assert hours.high + hours.low + hours.standby == 24


# Mean watts printed on the same two sheets: 37 and 34 W, from 6.4 h a day; the rule gives 36.3 and 33.9.
@pytest.mark.parametrize(("low", "high", "printed"), [(14, 56, 37), (10, 55, 34)])
def test_the_mean_power_is_near_the_printed_one(low: int, high: int, printed: int) -> None:
    """Watts weighted by hours lie within a watt of the printed mean."""
    hours = label_hours(TABLES)
    mean = (high * hours.high + low * hours.low) / (hours.high + hours.low)
    assert abs(mean - printed) < 1


def test_the_inputs_are_editable_and_standby_fills_the_day() -> None:
    """Own hours, own price and an added control enter the sum; what is left of the day is standby."""
    sheet = yearly_cost(
        measure("28 W", "power"),
        measure("3 W", "power"),
        measure("0.5 W", "power"),
        TABLES,
        price=parse_price("0.30 EUR/kWh"),
        high_hours=measure("2 h", "duration"),
        low_hours=measure("8 h", "duration"),
        added=measure("1 W", "power"),
    )
    expected = Fraction(365, 1000) * (28 * 2 + 3 * 8 + Fraction("0.5") * 14 + 24)
    assert sheet.numbers[0].amount == expected
    assert sheet.verdict == f"{float(expected):.2f} kWh and {float(expected) * 0.3:.2f} EUR a year."


def test_hours_beyond_a_day_are_refused() -> None:
    """Nobody runs a fan for 25 hours a day."""
    with pytest.raises(SwitchlegError, match="do not fit into a day"):
        yearly_cost(measure("56 W", "power"), None, None, TABLES, high_hours=measure("24 h", "duration"))


@pytest.mark.parametrize(
    ("text", "per_kwh", "currency"),
    [
        ("12 cents/kWh", "0.12", ""),
        ("0.30 EUR/kWh", "0.3", "EUR"),
        ("$0.12 per kWh", "0.12", "USD"),
        ("28 p/kWh", "0.28", ""),
        ("8 rupees/kWh", "8", "INR"),
    ],
)
def test_a_price_is_understood(text: str, per_kwh: str, currency: str) -> None:
    """Money for a kWh is read with its currency; hundredths are turned into whole money."""
    price = parse_price(text)
    assert (price.per_kwh, price.currency) == (Fraction(per_kwh), currency)


@pytest.mark.parametrize("text", ["0.12", "12 cents", "0.12/kWh", "five/kWh", "0 USD/kWh", "12 bananas/kWh", ""])
def test_a_price_without_money_or_kwh_is_refused(text: str) -> None:
    """A bare number is no price."""
    with pytest.raises(SwitchlegError, match="no price of electricity"):
        parse_price(text)


def test_the_federal_minimum_is_ours_row_by_row() -> None:
    """10 CFR 430.32(s) as kept in the federal data file: the same slope and intercept in our table."""
    with (DATA / "us_minimum_efficiency_2020.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    kinds = {"very small diameter": "very small", "high-speed small diameter": "high-speed small"}
    seen = 0
    for row in rows:
        kind = kinds.get(row["product_class"], row["product_class"])
        if kind.startswith("large"):
            continue
        slope, base = Fraction(row["slope_cfm_per_w_per_in"]), Fraction(row["intercept_cfm_per_w"])
        inches = 52 if kind != "very small" else (18 if row["diameter_from_in"] == "12" else 10)
        found = least_efficiency(kind, measure(f"{inches} in", "length"), "us", TABLES)
        assert found is not None
        assert found[0] == slope * inches + base
        seen += 1
    assert seen >= 4


def test_certified_fans_beat_the_minimum_and_are_thriftier_at_low_speed() -> None:
    """EPA's list of certified fans: airflow per watt falls from low to high, and lies above the legal line."""
    with (DATA / "energystar_v3_sample.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 10
    for row in rows:
        low, high = Fraction(row["cfm_per_w_low"]), Fraction(row["cfm_per_w_high"])
        assert low > high
        found = least_efficiency("standard", measure(f"{row['diameter_in']} in", "length"), "us", TABLES)
        assert found is not None
        assert found[0] < high


def test_efficiency_is_judged_only_with_both_speeds_and_only_where_the_law_is_known() -> None:
    """The weighted figure decides; high speed alone leaves it open; other regions are not covered."""
    fan = {"high": (measure("4498 cfm", "airflow"), measure("56 W", "power"))}
    slow = (measure("2027 cfm", "airflow"), measure("14 W", "power"))
    span = measure("52 in", "length")
    whole = efficiency_against_law("standard", span, "us", TABLES, **fan, low=slow)
    assert whole.fits is True
    assert "71.83" in whole.text
    assert efficiency_against_law("standard", span, "us", TABLES, **fan).fits is None
    assert not efficiency_against_law("standard", span, "uk", TABLES, **fan).covered
    poor = (measure("2000 cfm", "airflow"), measure("60 W", "power"))
    assert efficiency_against_law("standard", span, "us", TABLES, high=poor, low=poor).fits is False


# Printed efficiency of the farm fan on its label, one speed: 5956 cfm, 62.4 W; the label says 79.5, division 95.
def test_the_weighted_figure_is_a_plain_ratio_when_speeds_are_alike() -> None:
    """With equal speeds and no standby the weights fall out."""
    flow, watts = Fraction(5956), Fraction("62.4")
    assert weighted_efficiency(flow, watts, flow, watts, Fraction(0), label_hours(TABLES)) == flow / watts


def test_standby_of_an_added_control_is_a_visible_share() -> None:
    """1 W all year is 8.76 kWh; the usual ranges are said from their table."""
    assert added_standby(TABLES, measure("1 W", "power")) == ("1 W all day is 8.76 kWh a year.",)
    assert any("4.38 to 17.52 kWh" in line for line in added_standby(TABLES))


# X = 1/(2 pi f C), any public reactance table: uF, ohm and A at 60 Hz and 120 V, then at 50 Hz and 230 V.
REACTANCE = [
    ("1", 2652.6, 0.045, 3183.1, 0.072),
    ("1.5", 1768.4, 0.068, 2122.1, 0.108),
    ("2.2", 1205.7, 0.100, 1446.9, 0.159),
    ("3", 884.2, 0.136, 1061.0, 0.217),
    ("4.5", 589.5, 0.204, 707.4, 0.325),
    ("5", 530.5, 0.226, 636.6, 0.361),
    ("6", 442.1, 0.271, 530.5, 0.434),
]


@pytest.mark.parametrize(("value", "x60", "i60", "x50", "i50"), REACTANCE)
def test_reactance_and_current_of_usual_values(value: str, x60: float, i60: float, x50: float, i50: float) -> None:
    """Reactance to a tenth of an ohm and the current bound to a milliampere, at both supplies."""
    farads = Fraction(value)
    assert round(reactance_ohm(farads, 60), 1) == x60
    assert round(current_a(farads, 120, 60), 3) == i60
    assert round(reactance_ohm(farads, 50), 1) == x50
    assert round(current_a(farads, 230, 50), 3) == i50


def test_the_field_check_is_the_same_rule_turned_round() -> None:
    """C = 2652 x I / V at 60 Hz and 3183 x I / V at 50 Hz (a public rule of thumb) within a thousandth."""
    assert microfarads_of(120, 0.204, 60) == pytest.approx(2652 * 0.204 / 120, rel=1e-3)
    assert microfarads_of(230, 0.325, 50) == pytest.approx(3183 * 0.325 / 230, rel=1e-3)


def test_a_marked_capacitor_speaks_of_an_ac_motor_only_in_the_usual_range() -> None:
    """4.5 + 6 uF is a fan's block; 100 uF is the inside of a power supply and says nothing of the motor."""
    block = capacitor_sheet([measure("4.5 uF", "capacitance"), measure("6 uF", "capacitance")], TABLES)
    assert "an AC motor" in block.ways[0]
    assert any("in parallel: 10.5 uF" in line for line in block.lines)
    odd = capacitor_sheet([measure("100 uF", "capacitance")], TABLES)
    assert "says nothing about the motor" in odd.ways[0]


# Spec sheets (makers not named), high speed: kind, W, A at 120 V, cfm.
SHEETS = [
    ("AC", "56 W", "0.47 A", "4498 cfm"),
    ("AC", "55 W", "0.46 A", "4908 cfm"),
    ("AC", "62.4 W", "0.523 A", "5956 cfm"),
    ("DC", "23 W", "0.39 A", "4664 cfm"),
    ("DC", "28 W", "0.43 A", "5238 cfm"),
    ("DC", "35 W", "0.47 A", "9448 cfm"),
]


@pytest.mark.parametrize(("kind", "watts", "current", "flow"), SHEETS)
def test_published_sheets_lean_to_their_own_kind(kind: str, watts: str, current: str, flow: str) -> None:
    """Label figures of fans of a known kind lean that way, and never settle it."""
    facts = {"fan_watts_high": watts, "fan_amps": current, "fan_airflow_high": flow}
    sheet = motor_sheet(load(), facts, 120)
    assert sheet.verdict == f"Leans to {kind}; it settles nothing."
    assert "one family" in sheet.lines[-1]


def test_figures_that_disagree_are_to_be_read_again() -> None:
    """60 W with 200 cfm/W speaks for both kinds at once."""
    sheet = motor_sheet(load(), {"fan_watts_high": "60 W", "fan_airflow_high": "12000 cfm"}, 120)
    assert "disagree" in sheet.verdict


def test_large_fans_are_rated_by_another_index() -> None:
    """Beyond 84 in the line of the standard class is not used: no number is given."""
    assert least_efficiency("standard", measure("84 in", "length"), "us", TABLES) is not None
    assert least_efficiency("standard", measure("96 in", "length"), "us", TABLES) is None
