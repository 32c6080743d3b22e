"""Invented houses by a recipe of their own: cables, feed, switches, copper. The engine's shares are not read.

What is common and what is rare here are our own estimates, made for this recipe alone.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

import networkx as nx

from switchleg.wiring.netlist import Placed, Wired, join
from switchleg.wiring.site import CEILING, HOT, NEUTRAL, SECOND_WALL, WALL, Cable, Site, Stub

COLOURS = {2: ("black", "white"), 3: ("black", "red", "white"), 4: ("black", "red", "blue", "white")}
"""Insulated conductors of North American cable (common practice, no source)."""

WORKS = {"fan": ("FAN",), "light": ("LIGHT",), "both": ("BOTH",), "tied": ("FAN", "LIGHT"), "nothing": ("IDLE",)}


@dataclass(frozen=True)
class Recipe:
    """A wiring before its copper is laid.

    `switches`: (what it works, its boxes); two boxes are a two-way pair. `other`: the leg and the box of another
    load. `onward`: the box that carries the feed on. `swapped`: red and black changed places in the run.
    """

    feed: str
    run: int
    link: tuple[int, str] | None
    switches: tuple[tuple[str, tuple[str, ...]], ...]
    light: bool
    neutral_down: bool = False
    white_spare: bool = False
    swapped: bool = False
    onward: str = ""
    beside: bool = False
    other: tuple[str, str] | None = None

    @property
    def fan_on(self) -> str:
        return self._on("fan")

    @property
    def light_on(self) -> str:
        return self._on("light") if self.light else self.fan_on

    def _on(self, load: str) -> str:
        for works, _ in self.switches:
            if works == "tied":
                return load.upper()
            if works in (load, "both"):
                return works.upper()
        return HOT


def draw(rng: random.Random, *, light: bool) -> Recipe:
    """A wiring that its cables can carry."""
    while True:
        recipe = _draw(rng, light=light)
        if lay(recipe) is not None:
            return recipe


def _draw(rng: random.Random, *, light: bool) -> Recipe:
    places = rng.choices((0, 1, 2), (8, 80, 12))[0]
    if places == 0:
        return Recipe(CEILING, 0, None, (), light, onward=rng.choice(("", "", CEILING)))
    feed = rng.choices((WALL, CEILING), (6, 4))[0]
    run = rng.choices((2, 3, 4), (50, 42, 8))[0]
    if places == 2:
        return _two_places(rng, feed, run, light=light)
    patterns: tuple[tuple[str, ...], ...] = (("both",), ("fan", "light"), ("light",), ("fan",), ("tied",), ())
    works = rng.choices(patterns, (36, 26, 12, 9, 12, 5))[0] if light else rng.choices((("fan",), ()), (92, 8))[0]
    if works in (("both",), ("fan",)) and rng.random() < 0.08:
        works = (*works, "nothing")  # a second leg, capped above since a fan with one lead was hung
    switches = tuple((w, (WALL,)) for w in works)
    onward = rng.choices(("", feed, CEILING), (60, 32, 8))[0]
    recipe = Recipe(
        feed,
        run,
        None,
        switches,
        light,
        neutral_down=feed == CEILING and rng.random() < 0.4,
        white_spare=rng.random() < 0.2,
        swapped=rng.random() < 0.5,
        onward=onward,
        beside=bool(switches) and rng.random() < 0.06,
    )
    legs = [leg for w in works if w != "nothing" for leg in WORKS[w]]
    if legs and rng.random() < 0.1:
        leg, box = rng.choice(legs) if light else legs[0], rng.choice((WALL, CEILING))
        if "tied" in works and box == WALL:
            leg = "LIGHT"  # all under one connector: nobody can tell, and a lamp is likelier
        recipe = Recipe(**{**vars(recipe), "other": (leg, box)})
    return recipe


def _two_places(rng: random.Random, feed: str, run: int, *, light: bool) -> Recipe:
    boxes = rng.choice(((WALL, SECOND_WALL), (SECOND_WALL, WALL)))
    if feed == WALL:
        feed = rng.choice((WALL, SECOND_WALL))
    pattern = rng.choice(("pair", "pair", "pair", "light pair and fan", "one each")) if light else "pair"
    switches: tuple[tuple[str, tuple[str, ...]], ...]
    if pattern == "pair":
        switches = ((rng.choice(("both", "both", "light", "fan")) if light else "fan", boxes),)
    elif pattern == "one each":
        switches = (("fan", boxes[:1]), ("light", boxes[1:]))
    else:
        switches = (("fan", (rng.choice(boxes),)), ("light", boxes))
    link = (rng.choices((2, 3, 4), (30, 60, 10))[0], rng.choice((WALL, WALL, CEILING)))
    return Recipe(feed, run, link, switches, light, swapped=rng.random() < 0.5)


# ---- the copper ----


def site_of(recipe: Recipe) -> Site:
    boxes, cables = [CEILING], []
    if recipe.run:
        boxes.append(WALL)
        cables.append(Cable("run", (WALL, CEILING), recipe.run))
    if recipe.link:
        boxes.append(SECOND_WALL)
        cables.append(Cable("link", (SECOND_WALL, recipe.link[1]), recipe.link[0]))
    stubs = [Stub("feed", recipe.feed, (HOT, NEUTRAL))]
    if recipe.onward:
        stubs.append(Stub("onward", recipe.onward, (HOT, NEUTRAL)))
    if recipe.beside:
        stubs.append(Stub("beside", WALL, ("BESIDE_HOT", "BESIDE_LEG")))
    if recipe.other:
        stubs.append(Stub("other", recipe.other[1], (recipe.other[0], NEUTRAL)))
    return Site(tuple(boxes), tuple(cables), tuple(stubs))


def parts_of(recipe: Recipe) -> tuple[Placed, ...]:
    """The loads' leads and today's switches."""
    parts = [Placed("fan", "fan_motor", CEILING, (("hot", recipe.fan_on), ("neutral", NEUTRAL)))]
    if recipe.light:
        parts.append(Placed("light", "fan_lamp", CEILING, (("hot", recipe.light_on), ("neutral", NEUTRAL))))
    for number, (works, boxes) in enumerate(recipe.switches, 1):
        leg = WORKS[works][0]
        if works == "tied":
            parts.append(Placed(f"tie_{number}", "wall_joint", boxes[0], (("one", "FAN"), ("other", "LIGHT"))))
        if len(boxes) == 1:
            parts.append(Placed(f"switch_{number}", "plain_switch", boxes[0], (("line", HOT), ("load", leg))))
            continue
        for place, (box, common) in enumerate(zip(boxes, (HOT, leg), strict=True), 1):
            nets = (("common", common), ("traveler_1", "T1"), ("traveler_2", "T2"))
            parts.append(Placed(f"switch_{number}_{place}", "plain_two_way", box, nets))
    if recipe.beside:
        parts.append(Placed("beside", "plain_switch", WALL, (("line", "BESIDE_HOT"), ("load", "BESIDE_LEG"))))
    return tuple(parts)


def crossing(recipe: Recipe) -> dict[str, tuple[str, ...]]:
    """The nets that every cable must carry: those that are needed on both of its sides."""
    site, needed = site_of(recipe), {}
    for part in parts_of(recipe):
        for _, net in part.nets:
            needed.setdefault(net, set()).add(part.box)
    for stub in site.stubs:
        for net in stub.nets:
            needed.setdefault(net, set()).add(stub.box)
    if "IDLE" in needed:
        needed["IDLE"].add(CEILING)  # it goes up, and ends there
    if recipe.neutral_down:
        needed[NEUTRAL].add(WALL)
        needed.setdefault(HOT, set()).add(WALL)
    graph = nx.Graph([(*cable.ends, {"id": cable.id}) for cable in site.cables])
    graph.add_nodes_from(site.boxes)
    found = {}
    for cable in site.cables:
        rest = graph.copy()
        rest.remove_edge(*cable.ends)
        near = nx.node_connected_component(rest, cable.ends[0])
        found[cable.id] = tuple(sorted(net for net, boxes in needed.items() if boxes & near and boxes - near))
    return found


def lay(recipe: Recipe) -> Wired | None:
    """The wiring in copper; None when a cable has too few conductors, or a flag would change nothing."""
    site, nets = site_of(recipe), crossing(recipe)
    conductors: dict[tuple[str, str], str | None] = {}
    for cable in site.cables:
        colours, carried = COLOURS[cable.conductors], nets[cable.id]
        if len(carried) > len(colours):
            return None
        given = _coloured(recipe, colours, carried)
        conductors.update({(cable.id, colour): given.get(colour) for colour in colours})
    for stub in site.stubs:
        black, white = stub.nets if stub.id != "beside" else stub.nets[::-1]
        conductors |= {(stub.id, "black"): black, (stub.id, "white"): white}
    parts = parts_of(recipe)
    return Wired(site, parts, conductors, join(site, parts, conductors), frozenset())


def _coloured(recipe: Recipe, colours: tuple[str, ...], carried: tuple[str, ...]) -> dict[str, str]:
    """White is the neutral; in a loop without neutral it is the supply down (NEC 200.7(C)), or left unused."""
    given: dict[str, str] = {}
    dark = [c for c in colours if c != "white"]
    if recipe.swapped:
        dark[:2] = dark[:2][::-1]
    left = list(carried)
    if NEUTRAL in left:
        given["white"] = NEUTRAL
        left.remove(NEUTRAL)
    elif HOT in left and not (recipe.white_spare and len(left) <= len(dark)):
        given["white"] = HOT
        left.remove(HOT)
    left.sort(key=lambda net: (net != HOT, net))
    if left and left[0] == HOT and recipe.swapped:
        dark.sort(key=lambda c: c != "black")
    given.update(zip([*dark, *(c for c in colours if c == "white" and c not in given)], left, strict=False))
    return given


def legs(recipe: Recipe) -> Iterator[str]:
    for works, _ in recipe.switches:
        yield from WORKS[works]
