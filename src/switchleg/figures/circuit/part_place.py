"""Whether a part goes where it is meant to go: depth, room, warmth, damp."""

from __future__ import annotations

from collections.abc import Iterator

from switchleg.errors import SwitchlegError
from switchleg.figures.fan.placing import Sides, canopy_holds
from switchleg.figures.fit import Fit
from switchleg.schema.regions import Region
from switchleg.schema.tables import Tables, number_of
from switchleg.units.display import both_ways, rounded
from switchleg.units.reading import Measure

PLACES = ("dry", "damp", "wet")
"""From the mildest; a listing for a harsher place serves the milder one (NEC Article 100)."""
MARK = "the mark on the part"


def place_fits(
    *,
    in_canopy: bool,
    loose: bool,
    region: Region | None,
    tables: Tables,
    volume: Measure | None,
    size: Measure | None,
    depth: Measure | None,
    mark_temperature: Measure | None,
    listed: str | None,
    place: str | None,
    box_depth: Measure | None,
    box_space: Measure | None,
    canopy_space: Measure | None,
    temperature: Measure | None,
) -> Iterator[tuple[str, Fit]]:
    """Aspects of place, each with its judgement; what is not known of the place is not spoken of."""
    if in_canopy:
        if canopy_space is not None:
            yield "room", _in_canopy(size, volume, canopy_space, tables)
        yield "temperature", _warmth(mark_temperature, temperature, tables)
    else:
        if box_depth is not None and not loose:
            yield "depth", _depth(depth, box_depth, region, tables)
        if box_space is not None and loose:
            yield "room", _in_box(size, volume, box_space)
    if place is not None:
        yield "place", listing(listed, place)


def listing(listed: str | None, place: str) -> Fit:
    """A part's listing against the place. Wet is for a licensed person, and the listing is still needed."""
    for name, word in (("--place", place), ("--listed", listed)):
        if word is not None and word not in PLACES:
            raise SwitchlegError(f"{word!r} is no kind of place", where=name, expected="dry, damp or wet")
    if listed is None:
        if place == "dry":
            return Fit(True, "The place is dry: any part for indoors serves.", "", ("nec_100",))
        text = f"The place is {place}: fan, box and every added part need a listing for it. Look for the mark."
        return Fit(None, text, MARK, ("nec_100",))
    fits = PLACES.index(listed) >= PLACES.index(place)
    return Fit(fits, f"Listed for {listed}, and the place is {place}.", MARK, ("nec_100",))


def _warmth(mark: Measure | None, known: Measure | None, tables: Tables) -> Fit:
    needed = known or Measure(number_of(tables, "canopy_heat", "canopy", "C"), "C", "temperature")
    guess = "" if known else " (common practice, nobody has measured here)"
    if mark is None:
        text = f"Look for its temperature mark: in a canopy it must bear {both_ways(needed)}{guess}."
        return Fit(None, text, MARK, ("practice",), doubtful=known is None)
    fits = mark.to("C") >= needed.to("C")
    word = "enough" if fits else "too little"
    text = f"Marked {both_ways(mark)}; a canopy asks for {both_ways(needed)}{guess}: {word}."
    return Fit(fits, text, MARK, ("practice",), doubtful=known is None)


def _depth(depth: Measure | None, box: Measure, region: Region | None, tables: Tables) -> Fit:
    """Whether the device goes into the box at all. In Canada its depth also enters the volume sum."""
    also = " In Canada its depth counts in the box sum too." if region is not None and region.box_rule == "ca" else ""
    room = number_of(tables, "depth_room", "cores", "mm")
    if depth is None:
        most = Measure(box.to("mm") - room, "mm", "length")
        text = f"Look for its depth behind the plate: {both_ways(most)} at most leaves room for wires.{also}"
        return Fit(None, text, "common practice, no source", ("practice",), doubtful=True)
    left = box.to("mm") - depth.to("mm")
    if left < 0:
        text = f"{both_ways(depth)} deep, and the box is {both_ways(box)}: it does not go in.{also}"
        return Fit(False, text, "", ("computed",))
    text = f"{both_ways(depth)} deep in a box of {both_ways(box)}: {rounded(left)} mm are left for wires"
    if left < room:
        text += f", and {rounded(room)} mm is the habit: look first.{also}"
        return Fit(None, text, "common practice, no source", ("practice",), doubtful=True)
    return Fit(True, f"{text}.{also}", "common practice, no source", ("practice",), doubtful=True)


def _in_box(size: Measure | None, volume: Measure | None, space: Measure) -> Fit:
    outside = size or volume
    if outside is None:
        text = f"Look for its size: {both_ways(space)} are left in the box."
        return Fit(None, text, "", ("practice",))
    if outside.to("cm3") > space.to("cm3"):
        text = f"{both_ways(outside)} is more than the {both_ways(space)} left in the box."
        return Fit(False, text, "", ("computed",))
    text = f"{both_ways(outside)} against {both_ways(space)} left: enough by volume; hold it in before wiring."
    return Fit(True, text, "", ("computed", "practice"), doubtful=True)


def _in_canopy(size: Measure | None, volume: Measure | None, space: Measure, tables: Tables) -> Fit:
    if size is not None and size.sides:
        one, two, three = size.sides_mm()
        sides: Sides = (one, two, three)
        return canopy_holds(space, [("the part", sides)], tables, own=True)
    outside = size or volume
    if outside is not None and outside.to("cm3") > space.to("cm3"):
        text = f"{both_ways(outside)} is more than the {both_ways(space)} in the canopy."
        return Fit(False, text, "", ("computed",))
    text = f"Measure its three sides: its lengths decide whether it goes into {both_ways(space)}."
    return Fit(None, text, "", ("practice",))
