"""Where a fan and its parts go: blade span for the room, rod for the ceiling, room in the canopy.

Guides differ, so ranges are given; all lengths are compared exactly, in mm or in the unit of the table.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from switchleg.figures.fit import Fit
from switchleg.schema.questions import Value
from switchleg.schema.tables import Tables
from switchleg.units.names import Dimension
from switchleg.units.reading import Measure, parse_measure, show_number

Sides = tuple[Fraction, Fraction, Fraction]
USUAL_JOINTS = 4
"""Hot, neutral and two legs: the joints that a canopy module makes, as commonly done."""


def placing(facts: Mapping[str, Value], tables: Tables, *, size: bool = True) -> tuple[Fit, ...]:
    """What can be said of the room, the ceiling and the canopy, in that order, as far as it is known.

    Without `size`, span and rod are left out: somebody else tells them.
    """
    found: list[Fit] = []
    if size and (area := _measure(facts, "room_area", "area")) is not None:
        found.append(span_for_room(area, tables))
    if size and (height := _measure(facts, "ceiling_height", "length")) is not None:
        found.append(rod_for_ceiling(height, tables))
    if (room := canopy_fit(facts, tables)) is not None:
        found.append(room)
    return tuple(found)


def canopy_fit(facts: Mapping[str, Value], tables: Tables) -> Fit | None:
    """Whether a usual module goes into the canopy; None while its room is not known."""
    space = _measure(facts, "canopy_space", "space")
    return None if space is None else _canopy(space, tables, receiver=facts.get("receiver") is True)


def _canopy(space: Measure, tables: Tables, *, receiver: bool) -> Fit:
    """As `canopy_holds_module`; where only a receiver that stays is in the way, both cases are said."""
    alone = canopy_holds_module(space, tables)
    if not receiver or alone.fits is False:
        return alone
    both = canopy_holds_module(space, tables, receiver=True)
    if both.fits is not False:
        return both
    return replace(both, fits=None, text=f"If the receiver goes: {alone.text} If it stays: {both.text}")


def span_for_room(area: Measure, tables: Tables) -> Fit:
    """The blade span that two guides advise for a floor area, as one range in inches and cm."""
    table = tables["fan_spans"]
    floor = area.to("ft2")
    for row in table.row:
        if floor <= row.values["area"]:
            lows = [row.values[name] for name in ("older_low", "newer_low")]
            highs = [row.values[name] for name in ("older_high", "newer_high") if name in row.values]
            low, high = min(lows), max(highs)
            open_end = "" if "newer_high" in row.values else " or more"
            text = f"For {area}: blade span {_both(low, high)}{open_end}, by two guides that differ."
            return Fit(None, text, table.title, (table.source, "S96"), doubtful=True)
    return Fit(None, f"{area} is more than one fan serves well: plan two or more.", table.title, ("S33",))


def span_range(area: Measure, tables: Tables) -> tuple[Fraction, Fraction] | None:
    """The least and the greatest span in inches that the guides name for an area; None for a room for several."""
    floor = area.to("ft2")
    for row in tables["fan_spans"].row:
        if floor <= row.values["area"]:
            lows = [row.values[name] for name in ("older_low", "newer_low")]
            highs = [row.values[name] for name in ("older_high", "newer_high", "newer_low") if name in row.values]
            return min(lows), max(highs)
    return None


def rod_for_ceiling(height: Measure, tables: Tables) -> Fit:
    """The downrod that two ladders advise; `fits` is False under the energy ministry's 8 ft."""
    table = tables["downrods"]
    ceiling = height.to("ft")
    rows = sorted(table.row, key=lambda row: row.values["ceiling"])
    lowest = rows[0].values["ceiling"]
    if ceiling < lowest:
        text = (
            f"A ceiling of {height} is low for a fan: the energy ministry of the United States advises "
            f"{show_number(lowest)} ft (2.44 m) or more."
        )
        return Fit(False, text, tables["clearances"].edition, ("S33",))
    at = max(row.values["ceiling"] for row in rows if row.values["ceiling"] <= ceiling)
    row = next(row for row in rows if row.values["ceiling"] == at)
    after = next((row for row in rows if row.values["ceiling"] >= ceiling), row)
    low, high = row.values["low"], after.values["high"]
    flush = "no rod, or one up to " if low == 0 else ""
    length = _both(high, high) if low == 0 else _both(low, high)
    more = " or more" if ceiling > rows[-1].values["ceiling"] else ""
    text = f"For a ceiling of {height}: {flush}a rod of {length}{more}. Check the blade height afterwards."
    text = text.replace("up to a rod of", "up to")
    return Fit(None, text, table.edition or table.title, (table.source,), doubtful=True)


