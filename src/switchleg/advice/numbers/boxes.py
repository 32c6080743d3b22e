"""Wall box and ceiling box, today and after the work, as calculations. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from switchleg.advice.numbers.safety import measure, wall_fill, with_run
from switchleg.figures.boxes.ceiling_box import LIGHT_BESIDE, CeilingFill, ceiling_box_fill, leads_today, plain_leads
from switchleg.figures.boxes.contents import Fill, volume_both_ways
from switchleg.figures.boxes.remedies import depth_fit, ways_to_fit
from switchleg.figures.boxes.wall_box import WallFill
from switchleg.figures.fan.placing import canopy_fit
from switchleg.figures.sheet import GUESSED, Number, Sheet, distinct, fit_sheet, shown_given
from switchleg.schema.questions import Value
from switchleg.units.display import both_ways
from switchleg.units.reading import Measure

if TYPE_CHECKING:
    from switchleg.advice.model import NewCable, SchemeVerdict
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region
    from switchleg.schema.tables import Tables

MOST_WAYS = 4
WALL_TODAY, WALL_AFTER = "Wall box today", "Wall box after the work"
CEILING_TODAY, CEILING_AFTER = "Ceiling box today", "Ceiling box after the work"
ELSEWHERE = "Or a scheme whose parts lie in the canopy."


class Added(NamedTuple):
    """What a scheme puts where: wall devices, loose modules behind them, and whether a module is in the canopy."""

    devices: int
    modules: int
    canopy_module: bool


def added_by(knowledge: Knowledge, chosen: SchemeVerdict) -> Added:
    """What the chosen scheme's parts take up."""
    controls = {c.id: c for c in knowledge.controls.control}
    parts = [controls[name] for name in chosen.parts if name in controls]
    return Added(
        sum(1 for p in parts if p.place == "wall" and p.gangs and p.terminals),
        sum(1 for p in parts if p.place == "wall" and p.loose),
        any(p.place == "ceiling" and p.loose for p in parts),
    )


def wall_sheets(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region, added: Added | None, new: Iterable[NewCable] = ()
) -> Iterator[Sheet]:
    """By volume before and after, by depth, or "not covered here"; nothing where there is no wall box."""
    tables = knowledge.tables
    if facts.get("wall_boxes") == 0:
        return
    if region.box_rule == "depth":
        if added is None or added.devices:
            yield _by_depth(facts, region, tables)
        return
    if region.box_rule not in ("us", "ca"):
        text = f"Wall box: not covered here. {region.box_rule_text}"
        yield Sheet("wall-box", "Wall box", verdict=text, covered=False)
        return
    today = wall_fill(facts, region, tables)
    yield from _wall_box("wall-box-today", WALL_TODAY, today, ())
    if added is None:
        return
    after = wall_fill(facts, region, tables, devices=added.devices, modules=added.modules, new=new)
    yield from _wall_box("wall-box-after", WALL_AFTER, after, tuple(_ways(after, region, tables, added)))


def _by_depth(facts: Mapping[str, Value], region: Region, tables: Tables) -> Sheet:
    usual = max(row.values["depth"] for row in tables["control_marks"].row if "depth" in row.values)
    device, box = Measure(usual, "cm", "length"), measure(facts, "wall_box_depth", "length")
    fit, ways = depth_fit(device, box, region, tables)
    given = shown_given([("depth of a usual control", device), ("depth of the box", box)])
    sheet = fit_sheet("wall-box-depth", "Wall box", fit, given, ways=ways)
    return replace(sheet, verdict=f"Wall box: a usual control: {fit.text}")


def _ways(after: WallFill, region: Region, tables: Tables, added: Added) -> Iterator[str]:
    if not after.contents or not after.fill or after.fill.fits is not False:
        return
    ways = ways_to_fit(
        after.contents, after.box, region.box_rule, tables, sections=after.sections, shapes=("device", "square")
    )
    yield from ways[:MOST_WAYS]
    if added.devices and not any("canopy" in way for way in ways):
        yield ELSEWHERE


def _wall_box(name: str, title: str, result: WallFill, ways: tuple[str, ...]) -> Iterator[Sheet]:
    fill = result.fill or result.needed
    if fill is None:
        if result.note:
            yield Sheet(name, title, verdict=f"{title}: {result.note}", covered="not covered" not in result.note)
        return
    yield box_sheet_of(name, title, fill, result.assumed, ways, LOOK_WALL)


LOOK_WALL = "look for its volume or measure it for its trade size"


