"""A box-fill sum held against a box: its marked volume or its trade size, in the unit of the box.

US: NFPA 70, 314.16. Canada: CSA C22.1, 12-3034. Anywhere else: not covered here, and no number is given.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from switchleg.figures.boxes.contents import Contents, Edition, Fill, volume
from switchleg.figures.boxes.sums import Reading, Unit, ca_lines, us_lines
from switchleg.schema.regions import BoxRule
from switchleg.schema.tables import Tables, number_of
from switchleg.units.reading import Measure

EDITIONS: dict[str, str] = {
    "2017": "NFPA 70, 2017 and earlier",
    "2020": "NFPA 70, 2020 and later",
    "ca": "CSA C22.1:21",
}


@dataclass(frozen=True)
class Space:
    """The room in a box: its volume in the unit that was printed or marked, and what it is called."""

    volume: Fraction
    unit: Unit
    name: str
    doubtful: bool = False


def space_of(box: str | Measure, rule: BoxRule, tables: Tables, sections: int = 1) -> Space:
    """The volume of a box from its mark ("18 in3") or its trade size; `sections` joined side by side.

    SwitchlegError when the trade size is not in the region's table.
    """
    if isinstance(box, Measure):
        if box.unit == "in3":
            return Space(box.amount, "in3", f"marked {box}")
        return Space(box.to("cm3"), "cm3", f"marked {box}")
    table = tables[f"box_volumes_{rule}"]
    row = table.named(box, where="wall_box_volume")
    unit: Unit = "in3" if row.number("in3") is not None else "cm3"
    each = number_of(tables, table.id, row.name, unit)
    name = row.name if sections == 1 else f"{sections} x {row.name}"
    return Space(each * sections, unit, name, table.standing_of(row) == "doubtful")


def box_fill(
    contents: Contents,
    box: str | Measure | None,
    rule: BoxRule,
    tables: Tables,
    *,
    edition: Edition = "2020",
    reading: Reading = "careful",
    sections: int = 1,
) -> Fill:
    """The sum of `contents` by `rule`, held against `box` (a marked volume or a trade size) if there is one.

    The sum is made in the unit of the box: both columns of the published tables are used as printed.
    SwitchlegError for a wire or trade size that the region's tables do not have.
    """
    if rule not in ("us", "ca"):
        return Fill(covered=False, remarks=("Box fill by volume is not covered here for this region.",))
    space = space_of(box, rule, tables, sections) if box is not None else None
    unit: Unit = space.unit if space else ("in3" if rule == "us" else "cm3")
    if rule == "us":
        lines = us_lines(contents, tables, unit, edition, reading)
    else:
        lines = ca_lines(contents, tables, unit)
    name = EDITIONS[edition if rule == "us" else "ca"]
    fill = Fill(unit=unit, lines=lines, edition=name)
    remarks = [f"counted by {name}"]
    if space is None:
        return fill.with_remarks(*remarks)
    fits = fill.required <= space.volume
    fill = Fill(unit, lines, space.volume, fits, edition=name, box=space.name)
    if rule == "us":
        remarks += _us_remarks(contents, tables, fill, edition, reading)
    if space.doubtful:
        remarks.append("the volume of this box is from memory: check it against Table 23 or the box's own mark")
    return fill.with_remarks(*remarks)


def _us_remarks(contents: Contents, tables: Tables, fill: Fill, edition: Edition, reading: Reading) -> list[str]:
    """What the other edition or the other reading would say, where that changes the verdict."""
    assert fill.available is not None
    remarks = []
    other: Edition = "2017" if edition == "2020" else "2020"
    there = sum((line.total for line in us_lines(contents, tables, fill.unit, other, reading)), Fraction(0))
    if (there <= fill.available) != fill.fits:
        word = "fits" if there <= fill.available else "does not fit"
        remarks.append(f"by {EDITIONS[other]} it {word}: {volume(there, fill.unit)}")
    if reading == "careful":
        kind = sum((line.total for line in us_lines(contents, tables, fill.unit, edition, "lenient")), Fraction(0))
        if kind != fill.required:
            remarks.append(
                "more than four canopy leads: all are counted here; a lenient reading counts those beyond "
                f"four, {volume(kind, fill.unit)}"
            )
    return remarks
