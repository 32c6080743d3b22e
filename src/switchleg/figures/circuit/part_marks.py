"""A person's own part, judged by the marks on its label: fits, does not fit, or a mark is missing.

Nothing is read into a mark that is not there: a large figure for plain loads is no mark for a motor.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from switchleg.figures.circuit.loads import (
    amps,
    control_carries_fan,
    fan_amps,
    general_switch_for_motor,
    light_on_control,
)
from switchleg.figures.circuit.part_place import place_fits
from switchleg.figures.fit import Fit
from switchleg.schema.regions import Region
from switchleg.schema.tables import Tables, number_of
from switchleg.units.display import both_ways, rounded
from switchleg.units.reading import Measure, show_number

MARK = "the mark on the part"
Lamp = Literal["led", "tungsten"]
Motor = Literal["ac", "ac_tapped", "dc"]


@dataclass(frozen=True)
class PartKind:
    """What the engine knows of a class of control: where it sits and what its outputs do."""

    id: str
    title: str
    place: str = "wall"
    loose: bool = False
    feeds_fan: bool = True
    feeds_light: bool = True
    shapes_fan: bool = False
    """Its fan output steps or cuts the power: for plain AC motors only."""
    dims: bool = False
    needs_neutral: bool = False
    lives_on_load: bool = False
    plain_switch: bool = False
    one_output: bool = False


@dataclass(frozen=True)
class Marks:
    """What stands on the part; None is not marked. `amps` is the plain or resistive mark, `motor_amps` the motor's."""

    amps: Measure | None = None
    motor_amps: Measure | None = None
    watts: Measure | None = None
    led_watts: Measure | None = None
    least_load: Measure | None = None
    volts: tuple[Measure, Measure] | None = None
    volume: Measure | None = None
    size: Measure | None = None
    depth: Measure | None = None
    temperature: Measure | None = None
    listed: str | None = None


@dataclass(frozen=True)
class Duty:
    """What the part has to bear, and the place it goes to; None is unknown."""

    region: Region | None = None
    motor: Motor | None = None
    fan_amps: Measure | None = None
    fan_watts: Measure | None = None
    fans: int = 1
    light_watts: Measure | None = None
    lamp: Lamp | None = None
    neutral_at_wall: bool | None = None
    place: str | None = None
    box_depth: Measure | None = None
    box_space: Measure | None = None
    canopy_space: Measure | None = None
    temperature: Measure | None = None


@dataclass(frozen=True)
class Judged:
    """One aspect of a part and what came of it. A `note` informs; it takes no part in the verdict."""

    aspect: str
    fit: Fit
    note: bool = False


def judge_part(kind: PartKind, marks: Marks, duty: Duty, tables: Tables) -> tuple[Judged, ...]:
    """Every aspect that matters for this kind of part, in the order of danger."""
    return (
        *_supply(kind, marks, duty),
        *_motor_kind(kind, duty),
        *_fan(kind, marks, duty, tables),
        *_light(kind, marks, duty, tables),
        *_place(kind, marks, duty, tables),
    )


def _place(kind: PartKind, marks: Marks, duty: Duty, tables: Tables) -> Iterator[Judged]:
    """Room, temperature and listing."""
    found = place_fits(
        in_canopy=kind.place == "ceiling",
        loose=kind.loose,
        region=duty.region,
        tables=tables,
        volume=marks.volume,
        size=marks.size,
        depth=marks.depth,
        mark_temperature=marks.temperature,
        listed=marks.listed,
        place=duty.place,
        box_depth=duty.box_depth,
        box_space=duty.box_space,
        canopy_space=duty.canopy_space,
        temperature=duty.temperature,
    )
    for aspect, fit in found:
        yield Judged(aspect, fit)


