"""What the wiring and the fan may be, as far as the facts tell: candidate houses by region, and both beliefs."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from switchleg.diagnosis.disagreement import Disagreement, disagreement
from switchleg.diagnosis.fans import FanBelief, possible_fans, to_choose
from switchleg.diagnosis.houses.belief import WiringBelief, contradicted, possible_wirings
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.houses.generate import Generator
from switchleg.diagnosis.lights import may_be_loose
from switchleg.figures.fan.motor_clues import derived_numbers
from switchleg.schema.parts import OtherKind
from switchleg.schema.questions import Value
from switchleg.wiring.bench import Bench
from switchleg.wiring.colours import Palette
from switchleg.wiring.site import NEUTRAL

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region

DEFAULT_REGION = "us"
"""Whose cables serve for counting conductors while the region is unknown; its colours are not used then."""


def region_of(knowledge: Knowledge, facts: Mapping[str, Value]) -> Region | None:
    """The region that the facts name, if they do."""
    said = facts.get("region")
    return knowledge.regions.get(str(said)) if said else None


def bench_of(knowledge: Knowledge, region: Region, other: OtherKind | None = None) -> Bench:
    """Control and load classes with the region's voltage, and what `other` load hangs on a leg, if that is told."""
    return _bench(knowledge, region.voltage_v, other)


@lru_cache(maxsize=32)
def _bench(knowledge: Knowledge, voltage_v: int, other: OtherKind | None) -> Bench:
    return Bench(
        {c.id: c for c in knowledge.controls.control},
        {load.id: load for load in knowledge.wiring.load},
        float(voltage_v),
        other,
    )


@lru_cache(maxsize=64)
def wired_alike(knowledge: Knowledge, region: str, *, volts: bool = False) -> str:
    """The first region with the same cables, and with `volts` the same supply: what is drawn for it serves there."""
    here = knowledge.regions[region]
    return next(
        name
        for name, other in knowledge.regions.items()
        if palette_of(other) == palette_of(here) and (not volts or other.voltage_v == here.voltage_v)
    )


def palette_of(region: Region) -> Palette:
    return Palette(
        region.cable_colours,
        {count: region.neutral_of(count) for count in region.cable_colours},
        frozenset(region.neutral_colours),
        region.loop_pale,
        region.ground_colours[0],
    )


@lru_cache(maxsize=24)
def candidates(
    knowledge: Knowledge, region: str, other_load: bool | None, has_light: bool | None, age: str = ""
) -> tuple[Candidate, ...]:
    """All candidate wirings for a region's cables; generated once for a knowledge, with what each shows.

    None: both kinds, weighed by how common they are. The age of the house weighs too; it strikes nothing out.
    """
    if age:
        houses = candidates(knowledge, region, other_load, has_light)
        usual, here = knowledge.wiring.neutral_sent_down.p["yes"], knowledge.wiring.neutral_sent_down_by_age.yes[age]
        odds = {True: here / usual, False: (1 - here) / (1 - usual)}
        return tuple(replace(h, p=h.p * odds[h.neutral_down]) for h in houses)
    if other_load is None or has_light is None:
        lists = [
            (
                candidates(knowledge, region, other, light),
                knowledge.wiring.other_load_untold.p["yes" if other else "no"] if other_load is None else 1.0,
                knowledge.wiring.light_untold.p["yes" if light else "no"] if has_light is None else 1.0,
            )
            for other in ((False, True) if other_load is None else (other_load,))
            for light in ((True, False) if has_light is None else (has_light,))
        ]
        return tuple(replace(h, p=h.p * a * b) for houses, a, b in lists for h in houses)
    palette = palette_of(knowledge.regions[region])
    return Generator(knowledge.wiring, palette, other_load=other_load, has_light=has_light).all()


def houses_of(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region, untold: Collection[str] = ()
) -> tuple[Candidate, ...]:
    other = facts.get("acts_on_other_loads") is True
    goes_with = "other_load_works_with"
    unseen = other and goes_with in untold and goes_with not in facts  # nobody could say what it goes with
    both = unseen or ("acts_on_other_loads" in untold and "acts_on_other_loads" not in facts)
    lit = None if "light_kit" not in facts else facts["light_kit"] != "none"
    if facts.get("light_joined_to") == "nothing":
        lit = False  # the wiring knows nothing of it
    elif may_be_loose(facts):
        lit = None
    age = str(facts.get("house_age", ""))
    by_age = knowledge.wiring.neutral_sent_down_by_age
    known = age in by_age.yes and region.id in by_age.regions
    cables = wired_alike(knowledge, region.id)
    return candidates(knowledge, cables, None if both else other, lit, age if known else "")


def contradicting(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, untold: Collection[str]
) -> tuple[tuple[float, frozenset[str]], ...]:
    """Every candidate wiring's share with the facts it contradicts."""
    local = region or knowledge.regions[DEFAULT_REGION]
    houses = houses_of(knowledge, facts, local, untold)
    return contradicted(houses, facts, bench_of(knowledge, local), colours_known=region is not None, untold=untold)


def disagreeing(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, fans: FanBelief, untold: Collection[str]
) -> Disagreement:
    """Why no candidate is left: the smallest disagreeing sets of answers, and how doubtful each answer is."""
    local = region or knowledge.regions[DEFAULT_REGION]
    mine = houses_of(knowledge, facts, local, untold)
    fact = "acts_on_other_loads"
    other = None if fact in facts or fact in untold else False
    age = str(facts.get("house_age", "")) if mine is not houses_of(knowledge, _ageless(facts), local, untold) else ""
    houses = candidates(knowledge, wired_alike(knowledge, local.id), other, None, age)
    bench, slip = bench_of(knowledge, local), knowledge.clues.slip.rate
    return disagreement(houses, fans, facts, untold, bench, slip, colours_known=region is not None)


def _ageless(facts: Mapping[str, Value]) -> dict[str, Value]:
    return {fact: value for fact, value in facts.items() if fact != "house_age"}


def known_by_colour(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region | None, bench: Bench, untold: Collection[str]
) -> bool:
    """Whether some wiring without a neutral in the open box would be left if colours said nothing."""
    houses = houses_of(knowledge, facts, region or knowledge.regions[DEFAULT_REGION], untold)
    left = possible_wirings(houses, facts, bench, colours_known=False, untold=untold).classes
    return any(NEUTRAL not in house.wired_nets(house.opened) for cls in left for house in cls.members)


def beliefs(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    region: Region | None,
    bench: Bench,
    untold: Collection[str] = (),
) -> tuple[WiringBelief, FanBelief]:
    """What the wiring and what the fan may be. With no fan hung yet, a plain AC fan stands in."""
    local = region or knowledge.regions[DEFAULT_REGION]
    houses = houses_of(knowledge, facts, local, untold)
    wirings = possible_wirings(houses, facts, bench, colours_known=region is not None, untold=untold)
    volts = region.voltage_v if region else None
    derived = {n.id: float(n.value) for n in derived_numbers(facts, volts)}
    if facts.get("fan_installed") is False:
        return wirings, to_choose(has_light=facts.get("light_kit") != "none")
    return wirings, possible_fans(knowledge.clues, facts, derived, untold)
