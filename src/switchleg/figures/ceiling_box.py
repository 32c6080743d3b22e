"""The ceiling box before and after the work: what it must hold, and which box would do.

Its volume is not among the answers, so the sum says what the box must be marked with.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from switchleg.figures.both_ways import both_ways
from switchleg.figures.box_model import Contents, Fill
from switchleg.figures.box_space import box_fill
from switchleg.figures.box_ways import next_boxes
from switchleg.figures.tables import Tables, number_of
from switchleg.figures.units import Measure
from switchleg.knowledge.regions import Region
from switchleg.tree.model import Value

READS: frozenset[str] = frozenset(
    {"region", "ceiling_cables", "run_conductors", "wire_size", "ceiling_ground", "light_kit", "receiver", "wall_boxes"}
)
LEAD = "18 AWG"
SHAPES = ("octagon", "square")


@dataclass(frozen=True)
class CeilingFill:
    """`needed` with its assumptions, or None with the facts that are `missing` or a `note` that says why not."""

    needed: Fill | None = None
    missing: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    note: str = ""
    boxes: tuple[str, ...] = ()
    """The smallest boxes of the table that hold it, in words."""


def ceiling_box_fill(
    facts: Mapping[str, Value], region: Region | None, tables: Tables, *, leads: str = ""
) -> CeilingFill:
    """What the ceiling box must hold: its cables, grounds, and the leads of what hangs beneath it.

    `leads` is a row of the table canopy_leads; empty: as today, by light kit and receiver.
    """
    if region is None:
        return CeilingFill(missing=("region",))
    if region.box_rule not in ("us", "ca"):
        return CeilingFill(note=f"The volume of a ceiling box is not covered here. {region.box_rule_text}")
    wanted = ["ceiling_cables", "wire_size", *([] if facts.get("wall_boxes") == 0 else ["run_conductors"])]
    missing = tuple(name for name in wanted if not facts.get(name))
    if missing:
        return CeilingFill(missing=missing)
    wire = str(facts["wire_size"])
    if tables[f"conductor_allowance_{region.box_rule}"].find(wire) is None:
        return CeilingFill(note=f"Box fill with {wire} is not covered here: the table goes by AWG sizes.")
    cables = int(facts["ceiling_cables"])
    run = int(facts.get("run_conductors", 2))
    assumed = [f"all wires are {wire}", "no clamps or stud inside"]
    if cables > 1:
        assumed.append("every cable but the one to the wall has two insulated conductors")
    if "ceiling_ground" not in facts and region.box_rule == "us":
        assumed.append("a ground in every cable")
    row = leads or _leads_today(facts)
    count = int(number_of(tables, "canopy_leads", row, "leads"))
    assumed.append(f"{count} leads of {LEAD} from the canopy")
    contents = Contents(
        conductors=((wire, run + 2 * (cables - 1)),),
        grounds=((wire, cables if facts.get("ceiling_ground", True) else 0),),
        canopy_leads=((LEAD, count),),
        connectors=3 if region.box_rule == "ca" else 0,
    )
    if region.box_rule == "ca":
        assumed.append("3 wire connectors")
    needed = box_fill(contents, None, region.box_rule, tables)
    boxes = tuple(
        f"{found.name}, {both_ways(Measure(fill.available, fill.unit, 'volume'))}"
        for found, _, fill in next_boxes(contents, region.box_rule, tables, shapes=SHAPES)
        if fill.available is not None
    )
    return CeilingFill(needed, (), tuple(assumed), "", boxes)


def _leads_today(facts: Mapping[str, Value]) -> str:
    if facts.get("receiver") is True:
        return "receiver"
    return "fan without light lead" if facts.get("light_kit") == "none" else "fan with light lead"
