"""Plans tried in a house, with what judging reads off them; kept, since no wish and no permission changes them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from switchleg.advice.model import NewCable
from switchleg.advice.plans.keeps import keeps, new_wall_devices
from switchleg.advice.plans.plan import Obstacle, Plan, Setting, obstacle_of, wirings
from switchleg.diagnosis.fans import Fan
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.schema.parts import Channel
from switchleg.schema.schemes import Scheme, Way
from switchleg.wiring.bench import Bench
from switchleg.wiring.netlist import End, Placed, Wired
from switchleg.wiring.rules import downstream, findings, works_other
from switchleg.wiring.site import CEILING

MOST = 40_000
"""Plans kept at once; when there are more, all are let go."""


@dataclass(frozen=True)
class Tried:
    """A plan with what it keeps. Everything else is read off its circuit when it is first asked for."""

    plan: Plan
    kept: dict[str, bool | None]
    bench: Bench = field(repr=False)
    prepared: dict[object, tuple[tuple[str, ...], float]] = field(default_factory=dict, compare=False, repr=False)
    """Preparations in working order and their trouble, by the answers that they rest on."""

    @cached_property
    def devices(self) -> int:
        """Wall parts that take a gang."""
        return len(new_wall_devices(self.plan, self.bench))

    @cached_property
    def modules(self) -> int:
        """Parts that lie loose in a wall box."""
        parts = (p for p in self.plan.wired.parts if not self.bench.is_load(p))
        return sum(p.box != CEILING and self.bench.controls[p.control].loose for p in parts)

    @cached_property
    def pulled(self) -> tuple[NewCable, ...]:
        """The cables that are new."""
        return self.plan.pulled()

    @cached_property
    def supply_switched(self) -> bool:
        """Whether the fan is started by a contact in its supply."""
        return any("app" in ch.by and load == "fan" for _, ch, load in self._feeds)

    @cached_property
    def steps_fan(self) -> bool:
        """Whether some output steps or cuts the fan's power."""
        return any(ch.does != "contact" and load == "fan" for _, ch, load in self._feeds)

    @cached_property
    def hand_on_light(self) -> bool:
        """A wired wall control works the light, through its own lead or through the receiver's supply."""
        load = "light" if any(p.id == "light" for p in self.plan.wired.parts) else "fan"
        return any(
            fed == load and part.box != CEILING and bool("hand" in channel.by or part.net("sense"))
            for part, channel, fed in self._feeds
        )

    @cached_property
    def beside_other(self) -> tuple[str, ...]:
        """Classes of new control that work another load on the same leg too."""
        return beside_other(self.plan, self.bench)

    @cached_property
    def touches_canopy(self) -> bool:
        return touches_canopy(self.plan)

    @cached_property
    def _feeds(self) -> tuple[tuple[Placed, Channel, str], ...]:
        """Every part and channel with each load it feeds, directly or through other parts."""
        return tuple(self._each_feed())

    def _each_feed(self) -> Iterator[tuple[Placed, Channel, str]]:
        wired = self.plan.wired
        for part in wired.parts:
            control = self.bench.controls.get(part.control)
            for channel in control.channel if control else ():
                net = part.net(channel.joins[1])
                for load in downstream(wired, self.bench, net)[0] if net else ():
                    yield part, channel, load.id


Tries = tuple[tuple[Tried, ...], tuple[Obstacle, ...]]
Wirings = tuple[tuple[tuple[Wired, tuple[str, ...]], ...], tuple[Obstacle, ...]]


@dataclass(frozen=True, eq=False)
class Circuits:
    """What has been solved on one bench, by what the solver sees: no colour of a conductor is among it."""

    kept: dict[object, dict[str, bool | None]] = field(default_factory=dict)
    """What plans with the same circuit keep; a routed net is one node wherever its cables run."""
    faults: dict[object, tuple[Obstacle, ...]] = field(default_factory=dict)