def _supply(kind: PartKind, marks: Marks, duty: Duty) -> Iterator[Judged]:
    if duty.region is not None:
        nominal = duty.region.voltage_v
        if marks.volts is None:
            text = f"Look for the volts on it: they must take in {nominal} V."
            yield Judged("voltage", Fit(None, text, MARK, ("nec_110_3",)))
        else:
            low, high = (volt.to("V") for volt in marks.volts)
            # A mark of 120 or 230 V means the nominal supply with its range; a plain contact's mark is its most.
            fits = nominal <= high * Fraction(11, 10) and (kind.plain_switch or low * Fraction(9, 10) <= nominal)
            span = f"{marks.volts[0]}" if low == high else f"{show_number(low)} to {show_number(high)} V"
            text = f"Marked {span}, and the supply is {nominal} V: {'right' if fits else 'wrong'}."
            yield Judged("voltage", Fit(fits, text, MARK, ("nec_110_3", duty.region.supply_source)))
    if kind.needs_neutral and kind.place == "wall":
        texts = {
            True: "It needs a neutral, and one is at the wall.",
            False: "It needs a neutral, and there is none at the wall.",
            None: "It needs a neutral: whether one is at the wall must be proved first.",
        }
        yield Judged("neutral", Fit(duty.neutral_at_wall, texts[duty.neutral_at_wall], "", ("practice",)))


def _motor_kind(kind: PartKind, duty: Duty) -> Iterator[Judged]:
    if not (kind.feeds_fan and (kind.shapes_fan or kind.lives_on_load)):
        return
    sources = ("S57", "S58")
    if duty.motor == "ac":
        text = "A plain AC motor without a receiver may be worked by it."
        yield Judged("motor", Fit(True, text, "", sources))
    elif duty.motor == "ac_tapped":
        text = "This motor's speed parts sit in its receiver, and nothing may shape the power ahead of a receiver."
        yield Judged("motor", Fit(False, text, "", sources))
    elif duty.motor == "dc":
        text = "A DC fan's driver must get full, steady power: never work it with this."
        yield Judged("motor", Fit(False, text, "", sources))
    else:
        text = "Only for a plain AC motor without a receiver: settle the motor first; unknown counts as DC."
        yield Judged("motor", Fit(None, text, "", sources))


def _load_amps(duty: Duty, tables: Tables) -> tuple[Fraction, str] | None:
    """The amperes of all fans together and the sentence about a guess, or None when nothing is known."""
    if duty.fan_amps is not None:
        return duty.fan_amps.to("A") * duty.fans, ""
    if duty.fan_watts is not None and duty.region is not None:
        current, guess = fan_amps(duty.fan_watts, duty.region.voltage_v, duty.motor, tables)
        return current * duty.fans, guess
    return None


def _fan(kind: PartKind, marks: Marks, duty: Duty, tables: Tables) -> Iterator[Judged]:
    if not kind.feeds_fan:
        if duty.fan_amps is not None or duty.fan_watts is not None:
            text = "It is made for light only: a fan on it hums, heats up, and may burn it."
            yield Judged("fan", Fit(False, text, "NFPA 70, 404.14, dimmers", ("nec_404_14", "S53")))
        return
    load = _load_amps(duty, tables)
    if load is None:
        text = "Look for the amperes on the fan's label: they are held against the mark."
        yield Judged("fan", Fit(None, text, MARK, ("nec_110_3",)))
        return
    current, guess = load
    if kind.plain_switch and marks.motor_amps is None and marks.amps is not None:
        mine = Measure(current, "A", "current")
        fit = general_switch_for_motor(mine, marks.amps, duty.region.id if duty.region else None, tables)
        yield Judged("fan", fit)
        return
    row = tables["control_marks"].find(kind.id)
    only = row.number("fans") if row else None
    if duty.fans > 1 and only is None:
        yield Judged("several fans", Fit(None, _several(duty.fans, current), MARK, ("S57",), doubtful=True))
    mark = marks.motor_amps or (marks.amps if kind.shapes_fan else None)
    if mark is None and marks.amps is not None and not (only and duty.fans > only):
        share = number_of(tables, "relay_marks", "motor", "share")
        text = (
            f"{marks.amps} is a mark for plain loads. Look for one for motors: it must say at least {amps(current)}. "
            f"Often it is about {rounded(marks.amps.to('A') * share)} A, a third of the plain one."
        )
        yield Judged("fan", Fit(None, text, MARK, ("nec_110_3", "practice"), doubtful=True))
        return
    volts = duty.region.voltage_v if duty.region else None
    fit = control_carries_fan(current, mark, tables, control=kind.id, fans=duty.fans, guess=guess, voltage_v=volts)
    yield Judged("fan", fit)


