"""Weight, heights, slope, water, damp and the room in the canopy, as calculations. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.numbers.boxes import Added
from switchleg.advice.numbers.safety import bath_fit, carries, measure
from switchleg.figures.circuit.part_place import listing
from switchleg.figures.fan.height import blades_from_ceiling, rod_for_slope
from switchleg.figures.fan.placing import rod_for_ceiling, span_for_room, span_range
from switchleg.figures.fan.support import blades_high_enough
from switchleg.figures.sheet import Number, Sheet, fit_sheet, shown_given
from switchleg.schema.questions import Value
from switchleg.schema.tables import number_of
from switchleg.units.reading import Measure

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region

USUAL_SPAN = "225 ft2"
"""Row of the table of spans from which the span is taken while room and fan are unknown."""


def place_sheets(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region, added: Added | None
) -> Iterator[Sheet]:
    """What hangs, how high, under which slope and how near to water, as far as it is known."""
    tables = knowledge.tables
    weight = measure(facts, "fan_weight", "mass")
    if weight:
        extra = number_of(tables, "added_weight", "canopy parts", "lb") if added and added.canopy_module else None
        hung = Measure(extra, "lb", "mass") if extra else None
        given = shown_given([("fan", weight), ("added", hung), ("mark", measure(facts, "fan_box_rating", "mass"))])
        whole = weight.to("kg") + (hung.to("kg") if hung else 0)
        fit = carries(facts, region.id, tables, weight, hung)
        yield fit_sheet("support", "Support", fit, given, numbers=(Number("whole weight", whole, "kg"),))
    height = measure(facts, "blade_height", "length")
    ceiling = measure(facts, "ceiling_height", "length")
    if height:
        found = blades_high_enough(height, region.id, tables)
        yield fit_sheet("blade-height", "Blades above the floor", found, shown_given([("blades", height)]))
    if height and ceiling and ceiling.to("mm") > height.to("mm"):
        drop = Measure(ceiling.to(height.unit) - height.to(height.unit), height.unit, "length")
        given = shown_given([("ceiling", ceiling), ("blades", height)])
        yield fit_sheet("blades-from-ceiling", "Blades below the ceiling", blades_from_ceiling(drop, tables), given)
    yield from _slope(facts, knowledge)
    bath = bath_fit(facts, tables)
    if bath is not None:
        across, up = measure(facts, "bath_across", "length"), measure(facts, "bath_up", "length")
        yield fit_sheet("bath-zone", "Bath or shower", bath, shown_given([("across", across), ("up", up)]))
    place = facts.get("place_rating_needed")
    if place in ("damp", "wet"):
        yield fit_sheet("listing", "Damp or wet", listing(None, str(place)))


def _slope(facts: Mapping[str, Value], knowledge: Knowledge) -> Iterator[Sheet]:
    slope = measure(facts, "ceiling_slope", "angle")
    if slope is None or slope.amount == 0:
        return
    area = measure(facts, "room_area", "area")
    spans = span_range(area, knowledge.tables) if area is not None else None
    widest = spans[1] if spans else number_of(knowledge.tables, "fan_spans", USUAL_SPAN, "newer_high")
    span = Measure(widest, "in", "length")
    given = shown_given([("slope", slope), ("blade span taken", span)])
    for name, title, fit in zip(
        ("slope", "slope-rod"),
        ("Slope", "Rod under the slope"),
        rod_for_slope(slope, span, knowledge.tables),
        strict=False,
    ):
        yield fit_sheet(name, title, fit, given)


def room_sheets(knowledge: Knowledge, facts: Mapping[str, Value], *, size: bool) -> Iterator[Sheet]:
    """Blade span and rod for the room, where a fan may still be chosen."""
    if not size:
        return
    if (area := measure(facts, "room_area", "area")) is not None:
        yield fit_sheet(
            "blade-span", "Blade span", span_for_room(area, knowledge.tables), shown_given([("room", area)])
        )
    if (height := measure(facts, "ceiling_height", "length")) is not None:
        given = shown_given([("ceiling", height)])
        yield fit_sheet("downrod", "Rod", rod_for_ceiling(height, knowledge.tables), given)
