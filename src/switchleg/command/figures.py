"""`switchleg figures NAME`: one calculation, from the command line's words to a sheet on stdout."""

from __future__ import annotations

import difflib
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, cast

from switchleg.errors import SwitchlegError

if TYPE_CHECKING:
    from argparse import Namespace

    from switchleg.figures.box_model import Edition
    from switchleg.figures.sheet import Sheet
    from switchleg.figures.units import Measure, Quantity
    from switchleg.knowledge.load import Knowledge
    from switchleg.knowledge.regions import Region


def run(args: Namespace) -> int:
    """Prints the calculation, or with --json the whole sheet. Exit code 0 whatever its verdict."""
    from switchleg.command import output
    from switchleg.command.figures_text import as_json, sheet_lines
    from switchleg.knowledge.load import load

    knowledge = load()
    sheet = SHEETS[args.calculation](args, knowledge)
    if args.json:
        output.put(as_json(sheet, knowledge.sources))
        return 0
    for line, first, rest in sheet_lines(sheet, knowledge.sources):
        output.say_wrapped(line, first=first, rest=rest)
    return 0


def _measure(args: Namespace, name: str, dimension: Quantity, *, zero: bool = False) -> Measure | None:
    from switchleg.figures.units import parse_measure

    text = getattr(args, name.replace("-", "_"))
    return None if text is None else parse_measure(text, dimension, f"--{name}", zero=zero)


def _sure(args: Namespace, name: str, dimension: Quantity) -> Measure:
    """A measure that the parser required."""
    found = _measure(args, name, dimension)
    assert found is not None
    return found


def _region(args: Namespace, knowledge: Knowledge) -> Region | None:
    if args.region is None:
        return None
    region = knowledge.regions.get(args.region.strip().lower())
    if region is None:
        near = difflib.get_close_matches(args.region.lower(), knowledge.regions, n=1, cutoff=0.3)
        raise SwitchlegError(
            f"{args.region!r} is no region known here",
            where="--region",
            expected="one of " + ", ".join(knowledge.regions),
            mend=f"did you mean {near[0]}?" if near else "pick the one whose wiring rules hold",
        )
    return region


def _required_region(args: Namespace, knowledge: Knowledge) -> Region:
    found = _region(args, knowledge)
    assert found is not None
    return found


def _box_fill(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.box_model import Contents
    from switchleg.figures.box_sheet import box_sheet
    from switchleg.figures.box_typed import added, box_typed, cables_typed, module_typed, wires_typed, yoke_typed

    region = _required_region(args, knowledge)
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
        device_depth=_measure(args, "device-depth", "length"),
        box_depth=_measure(args, "box-depth", "length"),
    )


