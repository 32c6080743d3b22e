"""Capacitors of fans: reactance, current at most, and what a marked value says about the motor.

X = 1 / (2 pi f C). In series 1/C = 1/C1 + 1/C2, in parallel C = C1 + C2. Floats, for reading only.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from switchleg.figures.sheet import Number, Sheet, shown_given
from switchleg.schema.tables import Tables, number_of
from switchleg.units.reading import Measure, show_number

SUPPLIES: tuple[tuple[int, int], ...] = ((120, 60), (230, 50))
"""Nominal voltage and frequency where no other was given (IEC 60038)."""


def reactance_ohm(microfarads: Fraction, hertz: Fraction | int) -> float:
    """The reactance of a capacitor in ohm."""
    return 1e6 / (2 * math.pi * float(hertz) * float(microfarads))


def current_a(microfarads: Fraction, volts: Fraction | int, hertz: Fraction | int) -> float:
    """The current in A with the whole voltage across the capacitor: the most that it can let through."""
    return float(volts) / reactance_ohm(microfarads, hertz)


def microfarads_of(volts: float, amps: float, hertz: float) -> float:
    """The capacitance in uF that a voltage and a current across a capacitor speak of."""
    return 1e6 * amps / (2 * math.pi * hertz * volts)


def capacitor_sheet(
    sections: Sequence[Measure], tables: Tables, voltage: Measure | None = None, frequency: Measure | None = None
) -> Sheet:
    """Reactance and greatest current of each section of a marked capacitor, and what the mark says.

    Without voltage or frequency both usual supplies are shown; a voltage alone tells the frequency by itself
    (under 150 V 60 Hz, above it 50 Hz), and that is said.
    """
    supplies, doubts = _supplies(voltage, frequency)
    lines: list[str] = []
    numbers: list[Number] = []
    for section in sections:
        value = section.to("uF")
        for volts, hertz in supplies:
            ohm, amps = reactance_ohm(value, hertz), current_a(value, volts, hertz)
            at = f"{show_number(Fraction(hertz))} Hz"
            lines.append(
                f"{section}: X = 1/(2 pi x {at} x {section}) = {ohm:.1f} ohm; "
                f"{show_number(Fraction(volts))} V / {ohm:.1f} ohm = {amps:.3f} A at most"
            )
            numbers.append(Number(f"reactance {section} {at}", Fraction(round(ohm * 10), 10), "ohm"))
            numbers.append(Number(f"current {section} {at}", Fraction(round(amps * 1000), 1000), "A"))
    if len(sections) > 1:
        values = [section.to("uF") for section in sections]
        series = 1 / sum((1 / value for value in values), Fraction(0))
        lines.append(f"all in parallel: {show_number(sum(values, Fraction(0)))} uF; in series: {float(series):.2f} uF")
    table = tables["capacitor_marks"]
    return Sheet(
        "capacitor",
        "What a capacitor lets through",
        shown_given(
            [*(("capacitor", section) for section in sections), ("voltage", voltage), ("frequency", frequency)]
        ),
        tuple(lines),
        "A bigger speed capacitor in series means a faster fan, a smaller one a slower fan.",
        ways=what_the_mark_says(sections, tables),
        numbers=tuple(numbers),
        editions=(table.edition,),
        sources=("computed", *sorted(table.source_ids())),
        doubts=(*doubts, "The current is an upper bound: the motor in the path makes it less."),
    )


def _supplies(
    voltage: Measure | None, frequency: Measure | None
) -> tuple[list[tuple[Fraction, Fraction]], tuple[str, ...]]:
    usual = [(Fraction(volts), Fraction(hertz)) for volts, hertz in SUPPLIES]
    if voltage is None:
        if frequency is None:
            return usual, ()
        hertz = frequency.to("Hz")
        near = [(volts, hertz) for volts, each in usual if each == hertz]
        return near or [(volts, hertz) for volts, _ in usual], ()
    volts = voltage.to("V")
    if frequency is not None:
        return [(volts, frequency.to("Hz"))], ()
    hertz = Fraction(60 if volts < 150 else 50)
    return [(volts, hertz)], (f"{show_number(hertz)} Hz is taken for {voltage}; give --frequency if it is another.",)


def what_the_mark_says(sections: Sequence[Measure], tables: Tables) -> tuple[str, ...]:
    """What marked sections say about the motor, as sentences: an AC motor, and where its capacitor belongs."""
    low, high = (number_of(tables, "capacitor_marks", "section", column) for column in ("low", "high"))
    tolerance = number_of(tables, "capacitor_marks", "tolerance", "share") * 100
    failed = number_of(tables, "capacitor_marks", "failed", "share") * 100
    values = [section.to("uF") for section in sections]
    found = []
    if all(low <= value <= high for value in values):
        text = f"{show_number(low)} to {show_number(high)} uF is usual for ceiling fans: an AC motor."
        if len(values) > 1:
            text += " Several sections in one block are its speeds or its run capacitor: keep block and wires together."
        found.append(text)
    else:
        found.append(
            f"Outside {show_number(low)} to {show_number(high)} uF, the usual range of ceiling fans: "
            "read the mark again; it may be part of a power supply, and then says nothing about the motor."
        )
    found.append(
        "Found in the fan's switch housing it speaks for a plain AC fan; found in the receiver, "
        "the receiver cannot simply be left out."
    )
    volts = "; ".join(
        f"{row.name} at least {show_number(row.values['volts'])} V AC"
        for row in tables["capacitor_marks"].row
        if "volts" in row.values
    )
    found.append(f"A replacement bears the same uF and the same or a higher voltage mark ({volts}).")
    found.append(
        f"Marks hold within about {show_number(tolerance)} %; measured at {show_number(failed)} % or less it has "
        "failed (common practice). Measuring under power is for an electrician."
    )
    return tuple(found)
