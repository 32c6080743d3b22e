"""Candidate wirings, generated and kept when the router can wire them.

A candidate is a site (boxes, cables, feed) with plain controls and the legs that follow from what they
work. Nothing here is a list of known houses: which combinations exist is the router's finding.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import permutations

from switchleg.wiring.colours import Palette, wire
from switchleg.wiring.netlist import Placed, Wired
from switchleg.wiring.parts import Legs, WiringFile, Works
from switchleg.wiring.site import CEILING, HOT, NEUTRAL, SECOND_WALL, WALL, Cable, Routing, Site, Stub, route

LEG = {"fan": "FAN", "light": "LIGHT", "both": "BOTH"}


@dataclass(frozen=True)
class Active:
    """A plain control in a box and what it works; a multiway pair stands as one with two boxes."""

    works: str
    boxes: tuple[str, ...]


@dataclass(frozen=True)
class Candidate:
    """A wiring that could stand in a house. `p` is its prior share (not normalised)."""

    site: Site
    active: tuple[Active, ...]
    fan_on: str
    light_on: str
    neutral_down: bool
    white_spare: bool
    routing: Routing = field(compare=False, repr=False)
    palette: Palette = field(compare=False, repr=False)
    p: float = field(compare=False)
    has_light: bool = True

    @cached_property
    def wired(self) -> Wired:
        """Today's circuit: the fan's and the light's leads on their legs, plain controls in their boxes."""
        parts = [
            Placed("fan", "fan_motor", CEILING, (("hot", self.fan_on), ("neutral", NEUTRAL))),
        ]
        if self.has_light:
            parts.append(Placed("light", "fan_lamp", CEILING, (("hot", self.light_on), ("neutral", NEUTRAL))))
        for number, control in enumerate(self.active, 1):
            leg = LEG[control.works]
            if len(control.boxes) == 1:
                nets = (("line", HOT), ("load", leg))
                parts.append(Placed(f"switch_{number}", "plain_switch", control.boxes[0], nets))
            else:
                travelers = (("traveler_1", "T1"), ("traveler_2", "T2"))
                for place, (box, common) in enumerate(zip(control.boxes, (HOT, leg), strict=True), 1):
                    nets3 = (("common", common), *travelers)
                    parts.append(Placed(f"switch_{number}_{place}", "plain_two_way", box, nets3))
        return wire(self.site, self.routing, tuple(parts), self.palette, spare_white=self.white_spare)

    @property
    def run_conductors(self) -> int:
        run = self.site.run()
        return run.conductors if run else 0

    @property
    def spares(self) -> int:
        return sum(cable.conductors - len(self.routing.nets[cable.id]) for cable in self.site.cables)

    @property
    def feed(self) -> str:
        return "ceiling" if self.site.feed_box == CEILING else "wall"

    @property
    def neutral_at_wall(self) -> bool:
        return any(NEUTRAL in self.wired_nets(box) for box in self.site.wall_boxes)

    def wired_nets(self, box: str) -> set[str]:
        """Nets that reach a box, joined there or capped."""
        cables = {c.id for c in self.site.at(box)}
        nets = {net for c in cables if c in self.routing.nets for net in self.routing.nets[c]}
        return nets | {net for stub in self.site.stubs if stub.box == box for net in stub.nets}

    @cached_property
    def id(self) -> str:
        """A readable name of the wiring's class: details that change no plan are left out."""
        if not self.site.wall_boxes:
            return "no_wall_box"
        works = "+".join(a.works + ("_two_places" if len(a.boxes) > 1 else "") for a in self.active) or "nothing"
        parts = [f"feed_{self.feed}", f"run_{self.run_conductors}", works]
        if len(self.site.wall_boxes) > 1:
            parts.insert(0, "two_wall_boxes")
        if self.neutral_at_wall:
            parts.append("neutral_at_wall")
        if self.spares:
            parts.append(f"spare_{self.spares}")
        return ".".join(parts)


