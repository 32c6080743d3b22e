"""Generate candidate wirings: every site with every pattern of controls that the router can wire.

Nothing here is a list of known houses: which combinations exist is the router's finding.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import permutations

from switchleg.diagnosis.houses.candidate import Active, Candidate
from switchleg.schema.parts import Legs, WiringFile, Works
from switchleg.wiring.colours import Palette
from switchleg.wiring.site import CEILING, HOT, IDLE, NEUTRAL, SECOND_WALL, WALL, Cable, Routing, Site, Stub, route

BESIDE = ("BESIDE_HOT", "BESIDE_LEG")
"""Nets of a switch loop in the same box that belongs to something else."""


class Generator:
    """All candidates for a kind of fan. `other_load` hangs another load on a controlled leg."""

    def __init__(self, data: WiringFile, palette: Palette, *, other_load: bool, has_light: bool) -> None:
        self.data = data
        self.palette = palette
        self.other_load = other_load
        self.has_light = has_light
        patterns = (data.one_location, data.two_locations)
        self.one, self.two = patterns if has_light else map(_without_light, patterns)

    def all(self) -> tuple[Candidate, ...]:
        """Candidates with none, one and two wall boxes; each number of boxes has its share of all."""
        found: list[Candidate] = []
        for boxes, group in (("0", self._no_wall()), ("1", self._one_wall()), ("2", self._two_walls())):
            houses = list(group)
            scale = self.data.wall_boxes.p[boxes] / sum(h.p for h in houses)
            found += [replace(h, p=h.p * scale) for h in houses]
        return tuple(found)

    def _no_wall(self) -> Iterator[Candidate]:
        for onward, p in self.data.onward_feed_at_ceiling.p.items():
            if onward in ("none", "ceiling"):
                yield from self._routed(Site((CEILING,), (), _stubs(CEILING, onward)), (), p)

    def _one_wall(self) -> Iterator[Candidate]:
        for legs in self.one:
            for site, p_site in self._one_box_sites():
                yield from self._wired(site, legs, legs.p * p_site)

    def _two_walls(self) -> Iterator[Candidate]:
        for legs in self.two:
            if legs.multiway or legs.controls:
                for site, p_site in self._two_box_sites():
                    yield from self._wired(site, legs, legs.p * p_site)

    def _wired(self, site: Site, legs: Legs, share: float) -> Iterator[Candidate]:
        for active, p_active in self._placements(legs, site):
            sites = tuple(_with_other_load(site, active)) if self.other_load else (site,)
            for loaded in sites:
                yield from self._routed(loaded, active, share * p_active / len(sites))

    def _one_box_sites(self) -> Iterator[tuple[Site, float]]:
        for n in self.data.run_conductors:
            for feed in (WALL, CEILING):
                onward_feed = self.data.onward_feed_at_wall if feed == WALL else self.data.onward_feed_at_ceiling
                for onward, p in onward_feed.p.items():
                    for beside, p_beside in self.data.beside.p.items():
                        stubs = _stubs(feed, onward) + ((Stub("beside", WALL, BESIDE),) if beside == "yes" else ())
                        site = Site((CEILING, WALL), (Cable("run", (WALL, CEILING), n),), stubs)
                        yield site, self.data.conductors.p[str(n)] * self.data.feed.p[feed] * p * p_beside

    def _two_box_sites(self) -> Iterator[tuple[Site, float]]:
        shares = self.data.conductors.p
        for n in self.data.run_conductors:
            for m in self.data.run_conductors:
                for far_end in (WALL, CEILING):
                    for feed in (WALL, SECOND_WALL, CEILING):
                        cables = (Cable("run", (WALL, CEILING), n), Cable("link", (SECOND_WALL, far_end), m))
                        p = self.data.feed.p["ceiling"] if feed == CEILING else self.data.feed.p["wall"] / 2
                        boxes = (CEILING, WALL, SECOND_WALL)
                        yield Site(boxes, cables, _stubs(feed, "none")), shares[str(n)] * shares[str(m)] * p / 2

    def _placements(self, legs: Legs, site: Site) -> Iterator[tuple[tuple[Active, ...], float]]:
        walls = site.wall_boxes
        if len(walls) == 1:
            plain = tuple(Active(works, walls) for works in legs.controls)
            if legs.controls == ("both",) and self.has_light:
                tied = self.data.both_tied.p
                yield plain, tied["no"]
                yield (Active("both", walls, tied=True),), tied["yes"]
            else:
                yield plain, 1.0
        elif legs.multiway:
            places = walls if legs.controls else walls[:1]
            for order in permutations(walls):
                for box in places:
                    alone = (Active(works, (box,)) for works in legs.controls)
                    yield (*alone, Active(legs.multiway, order)), 1 / (2 * len(places))
        else:
            orders = tuple(permutations(walls, len(legs.controls)))
            for boxes in orders:
                found = (Active(w, (box,)) for w, box in zip(legs.controls, boxes, strict=True))
                yield tuple(found), 1 / len(orders)

    def _routed(self, site: Site, active: tuple[Active, ...], share: float) -> Iterator[Candidate]:
        """The houses of a site: the neutral sent down to its controls or not, where that makes a difference."""
        fan_on, light_on = legs_of(active)
        if not self.has_light:
            light_on = fan_on
        demands = demands_of(active, fan_on, light_on)
        bare = route(site, {net: frozenset(boxes) for net, boxes in demands.items()})
        down_to = {a.boxes[0] for a in active} or set(site.wall_boxes[:1])
        demands[NEUTRAL] |= down_to
        demands.setdefault(HOT, set()).update(down_to)  # a lone neutral is never sent down
        sent = route(site, {net: frozenset(boxes) for net, boxes in demands.items()})
        p_down = self.data.neutral_sent_down.p
        if sent.nets == bare.nets:
            yield from self._laid(site, active, (fan_on, light_on), bare, share, down=False)
        else:
            yield from self._laid(site, active, (fan_on, light_on), bare, share * p_down["no"], down=False)
            yield from self._laid(site, active, (fan_on, light_on), sent, share * p_down["yes"], down=True)

    def _laid(
        self,
        site: Site,
        active: tuple[Active, ...],
        on: tuple[str, str],
        routing: Routing,
        share: float,
        *,
        down: bool,
    ) -> Iterator[Candidate]:
        if not routing.possible:
            return
        loops = ((c.conductors, routing.nets[c.id]) for c in site.cables)
        choice = any(NEUTRAL not in nets and len(nets) < have for have, nets in loops)
        for left in (False, True) if choice else (False,):
            p = share * (self.data.white_left_spare.p["yes" if left else "no"] if choice else 1.0)
            walls = site.wall_boxes or (WALL,)
            for opened in walls:
                yield Candidate(
                    site, active, *on, down, left, routing, self.palette, p / len(walls), self.has_light, opened
                )


def _without_light(patterns: tuple[Legs, ...]) -> tuple[Legs, ...]:
    """Location patterns for a fan without light: what worked both works the fan."""
    shares: dict[tuple[tuple[Works, ...], Works | None], float] = {}
    controls: tuple[Works, ...]
    for legs in patterns:
        controls = tuple(w if w == "nothing" else "fan" for w in legs.controls if w != "light")
        multiway: Works | None = "fan" if legs.multiway in ("fan", "both") else None
        if not (controls and multiway):
            shares[controls, multiway] = shares.get((controls, multiway), 0.0) + legs.p
    return tuple(Legs(controls=c, multiway=m, p=p) for (c, m), p in shares.items())


def _stubs(feed: str, onward: str) -> tuple[Stub, ...]:
    """The feed, and the cables that carry it on: none, from the wall, from the ceiling, or from both."""
    boxes = {"none": (), "both": (WALL, CEILING)}.get(onward, (onward,))
    on = tuple(Stub("onward" if n == 0 else "onward_2", box, (HOT, NEUTRAL)) for n, box in enumerate(boxes))
    return (Stub("feed", feed, (HOT, NEUTRAL)), *on)


def _with_other_load(site: Site, active: tuple[Active, ...]) -> Iterator[Site]:
    """The site with another load on a controlled leg, for each leg, at its control or at the ceiling.

    Legs tied to one control meet under one connector: what hangs on them there is a lamp rather than a fan.
    """
    for control in (a for a in active if a.works != "nothing"):
        for leg in control.legs:
            for box in (control.boxes[-1], CEILING):
                if control.tied and box != CEILING and leg != "LIGHT":
                    continue
                yield Site(site.boxes, site.cables, (*site.stubs, Stub("other", box, (leg, NEUTRAL))))


def demands_of(active: tuple[Active, ...], fan_on: str, light_on: str) -> dict[str, set[str]]:
    """Which nets must be where for loads at the ceiling and plain controls in their boxes."""
    demands: dict[str, set[str]] = {NEUTRAL: {CEILING}}
    for net in (fan_on, light_on):
        demands.setdefault(net, set()).add(CEILING)
    for control in active:
        demands.setdefault(HOT, set()).add(control.boxes[0])
        for leg in control.legs:
            demands.setdefault(leg, set()).add(control.boxes[-1])
            if leg == IDLE:
                demands[leg].add(CEILING)
        if len(control.boxes) > 1:
            for traveler in ("T1", "T2"):
                demands.setdefault(traveler, set()).update(control.boxes)
    return demands


def legs_of(active: tuple[Active, ...]) -> tuple[str, str]:
    """The nets that the fan and the light hang on: their leg where a control works them, else always hot."""
    works: Mapping[str, str] = {
        which: (which.upper() if a.tied else a.legs[0])
        for a in active
        for which in ("fan", "light")
        if a.works in (which, "both")
    }
    return works.get("fan", HOT), works.get("light", HOT)
