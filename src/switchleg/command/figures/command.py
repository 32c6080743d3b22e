"""`switchleg figures NAME`: one calculation, from the command line's words to a sheet on stdout."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, cast

from switchleg.command.figures.marks import bath_of, motor_clues, part_of, ratings_of, support_of
from switchleg.command.figures.options import measure, region_of, required_region, sure
from switchleg.errors import SwitchlegError

if TYPE_CHECKING:
    from argparse import Namespace

    from switchleg.figures.boxes.contents import Edition
    from switchleg.figures.sheet import Sheet
    from switchleg.knowledge.load import Knowledge


def run(args: Namespace) -> int:
    """Prints the calculation, or with --json the whole sheet. Exit code 0 whatever its verdict."""
    from switchleg.command.figures.print_sheet import as_json, sheet_lines
    from switchleg.command.shell import output
    from switchleg.knowledge.load import load

    knowledge = load()
    sheet = SHEETS[args.calculation](args, knowledge)
    region = region_of(args, knowledge) if hasattr(args, "region") else None
    place = region.id if region else ""
    if region is not None:
        sheet = replace(sheet, sources=region.local(sheet.sources))
    if args.json:
        output.put(as_json(sheet, knowledge.sources, place))
        return 0
    for line, first, rest in sheet_lines(sheet, knowledge.sources, place):
        output.say_wrapped(line, first=first, rest=rest)
    return 0


def _box_fill(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.boxes.contents import Contents
    from switchleg.figures.boxes.sheet import box_sheet
    from switchleg.figures.boxes.typed import added, box_typed, cables_typed, module_typed, wires_typed, yoke_typed

    region = required_region(args, knowledge)
    if args.edition not in ("2017", "2020"):
        raise SwitchlegError(
            f"{args.edition!r} is no edition told apart here",
            where="--edition",
            expected="2017 (and earlier) or 2020 (and later)",
            mend="for 2023 write 2020; for 2014 write 2017",
        )
    for name, count in (("connectors", args.connectors), ("joined", args.joined)):
        if not (0 if name == "connectors" else 1) <= count <= 50:
            raise SwitchlegError(f"{count} is no likely number", where=f"--{name}", expected="a small whole number")
    wires, grounds = cables_typed(args.cable, "--cable")
    contents = Contents(
        conductors=added(wires, wires_typed(args.wires, "--wires")),
        through=wires_typed(args.through, "--through"),
        looped=wires_typed(args.looped, "--looped"),
        grounds=added(grounds, wires_typed(args.grounds, "--grounds")),
        isolated_grounds=wires_typed(args.isolated_grounds, "--isolated-grounds"),
        canopy_leads=wires_typed(args.canopy_leads, "--canopy-leads"),
        internal_clamps=args.clamps,
        stud=args.stud,
        hickey=args.hickey,
        yokes=tuple(yoke_typed(text, "--device") for text in args.device),
        modules=tuple(module_typed(text, "--module") for text in args.module),
        connectors=args.connectors,
    )
    return box_sheet(
        contents,
        None if args.box is None else box_typed(args.box),
        region,
        knowledge.tables,
        edition=cast("Edition", args.edition),
        reading="lenient" if args.lenient else "careful",
        sections=args.joined,
        device_depth=measure(args, "device-depth", "length"),
        box_depth=measure(args, "box-depth", "length"),
    )


def _blade_height(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.fan.height import blade_height_sheet

    return blade_height_sheet(
        required_region(args, knowledge).id,
        knowledge.tables,
        blades=measure(args, "blades", "length"),
        ceiling=measure(args, "ceiling", "length"),
        drop=measure(args, "drop", "length"),
        rod=measure(args, "rod", "length", zero=True),
        motor_drop=measure(args, "motor-drop", "length"),
        wall=measure(args, "to-wall", "length", zero=True),
        slope=measure(args, "slope", "angle"),
        span=measure(args, "span", "length"),
    )


NO_LABEL = (
    "Not covered here for {}: no label rule for hours and price. Give --high-hours, --low-hours and --price, and your "
    "own are reckoned with."
)


def _yearly_cost(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.fan.energy import efficiency_against_law, parse_price, yearly_cost
    from switchleg.figures.sheet import Sheet
    from switchleg.schema.tables import tables_for

    high = sure(args, "high", "power")
    low, standby = measure(args, "low", "power"), measure(args, "standby", "power", zero=True)
    region = region_of(args, knowledge)
    own = args.price is not None and args.high_hours is not None and args.low_hours is not None
    if region is not None and not own and tables_for(knowledge.tables, "energy_label_", region.id) is None:
        return Sheet("yearly-cost", "What the fan costs in a year", verdict=NO_LABEL.format(region.name), covered=False)
    sheet = yearly_cost(
        high,
        low,
        standby,
        knowledge.tables,
        price=None if args.price is None else parse_price(args.price, "--price"),
        high_hours=measure(args, "high-hours", "duration", zero=True),
        low_hours=measure(args, "low-hours", "duration", zero=True),
        added=measure(args, "added", "power"),
    )
    span, flow = measure(args, "span", "length"), measure(args, "airflow-high", "airflow")
    slow = measure(args, "airflow-low", "airflow")
    if span is None or flow is None:
        return sheet
    fit = efficiency_against_law(
        args.kind,
        span,
        region.id if region else None,
        knowledge.tables,
        high=(flow, high),
        low=(slow, low) if slow and low else None,
        standby=standby,
    )
    return replace(
        sheet,
        lines=(*sheet.lines, fit.text),
        editions=tuple(dict.fromkeys((*sheet.editions, *([fit.rule] if fit.rule else [])))),
        sources=tuple(dict.fromkeys((*sheet.sources, *fit.sources))),
    )


def _capacitor(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.fan.capacitor import capacitor_sheet
    from switchleg.units.reading import parse_measure

    return capacitor_sheet(
        [parse_measure(text, "capacitance", "--value") for text in args.value],
        knowledge.tables,
        measure(args, "voltage", "voltage"),
        measure(args, "frequency", "frequency"),
    )


def _wire(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.circuit.wire_sheet import wire_sheet

    return wire_sheet(
        sure(args, "size", "wire"),
        region_of(args, knowledge),
        knowledge.tables,
        breaker=measure(args, "breaker", "current"),
        metal=args.metal,
        length=measure(args, "length", "length"),
        load=measure(args, "load", "current"),
    )


SHEETS: dict[str, Callable[[Namespace, Knowledge], Sheet]] = {
    "box-fill": _box_fill,
    "blade-height": _blade_height,
    "yearly-cost": _yearly_cost,
    "capacitor": _capacitor,
    "motor-clues": motor_clues,
    "support": support_of,
    "bath-zone": bath_of,
    "ratings": ratings_of,
    "part": part_of,
    "wire": _wire,
}
