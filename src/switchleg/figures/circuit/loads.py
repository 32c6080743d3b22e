"""Does the load suit the control? Fans by amperes against the mark, lights by watts, motors by their share.

Watts over volts is not the current of a fan: the power factor stands between them.
"""

from __future__ import annotations

from fractions import Fraction

from switchleg.figures.fit import Fit, not_covered
from switchleg.schema.tables import Tables, number_of, tables_for
from switchleg.units.reading import Measure, show_number

MARKS_MADE_FOR_V = 120
"""The supply of the parts in the table control_marks."""


def amps(amount: Fraction) -> str:
    """Amperes as people read them: at most two places, rounded up so that no load looks smaller."""
    return f"{show_number(Fraction(-(-amount * 100 // 1), 100))} A"


def fan_amps(watts: Measure, voltage_v: int, motor: str | None, tables: Tables) -> tuple[Fraction, str]:
    """The current to reckon with when the label gives only watts, and a sentence that says what was assumed.

    `motor` is ac, ac_tapped, dc or None; an unknown one is taken at the careful end.
    """
    kind = motor if motor and tables["motor_estimates"].find(motor) else "unknown"
    factor = number_of(tables, "motor_estimates", kind, "power_factor")
    current = watts.to("W") / voltage_v / factor
    text = f"{watts} at {voltage_v} V is {amps(current)} (power factor {show_number(factor)}, guessed)."
    return current, text


def general_switch_for_motor(load: Measure, mark: Measure, region: str | None, tables: Tables) -> Fit:
    """A motor on an AC general-use switch: a share (80 % in the US) of the switch's ampere mark."""
    table = tables_for(tables, "switch_loads_", region) if region else None
    if table is None:
        return not_covered("The share of a switch's mark that a motor may take is not covered here.")
    row = table.named("ac_general_use")
    share = row.values["motor"]
    limit = mark.to("A") * share
    current = load.to("A")
    text = (
        f"{amps(current)} of motor load on a switch marked {mark}: "
        f"{'within' if current <= limit else 'over'} {show_number(share * 100)} %, {show_number(limit)} A."
    )
    doubtful = table.standing_of(row) != "seen"
    return Fit(current <= limit, text, table.edition, (table.source_of(row),), doubtful=doubtful)


def control_carries_fan(
    load: Fraction,
    mark: Measure | None,
    tables: Tables,
    *,
    control: str = "",
    fans: int = 1,
    guess: str = "",
    voltage_v: int | None = None,
) -> Fit:
    """The fans' amperes (together) against the ampere mark of a fan control; equal is enough.

    Without a mark nothing fits: the sentence then names what the class (`control`) usually bears, where parts
    are made for the voltage of the table's data.
    `guess` is the sentence of `fan_amps` when the current was worked out from watts.
    """
    row = tables["control_marks"].find(control) if control else None
    note = f" {guess}" if guess else ""
    source = tables["control_marks"].source
    if row and fans > (row.number("fans") or fans):
        return Fit(False, f"This kind of control is for one fan only, not for {fans}.", "", (source,), doubtful=True)
    if mark is None:
        usual = row.number("fan_high") if row and voltage_v in (None, MARKS_MADE_FOR_V) else None
        text = f"Look for the ampere mark on the control: it must say at least {amps(load)}."
        if usual is not None:
            low = row.number("fan_low") if row else None
            span = f"{show_number(low)} to {show_number(usual)}" if low and low != usual else show_number(usual)
            text += f" Usual marks: {span} A."
        return Fit(None, text + note, "the mark on the part", (source,), doubtful=True)
    fits = load <= mark.to("A")
    text = f"{amps(load)} of fan on a control marked {mark}: {'within the mark' if fits else 'too much'}.{note}"
    return Fit(fits, text, "the mark on the part", ("nec_110_3",), doubtful=bool(guess))


def light_within_limiter(watts: Measure, region: str | None, tables: Tables) -> Fit:
    """Lamps in a light kit against the limiter that US kits have had since 2009 (190 W)."""
    table = tables_for(tables, "light_kit_", region) if region else None
    if table is None:
        return not_covered("No limit for light kits is known here for this region; the mark in the kit decides.")
    row = table.named("limiter")
    limit = row.values["power"]
    fits = watts.to("W") <= limit
    text = (
        f"{watts} of lamps is within the {show_number(limit)} W that a light kit's limiter lets through."
        if fits
        else f"{watts} of lamps is more than {show_number(limit)} W: the limiter makes them blink or go out."
    )
    return Fit(fits, text, table.edition, (table.source_of(row),))


def light_on_control(watts: Measure, mark: Measure | None, least: Measure | None = None) -> Fit:
    """Lamps against the watt mark of a light control, for the kind of lamp that the mark names."""
    load = watts.to("W")
    if mark is None:
        text = f"Look for the watt mark for your kind of lamp: it must say at least {watts}."
        return Fit(None, text, "the mark on the part", ("nec_110_3",))
    if least is not None and load < least.to("W"):
        text = f"{watts} of lamps is less than the {least} that this control needs: they may flicker or glow."
        return Fit(False, text, "the mark on the part", ("nec_110_3",))
    fits = load <= mark.to("W")
    text = f"{watts} of lamps on a control marked {mark}: {'within the mark' if fits else 'too much'}."
    return Fit(fits, text, "the mark on the part", ("nec_110_3",))
