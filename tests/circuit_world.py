"""Stocks of circuits for the tests of the circuit: every candidate house, plans of every way, known small circuits."""

from __future__ import annotations

import hashlib
import itertools
import random
from functools import cache

from wiring_world import FANS, bench, houses

from switchleg.advice.cases.beliefs import bench_of, palette_of
from switchleg.advice.plans.plan import Obstacle, setting, wirings
from switchleg.advice.plans.present_circuit import wired_today
from switchleg.diagnosis.fans import Fan
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.knowledge.load import load
from switchleg.wiring.bench import Bench
from switchleg.wiring.colours import wire
from switchleg.wiring.netlist import ConductorEnd, End, Placed, Terminal, Wired
from switchleg.wiring.positions import positions
from switchleg.wiring.site import CEILING, GROUND, HOT, NEUTRAL, SECOND_WALL, WALL, Cable, Site, Stub, route


@cache
def all_houses(region: str = "us") -> tuple[tuple[str, Wired], ...]:
    """Every candidate house of a region: with and without a light, with and without another load."""
    stock = (
        *houses(region=region),
        *houses(other_load=True, region=region),
        *houses(has_light=False, region=region),
    )
    return tuple((house.id, house.wired) for house in stock)


@cache
def broad_plans(each: int, seed: int = 6, region: str = "us") -> tuple[tuple[str, Candidate, Wired], ...]:
    """Plans of every way with every kind of fan that it takes: `each` houses for every such pair."""
    draw = random.Random(seed)
    stock = [
        *houses(region=region),
        *houses(other_load=True, region=region),
        *houses(has_light=False, region=region),
    ]
    found: list[tuple[str, Candidate, Wired]] = []
    for scheme in load().schemes.scheme:
        for way in scheme.way:
            for fan in FANS:
                left = each
                for house in draw.sample(stock, 400):
                    fed = setting(way, house, fan)
                    if isinstance(fed, Obstacle) or not left:
                        continue
                    planned, _ = wirings(way, house, fed, bench(), may_pull=draw.random() < 0.3)
                    if planned:
                        left -= 1
                        name = f"{scheme.id}.{way.id} in {house.id} with {_words(fan)}"
                        found.append((name, house, draw.choice(planned)[0]))
    return tuple(found)


def _words(fan: Fan) -> str:
    return f"{fan.motor}{' and receiver' if fan.receiver else ''}, light {fan.light}"


def _lasting(house: Candidate, salt: str) -> str:
    """A place in an order that more houses or schemes do not upset."""
    told = f"{salt} {house.site} {house.active} {house.neutral_down} {house.white_spare} {house.has_light}"
    return hashlib.sha256(told.encode()).hexdigest()


@cache
def one_plan_each_way() -> tuple[tuple[str, Wired], ...]:
    """The first plan of every way, in a lasting order of houses, fans taken in turn."""
    stock = [*houses(), *houses(other_load=True), *houses(has_light=False)]
    found = []
    for number, (scheme, way) in enumerate((s, w) for s in load().schemes.scheme for w in s.way):
        fans = [*FANS[number % len(FANS) :], *FANS[: number % len(FANS)]]
        for house in sorted(stock, key=lambda h, salt=f"{scheme.id}.{way.id}": _lasting(h, salt)):
            settings = ((fan, setting(way, house, fan)) for fan in fans)
            fed = next(((fan, s) for fan, s in settings if not isinstance(s, Obstacle)), None)
            planned = wirings(way, house, fed[1], bench(), may_pull=False)[0] if fed else ()
            if fed and planned:
                found.append((f"{scheme.id}.{way.id} in {house.id} with {_words(fed[0])}", planned[0][0]))
                break
    return tuple(found)


@cache
def todays(count: int) -> tuple[tuple[str, Wired], ...]:
    """Houses as they stand today, in a lasting order, with every kind of fan in turn."""
    stock = [*houses(), *houses(other_load=True), *houses(has_light=False)]
    found = []
    for number, house in enumerate(sorted(stock, key=lambda h: _lasting(h, "today"))[:count]):
        apart = house.light_on != house.fan_on  # then the light has a lead of its own
        lights = {"none"} if not house.has_light else {"own_lead"} if apart else {f.light for f in FANS} - {"none"}
        fans = [fan for fan in FANS if fan.light in lights]
        fan = fans[number % len(fans)]
        found.append((f"today {house.id} with {_words(fan)}", wired_today(house, fan)))
    return tuple(found)


