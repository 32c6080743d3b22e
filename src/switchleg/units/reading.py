"""Reading a measure that a person typed: exact, kept as a fraction and never as a float."""

from __future__ import annotations

import re
from fractions import Fraction

from switchleg.units.measure import FACTORS, Measure, refuse, show_number, wrong_unit
from switchleg.units.names import UNITS, Quantity, canonical_unit, tidy

__all__ = ["FACTORS", "UNITS", "Measure", "Quantity", "parse_measure", "show_number"]

LARGEST: dict[str, Fraction] = {
    "current": Fraction(10_000),
    "power": Fraction(100_000),
    "volume": Fraction(1_000_000),
    "mass": Fraction(10_000),
    "length": Fraction(100_000),
    "area": Fraction(10_000),
    "airflow": Fraction(1_000_000),
    "voltage": Fraction(1000),
    "capacitance": Fraction(1000),
    "frequency": Fraction(1000),
    "angle": Fraction(90),
    "duration": Fraction(10_000),
}
"""The most that can be meant, in the first unit of the dimension: more is a slip of the keyboard."""

LONGEST_TEXT = 60
# One magnitude: mixed number, fraction or decimal. A comma is looked at by `_number`.
NUMBER = r"[0-9]+(?:\s+|\s*-\s*)[0-9]+\s*/\s*[0-9]+|[0-9]+\s*/\s*[0-9]+|[0-9]*[.,]?[0-9]+(?:[.,][0-9]+)*\.?"
_BETWEEN_SIDES = re.compile(r"(?<=[\s0-9a-z'\"])(?:x|\*|\bby\b)(?=[\s0-9.])", re.I)
PAIR = re.compile(rf"\s*(?P<number>{NUMBER})\s*(?P<unit>[^0-9,\s][^,]*?)?\s*(?=,?\s*(?:[0-9.]|$))")


def parse_measure(text: str, dimension: Quantity, where: str = "", *, zero: bool = False) -> Measure:
    """The measure that `text` says; SwitchlegError (what, where, expected, mend) when it cannot be told.

    A bare number is refused: nobody can see which unit was meant. Zero is refused unless `zero`.
    """
    if len(text) > LONGEST_TEXT:
        refuse(f"{text[:20]!r}… is too long for a measure", dimension, where)
    clean = tidy(text.replace("°", " deg ") if dimension == "angle" else text)
    if not clean:
        refuse("nothing was typed", dimension, where)
    if dimension == "wire":
        measure = _wire(clean, text, where)
    elif dimension == "temperature":
        measure = _temperature(clean, text, where)
    elif dimension in ("space", "area") and len(parts := _split_sides(clean)) > 1:
        measure = _sides(parts, dimension, text, where)
    else:
        measure = _plain(clean, dimension, text, where)
    if measure.amount == 0 and not zero and dimension != "temperature":
        refuse(f"{text.strip()!r} is zero", dimension, where, mend="leave it unknown if it cannot be told")
    _check_size(measure, text, where)
    return measure


def _plain(clean: str, dimension: Quantity, text: str, where: str) -> Measure:
    """One amount with its unit, or two such as "7 ft 6 in", the second unit smaller than the first."""
    known: Quantity = "volume" if dimension == "space" else dimension
    pairs = _pairs(clean, dimension, text, where)
    found: list[tuple[Fraction, str]] = []
    for number, name in pairs:
        unit = canonical_unit(name, known) if name else None
        if not name and len(found) == 1 and found[0][1] == "ft":
            unit = "in"
        if unit is None:
            if not name:
                refuse(f"{text.strip()!r} has no unit", dimension, where)
            wrong_unit(name, dimension, where)
        found.append((number, unit))
    factors = FACTORS[known]
    amount, unit = found[0]
    if len(found) > 2:
        refuse(f"{text.strip()!r} has more than two parts", dimension, where)
    if len(found) == 2:
        second, smaller = found[1]
        share = factors[smaller] / factors[unit]
        if amount.denominator != 1 or share >= 1 or second * share >= 1:
            refuse(f"{text.strip()!r} does not add up to one measure", dimension, where)
        amount += second * share
    return Measure(amount, unit, dimension)


def _pairs(clean: str, dimension: Quantity, text: str, where: str) -> list[tuple[Fraction, str]]:
    if clean.startswith("-"):
        refuse(f"{text.strip()!r} is below zero", dimension, where)
    pairs: list[tuple[Fraction, str]] = []
    at = 0
    while at < len(clean):
        match = PAIR.match(clean, at)
        if match is None or match.end() == at:
            refuse(f"{text.strip()!r} is not an amount with a unit", dimension, where)
        pairs.append((_number(match["number"], dimension, text, where), match["unit"] or ""))
        at = match.end()
        if at < len(clean) and clean[at] == ",":
            at += 1
    if not pairs:
        refuse(f"{text.strip()!r} is not an amount with a unit", dimension, where)
    return pairs