def _blade_height(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.height import blade_height_sheet

    return blade_height_sheet(
        _required_region(args, knowledge).id,
        knowledge.tables,
        blades=_measure(args, "blades", "length"),
        ceiling=_measure(args, "ceiling", "length"),
        drop=_measure(args, "drop", "length"),
        rod=_measure(args, "rod", "length", zero=True),
        motor_drop=_measure(args, "motor-drop", "length"),
        wall=_measure(args, "to-wall", "length", zero=True),
        slope=_measure(args, "slope", "angle"),
        span=_measure(args, "span", "length"),
    )


def _yearly_cost(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.energy import efficiency_against_law, parse_price, yearly_cost

    high = _sure(args, "high", "power")
    low, standby = _measure(args, "low", "power"), _measure(args, "standby", "power", zero=True)
    sheet = yearly_cost(
        high,
        low,
        standby,
        knowledge.tables,
        price=None if args.price is None else parse_price(args.price, "--price"),
        high_hours=_measure(args, "high-hours", "duration", zero=True),
        low_hours=_measure(args, "low-hours", "duration", zero=True),
        added=_measure(args, "added", "power"),
    )
    span, flow = _measure(args, "span", "length"), _measure(args, "airflow-high", "airflow")
    slow = _measure(args, "airflow-low", "airflow")
    region = _region(args, knowledge)
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
    from switchleg.figures.capacitor import capacitor_sheet
    from switchleg.figures.units import parse_measure

    return capacitor_sheet(
        [parse_measure(text, "capacitance", "--value") for text in args.value],
        knowledge.tables,
        _measure(args, "voltage", "voltage"),
        _measure(args, "frequency", "frequency"),
    )


def _wire(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.wire_sheet import wire_sheet

    return wire_sheet(
        _sure(args, "size", "wire"),
        _region(args, knowledge),
        knowledge.tables,
        breaker=_measure(args, "breaker", "current"),
        metal=args.metal,
        length=_measure(args, "length", "length"),
        load=_measure(args, "load", "current"),
    )


def _fans(args: Namespace) -> int:
    if not 1 <= args.fans <= 20:
        raise SwitchlegError(f"{args.fans} fans on one control", where="--fans", expected="a whole number from 1 to 20")
    return int(args.fans)


def _ratings(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.ratings import judged_sheet, ratings

    told = {
        "wire": _measure(args, "wire", "wire"),
        "breaker": _measure(args, "breaker", "current"),
        "switch": _measure(args, "switch", "current"),
        "fan": _measure(args, "fan-amps", "current"),
        "fan_watts": _measure(args, "fan-watts", "power"),
        "light": _measure(args, "light-watts", "power"),
    }
    judged = ratings(
        _required_region(args, knowledge),
        knowledge.tables,
        **told,
        metal=args.metal,
        motor=args.motor,
        fans=_fans(args),
        lamp=args.lamp,
        limited=args.odd_sockets,
    )
    given = [(name.replace("_", " "), value) for name, value in told.items()]
    nothing = "Nothing to compare: give --breaker with --wire, or --fan-amps with --switch."
    return judged_sheet("ratings", "Ratings", judged, [*given, ("fans", str(args.fans))], nothing)


def _part(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.advice.sums_part import part_kind
    from switchleg.figures.part import Duty, Marks, judge_part
    from switchleg.figures.ratings import judged_sheet

    marks = Marks(
        amps=_measure(args, "amps", "current"),
        motor_amps=_measure(args, "motor-amps", "current"),
        watts=_measure(args, "watts", "power"),
        led_watts=_measure(args, "led-watts", "power"),
        least_load=_measure(args, "least-load", "power"),
        volts=_volts(args.voltage),
        volume=_measure(args, "volume", "volume"),
        size=_measure(args, "size", "space"),
        depth=_measure(args, "depth", "length"),
        temperature=_measure(args, "temperature", "temperature"),
        listed=args.listed,
    )
    duty = Duty(
        region=_required_region(args, knowledge),
        motor=args.motor,
        fan_amps=_measure(args, "fan-amps", "current"),
        fan_watts=_measure(args, "fan-watts", "power"),
        fans=_fans(args),
        light_watts=_measure(args, "light-watts", "power"),
        lamp=args.lamp,
        neutral_at_wall=None if args.neutral is None else args.neutral == "yes",
        place=args.place,
        box_depth=_measure(args, "box-depth", "length"),
        box_space=_measure(args, "box-space", "volume"),
        canopy_space=_measure(args, "canopy-space", "space"),
        temperature=_measure(args, "canopy-temperature", "temperature"),
    )
    kind = part_kind(knowledge, args.kind)
    given: list[tuple[str, Measure | str | None]] = [("part", kind.title)]
    for holder in (marks, duty):
        given += [
            (name.replace("_", " "), value)
            for name, value in vars(holder).items()
            if type(value).__name__ == "Measure" or isinstance(value, str)
        ]
    judged = judge_part(kind, marks, duty, knowledge.tables)
    return judged_sheet("part", "Your part", judged, given, "Nothing to compare.")


def _volts(text: str | None) -> tuple[Measure, Measure] | None:
    """ "120 V", or a range such as "100-240 V"."""
    from switchleg.figures.units import parse_measure

    if text is None:
        return None
    low, dash, high = text.replace("–", "-").replace(" to ", "-").partition("-")
    if not dash:
        only = parse_measure(text, "voltage", "--voltage")
        return only, only
    last = parse_measure(high, "voltage", "--voltage")
    first = parse_measure(low if low.strip()[-1:].isalpha() else f"{low} {last.unit}", "voltage", "--voltage")
    if first.to("V") > last.to("V"):
        raise SwitchlegError(f"{text!r} runs downwards", where="--voltage", expected='a range such as "100-240 V"')
    return first, last


SHEETS: dict[str, Callable[[Namespace, Knowledge], Sheet]] = {
    "box-fill": _box_fill,
    "blade-height": _blade_height,
    "yearly-cost": _yearly_cost,
    "capacitor": _capacitor,
    "ratings": _ratings,
    "part": _part,
    "wire": _wire,
}
