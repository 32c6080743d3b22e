"""A measure as people in both halves of the world read it: as given, then in the other system."""

from __future__ import annotations

from fractions import Fraction
from math import floor, log10, pi

from switchleg.units.reading import FACTORS, Measure, show_number

OTHER = {
    "in3": "cm3",
    "cm3": "in3",
    "mL": "in3",
    "L": "in3",
    "kg": "lb",
    "g": "oz",
    "lb": "kg",
    "oz": "g",
    "mm": "in",
    "cm": "in",
    "m": "ft",
    "in": "mm",
    "ft": "m",
    "m2": "ft2",
    "ft2": "m2",
    "cfm": "m3/h",
    "m3/h": "cfm",
    "m3/min": "cfm",
    "C": "F",
    "F": "C",
}
"""The unit that stands beside a unit; what is not here reads alike everywhere."""

DIGITS = 3


def rounded(amount: Fraction, digits: int = DIGITS) -> str:
    """The amount to that many significant digits (whole numbers whole), for reading only."""
    if amount == 0:
        return "0"
    places = max(0, digits - 1 - floor(log10(abs(amount))))
    return show_number(Fraction(round(amount * 10**places), 10**places))


def both_ways(measure: Measure) -> str:
    """ "18 in3 (295 cm3)". A wire gauge gets its cross-section, which is no metric size; volts stay volts."""
    if measure.dimension == "wire":
        return _wire(measure)
    if measure.sides:
        return _sides(measure)
    other = OTHER.get(measure.unit)
    if other is None:
        return str(measure)
    return f"{measure} ({in_unit(measure, other)})"


def in_unit(measure: Measure, unit: str) -> str:
    """The measure in another unit, to three digits; feet with their inches."""
    amount = measure.to(unit)
    if unit == "ft" and amount >= 1:
        inches = round(amount * 12 * 4)
        feet, quarters = divmod(inches, 48)
        return str(Measure(feet + Fraction(quarters, 48), "ft", measure.dimension))
    if unit == "ft":
        return f"{rounded(amount * 12)} in"
    return f"{rounded(amount)} {unit}"


def _wire(measure: Measure) -> str:
    if measure.unit != "AWG":
        gauge = 36 - 39 * (log10(((4 * float(measure.amount) / pi) ** 0.5) / 0.127) / log10(92))
        return f"{measure} (between gauges: AWG {gauge:.1f})"
    diameter = 0.127 * 92 ** ((36 - int(measure.amount)) / 39)
    return f"{measure} ({pi / 4 * diameter**2:.2f} mm2; no metric size is its equal)"


def _sides(measure: Measure) -> str:
    metric = measure.unit in ("mm", "cm", "m")
    unit = "in" if metric else "mm"
    factor = FACTORS["length"][measure.unit] / FACTORS["length"][unit]
    other = " x ".join(rounded(side * factor) for side in measure.sides)
    return f"{measure} ({other} {unit})"
