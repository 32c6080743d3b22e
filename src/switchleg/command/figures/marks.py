"""`figures motor-clues`, `ratings` and `part`: labels and marks, from the command line's words to a sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from switchleg.command.figures.options import measure, region_of, required_region
from switchleg.command.figures.saved_fan import duty_of_fan, fan_named, in_the_box
from switchleg.errors import SwitchlegError

if TYPE_CHECKING:
    from argparse import Namespace

    from switchleg.figures.sheet import Sheet
    from switchleg.knowledge.load import Knowledge
    from switchleg.units.reading import Measure


def motor_clues(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.advice.numbers.motor import motor_sheet

    told = {
        "fan_watts_high": measure(args, "watts", "power"),
        "fan_airflow_high": measure(args, "airflow", "airflow"),
        "fan_amps": measure(args, "amps", "current"),
    }
    region = region_of(args, knowledge)
    facts = {name: str(value) for name, value in told.items() if value is not None}
    return motor_sheet(knowledge, facts, region.voltage_v if region else None)


def support_of(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.circuit.part_marks import Judged
    from switchleg.figures.circuit.ratings import judged_sheet
    from switchleg.figures.fan.support import box_carries_fan

    told = {name: measure(args, name, "mass") for name in ("weight", "added", "rating")}
    marked = None if args.marked is None else args.marked == "yes"
    region = required_region(args, knowledge).id
    fit = box_carries_fan(marked, told["weight"], told["rating"], region, knowledge.tables, added=told["added"])
    given = [*told.items(), ("box marked for fans", args.marked)]
    return judged_sheet("support", "What the ceiling box may carry", [Judged("box", fit)], given, "")


def bath_of(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.circuit.part_marks import Judged
    from switchleg.figures.circuit.ratings import judged_sheet
    from switchleg.figures.fan.bath_zone import bath_zone

    across, up = measure(args, "across", "length", zero=True), measure(args, "up", "length", zero=True)
    assert across is not None
    assert up is not None
    light = None if args.light is None else args.light == "yes"
    region = required_region(args, knowledge).id
    fit = bath_zone(across, up, region, knowledge.tables, light=light, edition=args.edition)
    return judged_sheet(
        "bath-zone", "Zone over a bath or shower", [Judged("zone", fit)], [("across", across), ("up", up)], ""
    )


def _fans(args: Namespace) -> int:
    if not 1 <= args.fans <= 20:
        raise SwitchlegError(f"{args.fans} fans on one control", where="--fans", expected="a whole number from 1 to 20")
    return int(args.fans)


def ratings_of(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.figures.circuit.ratings import judged_sheet, ratings

    told = {
        "wire": measure(args, "wire", "wire"),
        "breaker": measure(args, "breaker", "current"),
        "switch": measure(args, "switch", "current"),
        "fan": measure(args, "fan-amps", "current"),
        "fan_watts": measure(args, "fan-watts", "power"),
        "light": measure(args, "light-watts", "power"),
    }
    judged = ratings(
        required_region(args, knowledge),
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


def part_of(args: Namespace, knowledge: Knowledge) -> Sheet:
    from switchleg.advice.numbers.part_kinds import part_kind
    from switchleg.figures.circuit.part_marks import Duty, Marks, judge_part
    from switchleg.figures.circuit.ratings import judged_sheet

    marks = Marks(
        amps=measure(args, "amps", "current"),
        motor_amps=measure(args, "motor-amps", "current"),
        watts=measure(args, "watts", "power"),
        led_watts=measure(args, "led-watts", "power"),
        least_load=measure(args, "least-load", "power"),
        volts=_volts(args.voltage),
        volume=measure(args, "volume", "volume"),
        size=measure(args, "size", "space"),
        depth=measure(args, "depth", "length"),
        temperature=measure(args, "temperature", "temperature"),
        listed=args.listed,
    )
    duty = Duty(
        region=region_of(args, knowledge),
        motor=args.motor,
        fan_amps=measure(args, "fan-amps", "current"),
        fan_watts=measure(args, "fan-watts", "power"),
        fans=_fans(args),
        light_watts=measure(args, "light-watts", "power"),
        lamp=args.lamp,
        neutral_at_wall=None if args.neutral is None else args.neutral == "yes",
        place=args.place,
        box_depth=measure(args, "box-depth", "length"),
        box_space=measure(args, "box-space", "volume"),
        canopy_space=measure(args, "canopy-space", "space"),
        temperature=measure(args, "canopy-temperature", "temperature"),
    )
    kind = part_kind(knowledge, args.kind)
    session = None if args.fan is None else fan_named(args.fan)
    if session is not None:
        duty = duty_of_fan(session, knowledge, duty)
        args.region = args.region or str(session.facts["region"])
    elif duty.region is None:
        raise SwitchlegError("the region is missing", where="part", expected="--region, or --fan with a saved fan")
    given: list[tuple[str, Measure | str | None]] = [("part", kind.title)]
    for holder in (marks, duty):
        given += [
            (name.replace("_", " "), value)
            for name, value in vars(holder).items()
            if type(value).__name__ == "Measure" or isinstance(value, str)
        ]
    judged = judge_part(kind, marks, duty, knowledge.tables)
    if session is not None and kind.place == "wall" and (boxed := in_the_box(session, knowledge, marks)) is not None:
        judged = (*judged, boxed)
    return judged_sheet("part", "Your part", judged, given, "Nothing to compare.")


def _volts(text: str | None) -> tuple[Measure, Measure] | None:
    """ "120 V", or a range such as "100-240 V"."""
    from switchleg.units.reading import parse_measure

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
