"""The numbers section of the card: boxes before and after, breaker, marks, support, heights, energy. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Literal, NamedTuple

from switchleg.advice.numbers import carries, measure, wall_fill
from switchleg.advice.sums_motor import motor_hints
from switchleg.figures.both_ways import both_ways
from switchleg.figures.box_fill import WallFill
from switchleg.figures.box_model import Fill
from switchleg.figures.box_ways import depth_fit, ways_to_fit
from switchleg.figures.ceiling_box import CeilingFill, ceiling_box_fill
from switchleg.figures.fit import Fit
from switchleg.figures.height import blades_from_ceiling
from switchleg.figures.part_place import listing
from switchleg.figures.support import blades_high_enough
from switchleg.figures.tables import number_of
from switchleg.figures.units import Measure
from switchleg.figures.wire import breaker_suits_wire
from switchleg.tree.model import Value

if TYPE_CHECKING:
    from switchleg.advice.model import SchemeVerdict
    from switchleg.knowledge.load import Knowledge
    from switchleg.knowledge.regions import Region

READS = frozenset(
    {
        "region",
        "wire_size",
        "breaker",
        "wire_metal",
        "fan_weight",
        "blade_height",
        "ceiling_height",
        "place_rating_needed",
    }
)
MOST_WAYS = 4
SaidKind = Literal["text", "item", "warning", "good", "bad", "sum"]
KIND_OF: dict[bool | None, SaidKind] = {True: "good", False: "bad", None: "text"}


class Said(NamedTuple):
    """A line for the card."""

    text: str
    kind: SaidKind = "text"


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


def number_lines(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict | None) -> Iterator[Said]:
    """Every number that the known facts allow, each in a sentence; what cannot be judged says what is missing."""
    said = facts.get("region")
    region = knowledge.regions.get(str(said)) if said else None
    if region is None:
        return
    added = added_by(knowledge, chosen) if chosen else None
    yield from _wall(knowledge, facts, region, added)
    if facts.get("fan_installed") is not False:
        yield from _ceiling(knowledge, facts, region, added)
    yield from _fits(knowledge, facts, region, added)
    if facts.get("motor_label") not in ("ac", "dc"):
        for hint in motor_hints(knowledge, facts, region.voltage_v):
            yield Said(hint)
    if region.not_covered:
        yield Said(f"Not covered here for {region.name}: {'; '.join(region.not_covered)}.")


def _wall(knowledge: Knowledge, facts: Mapping[str, Value], region: Region, added: Added | None) -> Iterator[Said]:
    tables = knowledge.tables
    if facts.get("wall_boxes") == 0:
        return
    if region.box_rule == "depth" and added and added.devices:
        depth = max(row.values["depth"] for row in tables["control_marks"].row if "depth" in row.values)
        fit, ways = depth_fit(Measure(depth, "cm", "length"), None, region, tables)
        yield Said(f"Wall box: a usual control: {fit.text} {' '.join(ways)}".rstrip())
        return
    if region.box_rule not in ("us", "ca"):
        yield Said(f"Wall box: {region.box_rule_text}")
        return
    today = wall_fill(facts, region, tables)
    after = wall_fill(facts, region, tables, devices=added.devices, modules=added.modules) if added else None
    yield from _one_box("Wall box today", today)
    if after is None or (after.contents == today.contents and after.contents is not None):
        return
    yield from _one_box("Wall box after the work", after)
    if after.contents and after.fill and after.fill.fits is False:
        ways = ways_to_fit(after.contents, after.box, region.box_rule, tables, sections=after.sections)
        for way in ways[:MOST_WAYS]:
            yield Said(way, "item")
        if added and added.devices and any("canopy" in way for way in ways) is False:
            yield Said("Or a scheme whose parts lie in the canopy.", "item")


def _one_box(name: str, result: WallFill) -> Iterator[Said]:
    fill = result.fill or result.needed
    if fill is None:
        return
    if fill.available is None:
        yield Said(f"{name}: needs {_volume(fill)}; look for its volume or measure it for its trade size.")
    elif fill.fits is None:
        yield Said(f"{name}: cannot be told yet. {' '.join(fill.remarks)}".strip())
    else:
        word = "enough" if fill.fits else "too full"
        have = both_ways(Measure(fill.available, fill.unit, "volume"))
        yield Said(f"{name}: {_volume(fill)} needed, {have} there: {word}.", "good" if fill.fits else "bad")


def _volume(fill: Fill) -> str:
    return both_ways(Measure(fill.required, fill.unit, "volume"))


def _ceiling(knowledge: Knowledge, facts: Mapping[str, Value], region: Region, added: Added | None) -> Iterator[Said]:
    if region.box_rule not in ("us", "ca"):
        return
    today = ceiling_box_fill(facts, region, knowledge.tables)
    if today.needed is None:
        return
    after: CeilingFill | None = None
    if added and added.canopy_module:
        after = ceiling_box_fill(facts, region, knowledge.tables, leads="module")
    last = after or today
    assert last.needed is not None
    text = f"Ceiling box today: needs {_volume(today.needed)}"
    if after is not None and after.needed is not None:
        same = after.needed.required == today.needed.required
        text += ", and no more after the work" if same else f"; after the work {_volume(after.needed)}"
    yield Said(f"{text} ({', '.join(last.assumed)}).")
    if last.boxes:
        yield Said(f"Look for its volume mark, or its size: the smallest that will do is {last.boxes[0]}.")


def _fits(knowledge: Knowledge, facts: Mapping[str, Value], region: Region, added: Added | None) -> Iterator[Said]:
    tables = knowledge.tables
    wire, breaker = measure(facts, "wire_size", "wire"), measure(facts, "breaker", "current")
    if wire and breaker:
        metal = facts.get("wire_metal")
        yield _said(breaker_suits_wire(wire, breaker, str(metal) if metal else None, region.id, tables))
    weight = measure(facts, "fan_weight", "mass")
    if weight:
        extra = number_of(tables, "added_weight", "canopy parts", "lb") if added and added.canopy_module else None
        hung = Measure(extra, "lb", "mass") if extra else None
        yield _said(carries(facts, region.id, tables, weight, hung))
    height = measure(facts, "blade_height", "length")
    if height:
        yield _said(blades_high_enough(height, region.id, tables))
    ceiling = measure(facts, "ceiling_height", "length")
    if height and ceiling and ceiling.to("mm") > height.to("mm"):
        drop = Measure(ceiling.to("in") - height.to("in"), "in", "length")
        yield _said(blades_from_ceiling(drop, tables))
    place = facts.get("place_rating_needed")
    if place in ("damp", "wet"):
        yield _said(listing(None, str(place)))


def _said(fit: Fit) -> Said:
    doubt = " (A figure that is not sure: check it.)" if fit.doubtful and fit.fits is not None else ""
    return Said(fit.text + doubt, KIND_OF[fit.fits])
