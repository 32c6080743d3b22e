"""Ratings of a circuit and its loads in one go: breaker, wire, switch, limiter, inrush, several fans."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from switchleg.figures.circuit.loads import amps, fan_amps, general_switch_for_motor, light_within_limiter
from switchleg.figures.circuit.part_marks import Judged, Lamp, Motor
from switchleg.figures.circuit.wire import breaker_suits_wire, circuit_too_large
from switchleg.figures.fit import Fit, not_covered
from switchleg.figures.sheet import Number, Sheet, distinct, shown_given, verdict_of
from switchleg.schema.regions import Region
from switchleg.schema.tables import Tables, tables_for
from switchleg.units.display import rounded
from switchleg.units.reading import Measure, show_number

LOAD_NAMES = {"motor": "motor", "led": "LED lamps", "tungsten": "tungsten lamps"}


def ratings(
    region: Region,
    tables: Tables,
    *,
    wire: Measure | None = None,
    metal: str | None = None,
    breaker: Measure | None = None,
    switch: Measure | None = None,
    fan: Measure | None = None,
    fan_watts: Measure | None = None,
    motor: Motor | None = None,
    fans: int = 1,
    light: Measure | None = None,
    lamp: Lamp | None = None,
    limited: bool = False,
    other: Measure | None = None,
) -> tuple[Judged, ...]:
    """Every rating rule that what is given allows. `limited`: the light kit's sockets are neither screw nor pin.

    `other`: what else hangs on the same leg.
    """
    found: list[Judged] = []
    if wire and breaker:
        found.append(Judged("breaker and wire", breaker_suits_wire(wire, breaker, metal, region.id, tables)))
    if breaker and (large := circuit_too_large(breaker, region.id)) is not None:
        found.append(Judged("kind of circuit", large))
    current = _fans(fan, fan_watts, fans, motor, region, tables)
    if current is not None:
        found.append(Judged("fan current", Fit(None, current[1], "", current[2], doubtful=fan is None), note=True))
    light_amps = light.to("W") / region.voltage_v if light else Fraction(0)
    total = (current[0] if current else Fraction(0)) + light_amps + (other.to("A") if other else Fraction(0))
    if breaker and total:
        found.append(Judged("whole circuit", _continuous(total, breaker, region, tables)))
    if switch and current is not None:
        load = Measure(current[0], "A", "current")
        found.append(Judged("switch", general_switch_for_motor(load, switch, region.id, tables)))
    if light and limited:
        found.append(Judged("light kit", light_within_limiter(light, region.id, tables)))
    found += list(_inrush(current[0] if current else None, light_amps, lamp, tables))
    return tuple(found)


def _fans(
    fan: Measure | None, watts: Measure | None, fans: int, motor: Motor | None, region: Region, tables: Tables
) -> tuple[Fraction, str, tuple[str, ...]] | None:
    if fan is not None:
        total = fan.to("A") * fans
        text = f"{fans} x {fan} = {amps(total)} of fan." if fans > 1 else f"{fan} of fan, by its label."
        return total, text, ("nec_110_3",)
    if watts is None:
        return None
    each, guess = fan_amps(watts, region.voltage_v, motor, tables)
    text = guess if fans == 1 else f"{guess} {fans} of them: {amps(each * fans)}."
    return each * fans, text, (tables["motor_estimates"].source,)


def _continuous(total: Fraction, breaker: Measure, region: Region, tables: Tables) -> Fit:
    """Loads of three hours and more against the breaker's share, as if all were such loads."""
    table = tables_for(tables, "continuous_load_", region.id)
    if table is None:
        return not_covered("The share of a breaker that a long load may take is not covered here for this region.")
    row = table.named("continuous")
    limit = breaker.to("A") * row.values["share"]
    fits = total <= limit
    text = (
        f"{amps(total)} against {show_number(row.values['share'] * 100)} % of {breaker}, {show_number(limit)} A: "
        f"{'within' if fits else 'over'} what a load of three hours and more may take. What else hangs on the "
        "circuit adds to it."
    )
    return Fit(fits, text, table.edition, (table.source_of(row), "practice"), doubtful=True)


def _inrush(fan: Fraction | None, light: Fraction, lamp: Lamp | None, tables: Tables) -> Iterator[Judged]:
    table = tables["inrush"]
    for name, running in (("motor", fan), (lamp, light or None)):
        if running is None or name is None:
            continue
        row = table.named(name)
        low, high = (row.values[column] * running for column in ("low", "high"))
        span = f"{rounded(high)} A" if low == high else f"{rounded(low)} to {rounded(high)} A"
        note = f" {row.note}" if row.note else ""
        text = (
            f"At the moment of switching on: about {span}{note}. A contact needs a mark for this kind of load "
            f"({LOAD_NAMES[name]}), not a large figure for plain loads."
        )
        source = table.source_of(row)
        yield Judged(f"inrush, {name}", Fit(None, text, table.edition, (source,), doubtful=True), note=True)


def judged_sheet(
    name: str, title: str, judged: Sequence[Judged], given: Sequence[tuple[str, Measure | str | None]], nothing: str
) -> Sheet:
    """Judgements as a sheet: fits, does not fit, or a mark is missing. `nothing` is the verdict without any."""
    fits = [one.fit for one in judged]
    weighed = [one for one in judged if not one.note]
    verdict = verdict_of(one.fit for one in weighed)
    covered = not weighed or any(one.fit.covered for one in weighed)
    lines = [f"{one.aspect}: {_word(one)}{one.fit.text}" for one in judged]
    return Sheet(
        name,
        title,
        shown_given(given),
        tuple(lines),
        _verdict(weighed, nothing, covered=covered),
        verdict,
        (),
        (Number("aspects", Fraction(len(judged)), "count"),) if judged else (),
        distinct(fit.rule for fit in fits),
        distinct(source for fit in fits for source in fit.sources),
        ("Some of this rests on habits of the trade or on estimates: the marks on the part always win.",)
        if any(fit.doubtful for fit in fits)
        else (),
        covered,
    )


def _word(one: Judged) -> str:
    if one.note:
        return ""
    if not one.fit.covered:
        return "NOT COVERED. "
    return {True: "OK. ", False: "NO. ", None: "LOOK. "}[one.fit.fits]


def _verdict(weighed: Sequence[Judged], nothing: str, *, covered: bool) -> str:
    if not weighed:
        return nothing
    if not covered:
        return "Not covered here for this region."
    bad = [one.aspect for one in weighed if one.fit.fits is False]
    missing = [one.aspect for one in weighed if one.fit.fits is None and one.fit.covered]
    outside = [one.aspect for one in weighed if not one.fit.covered]
    rest = f" Not covered here: {', '.join(outside)}." if outside else ""
    if bad:
        return f"Does not fit: {', '.join(bad)}.{rest}"
    if missing:
        return f"A mark or a fact is missing: {', '.join(missing)}.{rest}"
    return f"Fits, by what was given.{rest}"
