"""Measures: what is understood, what is refused, and that nothing is lost on the way."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from switchleg.errors import SwitchlegError
from switchleg.schema.questions import Dimension
from switchleg.units.reading import UNITS, Measure, parse_measure

UNDERSTOOD: list[tuple[str, Dimension, str]] = [
    ("1.2 A", "current", "1.2 A"),
    ("1,2 a", "current", "1.2 A"),
    (".5 amps", "current", "0.5 A"),
    ("500mA", "current", "500 mA"),
    ("0,500 A", "current", "0.5 A"),
    ("60 watts", "power", "60 W"),
    ("1.5 kW", "power", "1.5 kW"),
    ("18 cu. in.", "volume", "18 in3"),
    ("18in³", "volume", "18 in3"),
    ("15 1/2 in3", "volume", "15.5 in3"),
    ("15½ in3", "volume", "15.5 in3"),
    ("15-1/2 in^3", "volume", "15.5 in3"),
    ("300 ml", "volume", "300 mL"),
    ("0.3 L", "volume", "0.3 L"),
    ("16 kg", "mass", "16 kg"),
    ("2 lb 4 oz", "mass", "2.25 lb"),
    ("7 ft 6 in", "length", "7 ft 6 in"),
    ("7' 6\"", "length", "7 ft 6 in"),
    ("7ft2in", "length", "7 ft 2 in"),
    ("6 ft 2", "length", "6 ft 2 in"),
    ("7 ft 3/4 in", "length", "7 ft 0.75 in"),
    ("7.5 ft", "length", "7 ft 6 in"),
    ("2,13 m", "length", "2.13 m"),
    ("130 sq ft", "area", "130 ft2"),
    ("12 ft x 10 ft", "area", "120 ft2"),
    ("12 m²", "area", "12 m2"),
    ("5000 CFM", "airflow", "5000 cfm"),
    ("8500 m³/h", "airflow", "8500 m3/h"),
    ("140 m3/min", "airflow", "140 m3/min"),
    ("14 AWG", "wire", "14 AWG"),
    ("#14", "wire", "14 AWG"),
    ("awg 12", "wire", "12 AWG"),
    ("1,5 mm²", "wire", "1.5 mm2"),
    ("2.5 sq mm", "wire", "2.5 mm2"),
    ("-5 °C", "temperature", "-5 C"),
    ("104 F", "temperature", "104 F"),
    ("120 x 60 x 40 mm", "space", "120 x 60 x 40 mm"),
    ("120mm×60mm×40mm", "space", "120 x 60 x 40 mm"),
    ("4 by 2 by 1 1/2 in", "space", "4 x 2 x 1.5 in"),
    ("300 mL", "space", "300 mL"),
]

REFUSED: list[tuple[str, Dimension, str]] = [
    ("", "current", "nothing was typed"),
    ("   ", "volume", "nothing was typed"),
    ("18", "volume", "has no unit"),
    ("18 A", "volume", "is a unit of current"),
    ("18 in", "volume", "is a unit of length"),
    ("12 apples", "mass", "is no unit that is understood"),
    ("60 VA", "power", "is no unit that is understood"),
    ("nan", "current", "is not an amount"),
    ("nan A", "current", "is not an amount"),
    ("inf A", "current", "is not an amount"),
    ("1e3 W", "power", "is no unit"),
    ("-3 A", "current", "is below zero"),
    ("−3 A", "current", "is below zero"),
    ("0 A", "current", "is zero"),
    ("1/0 A", "current", "is not a fraction"),
    ("1,200 W", "power", "can be read two ways"),
    ("1.2.3 A", "current", "is not a number"),
    ("2000000 g", "mass", "far out of range"),
    ("9" * 40 + " A", "current", "far out of range"),
    ("9" * 9000 + " A", "current", "too long"),
    ("14", "wire", "has no unit"),
    ("14/2", "wire", "names a cable"),
    ("1.5 mm", "wire", "is a unit of length"),
    ("99 AWG", "wire", "is no gauge"),
    ("7 ft 14 in", "length", "does not add up"),
    ("6 in 2 ft", "length", "does not add up"),
    ("1 A 2 A", "current", "does not add up"),
    ("120 x 60 mm", "space", "2 lengths, not 3"),
    ("1 x 2 x 0 mm", "space", "a side of zero"),
    ("2 x 2 x 2", "space", "no unit of length"),
    ("5000 C", "temperature", "far out of range"),
    ("5 ² A", "current", "is no unit"),
    ("٣ A", "current", "is not an amount"),
    ("1\x00A", "current", "no unit"),
]


@pytest.mark.parametrize(("text", "dimension", "canonical"), UNDERSTOOD)
def test_a_measure_is_understood_and_its_canonical_text_reads_back_equal(
    text: str, dimension: Dimension, canonical: str
) -> None:
    """Each of these ways of writing a measure is understood, and printing it loses nothing."""
    measure = parse_measure(text, dimension)
    assert str(measure) == canonical
    assert parse_measure(canonical, dimension) == measure


@pytest.mark.parametrize(("text", "dimension", "why"), REFUSED)
def test_what_cannot_be_told_is_refused_in_one_line(text: str, dimension: Dimension, why: str) -> None:
    """A measure that cannot be told is refused with the reason, the place and the units understood."""
    with pytest.raises(SwitchlegError) as caught:
        parse_measure(text, dimension, where="facts.toml: fan")
    line = caught.value.line()
    assert why in line
    assert line.startswith("facts.toml: fan: ")
    assert all(unit in line for unit in UNITS[dimension])
    assert "\n" not in line
    assert len(line) < 420


def test_zero_is_taken_only_where_it_makes_sense() -> None:
    """Nothing drawn on standby is a measure; a fan of no amperes is not."""
    assert parse_measure("0 W", "power", zero=True).amount == 0
    assert parse_measure("0 C", "temperature").to("F") == 32


# International yard and pound agreement, 1959: inch, foot and pound by definition.
# The cubic foot per minute follows from the foot: 0.3048 cubed x 60.
CONVERSIONS: list[tuple[str, Dimension, str, str]] = [
    ("1 in", "length", "mm", "25.4"),
    ("1 ft", "length", "m", "0.3048"),
    ("7 ft", "length", "m", "2.1336"),
    ("1 lb", "mass", "kg", "0.45359237"),
    ("16 oz", "mass", "lb", "1"),
    ("1 in3", "volume", "cm3", "16.387064"),
    ("1 ft2", "area", "m2", "0.09290304"),
    ("1 cfm", "airflow", "m3/h", "1.69901079552"),
    ("300 mL", "volume", "cm3", "300"),
    ("40 C", "temperature", "F", "104"),
    ("-40 F", "temperature", "C", "-40"),
    ("120 x 60 x 40 mm", "space", "cm3", "288"),
    ("1 kW", "power", "W", "1000"),
    ("250 mA", "current", "A", "0.25"),
]


@pytest.mark.parametrize(("text", "dimension", "unit", "amount"), CONVERSIONS)
def test_conversions_are_exact(text: str, dimension: Dimension, unit: str, amount: str) -> None:
    """Inches, feet, pounds and degrees convert by their definitions, with no rounding."""
    assert parse_measure(text, dimension).to(unit) == Fraction(amount)


def test_a_gauge_is_never_turned_into_square_millimetres() -> None:
    """14 AWG is not 1.5 mm2 nor 2.5 mm2, so no conversion is offered either way."""
    with pytest.raises(SwitchlegError):
        parse_measure("14 AWG", "wire").to("mm2")
    with pytest.raises(SwitchlegError):
        parse_measure("1.5 mm2", "wire").to("AWG")


def test_a_space_keeps_its_lengths() -> None:
    """The three lengths of a space are kept, longest first, beside its volume."""
    assert parse_measure("4 x 2 x 1 1/2 in", "space").sides_mm() == (
        Fraction("101.6"),
        Fraction("50.8"),
        Fraction("38.1"),
    )


FACTORED = {
    "current": ("A", "mA"),
    "power": ("W", "kW"),
    "volume": ("in3", "cm3", "mL", "L"),
    "mass": ("kg", "g", "lb", "oz"),
    "length": ("mm", "cm", "m", "in", "ft"),
    "area": ("m2", "ft2"),
    "airflow": ("cfm", "m3/h", "m3/min"),
}


@given(st.sampled_from(sorted(FACTORED)), st.data())
def test_every_measure_survives_printing_and_converting(dimension: Dimension, data: st.DataObject) -> None:
    """Any amount of any unit prints to text that reads back equal, and converts there and back unchanged."""
    unit = data.draw(st.sampled_from(FACTORED[dimension]))
    amount = data.draw(st.fractions(min_value=Fraction(1, 64), max_value=50, max_denominator=64))
    measure = Measure(amount, unit, dimension)
    assert parse_measure(str(measure), dimension) == measure
    other = data.draw(st.sampled_from(FACTORED[dimension]))
    assert Measure(measure.to(other), other, dimension).to(unit) == amount


LIKELY = st.text(alphabet="0123456789 .,/-x'\"inftmkglbWAGwcoz²³½°#", max_size=16)


@given(st.text(max_size=70) | LIKELY, st.sampled_from(sorted(UNITS)))
def test_any_text_is_a_measure_or_a_clear_refusal(text: str, dimension: Dimension) -> None:
    """Whatever is typed, the answer is a measure above zero or an error that can be read."""
    try:
        measure = parse_measure(text, dimension)
    except SwitchlegError:
        return
    assert measure.amount > 0 or dimension == "temperature"
    assert parse_measure(str(measure), dimension) == measure