def generate(
    data: WiringFile,
    palette: Palette,
    *,
    other_load: bool = False,
    has_light: bool = True,
) -> tuple[Candidate, ...]:
    """Every candidate that the router can wire.

    `other_load` hangs another load on a controlled leg; without a light, what would work it is left out.
    """
    found: list[Candidate] = []
    for boxes in (0, 1, 2):
        found += _with_boxes(boxes, data if has_light else _without_light(data), palette, other_load)
    return tuple(found) if has_light else tuple(_darkened(found))


def _without_light(data: WiringFile) -> WiringFile:
    """Location patterns for a fan without light: what worked both works the fan."""

    def plain(all_legs: tuple[Legs, ...]) -> tuple[Legs, ...]:
        shares: dict[tuple[tuple[Works, ...], Works | None], float] = {}
        for legs in all_legs:
            controls: tuple[Works, ...] = tuple("fan" for w in legs.controls if w != "light")
            multiway: Works | None = "fan" if legs.multiway in ("fan", "both") else None
            shares[controls, multiway] = shares.get((controls, multiway), 0.0) + legs.p
        kept = {k: p for k, p in shares.items() if not (k[0] and k[1])}
        return tuple(Legs(controls=c, multiway=m, p=p) for (c, m), p in kept.items())

    one, two = plain(data.one_location), plain(data.two_locations)
    return data.model_copy(update={"one_location": one, "two_locations": tuple(x for x in two if x.multiway)})


def _darkened(found: list[Candidate]) -> Iterator[Candidate]:
    for candidate in found:
        yield replace(candidate, has_light=False, light_on=candidate.fan_on)


def _with_boxes(boxes: int, data: WiringFile, palette: Palette, other_load: bool) -> Iterator[Candidate]:
    share = data.wall_boxes.p[str(boxes)]
    if boxes == 0:
        for onward, p_onward in data.onward_feed_at_ceiling.p.items():
            if onward != "wall":
                site = Site((CEILING,), (), _stubs(CEILING, None if onward == "none" else CEILING))
                yield from _route(data, palette, site, (), False, share * p_onward)
        return
    for legs in data.one_location if boxes == 1 else data.two_locations:
        for site, p_site in _sites(boxes, data):
            for active in _placements(legs, site):
                for site_o in _other(site, active) if other_load else (site,):
                    for down in (False, True):
                        p_down = data.neutral_sent_down.p["yes" if down else "no"]
                        yield from _route(data, palette, site_o, active, down, share * legs.p * p_site * p_down)


def _stubs(feed: str, onward: str | None) -> tuple[Stub, ...]:
    feeds = (Stub("feed", feed, (HOT, NEUTRAL)),)
    return (*feeds, Stub("onward", onward, (HOT, NEUTRAL))) if onward else feeds


def _sites(boxes: int, data: WiringFile) -> Iterator[tuple[Site, float]]:
    counts = [(n, data.conductors.p[str(n)]) for n in data.run_conductors]
    if boxes == 1:
        for n, p_n in counts:
            for feed in (WALL, CEILING):
                onward_feed = data.onward_feed_at_wall if feed == WALL else data.onward_feed_at_ceiling
                for onward, p_onward in onward_feed.p.items():
                    box = {"none": None, "wall": WALL, "ceiling": CEILING}[onward]
                    cable = Cable("run", (WALL, CEILING), n)
                    site = Site((CEILING, WALL), (cable,), _stubs(feed, box))
                    yield site, p_n * data.feed.p[feed] * p_onward
        return
    for n, p_n in counts:
        for m, p_m in counts:
            for far_end in (WALL, CEILING):
                for feed in (WALL, SECOND_WALL, CEILING):
                    cables = (Cable("run", (WALL, CEILING), n), Cable("link", (SECOND_WALL, far_end), m))
                    share = data.feed.p["ceiling" if feed == CEILING else "wall"] / (1 if feed == CEILING else 2)
                    yield (
                        Site((CEILING, WALL, SECOND_WALL), cables, _stubs(feed, None)),
                        p_n * p_m * share / 2,
                    )


