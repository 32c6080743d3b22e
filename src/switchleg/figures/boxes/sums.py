"""The two box-fill sums: NFPA 70 314.16(B) and CSA C22.1 Rule 12-3034. All numbers come from the tables.

Both raise SwitchlegError for a wire size that the table does not have.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from switchleg.figures.boxes.contents import IN3_CM3, Contents, Edition, FillLine, Module, Wires, Yoke
from switchleg.schema.tables import Row, Table, Tables, number_of
from switchleg.units.reading import show_number

Unit = Literal["in3", "cm3"]
Reading = Literal["careful", "lenient"]
"""Of the exception for canopy leads, when there are more than four of them."""


class _Sum:
    """Collects lines for one region's tables in one unit."""

    def __init__(self, tables: Tables, suffix: str, unit: Unit) -> None:
        self.allowance: Table = tables[f"conductor_allowance_{suffix}"]
        self.counts: Table = tables[f"box_counts_{suffix}"]
        self.code = {"us": "NEC", "ca": "CEC"}[suffix]
        self.unit = unit
        self.lines: list[FillLine] = []

    def each(self, wire: str) -> Fraction:
        return number_of({self.allowance.id: self.allowance}, self.allowance.id, wire, self.unit)

    def largest(self, wires: frozenset[str]) -> str | None:
        """The wire with the largest allowance; the first in the alphabet of equals."""
        return max(sorted(wires), key=self.each, default=None)

    def row(self, item: str) -> Row:
        return self.counts.named(item)

    def count(self, item: str, column: str = "counts") -> Fraction:
        return number_of({self.counts.id: self.counts}, self.counts.id, item, column)

    def add(self, item: str, what: str, count: Fraction, wire: str | None) -> None:
        """`count` allowances of `wire` under the rule of `item`; none at all where there is no wire."""
        if wire is not None:
            self.put(item, what, count, self.each(wire))

    def put(self, item: str, what: str, count: Fraction, each: Fraction) -> None:
        row = self.row(item)
        rule = row.words["rule"]
        rule = f"{self.code} {rule}" if rule[0].isdigit() else rule
        self.lines.append(FillLine(what, count, each, rule, self.counts.source_of(row), self.counts.standing_of(row)))

    def wires(self, item: str, wires: Wires, what: str) -> None:
        """A line for each size: "4 wires 14 AWG"."""
        for wire, number in wires:
            if number:
                self.add(item, f"{plural(number, what)} {wire}", number * self.count(item), wire)


