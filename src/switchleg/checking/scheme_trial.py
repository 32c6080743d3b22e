"""Try every way of every scheme on houses and fans, whatever the answers are: does its wiring work anywhere?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

from switchleg.advice.cases.beliefs import bench_of, palette_of
from switchleg.advice.plans.attempts import Drawer
from switchleg.advice.plans.plan import Obstacle, setting
from switchleg.advice.wording import phrases
from switchleg.diagnosis.fans import Fan
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.houses.generate import Generator
from switchleg.diagnosis.lights import LIGHTS, UNLIT
from switchleg.schema.clues import MOTORS
from switchleg.schema.schemes import Scheme, Way

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region

STRIDE = 97
"""Houses are taken this far apart, so that the first few are much unlike; prime, so that all come in the end."""


@dataclass(frozen=True)
class Barren:
    """A way that works in no candidate house with any fan, and the commonest reason."""

    scheme: str
    way: str
    reason: str


def barren_ways(knowledge: Knowledge, region: Region) -> Iterator[Barren]:
    """Every way for which no house and fan was found where it can be wired without breaking an electrical rule."""
    bench = bench_of(knowledge, region)
    drawer = Drawer(bench)
    houses = [
        house
        for has_light in (True, False)
        for house in Generator(knowledge.wiring, palette_of(region), other_load=False, has_light=has_light).all()
    ]
    houses = [houses[n * STRIDE % len(houses)] for n in range(len(houses))]
    for scheme in knowledge.schemes.scheme:
        for way in scheme.way:
            against = _against(drawer, scheme, way, houses)
            if against is not None:
                rule = Counter(o.rule for o in against).most_common(1)
                worst = next(o for o in against if o.rule == rule[0][0]) if rule else None
                told = phrases.reason(worst, knowledge.rules, bench.controls, {}).text if worst else "no fan suits it."
                yield Barren(scheme.id, way.id, told)


def fans() -> tuple[Fan, ...]:
    """Every kind of fan, the plain one first."""
    found = [Fan("ac", False, light, True, False) for light in ("own_lead", "none")]
    found += [
        Fan(motor, True, light, resumes, True) for motor, light, resumes in product(MOTORS, LIGHTS, (True, False))
    ]
    return tuple(found)


def _against(drawer: Drawer, scheme: Scheme, way: Way, houses: Sequence[Candidate]) -> list[Obstacle] | None:
    """What stood against the way in each house and fan tried; None as soon as it works in one.

    Faults of the circuit come before what only that house or fan has against it.
    """
    faults: list[Obstacle] = []
    others: list[Obstacle] = []
    for house, fan in product(houses, fans()):
        if house.has_light != (fan.light not in UNLIT):
            continue
        fed = setting(way, house, fan)
        if isinstance(fed, Obstacle):
            others.append(fed)
            continue
        found, obstacles = drawer.tries(scheme, way, house, fan, fed, may_pull=True)
        others += obstacles
        for one in found:
            broken = drawer.faults(one.plan)
            if not broken:
                return None
            faults += broken
    return faults or others
