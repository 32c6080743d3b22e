"""Box fill on its own: contents and box as given, the sum by the region's rule, and what would make it fit."""

from __future__ import annotations

from switchleg.errors import SwitchlegError
from switchleg.figures.boxes.contents import Contents, Edition, Fill, Wires, volume_both_ways
from switchleg.figures.boxes.remedies import depth_fit, ways_to_fit
from switchleg.figures.boxes.space import box_fill
from switchleg.figures.boxes.sums import Reading
from switchleg.figures.fit import Fit
from switchleg.figures.sheet import Number, Sheet, distinct, shown_given
from switchleg.schema.regions import Region
from switchleg.schema.tables import Tables, number_of
from switchleg.units.display import both_ways
from switchleg.units.reading import Measure, show_number

TITLE = "Room in a box"


def box_sheet(
    contents: Contents,
    box: str | Measure | None,
    region: Region,
    tables: Tables,
    *,
    edition: Edition = "2020",
    reading: Reading = "careful",
    sections: int = 1,
    device_depth: Measure | None = None,
    box_depth: Measure | None = None,
) -> Sheet:
    """The whole calculation for a region: its volume sum, its depth rule, or "not covered here".

    SwitchlegError for wires or boxes that the tables do not have, or when nothing was named.
    """
    if region.box_rule in ("us", "ca"):
        if device_depth is not None or box_depth is not None:
            raise SwitchlegError(
                f"the sum of {region.name} goes by volume and does not look at these depths",
                where="--device-depth" if device_depth is not None else "--box-depth",
                expected="a device with its depth, such as --device '14 AWG, 4 cm deep'",
                mend="switchleg figures part --depth ... --box-depth ... tells whether it goes in",
            )
        return _by_volume(contents, box, region, tables, edition, reading, sections)
    if region.box_rule == "depth":
        if device_depth is None:
            return Sheet(
                "box-fill",
                TITLE,
                verdict=f"Box fill by volume is not covered here for {region.name}. {region.box_rule_text} "
                "Give --device-depth and --box-depth.",
                covered=False,
            )
        fit, ways = depth_fit(device_depth, box_depth, region, tables)
        return _by_depth(fit, ways, device_depth, box_depth)
    text = f"Not covered here for {region.name}. {region.box_rule_text}"
    return Sheet("box-fill", TITLE, verdict=text, covered=False)


def _by_volume(
    contents: Contents,
    box: str | Measure | None,
    region: Region,
    tables: Tables,
    edition: Edition,
    reading: Reading,
    sections: int,
) -> Sheet:
    if contents == Contents():
        raise SwitchlegError(
            "nothing is in the box",
            where="box-fill",
            expected="at least one of --cable, --wires, --device",
            mend="for instance --cable 14/2 --cable 14/3 --device '14 AWG' --box '18 in3'",
        )
    rule = region.box_rule
    fill = box_fill(contents, box, rule, tables, edition=edition, reading=reading, sections=sections)
    ways = ways_to_fit(contents, box, rule, tables, edition=edition, sections=sections)
    numbers = [Number("needed", fill.required, fill.unit)]
    if fill.available is not None:
        numbers.append(Number("available", fill.available, fill.unit))
    flat = _flat(contents, region, tables)
    remarks = [remark for remark in fill.remarks if not remark.startswith("counted by")]
    return Sheet(
        "box-fill",
        TITLE,
        given_contents(contents, box),
        fill.printable()[: len(fill.printable()) - len(fill.remarks)],
        _verdict(fill, " if no device is deep" if flat else ""),
        fill.fits,
        ways,
        tuple(numbers),
        (fill.edition,),
        distinct((tables[f"conductor_allowance_{rule}"].source, *fill.sources)),
        distinct((*remarks, *_habits(fill), *flat)),
    )


HOW_SURE = {
    "practice": "a sensible reading that no rule names",
    "estimate": "a sensible reading that no rule names",
    "doubtful": "a reading in doubt; check the adopted code",
}


def _habits(fill: Fill) -> tuple[str, ...]:
    return tuple(
        f"{line.what}: {line.rule}, {HOW_SURE[line.standing]}" for line in fill.lines if line.standing in HOW_SURE
    )


def _flat(contents: Contents, region: Region, tables: Tables) -> tuple[str, ...]:
    """Where depth counts, a device whose depth nobody gave was counted as a flat one: that is said."""
    if region.box_rule != "ca" or all(yoke.depth for yoke in contents.yokes):
        return ()
    limit = number_of(tables, "box_counts_ca", "deep_device", "depth_cm")
    return (
        f"a device without its depth is counted as no deeper than {show_number(limit)} cm; "
        "most electronic controls are deeper: measure it and give it, as in '14 AWG, 4 cm deep'",
    )


def _verdict(fill: Fill, proviso: str) -> str:
    needed = volume_both_ways(fill.required, fill.unit)
    if fill.available is None:
        return f"Needs {needed}."
    have = both_ways(Measure(fill.available, fill.unit, "volume"))
    word = f"Fits{proviso}" if fill.fits else "Does not fit"
    return f"{word}: {needed} needed, {have} in the box."


def _by_depth(fit: Fit, ways: tuple[str, ...], device: Measure, box: Measure | None) -> Sheet:
    word = {True: "Fits.", False: "Does not fit.", None: "Cannot be told from this alone."}[fit.fits]
    return Sheet(
        "box-fill",
        TITLE,
        shown_given([("depth of the device", device), ("depth of the box", box)]),
        (fit.text,),
        word,
        fit.fits,
        ways,
        editions=(fit.rule,),
        sources=fit.sources,
        doubts=("The room for cores is common practice, no source.",) if fit.doubtful else (),
    )


def given_contents(contents: Contents, box: str | Measure | None) -> tuple[tuple[str, str], ...]:
    """What lies in the box, a line each."""
    lists: tuple[tuple[str, Wires], ...] = (
        ("wires ending or joined", contents.conductors),
        ("wires passing through", contents.through),
        ("looped wires", contents.looped),
        ("grounds", contents.grounds),
        ("isolated grounds", contents.isolated_grounds),
        ("leads from the canopy", contents.canopy_leads),
    )
    found = [(name, ", ".join(f"{count} x {wire}" for wire, count in wires if count)) for name, wires in lists if wires]
    for yoke in contents.yokes:
        text = f"on {yoke.wire}" + (f", {yoke.gangs} gangs" if yoke.gangs > 1 else "")
        found.append(("device", text + (f", {both_ways(yoke.depth)} deep" if yoke.depth else "")))
    for module in contents.modules:
        found.append(("loose module", f"on {module.wire}" + (f", {both_ways(module.volume)}" if module.volume else "")))
    for present, name in (
        (contents.internal_clamps, "clamps inside"),
        (contents.stud, "stud"),
        (contents.hickey, "hickey"),
    ):
        if present:
            found.append((name, "yes"))
    if contents.connectors:
        found.append(("wire connectors", str(contents.connectors)))
    if box is not None:
        found.append(("box", both_ways(box) if isinstance(box, Measure) else box))
    return tuple(found)
