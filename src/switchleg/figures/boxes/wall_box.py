"""Does it all fit in the wall box? Built from the facts of the house, with every assumption said.

The sum itself, for any contents and box, is `box_fill` (figures.box_space), offered from here too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from switchleg.errors import SwitchlegError
from switchleg.figures.boxes.contents import Contents, Edition, Fill, FillLine, Module, Yoke
from switchleg.figures.boxes.remedies import deepest_device
from switchleg.figures.boxes.space import box_fill
from switchleg.schema.questions import Value
from switchleg.schema.regions import BoxRule, Region
from switchleg.schema.tables import Tables, number_of
from switchleg.units.reading import Measure, parse_measure

__all__ = ["Contents", "Fill", "FillLine", "Module", "WallFill", "Yoke", "box_fill", "wall_box_fill"]

LINK = 3
"""Insulated conductors of a cable between two wall boxes, where nobody counted them."""


@dataclass(frozen=True)
class WallFill:
    """The wall box: `fill` when it can be judged, else None with the facts that are `missing`.

    `needed` is the sum without a box, as soon as the contents are known; `assumed` says what was taken
    for granted; `note` why there is no sum, or what is wrong with the box's size.
    """

    fill: Fill | None = None
    needed: Fill | None = None
    missing: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    note: str = ""
    contents: Contents | None = None
    box: str | Measure | None = None
    sections: int = 1
    """What lies in it and the box itself, for somebody who asks what would make it fit."""


def wall_box_fill(
    facts: Mapping[str, Value],
    region: Region | None,
    tables: Tables,
    *,
    devices: int | None = None,
    device_depth: Measure | None = None,
    connectors: int | None = None,
    modules: int = 0,
    link: int = LINK,
    edition: Edition = "2020",
) -> WallFill:
    """The wall box as it will be: the cables that the facts name, `devices` (else as many as gangs today).

    `modules` are relay modules lying behind the devices. Feed and onward cables are taken to hold two
    insulated conductors, one to a second wall box `link` of them. For Canada an unknown device is taken to be
    as deep as electronic ones usually are.
    """
    if region is None:
        return WallFill(missing=("region",))
    if region.box_rule not in ("us", "ca"):
        return WallFill(note=region.box_rule_text)
    if facts.get("wall_boxes") == 0:
        return WallFill(note="There is no wall box.")
    wanted = ["wall_cables", "run_conductors", "wire_size"]
    missing = tuple(name for name in wanted if not facts.get(name))
    if devices is None and "wall_gangs" not in facts:
        missing += ("wall_gangs",)
    known_box = "wall_box_volume" in facts
    if missing:
        return WallFill(missing=missing if known_box else (*missing, "wall_box_volume"))
    wire = str(facts["wire_size"])
    if tables[f"conductor_allowance_{region.box_rule}"].find(wire) is None:
        return WallFill(note=f"Box fill with {wire} is not covered here: the table goes by AWG sizes.")
    assumed: list[str] = []
    gangs = _gangs(facts, assumed)
    count = devices if devices is not None else gangs or 0
    depth = device_depth
    if region.box_rule == "ca" and depth is None and count:
        depth = _usual_depth(tables)
        assumed.append(f"each device {depth} deep behind its strap")
    contents = _contents(facts, region.box_rule, wire, count, depth, connectors, modules, link, assumed)
    needed = box_fill(contents, None, region.box_rule, tables, edition=edition)
    if not known_box:
        return WallFill(None, needed, ("wall_box_volume",), tuple(assumed), contents=contents)
    box, sections, trouble = _box(str(facts["wall_box_volume"]), region.box_rule, tables, gangs or count, assumed)
    if trouble:
        return WallFill(None, needed, ("wall_box_volume",), tuple(assumed), trouble, contents)
    fill = box_fill(contents, box, region.box_rule, tables, edition=edition, sections=sections)
    if region.box_rule == "ca" and device_depth is None and count and fill.fits is False:
        fill = _by_depth(fill, contents, box, tables, sections)
    return WallFill(fill, needed, (), tuple(assumed), "", contents, box, sections)


def _gangs(facts: Mapping[str, Value], assumed: list[str]) -> int | None:
    """Device widths of one wall box today; None when it is not known."""
    if "wall_gangs" not in facts:
        return None
    gangs = int(facts["wall_gangs"])
    boxes = int(facts.get("wall_boxes", 1))
    if boxes > 1:
        assumed.append(f"the devices are spread over the {boxes} boxes")
        return -(-gangs // boxes)
    return gangs


def _contents(
    facts: Mapping[str, Value],
    rule: BoxRule,
    wire: str,
    devices: int,
    depth: Measure | None,
    connectors: int | None,
    modules: int,
    link: int,
    assumed: list[str],
) -> Contents:
    cables = int(facts["wall_cables"])
    run = int(facts["run_conductors"])
    others = [2] * (cables - 1)
    if others:
        assumed.append("every cable but the one to the fan has two insulated conductors")
    if others and int(facts.get("wall_boxes", 1)) > 1:
        others[0] = link
        assumed.append(f"the cable between the wall boxes has {link}")
    assumed.append(f"all wires are {wire}")
    if rule == "us" and "wall_ground" not in facts:
        assumed.append("a ground in every cable")
    clamps = bool(facts.get("wall_box_clamps", True))
    if rule == "us" and "wall_box_clamps" not in facts:
        assumed.append("clamps inside the box")
    if connectors is None:
        connectors = 3 + devices
        if rule == "ca":
            assumed.append(f"{connectors} wire connectors")
    return Contents(
        conductors=((wire, run + sum(others)),),
        grounds=((wire, cables if facts.get("wall_ground", True) else 0),),
        internal_clamps=clamps,
        yokes=(Yoke(wire, 1, depth),) * devices,
        modules=(Module(wire),) * modules,
        connectors=connectors,
    )


def _box(text: str, rule: BoxRule, tables: Tables, gangs: int, assumed: list[str]) -> tuple[str | Measure, int, str]:
    """The box as marked or by its trade size; how many sections; what is wrong with the answer."""
    row = tables[f"box_volumes_{rule}"].find(text)
    if row is None:
        try:
            return parse_measure(text, "volume", "wall_box_volume"), 1, ""
        except SwitchlegError:
            trouble = f"The size {text!r} is not in the table used here; look for a volume marked inside."
            return text, 1, trouble
    if gangs > 1 and row.words.get("gangs") == "one":
        return row.name, 1, f"A box {row.name} holds one device only; look at its size again."
    if gangs > 1 and row.words.get("gangs") == "joined":
        assumed.append(f"{gangs} such boxes joined side by side")
        return row.name, gangs, ""
    return row.name, 1, ""


def _usual_depth(tables: Tables) -> Measure:
    depths = [row.values["depth"] for row in tables["control_marks"].row if "depth" in row.values]
    return Measure(max(depths), "cm", "length")


def _by_depth(fill: Fill, contents: Contents, box: str | Measure, tables: Tables, sections: int) -> Fill:
    """Too full with devices of the usual depth: say up to which depth it fits, or that no device does."""
    deepest = deepest_device(contents, box, tables, sections)
    if deepest is None:
        return fill
    limit = number_of(tables, "box_counts_ca", "deep_device", "depth_cm")
    word = "if no device is" if deepest.amount > limit else "with devices no"
    remark = f"fits only {word} deeper than {deepest}: measure it"
    return replace(fill, fits=None).with_remarks(remark)
