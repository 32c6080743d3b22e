"""What lies in a box and what a box-fill sum says: plain values, exact fractions."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from switchleg.schema.tables import Standing
from switchleg.units.display import both_ways
from switchleg.units.reading import Measure, show_number

Edition = Literal["2017", "2020"]
"""NFPA 70: "2017" stands for 2017 and earlier, "2020" for 2020 and later (grounds beyond four count)."""

Wires = tuple[tuple[str, int], ...]
"""Wire sizes, as table rows ("14 AWG"), each with how many there are."""

IN3_CM3 = Fraction("16.387064")
"""cm3 in a cubic inch, exact: 2.54 cubed."""


@dataclass(frozen=True)
class Yoke:
    """A strap with its device: the largest wire on it, its gangs, its depth behind the strap."""

    wire: str
    gangs: int = 1
    depth: Measure | None = None


@dataclass(frozen=True)
class Module:
    """A relay module lying loose in the box: its outside volume and the largest wire joined to it."""

    wire: str
    volume: Measure | None = None


@dataclass(frozen=True)
class Contents:
    """Everything in one box. Pigtails and jumpers that never leave it are not counted and not listed."""

    conductors: Wires = ()
    """Insulated, from outside, ending or spliced in the box."""
    through: Wires = ()
    """Insulated, passing straight through without a joint."""
    looped: Wires = ()
    """Insulated, passing through in an unbroken loop of twice the free length."""
    grounds: Wires = ()
    isolated_grounds: Wires = ()
    canopy_leads: Wires = ()
    """Leads that come out of the fan's canopy and end in the box."""
    internal_clamps: bool = False
    stud: bool = False
    hickey: bool = False
    yokes: tuple[Yoke, ...] = ()
    modules: tuple[Module, ...] = ()
    connectors: int = 0
    """Insulated wire connectors: counted in Canada only."""

    def every_wire(self) -> frozenset[str]:
        """The sizes of all wires in the box."""
        lists = (
            self.conductors,
            self.through,
            self.looped,
            self.grounds,
            self.isolated_grounds,
            self.canopy_leads,
        )
        return frozenset(wire for wires in lists for wire, count in wires if count)


@dataclass(frozen=True)
class FillLine:
    """One line of the sum: `count` allowances of `each`, under which rule, from which source."""

    what: str
    count: Fraction
    each: Fraction
    rule: str
    source: str
    standing: Standing = "seen"

    @property
    def total(self) -> Fraction:
        return self.count * self.each


@dataclass(frozen=True)
class Fill:
    """A box-fill sum in `unit` (in3 or cm3). `fits` is None when it cannot be told; `remarks` say why.

    `covered` is False where no rule is known here: then there is no sum and no number.
    """

    unit: Literal["in3", "cm3"] = "cm3"
    lines: tuple[FillLine, ...] = ()
    available: Fraction | None = None
    fits: bool | None = None
    remarks: tuple[str, ...] = ()
    edition: str = ""
    box: str = ""
    covered: bool = True

    @property
    def required(self) -> Fraction:
        return sum((line.total for line in self.lines), Fraction(0))

    @property
    def doubtful(self) -> bool:
        """Whether a line rests on something that was not read, or read in two ways."""
        return any(line.standing in ("doubtful", "practice", "estimate") for line in self.lines)

    @property
    def sources(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(line.source for line in self.lines))

    @property
    def required_cm3(self) -> float:
        """For display only; every comparison is made on the exact fractions."""
        return float(self.required * self._cm3)

    @property
    def available_cm3(self) -> float | None:
        return None if self.available is None else float(self.available * self._cm3)

    @property
    def _cm3(self) -> Fraction:
        return IN3_CM3 if self.unit == "in3" else Fraction(1)

    def printable(self) -> tuple[str, ...]:
        """The sum, a line each, then the total against the box, then the remarks."""
        if not self.covered:
            return self.remarks
        texts = []
        for line in self.lines:
            head = f"{line.what}: "
            if line.count == 0:
                texts.append(f"{head}not counted ({line.rule})")
                continue
            times = f"{show_number(line.count)} x {volume(line.each, self.unit)} = "
            texts.append(f"{head}{times if line.count != 1 else ''}{volume(line.total, self.unit)} ({line.rule})")
        texts.append(f"needed: {volume(self.required, self.unit)}")
        if self.available is not None:
            texts.append(f"in the box: {volume(self.available, self.unit)}{f' ({self.box})' if self.box else ''}")
            texts.append(self._verdict(self.available))
        return (*texts, *self.remarks)

    def _verdict(self, available: Fraction) -> str:
        spare = available - self.required
        if self.fits is None:
            return "cannot be told yet"
        if not self.fits:
            return f"does not fit: {volume(-spare, self.unit)} too much"
        return f"fits, {volume(spare, self.unit)} to spare" if spare else "fits exactly"

    def with_remarks(self, *remarks: str) -> Fill:
        return replace(self, remarks=(*self.remarks, *remarks))


def volume(amount: Fraction, unit: str) -> str:
    """A volume as people read it: at most four places."""
    rounded = Fraction(round(amount * 10_000), 10_000)
    return f"{show_number(rounded)} {unit}"


def volume_both_ways(amount: Fraction, unit: str) -> str:
    """A volume in both systems; one without an end in decimals is rounded up, so that no need looks smaller."""
    shown = amount if (amount * 10_000).denominator == 1 else Fraction(-(-amount * 100 // 1), 100)
    return both_ways(Measure(shown, unit, "volume"))
