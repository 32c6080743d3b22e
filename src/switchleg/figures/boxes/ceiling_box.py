"""The ceiling box before and after the work: what it must hold, against its volume, and which box would do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from switchleg.errors import SwitchlegError
from switchleg.figures.boxes.contents import Contents, Fill, volume_both_ways
from switchleg.figures.boxes.remedies import next_boxes
from switchleg.figures.boxes.space import box_fill
from switchleg.schema.questions import Value
from switchleg.schema.regions import Region
from switchleg.schema.tables import Tables, number_of
from switchleg.units.display import both_ways
from switchleg.units.reading import Measure, parse_measure

LEAD = "18 AWG"
UNTOLD_WIRE = "12 AWG"
"""Taken when nobody has read the cable: the larger of the two usual sizes, so that no box looks roomier."""
SHAPES = ("octagon", "square")
LIGHT_BESIDE = "light lead beside the receiver"


@dataclass(frozen=True)
class CeilingFill:
    """`needed` with its assumptions, or None with the facts that are `missing` or a `note` that says why not.

    `fill` holds it against the box when its volume is known. Nobody is asked for clamps up here: where they
    would decide, `fill.fits` is None and a remark says so; likewise where the two readings of more than four
    canopy leads would. `lenient`: the sum by the reading that leaves four of them out, where it is another.
    """

    needed: Fill | None = None
    fill: Fill | None = None
    missing: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    note: str = ""
    boxes: tuple[str, ...] = ()
    """The smallest boxes of the table that hold it, clamps inside counted, in words."""
    lenient: Fill | None = None
    careful: Fill | None = None
    """The sum with clamps inside: what a box that is still to be bought must hold."""
    contents: Contents | None = None
    box: str | Measure | None = None


def ceiling_box_fill(
    facts: Mapping[str, Value], region: Region | None, tables: Tables, *, leads: Sequence[str] = ()
) -> CeilingFill:
    """What the ceiling box must hold: its cables, grounds, and the leads of all that hangs beneath it.

    `leads` are rows of the table canopy_leads, added up; empty: as today, by light kit and receiver.
    """
    if region is None:
        return CeilingFill(missing=("region",))
    if region.box_rule not in ("us", "ca"):
        return CeilingFill(note=f"The volume of a ceiling box is not covered here. {region.box_rule_text}")
    wanted = ["ceiling_cables", *([] if facts.get("wall_boxes") == 0 else ["run_conductors"])]
    missing = tuple(name for name in wanted if not facts.get(name))
    if missing:
        return CeilingFill(missing=missing)
    told = facts.get("wire_size")
    wire = str(told or UNTOLD_WIRE)
    if tables[f"conductor_allowance_{region.box_rule}"].find(wire) is None:
        return CeilingFill(note=f"Box fill with {wire} is not covered here: the table goes by AWG sizes.")
    cables = int(facts["ceiling_cables"])
    run = int(facts.get("run_conductors", 2))
    assumed = [f"all wires are {wire}" + ("" if told else ", the larger usual size"), "no stud inside"]
    if cables > 1:
        assumed.append("every cable but the one to the wall has two insulated conductors")
    if "ceiling_ground" not in facts and region.box_rule == "us":
        assumed.append("a ground in every cable")
    rows = leads or leads_today(facts)
    count, connectors = (
        int(sum(number_of(tables, "canopy_leads", row, column) for row in rows)) for column in ("leads", "connectors")
    )
    assumed.append(f"{count} leads of {LEAD} from the canopy" + (f" ({', '.join(rows)})" if len(rows) > 1 else ""))
    contents = Contents(
        conductors=((wire, run + 2 * (cables - 1)),),
        grounds=((wire, cables if facts.get("ceiling_ground", True) else 0),),
        canopy_leads=((LEAD, count),),
        connectors=connectors if region.box_rule == "ca" else 0,
    )
    if region.box_rule == "ca":
        assumed.append(f"{connectors} wire connectors")
    needed = box_fill(contents, None, region.box_rule, tables)
    clamped = replace(contents, internal_clamps=region.box_rule == "us")
    boxes = tuple(
        f"{found.name}, {both_ways(Measure(fill.available, fill.unit, 'volume'))}"
        for found, _, fill in next_boxes(clamped, region.box_rule, tables, shapes=SHAPES)
        if fill.available is not None
    )
    careful = box_fill(clamped, None, region.box_rule, tables)
    kind = box_fill(contents, None, region.box_rule, tables, reading="lenient")
    lenient = kind if kind.required != needed.required else None
    done = CeilingFill(needed, None, (), tuple(assumed), "", boxes, lenient, careful, contents)
    if "ceiling_box_volume" not in facts:
        clear = ("no clamps inside",) if region.box_rule == "us" else ()
        return replace(done, missing=("ceiling_box_volume",), assumed=(*assumed, *clear))
    return _against_box(done, contents, clamped, str(facts["ceiling_box_volume"]), region, tables)


def _against_box(
    done: CeilingFill, contents: Contents, clamped: Contents, text: str, region: Region, tables: Tables
) -> CeilingFill:
    """The sum at its least and at its most against the box; what lies between is told only where it decides."""
    row = tables[f"box_volumes_{region.box_rule}"].find(text)
    box: str | Measure
    if row is not None:
        box = row.name
    else:
        try:
            box = parse_measure(text, "volume", "ceiling_box_volume")
        except SwitchlegError:
            note = f"The size {text!r} is not in the table used here; look for a volume marked inside."
            return replace(done, note=note, missing=("ceiling_box_volume",))
    rule = region.box_rule
    least = box_fill(contents, box, rule, tables, reading="lenient")
    bare, full = (box_fill(held, box, rule, tables) for held in (contents, clamped))
    if least.fits is False:
        assumed = (*done.assumed, "no clamps inside") if rule == "us" else done.assumed
        if bare.required != least.required:
            least = least.with_remarks(f"with all canopy leads counted it needs {_shown(bare)}")
        return replace(done, fill=least, contents=contents, box=box, assumed=assumed)
    if full.fits:
        assumed = (*done.assumed, "clamps inside") if rule == "us" else done.assumed
        return replace(done, fill=full, contents=clamped, box=box, assumed=assumed)
    doubt = f"cable clamps inside would make it too full ({_shown(full)} needed): look for them"
    if bare.fits is False:
        some = box_fill(clamped, box, rule, tables, reading="lenient")
        doubt = (
            "more than four canopy leads are read in two ways: with four of them left out it fits, with all counted "
            f"it is too full ({_shown(bare)} needed): ask the inspector"
        )
        if some.fits is False:
            doubt += f"; cable clamps inside make it too full in any case ({_shown(some)}): look for them"
        return replace(done, fill=replace(least, fits=None).with_remarks(doubt), contents=clamped, box=box)
    return replace(done, fill=replace(bare, fits=None).with_remarks(doubt), contents=clamped, box=box)


def _shown(fill: Fill) -> str:
    return volume_both_ways(fill.required, fill.unit)


def leads_today(facts: Mapping[str, Value]) -> tuple[str, ...]:
    """Rows of canopy_leads for what hangs there."""
    if facts.get("receiver") is True:
        own = facts.get("light_kit") not in (None, "none") and facts.get("receiver_light_lead") == "none"
        return ("receiver", LIGHT_BESIDE) if own else ("receiver",)
    return plain_leads(facts)


def plain_leads(facts: Mapping[str, Value]) -> tuple[str, ...]:
    """Rows of canopy_leads for a fan whose own leads end in the box."""
    return ("fan without light lead",) if facts.get("light_kit") == "none" else ("fan with light lead",)