def plural(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def us_lines(
    contents: Contents, tables: Tables, unit: Unit, edition: Edition, reading: Reading = "careful"
) -> tuple[FillLine, ...]:
    """The lines of the US sum. Grounds beyond four count a quarter each from the 2020 edition on."""
    work = _Sum(tables, "us", unit)
    largest = work.largest(contents.every_wire() | {yoke.wire for yoke in contents.yokes})
    work.wires("conductor", contents.conductors, "wire")
    work.wires("conductor", contents.through, "through wire")
    work.wires("loop", contents.looped, "looped wire")
    _canopy_leads(work, contents.canopy_leads, reading)
    if contents.internal_clamps:
        work.add("clamp", f"clamps, on {largest}", work.count("clamp"), largest)
    for present, name in ((contents.stud, "stud"), (contents.hickey, "hickey")):
        if present:
            work.add("fitting", f"{name}, on {largest}", work.count("fitting"), largest)
    for yoke in contents.yokes:
        gangs = f", {yoke.gangs} gangs wide" if yoke.gangs > 1 else ""
        work.add("yoke", f"device on {yoke.wire}{gangs}", yoke.gangs * work.count("yoke"), yoke.wire)
    _grounds(work, contents.grounds, edition)
    if any(number for _, number in contents.isolated_grounds):
        wire = work.largest(frozenset(wire for wire, number in contents.isolated_grounds if number))
        work.add("isolated_ground", f"isolated grounds, on {wire}", work.count("isolated_ground"), wire)
    _modules(work, contents.modules)
    return tuple(work.lines)


def _canopy_leads(work: _Sum, leads: Wires, reading: Reading) -> None:
    """Up to four leads smaller than 14 AWG are left out; of more, the careful reading counts every one."""
    limit = work.each(work.row("canopy_lead").words["smaller_than"])
    small = tuple((wire, number) for wire, number in leads if work.each(wire) < limit)
    work.wires("conductor", tuple(lead for lead in leads if lead not in small), "canopy lead")
    total = sum(number for _, number in small)
    free = work.count("canopy_lead", "free")
    if not total:
        return
    if total <= free:
        work.put("canopy_lead", plural(total, "canopy lead"), Fraction(0), Fraction(0))
        return
    left_out = 0 if reading == "careful" else int(free)
    for wire, number in sorted(small, key=lambda lead: work.each(lead[0])):
        spared = min(number, left_out)
        left_out -= spared
        work.wires("canopy_lead", ((wire, number - spared),), "canopy lead")


def _modules(work: _Sum, modules: tuple[Module, ...]) -> None:
    """A loose module has no strap, so no rule names it: its outside volume, or a device's share if more."""
    for module in modules:
        by_count = work.count("loose_module") * work.each(module.wire)
        outside = module.volume.to(work.unit) if module.volume else Fraction(0)
        how = "outside volume" if outside > by_count else f"as a device on {module.wire}"
        work.put("loose_module", f"loose module, {how}", Fraction(1), max(outside, by_count))


def _grounds(work: _Sum, grounds: Wires, edition: Edition) -> None:
    total = sum(number for _, number in grounds)
    if not total:
        return
    wire = work.largest(frozenset(wire for wire, number in grounds if number))
    count = work.count("ground")
    beyond = max(Fraction(0), total - work.count("ground", "free"))
    if edition == "2020":
        count += beyond * work.count("ground", "beyond")
    work.add("ground", f"{plural(total, 'ground')}, on {wire}", count, wire)


def ca_lines(contents: Contents, tables: Tables, unit: Unit) -> tuple[FillLine, ...]:
    """The Canadian sum: connectors in pairs, deep devices by their depth, no grounds, no clamps."""
    work = _Sum(tables, "ca", unit)
    insulated = {wire for wire, number in (*contents.conductors, *contents.through, *contents.looped) if number}
    largest = work.largest(frozenset(insulated | {yoke.wire for yoke in contents.yokes}))
    work.wires("conductor", contents.conductors, "wire")
    work.wires("conductor", contents.through, "through wire")
    work.wires("loop", contents.looped, "looped wire")
    for wire, number in contents.canopy_leads:
        if work.allowance.find(wire) is None:
            work.put("fixture_wire", f"{plural(number, 'canopy lead')} {wire}", Fraction(0), Fraction(0))
        else:
            work.wires("conductor", ((wire, number),), "canopy lead")
    for present, name in ((contents.stud, "stud"), (contents.hickey, "hickey")):
        if present:
            work.add("fitting", f"{name}, on {largest}", work.count("fitting"), largest)
    if pairs := contents.connectors // 2:
        what = f"{plural(contents.connectors, 'wire connector')}, in pairs, on {largest}"
        work.add("connector_pair", what, pairs * work.count("connector_pair"), largest)
    for yoke in contents.yokes:
        _ca_device(work, yoke, largest, unit)
    _modules(work, contents.modules)
    return tuple(work.lines)


def _ca_device(work: _Sum, yoke: Yoke, largest: str | None, unit: Unit) -> None:
    depth = yoke.depth.to("cm") if yoke.depth else None
    if depth is None or depth <= work.count("deep_device", "depth_cm"):
        work.add("device", f"device, on {largest}", yoke.gangs * work.count("device"), largest)
        return
    cm3 = work.count("deep_device", "cm3_per_cm") * depth
    each = cm3 / IN3_CM3 if unit == "in3" else cm3
    what = f"device {show_number(depth)} cm deep"
    work.put("deep_device", what, Fraction(yoke.gangs), each)
