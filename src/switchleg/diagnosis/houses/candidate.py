"""A candidate wiring: a site (boxes, cables, feed) with plain controls and the legs that follow from them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property

from switchleg.schema.questions import Value
from switchleg.wiring.colours import Palette, wire
from switchleg.wiring.netlist import Placed, Wired
from switchleg.wiring.site import CEILING, GROUND, HOT, IDLE, NEUTRAL, WALL, Routing, Site

KEPT_SWITCH = "switch_"
"""How the ids of the wall's plain switches begin, numbered by what they work; a plan that keeps one keeps its id."""
LEG = {"fan": "FAN", "light": "LIGHT", "both": "BOTH", "nothing": IDLE}


@dataclass(frozen=True)
class Active:
    """A plain control in a box and what it works; a multiway pair stands as one with two boxes.

    `tied`: fan and light have a conductor each, and both are tied to this one control.
    """

    works: str
    boxes: tuple[str, ...]
    tied: bool = False

    @property
    def legs(self) -> tuple[str, ...]:
        """The nets on its load side; the first is on its terminal."""
        return ("FAN", "LIGHT") if self.tied else (LEG[self.works],)


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
    opened: str = WALL
    """Which wall box somebody looks into: with two of them, all readings are of one."""
    predictions: dict[str, frozenset[Value]] = field(default_factory=dict, compare=False, repr=False)
    """What looks show on it, filled as they are asked for (see diagnosis.houses.predictions)."""

    @cached_property
    def wired(self) -> Wired:
        """Today's circuit: the fan's and the light's leads on their legs, plain controls in their boxes."""
        parts = [
            Placed("fan", "fan_motor", CEILING, (("hot", self.fan_on), ("neutral", NEUTRAL))),
        ]
        if self.has_light:
            parts.append(Placed("light", "fan_lamp", CEILING, (("hot", self.light_on), ("neutral", NEUTRAL))))
        for number, control in enumerate(self.active, 1):
            leg = control.legs[0]
            if control.tied:
                tie = (("one", "FAN"), ("other", "LIGHT"))
                parts.append(Placed(f"tie_{number}", "wall_joint", control.boxes[0], tie))
            if len(control.boxes) == 1:
                nets = (("line", HOT), ("load", leg))
                parts.append(Placed(f"{KEPT_SWITCH}{number}", "plain_switch", control.boxes[0], nets))
            else:
                travelers = (("traveler_1", "T1"), ("traveler_2", "T2"))
                for place, (box, common) in enumerate(zip(control.boxes, (HOT, leg), strict=True), 1):
                    nets3 = (("common", common), *travelers)
                    parts.append(Placed(f"{KEPT_SWITCH}{number}_{place}", "plain_two_way", box, nets3))
        parts = [*(grounded(part) for part in parts), *self.standing]
        return wire(self.site, self.routing, tuple(parts), self.palette, spare_white=self.white_spare)

    @cached_property
    def standing(self) -> tuple[Placed, ...]:
        """Parts that have nothing to do with the fan and stay: the switch of a loop for something else."""
        return tuple(
            grounded(Placed("beside", "plain_switch", stub.box, (("line", stub.nets[0]), ("load", stub.nets[1]))))
            for stub in self.site.stubs
            if stub.id == "beside"
        )

    @cached_property
    def controls(self) -> int | None:
        """Places at the wall with a plain control that works something; None where there is no control at all."""
        working = sum(len(a.boxes) for a in self.active if a.works != "nothing")
        return working if self.site.wall_boxes and self.active else None

    @cached_property
    def carries(self) -> str:
        """What plans can tell of the wiring, as a text: its boxes, cables, feed, nets, controls and loops.

        Cables that only carry the feed on, and the conductors left unused, are not in it.
        """
        loops = [(s.id, s.box, s.nets) for s in self.site.stubs if s.id in ("other", "beside")]
        nets = sorted(self.routing.nets.items())
        site = self.site
        return repr((site.boxes, site.cables, site.feed_box, nets, self.active, loops, self.has_light))

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
        works = "+".join(_name(a) for a in self.active) or "nothing"
        parts = [f"feed_{self.feed}", f"run_{self.run_conductors}", works]
        if len(self.site.wall_boxes) > 1:
            parts.insert(0, "two_wall_boxes")
        if self.neutral_at_wall:
            parts.append("neutral_at_wall")
        if self.spares:
            parts.append(f"spare_{self.spares}")
        return ".".join(parts)


METAL = frozenset({"plain_switch", "plain_two_way", "fan_motor"})
"""Parts of today's wiring that have metal to be grounded."""


def grounded(part: Placed) -> Placed:
    """A part with its ground lead or screw on ground."""
    return replace(part, nets=(*part.nets, ("ground", GROUND))) if part.control in METAL else part


def _name(control: Active) -> str:
    return control.works + ("_two_places" if len(control.boxes) > 1 else "") + ("_tied" if control.tied else "")