def _number(number: str, dimension: Quantity, text: str, where: str) -> Fraction:
    """An exact number from "15 1/2", "15-1/2", "1/2", "1.2" or, where it can only be decimal, "1,2"."""
    mixed = re.fullmatch(r"(?:([0-9]+)(?:\s+|\s*-\s*))?([0-9]+)\s*/\s*([0-9]+)", number)
    if mixed:
        whole, top, bottom = int(mixed[1] or 0), int(mixed[2]), int(mixed[3])
        if bottom == 0 or (mixed[1] and top >= bottom):
            refuse(f"{number!r} is not a fraction that makes sense", dimension, where)
        return whole + Fraction(top, bottom)
    if "," in number:
        # "1,200" may be 1.2 or 1200; only a comma that can be read one way is taken.
        if not re.fullmatch(r"[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})|0+,[0-9]+", number):
            refuse(
                f"the comma in {text.strip()!r} can be read two ways",
                dimension,
                where,
                mend="write 1.5 or 1500",
            )
        number = number.replace(",", ".")
    try:
        return Fraction(number.removesuffix("."))
    except ValueError:
        refuse(f"{number!r} is not a number", dimension, where)


def _split_sides(clean: str) -> list[str]:
    return [part.strip() for part in _BETWEEN_SIDES.split(clean)]


def _sides(parts: list[str], dimension: Quantity, text: str, where: str) -> Measure:
    """A space from three lengths, an area from two; a unit may stand on each or once at the end."""
    wanted = 3 if dimension == "space" else 2
    if len(parts) != wanted:
        refuse(f"{text.strip()!r} has {len(parts)} lengths, not {wanted}", dimension, where)
    last = re.search(r"[^0-9\s./-]+$", parts[-1])
    if last is None or canonical_unit(last[0], "length") is None:
        refuse(f"{text.strip()!r} has no unit of length at the end", dimension, where)
    lengths: list[Measure] = []
    for part in parts:
        bare = re.fullmatch(NUMBER, part)
        lengths.append(_plain(f"{part} {last[0]}" if bare else part, "length", text, where))
    unit = lengths[0].unit if len({length.unit for length in lengths}) == 1 else "mm"
    sides = tuple(length.to(unit) for length in lengths)
    if 0 in sides:
        refuse(f"{text.strip()!r} has a side of zero", dimension, where)
    if dimension == "space":
        return Measure(sides[0] * sides[1] * sides[2], unit, "space", sides)
    in_feet = unit in ("in", "ft")
    across, along = (length.to("ft" if in_feet else "m") for length in lengths)
    return Measure(across * along, "ft2" if in_feet else "m2", "area")


def _wire(clean: str, text: str, where: str) -> Measure:
    """A gauge ("14 AWG", "#14", "no. 14") or a cross-section ("1.5 mm2")."""
    gauge = re.fullmatch(r"(?:#|no\.?\s*|awg\s*)([0-9]{1,2})|#?([0-9]{1,2})\s*(?:awg|gauge|ga)", clean, re.I)
    if gauge:
        number = int(gauge[1] or gauge[2])
        if not 1 <= number <= 30:
            refuse(f"{text.strip()!r} is no gauge of house wiring", "wire", where)
        return Measure(Fraction(number), "AWG", "wire")
    if re.fullmatch(r"[0-9]{1,2}\s*[-/]\s*[0-9]", clean):
        mend = "write its first number, as 14 AWG"
        refuse(f"{text.strip()!r} names a cable, not a wire size", "wire", where, mend=mend)
    pairs = _pairs(clean, "wire", text, where)
    if len(pairs) != 1 or not pairs[0][1]:
        refuse(f"{text.strip()!r} has no unit", "wire", where)
    number_mm2, name = pairs[0]
    if canonical_unit(name, "wire") != "mm2":
        wrong_unit(name, "wire", where)
    return Measure(number_mm2, "mm2", "wire")


def _temperature(clean: str, text: str, where: str) -> Measure:
    below = clean.startswith("-")
    pairs = _pairs(clean.removeprefix("-").strip(), "temperature", text, where)
    if len(pairs) != 1 or not pairs[0][1]:
        refuse(f"{text.strip()!r} has no unit", "temperature", where)
    unit = canonical_unit(pairs[0][1], "temperature")
    if unit is None:
        wrong_unit(pairs[0][1], "temperature", where)
    return Measure(-pairs[0][0] if below else pairs[0][0], unit, "temperature")


def _check_size(measure: Measure, text: str, where: str) -> None:
    if measure.dimension == "wire":
        absurd = measure.unit == "mm2" and not Fraction("0.1") <= measure.amount <= 240
    elif measure.dimension == "temperature":
        absurd = not -90 <= measure.to("C") <= 1000
    else:
        base = "cm3" if measure.dimension in ("space", "volume") else next(iter(FACTORS[measure.dimension]))
        limit = LARGEST["volume" if measure.dimension == "space" else measure.dimension]
        absurd = measure.to(base) > limit or (measure.amount > 10**6 and not measure.sides)
    if absurd:
        mend = "check the number and its unit"
        refuse(f"{text.strip()!r} is far out of range", measure.dimension, where, mend=mend)
