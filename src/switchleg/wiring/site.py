"""A site: boxes joined by cables into a tree. The router says which nets must cross which cable.

Boxes and cables form a tree, so the way of each net is unique: it crosses a cable exactly when
it is needed on both sides of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

CEILING = "ceiling"
WALL = "wall"
SECOND_WALL = "wall_2"

HOT = "HOT"
NEUTRAL = "NEUTRAL"
GROUND = "GROUND"
IDLE = "IDLE"
"""The leg of a control that works nothing: on the control below, joined to nothing above."""


@dataclass(frozen=True)
class Cable:
    """A cable between two boxes with so many insulated conductors (ground not counted).

    `replaces`: the id of the cable in whose place it is pulled. Colours are told of a cable, so a new one has an id
    of its own: no conductor of it is one of today's.
    """

    id: str
    ends: tuple[str, str]
    conductors: int
    replaces: str = ""


@dataclass(frozen=True)
class Stub:
    """A cable that leaves the site at one box: the feed, an onward feed, or another load. Its nets are fixed."""

    id: str
    box: str
    nets: tuple[str, ...]


@dataclass(frozen=True)
class Site:
    """Boxes, the cables that join them (a tree), and the cables that leave it. Exactly one stub is the feed."""

    boxes: tuple[str, ...]
    cables: tuple[Cable, ...]
    stubs: tuple[Stub, ...]

    @property
    def feed_box(self) -> str:
        return next(stub.box for stub in self.stubs if stub.id == "feed")

    @property
    def wall_boxes(self) -> tuple[str, ...]:
        return tuple(box for box in self.boxes if box != CEILING)

    def at(self, box: str) -> tuple[Cable | Stub, ...]:
        """Every cable that enters a box."""
        inside = tuple(c for c in self.cables if box in c.ends)
        return inside + tuple(s for s in self.stubs if s.box == box)

    def run(self) -> Cable | None:
        """The cable that goes to the fan, where one comes from a wall box."""
        return next((c for c in self.cables if CEILING in c.ends), None)


@dataclass(frozen=True)
class Shortfall:
    """A cable that would have to carry more nets than it has conductors."""

    cable: str
    ends: tuple[str, str]
    nets: tuple[str, ...]
    conductors: int

    @property
    def missing(self) -> int:
        return len(self.nets) - self.conductors


@dataclass(frozen=True)
class Routing:
    """Nets by cable id; `shortfalls` is empty when every net has a conductor."""

    nets: Mapping[str, tuple[str, ...]]
    shortfalls: tuple[Shortfall, ...]

    @property
    def possible(self) -> bool:
        return not self.shortfalls


def route(site: Site, demands: Mapping[str, frozenset[str]]) -> Routing:
    """Carry every net to every box that needs it. Costs one walk of the tree for each cable.

    `demands` maps a net to the boxes it must be present in; stubs add theirs.
    """
    needed = {net: set(boxes) for net, boxes in demands.items()}
    for stub in site.stubs:
        for net in stub.nets:
            needed.setdefault(net, set()).add(stub.box)
    crossing: dict[str, tuple[str, ...]] = {}
    shortfalls: list[Shortfall] = []
    for cable in site.cables:
        near = _side(site, cable)
        nets = tuple(sorted(net for net, boxes in needed.items() if boxes & near and boxes - near))
        crossing[cable.id] = nets
        if len(nets) > cable.conductors:
            shortfalls.append(Shortfall(cable.id, cable.ends, nets, cable.conductors))
    return Routing(crossing, tuple(shortfalls))


def _side(site: Site, cut: Cable) -> frozenset[str]:
    """The boxes that stay joined to the cut cable's first end when it is taken away."""
    reached, waiting = {cut.ends[0]}, [cut.ends[0]]
    while waiting:
        box = waiting.pop()
        for cable in site.cables:
            if cable.id != cut.id and box in cable.ends:
                for other in cable.ends:
                    if other not in reached:
                        reached.add(other)
                        waiting.append(other)
    return frozenset(reached)
