"""The names by which units are understood, per dimension: spelling only, no arithmetic."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Literal

Dimension = Literal[
    "current", "power", "volume", "mass", "length", "area", "airflow", "wire", "temperature", "space", "angle"
]
Quantity = Literal[Dimension, "voltage", "capacitance", "frequency", "duration"]
"""What a question may measure, and what only a calculation asks for."""


@dataclass(frozen=True)
class Naming:
    """How one dimension is spoken of: a noun with its article, an example, and each unit's spellings."""

    noun: str
    example: str
    units: dict[str, tuple[str, ...]]
    mend: dict[str, str] = field(default_factory=dict)
    """What to say to somebody who typed a neighbouring unit (lower case)."""


VOLUME = {
    "in3": ("in3", "cu in", "cubic inch", "cubic inches", "cu inch", "cu inches", "cuin"),
    "cm3": ("cm3", "cc", "ccm", "cu cm", "cubic cm", "cubic centimeters", "cubic centimetres"),
    "mL": ("ml", "milliliter", "milliliters", "millilitre", "millilitres"),
    "L": ("l", "liter", "liters", "litre", "litres"),
}
VOLT_AMPERES = "VA counts volts times amperes, not watts; give the A from the label instead"

NAMES: dict[Quantity, Naming] = {
    "current": Naming(
        "a current",
        "1.2 A",
        {
            "A": ("a", "amp", "amps", "ampere", "amperes"),
            "mA": ("ma", "milliamp", "milliamps", "milliampere", "milliamperes"),
        },
    ),
    "power": Naming(
        "a power",
        "60 W",
        {"W": ("w", "watt", "watts"), "kW": ("kw", "kilowatt", "kilowatts")},
        {"va": VOLT_AMPERES, "kva": VOLT_AMPERES},
    ),
    "volume": Naming("a volume", "18 in3", VOLUME),
    "mass": Naming(
        "a weight",
        "16 kg",
        {
            "kg": ("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"),
            "g": ("g", "gram", "grams"),
            "lb": ("lb", "lbs", "pound", "pounds"),
            "oz": ("oz", "ounce", "ounces"),
        },
    ),
    "length": Naming(
        "a length",
        "2.4 m or 7 ft 6 in",
        {
            "mm": ("mm", "millimeter", "millimeters", "millimetre", "millimetres"),
            "cm": ("cm", "centimeter", "centimeters", "centimetre", "centimetres"),
            "m": ("m", "meter", "meters", "metre", "metres"),
            "in": ("in", "inch", "inches", '"', "''"),
            "ft": ("ft", "foot", "feet", "'"),
        },
    ),
    "area": Naming(
        "an area",
        "12 m2 or 130 sq ft",
        {
            "m2": ("m2", "sq m", "sqm", "square m", "square meters", "square metres"),
            "ft2": ("ft2", "sq ft", "sqft", "square ft", "square feet", "square foot"),
        },
    ),
    "airflow": Naming(
        "an airflow",
        "5000 cfm",
        {
            "cfm": ("cfm", "cubic feet per minute", "ft3/min"),
            "m3/h": ("m3/h", "m3/hr", "m3h", "cmh", "cubic meters per hour", "cubic metres per hour"),
            "m3/min": ("m3/min", "cmm", "cubic meters per minute", "cubic metres per minute"),
        },
    ),
    "wire": Naming(
        "a wire size",
        "14 AWG or 1.5 mm2",
        {"AWG": ("awg", "ga", "gauge"), "mm2": ("mm2", "sq mm", "sqmm", "square mm", "square millimetres")},
        {"mm": "write the cross-section, as 1.5 mm2"},
    ),
    "temperature": Naming(
        "a temperature",
        "40 C",
        {"C": ("c", "deg c", "degc", "celsius"), "F": ("f", "deg f", "degf", "fahrenheit")},
    ),
    "space": Naming("a space", "120 x 60 x 40 mm, or 300 mL", VOLUME),
    "voltage": Naming(
        "a voltage",
        "120 V",
        {"V": ("v", "volt", "volts", "vac", "v ac"), "kV": ("kv", "kilovolt", "kilovolts")},
        {"va": VOLT_AMPERES},
    ),
    "capacitance": Naming(
        "a capacitance",
        "4.5 uF",
        {
            "uF": ("uf", "µf", "μf", "mfd", "microfarad", "microfarads"),
            "nF": ("nf", "nanofarad", "nanofarads"),
        },
        {"mf": "if the mark means microfarads, write uF"},
    ),
    "frequency": Naming("a frequency", "60 Hz", {"Hz": ("hz", "hertz", "cycles")}),
    "angle": Naming("an angle", "30 deg", {"deg": ("deg", "degree", "degrees")}),
    "duration": Naming(
        "a time",
        "3.4 h",
        {"h": ("h", "hr", "hrs", "hour", "hours"), "min": ("min", "minute", "minutes")},
    ),
}

UNITS: dict[Quantity, tuple[str, ...]] = {dimension: tuple(naming.units) for dimension, naming in NAMES.items()} | {
    "space": ("three lengths in mm, cm, m, in or ft", *VOLUME)
}
"""The names of the units understood, for messages and hints."""

_LOOKUP: dict[Quantity, dict[str, str]] = {
    dimension: {spelling: unit for unit, spellings in naming.units.items() for spelling in spellings}
    for dimension, naming in NAMES.items()
}

_SIGNS = str.maketrans(
    {
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅓": " 1/3",
        "⅔": " 2/3",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
        "⁄": "/",
        "×": "x",
        "−": "-",
        "–": "-",
        "′": "'",
        "’": "'",
        "″": '"',
        "”": '"',
        "\u00a0": " ",
        "\u202f": " ",
        "\u2009": " ",
    }
)


# "7ft2in" is seven feet two: the digit is no power there.
_POWER = re.compile(r"((?<![a-z])(?:mm|cm|in|ft|m))\^?([23²³])(?![0-9.]|/[0-9]|\s*(?:in\b|\"|cm\b))", re.I)


def tidy(text: str) -> str:
    """The text with typographic signs made plain, and powers of lengths raised: units hold no digits."""
    plain = text.translate(_SIGNS)
    plain = _POWER.sub(lambda match: match[1] + ("²" if match[2] in "2²" else "³"), plain)
    plain = re.sub(r"(?<=[A-Za-z])\.", " ", plain)
    return " ".join(plain.replace("°", " ").split())


def _spelling(name: str) -> str:
    words = name.lower().replace(".", " ").replace("-", " ").replace("²", "2").replace("³", "3")
    return " ".join(words.split())


def canonical_unit(name: str, dimension: Quantity) -> str | None:
    """The canonical name of a unit of this dimension, or None."""
    return _LOOKUP[dimension].get(_spelling(name))


def dimensions_of(name: str) -> list[Quantity]:
    """The dimensions that know this unit; a space's volume units are named once."""
    return [dimension for dimension in NAMES if dimension != "space" and canonical_unit(name, dimension)]