def box_sheet_of(
    name: str, title: str, fill: Fill, assumed: tuple[str, ...], ways: tuple[str, ...], look: str
) -> Sheet:
    """A fill as a calculation; `look` says what to look for while the box is not known."""
    remarks = [remark for remark in fill.remarks if not remark.startswith("counted by")]
    guessed = (GUESSED,) if fill.doubtful or any("from memory" in remark for remark in remarks) else ()
    needed = volume_both_ways(fill.required, fill.unit)
    numbers = [Number("needed", fill.required, fill.unit)]
    if fill.available is None:
        verdict = f"{title}: needs {needed}; {look}."
    else:
        numbers.append(Number("available", fill.available, fill.unit))
        have = both_ways(Measure(fill.available, fill.unit, "volume"))
        word = {True: "enough", False: "too full", None: "cannot be told yet"}[fill.fits]
        verdict = f"{title}: {needed} needed, {have} there: {word}."
        if fill.fits is None and remarks:
            verdict += f" {remarks[-1][0].upper()}{remarks[-1][1:]}."
    lines = fill.printable()
    return Sheet(
        name,
        title,
        (),
        lines[: len(lines) - len(fill.remarks)],
        verdict,
        fill.fits,
        ways,
        tuple(numbers),
        (fill.edition,),
        fill.sources,
        distinct((*remarks, *guessed, *(f"taken for granted: {what}" for what in assumed))),
    )


def ceiling_sheets(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region, chosen: SchemeVerdict | None
) -> Iterator[Sheet]:
    """Today's ceiling box, and after the work where a module in the canopy adds its leads to the fan's."""
    if region.box_rule not in ("us", "ca"):
        yield Sheet("ceiling-box", "Ceiling box", verdict="Ceiling box: its room is not covered here.", covered=False)
        return
    today = ceiling_box_fill(facts, region, knowledge.tables)
    yield from _ceiling_box("ceiling-box-today", CEILING_TODAY, today)
    if chosen is not None:
        yield from _ceiling_box("ceiling-box-after", CEILING_AFTER, ceiling_after(knowledge, facts, region, chosen))


def ceiling_after(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, chosen: SchemeVerdict
) -> CeilingFill:
    """The ceiling box with the chosen scheme: the fan's leads as they will end there, and a module's beside them."""
    changed = set(chosen.preparations)
    leads = plain_leads(facts) if changed & {"bypass_receiver", "replace_fan_ac"} else leads_today(facts)
    if "receiver" in leads and "move_light_to_own_leg" in changed:
        leads = ("receiver", LIGHT_BESIDE)
    if added_by(knowledge, chosen).canopy_module:
        leads = (*leads, "module")
    return ceiling_box_fill(with_run(facts, chosen.new_cables), region, knowledge.tables, leads=leads)


def _ceiling_box(name: str, title: str, result: CeilingFill) -> Iterator[Sheet]:
    fill = result.fill or result.needed
    if fill is None:
        if result.note:
            yield Sheet(name, title, verdict=f"{title}: {result.note}", covered="not covered" not in result.note)
        return
    every = " and all leads" if result.lenient else ""
    clamps = f", clamps{every} counted," if fill.edition.startswith("NFPA") else ""
    smallest = f"; the smallest that will do{clamps} is {result.boxes[0]}" if result.boxes else ""
    ways = (f"A larger box, by a licensed electrician{smallest}.",) if fill.fits is False else ()
    look = result.note or f"look for its volume mark, or its size{smallest}"
    sheet = box_sheet_of(name, title, fill, result.assumed, ways, look)
    if fill is result.needed and result.lenient is not None:
        least, most = (volume_both_ways(one.required, one.unit) for one in (result.lenient, fill))
        verdict = f"{title}: needs {least}, or {most} where all canopy leads are counted; {look}."
        numbers = (*sheet.numbers, Number("needed_at_least", result.lenient.required, result.lenient.unit))
        sheet = replace(sheet, verdict=verdict, numbers=numbers)
    yield sheet


def room_warnings(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region, chosen: SchemeVerdict | None
) -> tuple[str, ...]:
    """A ceiling box over its volume, a canopy in which a usual module has no room."""
    if facts.get("fan_installed") is False:
        return ()
    found = []
    added = added_by(knowledge, chosen) if chosen else None
    full = [one for one in ceiling_sheets(knowledge, facts, region, chosen) if one.fits is False]
    if full:
        found.append(f"{full[-1].verdict} Nothing more is joined in it until a licensed electrician has changed it.")
    space = canopy_fit(facts, knowledge.tables) if added and added.canopy_module else None
    if space is not None and space.fits is False:
        found.append(f"{space.text} Have the part in hand, and see that it goes in, before anything is taken apart.")
    return tuple(found)