class Drawer:
    """Tries of one set of schemes on one bench: houses are told apart by identity and kept alive with their tries."""

    def __init__(self, bench: Bench, circuits: Circuits | None = None) -> None:
        self.bench = bench
        self._circuits = circuits or Circuits()
        self._tries: dict[object, tuple[Candidate, Tries]] = {}
        self._wirings: dict[object, tuple[Candidate, Wirings]] = {}
        self._faults_of: dict[int, tuple[Wired, tuple[Obstacle, ...]]] = {}
        """By the identity of what is wired, which is kept with it."""

    def tries(self, scheme: Scheme, way: Way, house: Candidate, fan: Fan, fed: Setting, *, may_pull: bool) -> Tries:
        """Every placement of a way that can be wired, and what stood against the others."""
        key = (*self.kind(scheme, way, fan, fed), id(house), may_pull)
        known = self._tries.get(key)
        if known is None:
            if len(self._tries) >= MOST:
                self._tries.clear()
                self._wirings.clear()
            found, against = self._wired(scheme, way, house, fed, may_pull=may_pull)
            plans = (Plan(way, fan, wired, house, new, fed.light_moved, fed.receiver_kept) for wired, new in found)
            known = house, (tuple(Tried(plan, self._keeps(plan), self.bench) for plan in plans), against)
            self._tries[key] = known
        return known[1]

    def _wired(self, scheme: Scheme, way: Way, house: Candidate, fed: Setting, *, may_pull: bool) -> Wirings:
        """The circuits of a way: of the fan they depend on its load and its light, with the light's own lead."""
        key = scheme.id, way.id, id(house), fed.load, fed.light_net, fed.light_load, may_pull
        known = self._wirings.get(key)
        if known is None:
            known = self._wirings[key] = house, wirings(way, house, fed, self.bench, may_pull=may_pull)
        return known[1]

    def faults(self, plan: Plan) -> tuple[Obstacle, ...]:
        """The electrical rules that the plan's circuit breaks in any state; the router's plans of one circuit alike."""
        wired = plan.wired
        known = self._faults_of.get(id(wired))
        if known is None:
            if len(self._faults_of) >= MOST:
                self._faults_of.clear()
            known = self._faults_of[id(wired)] = wired, self._faults_in(wired)
        return known[1]

    def _faults_in(self, wired: Wired) -> tuple[Obstacle, ...]:
        stubs = tuple((s.id, s.nets) for s in wired.site.stubs if s.id not in ("feed", "onward", "onward_2"))
        carried = frozenset((cable, net) for (cable, _), net in wired.conductors.items() if net is not None)
        key = (wired.parts, stubs, carried, len(wired.relabelled), len(wired.marked))
        if key not in self._circuits.faults:
            self._circuits.faults[key] = tuple(obstacle_of(f) for f in findings(wired, self.bench))
        return self._circuits.faults[key]

    @staticmethod
    def kind(scheme: Scheme, way: Way, fan: Fan, fed: Setting) -> tuple[object, ...]:
        """What a try in any house depends on: of the fan its load, its light, its memory where the receiver stays."""
        memory = (fan.resumes, fan.remote) if fed.receiver_kept else fan.remote
        return scheme.id, way.id, fed, fan.light, fan.receiver, memory

    def _keeps(self, plan: Plan) -> dict[str, bool | None]:
        today = tuple(len(a.boxes) for a in plan.house.active)
        stubs = tuple(s.nets for s in plan.house.site.stubs if s.id == "other")
        walls = bool(plan.house.site.wall_boxes)
        way, fan = plan.way, plan.fan
        bought = tuple(part.control for part in way.part)
        key = (way.app, bought, plan.wired.parts, fan.light, fan.remote, plan.receiver_kept, today, stubs, walls)
        if key not in self._circuits.kept:
            self._circuits.kept[key] = keeps(plan, self.bench)
        return self._circuits.kept[key]


def beside_other(plan: Plan, bench: Bench) -> tuple[str, ...]:
    """Classes of new control whose output is the leg of another load too."""
    placed = ((part, bench.controls.get(part.control)) for part in plan.wired.parts)
    new = ((part, control) for part, control in placed if control and control.specification)
    return tuple(c.id for part, c in new if any(works_other(plan.wired, part, channel) for channel in c.channel))


def touches_canopy(plan: Plan) -> bool:
    """Whether something that hangs there today is joined otherwise."""
    bypassed = plan.fan.receiver and not plan.receiver_kept
    return bypassed or plan.light_moved or _joints(plan.wired, plan) != _joints(plan.house.wired, plan)


def goes_up(plan: Plan) -> bool:
    """Whether somebody works at the ceiling: joins something otherwise, or hangs another fan."""
    return plan.replaces is not None or plan.way.receiver == "replace" or touches_canopy(plan)


def _joints(wired: Wired, plan: Plan) -> set[frozenset[End]]:
    """What meets at the ceiling, whatever it is called; a light that hangs on the receiver is left out."""
    lights = any(p.id == "light" for p in plan.wired.parts)
    joints = (j.ends for j in wired.joints if j.box == CEILING)
    kept = (frozenset(e for e in ends if lights or getattr(e, "part", "") != "light") for ends in joints)
    return {ends for ends in kept if len(ends) > 1}
