"""What would make it fit: the next box in the table, a mark to look for, a slimmer device, work in the canopy."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from switchleg.figures.boxes.contents import IN3_CM3, Contents, Edition, Fill
from switchleg.figures.boxes.space import box_fill
from switchleg.figures.fit import Fit, not_covered
from switchleg.schema.regions import BoxRule, Region
from switchleg.schema.tables import Row, Tables, number_of, tables_for
from switchleg.units.display import both_ways
from switchleg.units.reading import Measure, show_number

DEPTH_UNIT = "mm"
USUAL_SHAPES = ("device", "octagon", "square")
"""Boxes of rooms; masonry and surface boxes are offered only in place of their like."""


def next_boxes(
    contents: Contents, rule: BoxRule, tables: Tables, *, edition: Edition = "2020", shapes: tuple[str, ...] = ()
) -> tuple[tuple[Row, int, Fill], ...]:
    """The smallest box of each shape that holds the contents: its row, how many joined sections, the sum.

    Device boxes that can be joined are taken as many as there are gangs; a box for one device only serves one.
    """
    gangs = max(1, sum(yoke.gangs for yoke in contents.yokes))
    table = tables[f"box_volumes_{rule}"]
    best: dict[str, tuple[Row, int, Fill]] = {}
    for row in table.row:
        shape = row.words.get("shape", "")
        if shapes and shape not in shapes:
            continue
        if gangs > 1 and row.words.get("gangs") == "one":
            continue
        sections = gangs if row.words.get("gangs") == "joined" else 1
        fill = box_fill(contents, row.name, rule, tables, edition=edition, sections=sections)
        if not fill.fits or fill.available is None:
            continue
        held = best.get(shape)
        if held is None or held[2].available is None or fill.available < held[2].available:
            best[shape] = (row, sections, fill)
    return tuple(sorted(best.values(), key=lambda found: found[2].available or Fraction(0)))


def ways_to_fit(
    contents: Contents,
    box: str | Measure | None,
    rule: BoxRule,
    tables: Tables,
    *,
    edition: Edition = "2020",
    sections: int = 1,
    shapes: tuple[str, ...] = (),
) -> tuple[str, ...]:
    """Every way out of a box that is too full, as sentences; empty when it fits. `box` None: which box to get."""
    fill = box_fill(contents, box, rule, tables, edition=edition, sections=sections)
    if fill.fits or not fill.covered:
        return ()
    return tuple(_ways(contents, box, fill, rule, tables, edition, sections, shapes))


def _ways(
    contents: Contents,
    box: str | Measure | None,
    fill: Fill,
    rule: BoxRule,
    tables: Tables,
    edition: Edition,
    sections: int,
    shapes: tuple[str, ...],
) -> Iterator[str]:
    boxes = next_boxes(contents, rule, tables, edition=edition, shapes=shapes or _shapes(box, rule, tables))
    for row, count, found in boxes:
        assert found.available is not None
        name = row.name if count == 1 else f"{count} x {row.name}, joined"
        size = both_ways(Measure(found.available, found.unit, "volume"))
        yield f"Next box in the table: {name}, {size}{' (from memory)' if _doubtful(row, rule, tables) else ''}."
    needed = Measure(_up(fill.required), fill.unit, "volume")
    yield f"Any box marked with at least {both_ways(needed)}."
    if fill.available is not None:
        short = Measure(_up(fill.required - fill.available), fill.unit, "volume")
        yield f"An extension ring, only if it is marked with at least {both_ways(short)}."
    yield from _slimmer(contents, box, rule, tables, sections)
    bare = replace(contents, yokes=(), modules=())
    if box is not None and (contents.modules or any(yoke.depth for yoke in contents.yokes)):
        rest = box_fill(bare, box, rule, tables, edition=edition, sections=sections)
        if rest.fits:
            yield "A scheme with its parts in the canopy: with a blank plate here, this box is large enough."
    if box is not None and contents.modules:
        without = replace(contents, modules=())
        if box_fill(without, box, rule, tables, edition=edition, sections=sections).fits:
            yield "Without the loose module it fits: a control in place of the switch, or the module in the canopy."


def _slimmer(
    contents: Contents, box: str | Measure | None, rule: BoxRule, tables: Tables, sections: int
) -> Iterator[str]:
    """In Canada the depth of a device counts: how deep it may be."""
    deep = [yoke for yoke in contents.yokes if yoke.depth]
    if rule != "ca" or box is None or not deep:
        return
    deepest = deepest_device(contents, box, tables, sections)
    if deepest is not None:
        yield f"A slimmer device: up to {both_ways(deepest)} deep."


def deepest_device(contents: Contents, box: str | Measure, tables: Tables, sections: int = 1) -> Measure | None:
    """Canada: how deep every device in the box may be, in cm to tenths; None without devices, or where none goes in."""
    gangs = sum(yoke.gangs for yoke in contents.yokes)
    if not gangs:
        return None
    limit = number_of(tables, "box_counts_ca", "deep_device", "depth_cm")
    per_cm = number_of(tables, "box_counts_ca", "deep_device", "cm3_per_cm")
    bare = box_fill(replace(contents, yokes=()), box, "ca", tables, sections=sections)
    assert bare.available is not None
    free = (bare.available - bare.required) * (IN3_CM3 if bare.unit == "in3" else 1)
    deepest = _down(free / (per_cm * gangs))
    if deepest > limit:
        return Measure(deepest, "cm", "length")
    flat = replace(contents, yokes=tuple(replace(yoke, depth=None) for yoke in contents.yokes))
    return Measure(limit, "cm", "length") if box_fill(flat, box, "ca", tables, sections=sections).fits else None


def _shapes(box: str | Measure | None, rule: BoxRule, tables: Tables) -> tuple[str, ...]:
    """The shape of a box named by its trade size, and the squares that take its place; all of them for a mark."""
    row = tables[f"box_volumes_{rule}"].find(box) if isinstance(box, str) else None
    shape = row.words.get("shape", "") if row else ""
    return (shape, "square") if shape in ("device", "octagon") else (shape,) if shape else USUAL_SHAPES


def _doubtful(row: Row, rule: BoxRule, tables: Tables) -> bool:
    return tables[f"box_volumes_{rule}"].standing_of(row) == "doubtful"


def _up(amount: Fraction) -> Fraction:
    """To tenths, upwards: a mark is never smaller than what is needed."""
    return Fraction(-(-amount * 10 // 1), 10)


def _down(amount: Fraction) -> Fraction:
    return Fraction(amount * 10 // 1, 10)


def depth_fit(device: Measure, box: Measure | None, region: Region, tables: Tables) -> tuple[Fit, tuple[str, ...]]:
    """Where depth decides: the device behind its plate against the box, with room for cores; and ways out.

    Without the box's depth only the depth to look for can be said. The room for cores is common practice.
    """
    if region.box_rule != "depth":
        return not_covered(f"Depth of device and box is not covered here for {region.name}."), ()
    room = number_of(tables, "depth_room", "cores", DEPTH_UNIT)
    wanted = device.to(DEPTH_UNIT) + room
    sizes = tables_for(tables, "box_depths", region.id)
    larger = [row for row in sizes.row if row.values[DEPTH_UNIT] >= wanted] if sizes else []
    need = f"{show_number(device.to(DEPTH_UNIT))} mm + {show_number(room)} mm for cores = {show_number(wanted)} mm"
    rule, sources = "common practice, no source", ("practice",)
    next_box = (f"Next trade depth: {larger[0].name}.",) if larger else ()
    ways = (*next_box, f"A device no deeper than the box less {show_number(room)} mm, or a surface box or spacer.")
    if box is None:
        text = f"{need}: measure the depth of the box."
        return Fit(None, text, rule, sources, doubtful=True), next_box
    have = box.to(DEPTH_UNIT)
    if device.to(DEPTH_UNIT) > have:
        text = f"The device is {both_ways(device)} deep, the box {both_ways(box)}: it does not go in."
        return Fit(False, text, rule, sources), ways
    if wanted > have:
        text = f"{need}, and the box has {show_number(have)} mm: it goes in only if the cores find room; look first."
        return Fit(None, text, rule, sources, doubtful=True), ways
    return Fit(True, f"{need}, and the box has {show_number(have)} mm.", rule, sources, doubtful=True), ()
