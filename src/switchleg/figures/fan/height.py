"""Where the blades come to be: height above the floor, below the ceiling, off the wall, under a slope."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from switchleg.figures.fan.placing import rod_for_ceiling
from switchleg.figures.fan.support import blades_high_enough
from switchleg.figures.fit import Fit
from switchleg.figures.sheet import Number, Sheet, distinct, shown_given, verdict_of
from switchleg.schema.tables import Tables, number_of
from switchleg.units.display import both_ways, in_unit
from switchleg.units.reading import Measure, show_number


def inches(amount: Fraction) -> Measure:
    return Measure(amount, "in", "length")


def blades_from_ceiling(drop: Measure, tables: Tables) -> Fit:
    """The gap between ceiling and blades against the least one, and the best range."""
    table = tables["clearances"]
    row = table.named("blades to ceiling")
    least, low, high = (row.values[name] for name in ("least", "best_low", "best_high"))
    gap = drop.to("in")
    text = f"Blades {both_ways(drop)} below the ceiling: "
    if gap < least:
        text += f"nearer than {both_ways(inches(least))}, they get no air."
    else:
        text += f"{both_ways(inches(least))} at least"
        text += "" if low <= gap <= high else f"; best is {show_number(low)} to {show_number(high)} in"
        text += "."
    return Fit(gap >= least, text, table.edition, (table.source_of(row),))


def tips_from_wall(gap: Measure, tables: Tables) -> Fit:
    """The gap between the blade tips and the nearest wall or cupboard against the least one."""
    table = tables["clearances"]
    row = table.named("blade tips to wall")
    least = inches(row.values["least"])
    fits = gap.to("in") >= least.amount
    text = f"Blade tips {both_ways(gap)} from the wall: at least {both_ways(least)} is advised."
    return Fit(fits, text, table.edition, (table.source_of(row),))


def rod_for_slope(slope: Measure, span: Measure, tables: Tables) -> tuple[Fit, ...]:
    """Whether a hanging bracket takes the slope, and the rod that keeps the upper blade tip off the ceiling."""
    table = tables["slopes"]
    least, usual, most, adapter = (
        table.named(name).values["angle"]
        for name in (
            "bracket, smallest limit seen",
            "bracket, usual limit",
            "bracket, largest limit seen",
            "angled adapter",
        )
    )
    degrees = slope.to("deg")
    if degrees <= least:
        bracket, fits = f"within what every bracket seen here takes ({show_number(least)} deg)", True
    elif degrees <= most:
        bracket, fits = (
            f"brackets stop between {show_number(least)} and {show_number(most)} deg (usual {show_number(usual)}): "
            "look for the limit in the fan's sheet",
            None,
        )
    elif degrees <= adapter:
        bracket, fits = f"it takes an angled adapter made for the fan (to {show_number(adapter)} deg)", None
    else:
        bracket, fits = f"steeper than any bracket or adapter seen here ({show_number(adapter)} deg)", False
    first = Fit(
        fits, f"A slope of {slope}: {bracket}.", table.edition, tuple(sorted(table.source_ids())), doubtful=True
    )
    if fits is False:
        return (first,)
    radius = span.to("in") / 2
    rise = float(radius) * math.tan(math.radians(float(degrees)))
    row = table.named("spare length")
    low, high = rise + float(row.values["spare_low"]), rise + float(row.values["spare_high"])
    text = (
        f"Rod for the slope: {show_number(radius)} in x tan {slope} = {rise:.1f} in to the tip, and "
        f"{show_number(row.values['spare_low'])} to {show_number(row.values['spare_high'])} in more: "
        f"{low:.0f} to {high:.0f} in ({low * 2.54:.0f} to {high * 2.54:.0f} cm)."
    )
    return first, Fit(None, text, table.edition, ("computed", "practice"), doubtful=True)


def blade_height_sheet(
    region: str | None,
    tables: Tables,
    *,
    blades: Measure | None = None,
    ceiling: Measure | None = None,
    drop: Measure | None = None,
    rod: Measure | None = None,
    motor_drop: Measure | None = None,
    wall: Measure | None = None,
    slope: Measure | None = None,
    span: Measure | None = None,
) -> Sheet:
    """Blade height and clearances from what is known.

    `drop` is from the ceiling to the blades; else rod and `motor_drop` (canopy, motor and irons) make it up.
    A height that cannot be worked out leaves the verdict open and the missing length named.
    """
    lines: list[str] = []
    down = drop
    if down is None and motor_drop is not None:
        unit = motor_drop.unit
        down = Measure((rod.to(unit) if rod else Fraction(0)) + motor_drop.to(unit), unit, "length")
        lines.append(
            f"ceiling to blades: rod {in_unit(rod, unit) if rod else 'none'} + canopy and motor {motor_drop} "
            f"= {both_ways(down)}"
        )
    height = blades
    if height is None and ceiling is not None and down is not None:
        unit = ceiling.unit if ceiling.unit in ("ft", "m") else "ft" if ceiling.unit == "in" else "m"
        height = Measure(ceiling.to(unit) - down.to(unit), unit, "length")
        lines.append(f"blades above the floor: {ceiling} - {in_unit(down, unit)} = {both_ways(height)}")
    if down is None and blades is not None and ceiling is not None:
        unit = blades.unit
        down = Measure(ceiling.to(unit) - blades.to(unit), unit, "length")
        lines.append(f"ceiling to blades: {ceiling} - {blades} = {both_ways(down)}")
    fits = list(_judged(region, tables, height, down, wall, slope, span))
    advice = (rod_for_ceiling(ceiling, tables),) if ceiling is not None and rod is None and blades is None else ()
    ways = tuple(fit.text for fit in advice)
    verdict = verdict_of(fits)
    covered = height is None or fits[0].covered
    if height is not None and not covered:
        verdict = None if verdict is True else verdict
    told = (*fits, *advice)
    return Sheet(
        "blade-height",
        "Blade height and clearances",
        shown_given(
            [
                ("blades above floor", blades),
                ("ceiling", ceiling),
                ("ceiling to blades", drop),
                ("rod", rod),
                ("canopy and motor", motor_drop),
                ("tips to wall", wall),
                ("slope", slope),
                ("blade span", span),
            ]
        ),
        (*lines, *(fit.text for fit in fits)),
        _verdict(verdict, height, covered),
        verdict,
        ways,
        (Number("blades above floor", height.to("m"), "m"),) if height is not None else (),
        distinct(fit.rule for fit in told),
        distinct(source for fit in told for source in fit.sources),
        distinct(("Some of these figures are from memory or differ between makers.",))
        if any(fit.doubtful for fit in told)
        else (),
        covered,
    )


def _judged(
    region: str | None,
    tables: Tables,
    height: Measure | None,
    down: Measure | None,
    wall: Measure | None,
    slope: Measure | None,
    span: Measure | None,
) -> Iterator[Fit]:
    if height is not None:
        yield _above_floor(height, region, tables)
        best = tables["clearances"].named("blades above floor").values
        if height.to("in") > best["best_high"]:
            text = (
                f"{both_ways(height)} is high: the draught is best with blades "
                f"{show_number(best['best_low'])} to {show_number(best['best_high'])} in above the floor."
            )
            yield Fit(True, text, tables["clearances"].edition, (tables["clearances"].source,))
    if down is not None:
        yield blades_from_ceiling(down, tables)
    if wall is not None:
        yield tips_from_wall(wall, tables)
    if slope is not None:
        span = span or inches(number_of(tables, "fan_spans", "225 ft2", "newer_high"))
        yield from rod_for_slope(slope, span, tables)


def _above_floor(height: Measure, region: str | None, tables: Tables) -> Fit:
    """As `blades_high_enough`, for a height that may be at or below the floor by a slip of the keyboard."""
    fit = blades_high_enough(height, region, tables)
    if height.amount <= 0:
        return Fit(False, "The blades would be below the floor: look at the lengths again.", fit.rule, fit.sources)
    return fit


def _verdict(fits: bool | None, height: Measure | None, covered: bool) -> str:
    if fits is False:
        return "Does not suit: see the lines above."
    if height is None:
        return "The height of the blades cannot be told: give --blades, or --ceiling with --drop or --motor-drop."
    if not covered:
        return "No least height is covered here for this region: the fan's own sheet decides."
    return "High enough, by what is known here; the fan's own sheet wins." if fits else "Not settled: see above."