def canopy_holds_module(space: Measure, tables: Tables, *, joints: int = USUAL_JOINTS, receiver: bool = False) -> Fit:
    """Whether a usual module and its joints go into the free space, beside the receiver where one stays."""
    parts = [("a usual module", _sides(tables, "module"))]
    if receiver:
        parts.append(("a usual receiver", _sides(tables, "receiver")))
    return canopy_holds(space, parts, tables, joints=joints)


def canopy_holds(
    space: Measure, parts: Sequence[tuple[str, Sides]], tables: Tables, *, joints: int = USUAL_JOINTS, own: bool = False
) -> Fit:
    """Whether parts (name, three sides in mm) and their joints go into the free space: by lengths, then by volume.

    From a volume alone only "too small" can be told. Sizes from the table are estimates; `own` says that the
    parts' sizes were measured, so that only the room for joints is an estimate.
    """
    table = tables["canopy_parts"]
    need = sum((_product(sides) for _, sides in parts), Fraction(0)) + joints * _product(_sides(tables, "joint"))
    named = " and ".join(f"{name} ({_size(sides)})" for name, sides in parts)
    source = (table.source,)
    sides = space.sides_mm()
    for name, part in parts:
        if sides and not _goes_in(sides, part):
            text = f"{_upper(name)} ({_size(part)}) does not go into {space}. Look for a smaller one, or another way."
            return Fit(False, text, table.title, source, doubtful=not own)
    if space.to("cm3") * 1000 < need:
        text = f"{space} is too little for {named} with {joints} joints: about {_cm3(need)} is needed."
        return Fit(False, text, table.title, source, doubtful=True)
    if not sides:
        text = f"{space} may do for {named}, but its lengths decide: measure whether it goes in."
        return Fit(None, text, table.title, source, doubtful=True)
    if not _go_side_by_side(sides, [part for _, part in parts]):
        text = f"{named} go into {space} one by one, perhaps not together: try it before wiring."
        return Fit(None, text, table.title, source, doubtful=True)
    word = "go" if len(parts) > 1 or joints else "goes"
    text = f"{_upper(named)} and {joints} joints {word} into {space}. Hold it against the part you buy."
    return Fit(True, text, table.title, source, doubtful=True)


def _goes_in(space: Sequence[Fraction], part: Sides) -> bool:
    return all(free >= side for free, side in zip(sorted(space), sorted(part), strict=True))


def _go_side_by_side(space: Sequence[Fraction], parts: Sequence[Sides]) -> bool:
    """Whether the parts can lie in one row along some side of the space, each turned as it suits."""
    for axis in range(3):
        across = [space[i] for i in range(3) if i != axis]
        taken = Fraction(0)
        for part in parts:
            turned = [
                side
                for i, side in enumerate(part)
                if all(
                    free >= other for free, other in zip(sorted(across), sorted(part[:i] + part[i + 1 :]), strict=True)
                )
            ]
            taken += min(turned, default=space[axis] + 1)
        if taken <= space[axis]:
            return True
    return False


def _size(sides: Sides) -> str:
    return " x ".join(show_number(side) for side in sides) + " mm"


def _upper(text: str) -> str:
    return text[0].upper() + text[1:]


def _sides(tables: Tables, part: str) -> Sides:
    values = tables["canopy_parts"].named(part).values
    return values["length"], values["width"], values["height"]


def _product(sides: Sides) -> Fraction:
    return sides[0] * sides[1] * sides[2]


def _cm3(mm3: Fraction) -> str:
    return f"{show_number(Fraction(-(-mm3 // 1000)))} cm3"


def _both(low: Fraction, high: Fraction) -> str:
    """A range in inches, with rounded centimetres beside it."""
    if low == high:
        return f"{show_number(low)} in ({round(low * Fraction('2.54'))} cm)"
    return (
        f"{show_number(low)} to {show_number(high)} in "
        f"({round(low * Fraction('2.54'))} to {round(high * Fraction('2.54'))} cm)"
    )


def _measure(facts: Mapping[str, Value], name: str, dimension: Dimension) -> Measure | None:
    text = facts.get(name)
    return parse_measure(text, dimension, name) if isinstance(text, str) else None
