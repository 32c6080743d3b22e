"""The marks that a part must bear for one fan, and for several: the larger figure counts for both."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from switchleg.advice.numbers.safety import measure, wall_fill
from switchleg.figures.boxes.remedies import deepest_device
from switchleg.figures.circuit.loads import amps, fan_amps
from switchleg.schema.questions import Value
from switchleg.schema.tables import number_of
from switchleg.units.display import both_ways
from switchleg.units.reading import Measure

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.parts import Control
    from switchleg.schema.regions import Region


@dataclass(frozen=True)
class Needs:
    """What must be marked on an article. `amps` None with `amps_wanted`: the fan's label is not read yet.

    `other`: what else hangs on the wire that it works, with its amperes; None: nobody has told them. `in_all`: with
    the fan and its light, as far as this class may feed them.
    """

    volts: int | None = None
    amps: Fraction | None = None
    amps_wanted: bool = False
    guessed: bool = False
    lamp: str = ""
    lamp_watts: Measure | None = None
    place: str = ""
    depth: Measure | None = None
    space: Measure | None = None
    temperature: Measure | None = None
    other: str = ""
    other_amps: Fraction | None = None
    in_all: Fraction | None = None

    def text(self) -> str:
        """The marks as sentences, in the order in which a package shows them."""
        told = []
        if self.volts:
            told.append(f"for {self.volts} V")
        if self.amps is not None:
            guess = " (worked out from watts: read the label first)" if self.guessed else ""
            told.append(f"motor or fan mark of {amps(self.amps)} or more{guess}")
        elif self.amps_wanted:
            told.append("motor or fan mark not below the fan's label (read it first)")
        if self.lamp and self.lamp_watts is not None:
            told.append(f"marked for {self.lamp}, {self.lamp_watts} or more")
        elif self.lamp:
            told.append(f"marked for {self.lamp} and their watts")
        if self.depth is not None:
            told.append(f"no deeper behind the plate than {both_ways(self.depth)}")
        if self.space is not None:
            told.append(f"going into {both_ways(self.space)} with its joints")
        if self.temperature is not None:
            told.append(f"temperature mark of {both_ways(self.temperature)} or more")
        if self.place in ("damp", "wet"):
            told.append(f"listed for a {self.place} place")
        if self.other and self.other_amps is None:
            told.append(f"and strong enough for {self.other} (find out first what that is and what it draws)")
        elif self.other_amps is not None:
            told.append(f"and {amps(self.other_amps)} of {self.other}")
            told += [f"{amps(self.in_all)} in all"] if self.in_all is not None else []
        return f"Here: {', '.join(told)}." if told else ""

    def with_other(self, other: Needs) -> Needs:
        """Marks that serve both fans: the larger amperes, the smaller space and depth."""
        known = [need.amps for need in (self, other) if need.amps is not None]
        return Needs(
            self.volts or other.volts,
            max(known, default=None),
            self.amps_wanted or other.amps_wanted,
            self.guessed or other.guessed,
            self.lamp or other.lamp,
            _larger(self.lamp_watts, other.lamp_watts),
            self.place or other.place,
            _smaller(self.depth, other.depth),
            _smaller(self.space, other.space),
            self.temperature or other.temperature,
            self.other or other.other,
            self.other_amps if self.other else other.other_amps,
            _most(self.in_all, other.in_all),
        )


def _most(one: Fraction | None, other: Fraction | None) -> Fraction | None:
    return max((total for total in (one, other) if total is not None), default=None)


def _larger(one: Measure | None, other: Measure | None) -> Measure | None:
    """The larger of two powers; unknown when either is, so that no lamp is forgotten."""
    return None if one is None or other is None else max((one, other), key=lambda measure: measure.to("W"))


def _smaller(one: Measure | None, other: Measure | None) -> Measure | None:
    if one is None or other is None:
        return one or other
    unit = "cm3" if one.dimension == "space" else "mm"
    return min((one, other), key=lambda measure: measure.to(unit))


def needs_of(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    control: Control,
    devices: int | None = None,
    *,
    beside_other: bool = False,
) -> Needs:
    """The marks that a class of control must bear for these facts; what has no mains terminal needs none.

    `devices`: how many will stand in the wall box; else as many as today. `beside_other`: it works another load too.
    """
    if not control.channel:
        return Needs(place=_place(facts))
    region = knowledge.regions.get(str(facts.get("region", "")))
    volts = region.voltage_v if region else None
    feeds_fan = any(set(ch.feeds) & {"ac_motor", "receiver", "driver"} for ch in control.channel)
    current, guessed = _amps(knowledge, facts, volts) if feeds_fan else (None, False)
    feeds_lamp = any("lamp" in ch.feeds for ch in control.channel)
    lamp = _lamps(facts) if feeds_lamp else ""
    watts = measure(facts, "light_watts", "power") if feeds_lamp else None
    other = measure(facts, "other_load_amps", "current") if beside_other else None
    lamps = Fraction(0) if not lamp else watts.to("W") / volts if watts is not None and volts else None
    known = [Fraction(0) if not feeds_fan else current, lamps, other.to("A") if other else None]
    ceiling = control.place == "ceiling"
    heat = number_of(knowledge.tables, "canopy_heat", "canopy", "C")
    return Needs(
        volts,
        current,
        feeds_fan,
        guessed,
        lamp,
        watts,
        _place(facts),
        None if ceiling or control.loose else _depth(knowledge, facts, devices),
        measure(facts, "canopy_space", "space") if ceiling else None,
        Measure(heat, "C", "temperature") if ceiling else None,
        _other(knowledge, facts) if beside_other else "",
        other.to("A") if other else None,
        None if None in known else sum((one for one in known if one is not None), Fraction(0)),
    )


ANYTHING = "what else hangs on the same wire"


def _other(knowledge: Knowledge, facts: Mapping[str, Value]) -> str:
    told = knowledge.wiring.hangs(facts.get("other_load_kind"))
    return told.says if told else ANYTHING


LAMPS = {"led": "LED lamps", "tungsten": "tungsten lamps", "fluorescent": "fluorescent lamps"}


def _lamps(facts: Mapping[str, Value]) -> str:
    """The kind of lamp that a mark must name; empty without a light."""
    kit = facts.get("light_kit")
    if kit == "led_built_in":
        return LAMPS["led"]
    return LAMPS.get(str(facts.get("lamp_kind")), "the kind of the lamps") if kit == "lamps" else ""


def _place(facts: Mapping[str, Value]) -> str:
    place = str(facts.get("place_rating_needed", ""))
    return place if place in ("damp", "wet") else ""


def _amps(knowledge: Knowledge, facts: Mapping[str, Value], volts: int | None) -> tuple[Fraction | None, bool]:
    told = measure(facts, "fan_amps", "current")
    if told is not None:
        return told.to("A"), False
    watts = measure(facts, "fan_watts_high", "power")
    if watts is None or volts is None:
        return None, False
    kind = facts.get("motor_label")
    return fan_amps(watts, volts, str(kind) if kind in ("ac", "dc") else None, knowledge.tables)[0], True


DEPTH = re.compile(r"x (?P<whole>[0-9]+)(?:-(?P<top>[0-9]+)/(?P<bottom>[0-9]+))? (?:device|masonry)$")


def _depth(knowledge: Knowledge, facts: Mapping[str, Value], devices: int | None) -> Measure | None:
    """The depth that the wall box leaves for a device: as measured, or by its trade size, less the wires.

    In Canada also what the volume leaves; the smaller counts.
    """
    told = measure(facts, "wall_box_depth", "length")
    region = knowledge.regions.get(str(facts.get("region", "")))
    size = facts.get("wall_box_volume")
    rule = region.box_rule if region else "none"
    row = knowledge.tables[f"box_volumes_{rule}"].find(size) if rule in ("us", "ca") and isinstance(size, str) else None
    match = DEPTH.search(row.name) if row else None
    inside = told.to("mm") if told is not None else _inches(match) * Fraction("25.4") if match else None
    room = number_of(knowledge.tables, "depth_room", "cores", "mm")
    limits = [] if inside is None or inside <= room else [inside - room]
    if rule == "ca" and (deepest := _by_volume(knowledge, facts, region, devices)) is not None:
        limits.append(deepest.to("mm"))
    return Measure(Fraction(min(limits) // 1), "mm", "length") if limits else None


def _inches(match: re.Match[str]) -> Fraction:
    return Fraction(match["whole"]) + (Fraction(int(match["top"]), int(match["bottom"])) if match["top"] else 0)


def _by_volume(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, devices: int | None
) -> Measure | None:
    found = wall_fill(facts, region, knowledge.tables, devices=devices)
    if found.contents is None or found.box is None:
        return None
    return deepest_device(found.contents, found.box, knowledge.tables, found.sections)