def _placements(legs: Legs, site: Site) -> Iterator[tuple[Active, ...]]:
    walls = site.wall_boxes
    pair = [Active(legs.multiway, order) for order in permutations(walls)] if legs.multiway else []
    if len(walls) == 1:
        yield tuple(Active(works, (walls[0],)) for works in legs.controls)
    elif pair:
        for both in pair:
            for box in walls if legs.controls else walls[:1]:
                yield (*(Active(works, (box,)) for works in legs.controls), both)
    else:
        for boxes in permutations(walls, len(legs.controls)):
            yield tuple(Active(works, (box,)) for works, box in zip(legs.controls, boxes, strict=True))


def _other(site: Site, active: tuple[Active, ...]) -> Iterator[Site]:
    """The site with another load on the first controlled leg, at a control's box or at the ceiling."""
    if active:
        leg = LEG[active[0].works]
        for box in (active[0].boxes[-1], CEILING):
            yield Site(site.boxes, site.cables, (*site.stubs, Stub("other", box, (leg, NEUTRAL))))


def demands_of(active: tuple[Active, ...], fan_on: str, light_on: str) -> dict[str, set[str]]:
    """Which nets must be where for loads at the ceiling and plain controls in their boxes."""
    demands: dict[str, set[str]] = {NEUTRAL: {CEILING}}
    for net in (fan_on, light_on):
        demands.setdefault(net, set()).add(CEILING)
    for control in active:
        leg = LEG[control.works]
        demands.setdefault(HOT, set()).add(control.boxes[0])
        demands.setdefault(leg, set()).add(control.boxes[-1])
        if len(control.boxes) > 1:
            for traveler in ("T1", "T2"):
                demands.setdefault(traveler, set()).update(control.boxes)
    return demands


def legs_of(active: tuple[Active, ...]) -> tuple[str, str]:
    """The nets that the fan and the light hang on: their leg where a control works them, else always hot."""
    works: Mapping[str, str] = {w: LEG[a.works] for a in active for w in ("fan", "light") if a.works in (w, "both")}
    return works.get("fan", HOT), works.get("light", HOT)


def _route(
    data: WiringFile,
    palette: Palette,
    site: Site,
    active: tuple[Active, ...],
    neutral_down: bool,
    share: float,
) -> Iterator[Candidate]:
    fan_on, light_on = legs_of(active)
    if not any(w in ("light", "both") for w in _works(data)):
        light_on = fan_on
    demands = demands_of(active, fan_on, light_on)
    bare = route(site, {net: frozenset(boxes) for net, boxes in demands.items()})
    if neutral_down:
        walls = {a.boxes[0] for a in active} or set(site.wall_boxes[:1])
        demands[NEUTRAL] |= walls
        routing = route(site, {net: frozenset(boxes) for net, boxes in demands.items()})
        if routing.nets == bare.nets:
            return
    else:
        routing = bare
    if not routing.possible:
        return
    spare = any(cable.conductors > len(routing.nets[cable.id]) for cable in site.cables)
    pale_choice = spare and any(
        NEUTRAL not in nets and len(nets) < cable.conductors
        for cable in site.cables
        for nets in (routing.nets[cable.id],)
    )
    for left in (False, True) if pale_choice else (False,):
        share_white = data.white_left_spare.p["yes" if left else "no"] if pale_choice else 1.0
        yield Candidate(site, active, fan_on, light_on, neutral_down, left, routing, palette, share * share_white)


def _works(data: WiringFile) -> set[str]:
    """Everything that any location pattern works: tells whether the fan has a light at all."""
    patterns = (*data.one_location, *data.two_locations)
    return {w for legs in patterns for w in (*legs.controls, legs.multiway) if w}
