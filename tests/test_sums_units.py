"""Units against a general units library, wire gauges against the published table, both ways of showing."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from figures_world import TABLES, measure
from hypothesis import given, settings
from hypothesis import strategies as st

from switchleg.errors import SwitchlegError
from switchleg.figures.circuit.wire import gauge_area_mm2, gauge_diameter_mm
from switchleg.units.display import OTHER, both_ways
from switchleg.units.names import Quantity
from switchleg.units.reading import FACTORS, Measure, parse_measure

# pint, a general library of units (test extra); its names for ours.
PINT = pint.UnitRegistry()
NAMES = {
    "in3": "inch**3",
    "cm3": "cm**3",
    "mL": "milliliter",
    "L": "liter",
    "lb": "pound",
    "oz": "ounce",
    "in": "inch",
    "ft": "foot",
    "m2": "m**2",
    "ft2": "foot**2",
    "m3/h": "m**3/hour",
    "m3/min": "m**3/minute",
    "cfm": "foot**3/minute",
    "uF": "microfarad",
    "nF": "nanofarad",
    "Hz": "hertz",
    "deg": "degree",
    "h": "hour",
    "min": "minute",
}
PAIRS = [(dimension, unit) for dimension, units in FACTORS.items() for unit in units]


@pytest.mark.parametrize(("dimension", "unit"), PAIRS)
@settings(max_examples=15, deadline=None)
@given(amount=st.fractions(min_value=Fraction(1, 100), max_value=90, max_denominator=1000))
def test_every_unit_converts_as_a_general_library_does(dimension: Quantity, unit: str, amount: Fraction) -> None:
    """Any amount in any unit, turned into any other of its kind, is what pint makes of it."""
    for other in FACTORS[dimension]:
        ours = Measure(amount, unit, dimension).to(other)
        theirs = PINT.Quantity(float(amount), NAMES.get(unit, unit)).to(NAMES.get(other, other)).magnitude
        assert float(ours) == pytest.approx(theirs, rel=1e-9)


@given(celsius=st.integers(min_value=-50, max_value=200))
def test_temperatures_convert_as_a_general_library_does(celsius: int) -> None:
    """Celsius and Fahrenheit agree with pint in both directions."""
    ours = Measure(Fraction(celsius), "C", "temperature").to("F")
    theirs = PINT.Quantity(celsius, "degC").to("degF").magnitude
    assert float(ours) == pytest.approx(theirs)


# ASTM B258 as printed in public tables: AWG, diameter in inches, area in circular mils, mm2.
PUBLISHED = [
    (18, "0.0403", 1624, "0.823"),
    (16, "0.0508", 2583, "1.31"),
    (14, "0.0641", 4107, "2.08"),
    (12, "0.0808", 6530, "3.31"),
    (10, "0.1019", 10383, "5.26"),
]


@pytest.mark.parametrize(("gauge", "inch", "mils", "mm2"), PUBLISHED)
def test_the_gauge_rule_gives_the_printed_table(gauge: int, inch: str, mils: int, mm2: str) -> None:
    """Diameter, circular mils and cross-section by the rule of ASTM B258 round to the printed figures."""
    diameter = gauge_diameter_mm(gauge) / 25.4
    assert f"{diameter:.4f}" == inch
    assert (diameter * 1000) ** 2 == pytest.approx(mils, rel=2e-3)
    assert gauge_area_mm2(gauge) == pytest.approx(float(mm2), rel=2e-3)
    row = TABLES["wire_gauges"].named(f"{gauge} AWG")
    assert float(row.values["mm2"]) == pytest.approx(gauge_area_mm2(gauge), rel=1e-3)


@pytest.mark.parametrize(
    ("text", "dimension", "shown"),
    [
        ("18 in3", "volume", "18 in3 (295 cm3)"),
        ("300 mL", "volume", "300 mL (18.3 in3)"),
        ("35 lb", "mass", "35 lb (15.9 kg)"),
        ("7 ft 6 in", "length", "7 ft 6 in (2.29 m)"),
        ("2.4 m", "length", "2.4 m (7 ft 10.5 in)"),
        ("40 C", "temperature", "40 C (104 F)"),
        ("5000 cfm", "airflow", "5000 cfm (8495 m3/h)"),
        ("1.2 A", "current", "1.2 A"),
        ("120 x 60 x 40 mm", "space", "120 x 60 x 40 mm (4.72 x 2.36 x 1.57 in)"),
        ("14 AWG", "wire", "14 AWG (2.08 mm2; no metric size is its equal)"),
        ("1.5 mm2", "wire", "1.5 mm2 (between gauges: AWG 15.4)"),
    ],
)
def test_a_measure_is_shown_both_ways(text: str, dimension: Quantity, shown: str) -> None:
    """What was typed stays as it is; beside it stands the other system's figure."""
    assert both_ways(measure(text, dimension)) == shown


def test_every_other_unit_is_of_the_same_kind() -> None:
    """The unit that stands beside another one can be made from it."""
    for unit, other in OTHER.items():
        homes = [units for units in FACTORS.values() if unit in units and other in units]
        assert homes or {unit, other} == {"C", "F"}


@pytest.mark.parametrize(
    ("text", "dimension", "canonical"),
    [
        ("120 volts", "voltage", "120 V"),
        ("4.5 µF", "capacitance", "4.5 uF"),
        ("4.5μF", "capacitance", "4.5 uF"),
        ("6 mfd", "capacitance", "6 uF"),
        ("60 hz", "frequency", "60 Hz"),
        ("30°", "angle", "30 deg"),
        ("3.4 hours", "duration", "3.4 h"),
    ],
)
def test_what_only_calculations_ask_for_is_understood(text: str, dimension: Quantity, canonical: str) -> None:
    """Volts, microfarads, hertz, degrees and hours are read with their usual spellings."""
    assert str(parse_measure(text, dimension)) == canonical


@pytest.mark.parametrize(
    ("text", "dimension", "why"),
    [
        ("4.5", "capacitance", "no unit"),
        ("4.5 mF", "capacitance", "write uF"),
        ("120", "voltage", "no unit"),
        ("120 A", "voltage", "a unit of current"),
        ("95 deg", "angle", "out of range"),
    ],
)
def test_bare_and_strange_figures_are_refused(text: str, dimension: Quantity, why: str) -> None:
    """A bare number, another unit or an impossible size gets one clear line."""
    with pytest.raises(SwitchlegError) as caught:
        parse_measure(text, dimension)
    assert why in caught.value.line()
