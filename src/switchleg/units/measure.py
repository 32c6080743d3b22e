"""A measure: an exact amount of a unit, in other units of its kind and as text.

Exact by definition since the international yard and pound agreement of 1959: 1 in = 25.4 mm,
1 ft = 304.8 mm, 1 lb = 0.45359237 kg; 1 oz = 1/16 lb. 1 mL = 1 cm3 (12th CGPM, 1964).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import NoReturn

from switchleg.errors import SwitchlegError
from switchleg.units.names import NAMES, UNITS, Quantity, canonical_unit, dimensions_of

INCH_MM = Fraction("25.4")
FOOT_MM = 12 * INCH_MM
POUND_KG = Fraction("0.45359237")

# One of each unit in the first unit of its dimension. Wire sizes and temperatures have no such factor.
FACTORS: dict[str, dict[str, Fraction]] = {
    "current": {"A": Fraction(1), "mA": Fraction(1, 1000)},
    "power": {"W": Fraction(1), "kW": Fraction(1000)},
    "volume": {
        "cm3": Fraction(1),
        "mL": Fraction(1),
        "L": Fraction(1000),
        "in3": (INCH_MM / 10) ** 3,
    },
    "mass": {"kg": Fraction(1), "g": Fraction(1, 1000), "lb": POUND_KG, "oz": POUND_KG / 16},
    "length": {
        "mm": Fraction(1),
        "cm": Fraction(10),
        "m": Fraction(1000),
        "in": INCH_MM,
        "ft": FOOT_MM,
    },
    "area": {"m2": Fraction(1), "ft2": (FOOT_MM / 1000) ** 2},
    "airflow": {"m3/h": Fraction(1), "m3/min": Fraction(60), "cfm": (FOOT_MM / 1000) ** 3 * 60},
    "voltage": {"V": Fraction(1), "kV": Fraction(1000)},
    "capacitance": {"uF": Fraction(1), "nF": Fraction(1, 1000)},
    "frequency": {"Hz": Fraction(1)},
    "angle": {"deg": Fraction(1)},
    "duration": {"h": Fraction(1), "min": Fraction(1, 60)},
}


@dataclass(frozen=True)
class Measure:
    """An exact amount of a unit. `sides` (three, in `unit`) only for a space given as three lengths.

    With `sides`, `amount` is their product, in cubic `unit`. `str()` is canonical: parsed again it is equal.
    """

    amount: Fraction
    unit: str
    dimension: Quantity
    sides: tuple[Fraction, ...] = ()

    def to(self, unit: str) -> Fraction:
        """The exact amount in another unit of the same dimension.

        A wire gauge is never turned into square millimetres or back: the two ladders share no step
        (figures.wire says what is nearest).
        """
        target = canonical_unit(unit, self.dimension)
        if self.sides:
            cube = (FACTORS["length"][self.unit] / 10) ** 3
            if target is None:
                wrong_unit(unit, "space", "")
            return self.amount * cube / FACTORS["volume"][target]
        if target == self.unit:
            return self.amount
        if target is None or self.dimension == "wire":
            wrong_unit(unit, self.dimension, "")
        if self.dimension == "temperature":
            if target == "F":
                return self.amount * Fraction(9, 5) + 32
            return (self.amount - 32) * Fraction(5, 9)
        factors = FACTORS["volume" if self.dimension == "space" else self.dimension]
        return self.amount * factors[self.unit] / factors[target]

    def sides_mm(self) -> tuple[Fraction, ...]:
        """The three lengths in mm, longest first; empty for anything but a space given by lengths."""
        return tuple(sorted((side * FACTORS["length"][self.unit] for side in self.sides), reverse=True))

    def __str__(self) -> str:
        if self.sides:
            return " x ".join(show_number(side) for side in self.sides) + f" {self.unit}"
        if self.unit == "ft" and self.amount > 1 and self.amount.denominator != 1:
            feet = self.amount.numerator // self.amount.denominator
            return f"{feet} ft {show_number((self.amount - feet) * 12)} in"
        return f"{show_number(self.amount)} {self.unit}"


def show_number(amount: Fraction) -> str:
    """The amount exactly: as a decimal where that ends within six places, else as a mixed fraction."""
    if amount < 0:
        return f"-{show_number(-amount)}"
    scaled = amount * 10**6
    if scaled.denominator == 1:
        whole, rest = divmod(scaled.numerator, 10**6)
        return f"{whole}.{rest:06d}".rstrip("0").rstrip(".")
    whole, rest = divmod(amount.numerator, amount.denominator)
    return f"{whole} {rest}/{amount.denominator}" if whole else f"{rest}/{amount.denominator}"


def refuse(what: str, dimension: Quantity, where: str, *, mend: str = "") -> NoReturn:
    """SwitchlegError that names the units which are understood."""
    example = NAMES[dimension].example
    raise SwitchlegError(
        what,
        where=where,
        expected=f"{NAMES[dimension].noun} with one of these units: {', '.join(UNITS[dimension])}",
        mend=mend or f"write it like {example}",
    )


def wrong_unit(name: str, dimension: Quantity, where: str) -> NoReturn:
    """SwitchlegError for a unit of another kind, or of none."""
    others = [NAMES[other].noun for other in dimensions_of(name)]
    what = (
        f"{name!r} is a unit of {' or '.join(other.split(' ', 1)[1] for other in others)}"
        if others
        else (f"{name!r} is no unit that is understood here")
    )
    refuse(what, dimension, where, mend=NAMES[dimension].mend.get(name.lower(), ""))
