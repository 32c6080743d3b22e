"""Small parts and tools: connectors counted from the plan's joints, caps, plates, boxes, marking, tester."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from switchleg.advice.model import SchemeVerdict
from switchleg.advice.numbers.boxes import ceiling_after
from switchleg.advice.numbers.safety import measure, wall_fill
from switchleg.advice.numbers.sheets import added_by
from switchleg.advice.wording.phrases import number
from switchleg.figures.boxes.ceiling_box import ceiling_box_fill
from switchleg.figures.boxes.contents import volume_both_ways
from switchleg.figures.boxes.remedies import next_boxes
from switchleg.schema.questions import Value
from switchleg.schema.tables import number_of
from switchleg.units.display import both_ways
from switchleg.units.reading import Measure

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

Small = tuple[str, Literal["small", "box", "tool"], int, str]
"""Key, sort, how many, and the line itself."""

TESTER = "A two-pole tester or a low-impedance meter, and a known live source to prove it on."
UNCOUNTED = (
    "Wire connectors listed for the sizes and numbers of wires that meet in each joint of the plan, "
    "and one for each capped end."
)


def small_parts(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict) -> Iterator[Small]:
    """Boxes, plates, connectors, caps and marking of the plan; then the tester."""
    yield from _boxes(knowledge, facts, chosen)
    yield from _plates(knowledge, facts, chosen)
    yield from _connectors(chosen)
    if any("mark" in splice.remark.lower() for box in chosen.plan or () for splice in box.splices):
        yield (
            "marking",
            "small",
            1,
            "Marking tape or sleeve for the wires that the plan has marked, in the right colour.",
        )
    yield "tester", "tool", 1, TESTER


def joints(chosen: SchemeVerdict) -> tuple[Counter[int], int]:
    """How many joints of how many ends the plan has, and how many capped ends."""
    found: Counter[int] = Counter()
    caps = 0
    for box in chosen.plan or ():
        found.update(len(splice.ends) for splice in box.splices if len(splice.ends) > 1)
        caps += len(box.capped)
    return found, caps


def _connectors(chosen: SchemeVerdict) -> Iterator[Small]:
    found, caps = joints(chosen)
    if not found and not caps:
        yield "connectors", "small", 0, UNCOUNTED
        return
    sizes = ", ".join(f"{count} for {ends} wires" for ends, count in sorted(found.items()))
    total = sum(found.values())
    if total:
        text = (
            f"Wire connectors, {total} at most: {sizes}; listed for the size of these wires, solid with stranded. "
            "A screw terminal saves one."
        )
        yield "connectors", "small", total, text
    if caps:
        yield "caps", "small", caps, f"{number(caps).capitalize()} more to cap unused ends."


def _plates(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict) -> Iterator[Small]:
    """A blank plate, or part of one, where a control leaves the wall."""
    if facts.get("wall_boxes") == 0 or "wall_gangs" not in facts:
        return
    today, after = int(facts["wall_gangs"]), added_by(knowledge, chosen).devices
    if after >= today or int(facts.get("wall_boxes", 1)) > 1:
        return
    blank = today - after
    own = " (unless the button's own plate covers it)" if "wall_button" in chosen.parts else ""
    if after == 0:
        text = f"A blank plate for {number(today)} {'gang' if today == 1 else 'gangs'}{own}."
    else:
        text = f"A plate for {number(today)} gangs with {number(blank)} blank{own}."
    yield f"plate {today} {blank}", "small", 1, text


def _boxes(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict) -> Iterator[Small]:
    region = knowledge.regions.get(str(facts.get("region", "")))
    overfull = any(
        fill is not None and fill.fits is False
        for fill in (
            ceiling_box_fill(facts, region, knowledge.tables).fill,
            ceiling_after(knowledge, facts, region, chosen).fill,
        )
    )
    if "fan_rated_box" in chosen.preparations or (overfull and facts.get("fan_installed") is not False):
        yield "fan box", "box", 1, _fan_box(knowledge, facts, chosen)
    if region is None or region.box_rule not in ("us", "ca"):
        return
    if not {"larger_box", "add_wall_gang"} & set(chosen.preparations):
        return
    added = added_by(knowledge, chosen)
    new = chosen.new_cables
    result = wall_fill(facts, region, knowledge.tables, devices=added.devices, modules=added.modules, new=new)
    if result.contents is None or result.needed is None:
        yield "wall box", "box", 1, "A larger wall box (a licensed electrician fits it)."
        return
    needed = volume_both_ways(result.needed.required, result.needed.unit)
    found = next_boxes(result.contents, region.box_rule, knowledge.tables, shapes=("device", "square"))
    # A device box first: a square one of the same volume is often too shallow for an electronic control.
    boxes = sorted(found, key=lambda one: one[0].words.get("shape") != "device")
    joined = f"{boxes[0][1]} x " if boxes and boxes[0][1] > 1 else ""
    named = f", such as {joined}{boxes[0][0].name}" if boxes else ""
    devices = "one device" if added.devices == 1 else f"{number(added.devices)} devices"
    text = f"A wall box with room for {devices}, marked with at least {needed}{named}"
    yield f"wall box {needed}", "box", 1, f"{text} (a licensed electrician fits it)."


def _fan_box(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict) -> str:
    text = "A ceiling box marked for fan support"
    weight = measure(facts, "fan_weight", "mass")
    if weight is not None:
        extra = Measure(number_of(knowledge.tables, "added_weight", "canopy parts", "lb"), "lb", "mass")
        unit = "lb" if weight.unit in ("lb", "oz") else "kg"
        hung = Measure(weight.to(unit) + extra.to(unit), unit, "mass")
        if unit == "kg":
            hung = Measure(Fraction(-(-hung.amount * 10 // 1), 10), unit, "mass")
        text += f", for at least {both_ways(hung)}"
    else:
        text += ", for at least the weight of the fan with all its parts"
    region = knowledge.regions.get(str(facts.get("region", "")))
    fill = ceiling_after(knowledge, facts, region, chosen)
    if fill.careful is not None:
        text += f", volume {volume_both_ways(fill.careful.required, fill.careful.unit)} or more"
    return f"{text} (a licensed electrician fits it)."