def _several(fans: int, current: Fraction) -> str:
    return f"{fans} fans come to {amps(current)}; the part's sheet must allow more than one fan."


def _light(kind: PartKind, marks: Marks, duty: Duty, tables: Tables) -> Iterator[Judged]:
    if kind.lives_on_load:
        yield Judged("least load", _least_load(kind, marks, duty, tables))
    if not kind.feeds_light:
        return
    if kind.dims:
        yield Judged("dimming", Fit(None, "The lamps must be marked dimmable.", MARK, ("nec_404_14",)), note=True)
    if duty.light_watts is None:
        text = "Lamps were not named: look for their watts if this part is to feed them."
        yield Judged("light", Fit(None, text, MARK, ("nec_110_3",)), note=kind.feeds_fan)
        return
    yield from _together(kind, marks, duty, tables)
    if duty.lamp is None:
        text = "Is it LED or tungsten? Marks differ by the kind of lamp."
        yield Judged("light", Fit(None, text, MARK, ("nec_110_3",)))
        return
    mark = marks.led_watts if duty.lamp == "led" else marks.watts
    if mark is None and duty.lamp == "led" and marks.watts is not None:
        share = number_of(tables, "relay_marks", "led", "share")
        text = (
            f"{marks.watts} is a mark for tungsten lamps. Look for one for LED: it must say at least "
            f"{duty.light_watts}. Often it is about {show_number(marks.watts.to('W') * share)} W."
        )
        yield Judged("light", Fit(None, text, MARK, ("nec_110_3", "practice"), doubtful=True))
        return
    least = marks.least_load if not kind.lives_on_load else None
    yield Judged("light", light_on_control(duty.light_watts, mark, least))


def _together(kind: PartKind, marks: Marks, duty: Duty, tables: Tables) -> Iterator[Judged]:
    """Fan and lamps through one contact: their amperes together against the plain mark."""
    load = _load_amps(duty, tables)
    if not kind.one_output or not kind.feeds_fan or load is None or marks.amps is None or duty.region is None:
        return
    assert duty.light_watts is not None
    total = load[0] + duty.light_watts.to("W") / duty.region.voltage_v
    fits = total <= marks.amps.to("A")
    text = f"Fan and lamps together {amps(total)}, marked {marks.amps}: {'within the mark' if fits else 'too much'}."
    yield Judged("together", Fit(fits, text, MARK, ("nec_110_3",)))


def _least_load(kind: PartKind, marks: Marks, duty: Duty, tables: Tables) -> Fit:
    """A control without a neutral: the smallest load that is ever on must reach its least load."""
    loads = [
        watts.to("W")
        for feeds, watts in ((kind.feeds_light, duty.light_watts), (kind.feeds_fan, duty.fan_watts))
        if feeds and watts is not None
    ]
    least = marks.least_load
    if least is None:
        usual = number_of(tables, "control_marks", "on_off_control_two_wire", "least_load")
        text = f"Look for its least load; without a neutral {show_number(usual)} W is not rare."
        return Fit(None, text, MARK, ("S86b", "practice"), doubtful=True)
    if not loads:
        text = f"It needs {both_ways(least)} of load: look for the watts of fan and lamps."
        return Fit(None, text, MARK, ("S86b",))
    smallest = min(loads)
    fits = smallest >= least.to("W")
    text = f"The smallest load is {show_number(smallest)} W, and it needs {least}: " + (
        "enough; at low speed a fan draws less."
        if fits
        else "lamps may flicker or glow, and it may drop off the network."
    )
    return Fit(fits, text, MARK, ("S86b",))