def bench_for(region: str) -> Bench:
    knowledge = load()
    return bench_of(knowledge, knowledge.regions[region])


def states_of(wired: Wired, kit: Bench) -> list[dict[tuple[str, str], int]]:
    """Every state: switches, outputs and their steps, chains and remotes."""
    return list(positions(wired, kit, inside=True, steps=True))


# ---- known circuits, routed and joined ----

EQUAL = Bench(
    bench().controls, {name: kind.model_copy(update={"watts": 60.0}) for name, kind in bench().loads.items()}, 120.0
)
"""Loads alike, so that two in series stand at half the voltage."""


def built(site: Site, *parts: Placed, more: dict[str, set[str]] | None = None) -> Wired:
    """A site wired by the router in the US region's colours. `more`: boxes a net must reach besides."""
    demands: dict[str, set[str]] = {net: set(boxes) for net, boxes in (more or {}).items()}
    for part in parts:
        for _, net in part.nets:
            if net != GROUND:  # every cable has its own
                demands.setdefault(net, set()).add(part.box)
    routing = route(site, {net: frozenset(boxes) for net, boxes in demands.items()})
    assert routing.possible
    return wire(site, routing, parts, palette_of(load().regions["us"]))


def lamp_at(name: str, leg: str, box: str = CEILING) -> Placed:
    return Placed(name, "fan_lamp", box, (("hot", leg), ("neutral", NEUTRAL)))


@cache
def two_switches() -> Wired:
    """Fed at the wall: a switch for the fan and one for the light, a three-conductor run."""
    site = Site((CEILING, WALL), (Cable("run", (WALL, CEILING), 3),), (Stub("feed", WALL, (HOT, NEUTRAL)),))
    switches = [
        Placed(n, "plain_switch", WALL, (("line", HOT), ("load", leg))) for n, leg in (("sf", "FAN"), ("sl", "LIGHT"))
    ]
    return built(site, *switches, lamp_at("fan", "FAN"), lamp_at("light", "LIGHT"))


@cache
def two_places() -> Wired:
    """Fed at the first switch; the light hangs beyond the second, where the hot also arrives and is capped."""
    cables = (Cable("link", (WALL, SECOND_WALL), 4), Cable("run", (SECOND_WALL, CEILING), 2))
    site = Site((CEILING, WALL, SECOND_WALL), cables, (Stub("feed", WALL, (HOT, NEUTRAL)),))
    travelers = (("traveler_1", "T1"), ("traveler_2", "T2"))
    s1 = Placed("s1", "plain_two_way", WALL, (("common", HOT), *travelers))
    s2 = Placed("s2", "plain_two_way", SECOND_WALL, (("common", "LIGHT"), *travelers))
    return built(site, s1, s2, lamp_at("light", "LIGHT"), more={HOT: {SECOND_WALL}})


@cache
def many_places(crossing: int) -> Wired:
    """A light worked from `crossing` + 2 places: two-way switches at the ends, crossing switches between."""
    boxes = [f"place_{n}" for n in range(crossing + 2)]
    cables = [Cable(f"link_{n}", (a, b), 3) for n, (a, b) in enumerate(itertools.pairwise(boxes))]
    cables.append(Cable("run", (boxes[-1], CEILING), 2))
    site = Site((CEILING, *boxes), tuple(cables), (Stub("feed", boxes[0], (HOT, NEUTRAL)),))
    parts = [Placed("first", "plain_two_way", boxes[0], (("common", HOT), ("traveler_1", "A0"), ("traveler_2", "B0")))]
    for n, box in enumerate(boxes[1:-1]):
        nets = (("in_1", f"A{n}"), ("in_2", f"B{n}"), ("out_1", f"A{n + 1}"), ("out_2", f"B{n + 1}"))
        parts.append(Placed(f"cross_{n}", "plain_crossing_switch", box, nets))
    last = (("common", "LIGHT"), ("traveler_1", f"A{crossing}"), ("traveler_2", f"B{crossing}"))
    parts.append(Placed("last", "plain_two_way", boxes[-1], last))
    return built(site, *parts, lamp_at("light", "LIGHT"))


def at(part: str, terminal: str) -> End:
    return Terminal(part, terminal)


def end_of(wired: Wired, cable: str, net: str, box: str) -> End:
    """The end in a box of the conductor that carries a net in a cable."""
    colour = next(c for (name, c), carried in wired.conductors.items() if name == cable and carried == net)
    return ConductorEnd(cable, colour, box)
