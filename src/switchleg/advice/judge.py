"""Judge one scheme in one house with one fan: can it be wired, does a rule forbid it, what does it keep and cost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import get_args

from switchleg.advice.keeps import keeps, new_wall_devices
from switchleg.advice.knowledge import (
    Forbids,
    PreparationsFile,
    RulesFile,
    Scheme,
    SchemesFile,
    Want,
    WantClass,
    Way,
)
from switchleg.advice.plan import Obstacle, Plan, Setting, setting, wirings
from switchleg.advice.preparations import gangs_there, needed
from switchleg.diagnosis.fans import Fan
from switchleg.diagnosis.houses import Candidate
from switchleg.tree.conditions import all_hold
from switchleg.tree.model import Value
from switchleg.wiring.netlist import End, Placed, Wired
from switchleg.wiring.parts import Channel
from switchleg.wiring.rules import downstream
from switchleg.wiring.site import CEILING, HOT
from switchleg.wiring.solve import Bench

READS = frozenset(
    {
        "pull_chain_light",
        "only_room_light",
        "may_open_canopy",
        "may_pull_cable",
        "may_replace_fan",
        "fan_installed",
        *get_args(Want),
    }
)

PLAIN_FAN = Fan(motor="ac", receiver=False, light="own_lead", resumes=True, remote=False)
"""The fan that `replace_fan_ac` brings: plain AC motor, leads of its own, no receiver."""

BESIDE_THE_POINT = frozenset(
    {"needs_receiver", "light_not_on_receiver", "no_light", "light_to_control", "different_controls_today"}
)
"""Obstacles that only say that a way is meant for another kind of house; told when nothing else stands against."""

UNUSED_GANG = 0.4
"""Trouble of blanking a gang that stays empty (estimate)."""


@dataclass(frozen=True)
class Outcome:
    """How a scheme comes out in one house with one fan. `waits_for`: permissions nobody has given yet."""

    scheme: str
    fits: bool
    preparations: tuple[str, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    keeps: Mapping[str, bool | None] = field(default_factory=dict)
    plan: Plan | None = None
    score: float = 0.0
    work: float = 0.0
    waits_for: tuple[str, ...] = ()
    way: str = ""

    @property
    def rank(self) -> tuple[float, float]:
        """Greater is better: first the wishes kept, then the least work."""
        return (round(self.score, 6), -round(self.work, 6))


@dataclass(frozen=True)
class Judge:
    """All that judging needs and no house has: knowledge, the facts given, and what the region asks."""

    schemes: SchemesFile
    preparations: PreparationsFile
    rules: RulesFile
    bench: Bench
    facts: Mapping[str, Value]
    wall_light_required: bool
    full_boxes: frozenset[tuple[int, int]]
    """(wall devices, loose modules) with which the wall box would be too full."""
    cache: dict[object, dict[str, bool | None]] = field(default_factory=dict)
    """What plans with the same circuit keep; a routed net is one node wherever its cables run."""
    outcomes: dict[object, tuple[Outcome, ...]] = field(default_factory=dict)
    """Outcomes of a way in a house under one setting; houses are told apart by identity while judged."""

    def outcome(self, scheme: Scheme, house: Candidate, fan: Fan) -> Outcome:
        """The best way of the scheme here; when there is none, everything that stands against it."""
        found = self.ways(scheme, house, fan)
        fitting = [o for o in found if o.fits]
        if fitting:
            return max(fitting, key=lambda o: (not o.waits_for, *o.rank))
        obstacles = tuple(dict.fromkeys(ob for o in found for ob in o.obstacles))
        telling = tuple(ob for ob in obstacles if ob.rule not in BESIDE_THE_POINT)
        return Outcome(scheme.id, False, obstacles=telling or obstacles)

    def ways(self, scheme: Scheme, house: Candidate, fan: Fan) -> list[Outcome]:
        """Every way and placement that was tried, fitting or not."""
        return list(self._fitting(scheme, house, fan))

    def _fitting(self, scheme: Scheme, house: Candidate, fan: Fan) -> Iterator[Outcome]:
        none_yet = self.facts.get("fan_installed") is False
        for way in scheme.way:
            extra = ("replace_fan_ac",) if none_yet and way.receiver == "remove" else ()
            yield from self._way(scheme, way, house, fan, extra)
        if self.facts.get("may_replace_fan") is True and (fan.motor != "ac" or fan.hidden):
            for way in scheme.way:
                if way.receiver == "remove":
                    yield from self._way(scheme, way, house, PLAIN_FAN, extra=("replace_fan_ac",))

    def _way(
        self, scheme: Scheme, way: Way, house: Candidate, fan: Fan, extra: tuple[str, ...] = ()
    ) -> Iterator[Outcome]:
        forbidden = tuple(self._forbidden(scheme, way))
        if forbidden:
            yield Outcome(scheme.id, False, obstacles=forbidden, way=way.id)
            return
        fed = setting(way, house, fan)
        if isinstance(fed, Obstacle):
            yield Outcome(scheme.id, False, obstacles=(fed,), way=way.id)
            return
        memory = (fan.resumes, fan.remote) if fed.receiver_kept else fan.remote
        key = (scheme.id, way.id, id(house), fed, fan.light, fan.receiver, memory, extra)
        if key not in self.outcomes:
            self.outcomes[key] = tuple(self._wired(scheme, way, house, fan, fed, extra))
        yield from self.outcomes[key]

    def _wired(
        self, scheme: Scheme, way: Way, house: Candidate, fan: Fan, fed: Setting, extra: tuple[str, ...]
    ) -> Iterator[Outcome]:
        may_pull = self.facts.get("may_pull_cable") is True
        found, against = wirings(way, house, fed, self.bench, may_pull=may_pull)
        if against:
            yield Outcome(scheme.id, False, obstacles=against, way=way.id)
        for wired, new in found:
            plan = Plan(way, fan, wired, house, new, fed.light_moved, fed.receiver_kept)
            yield self._weigh(scheme, way, plan, extra)

    def _weigh(self, scheme: Scheme, way: Way, plan: Plan, extra: tuple[str, ...]) -> Outcome:
        kept = self._keeps(plan)
        against = (*self._trade(plan, way), *self._missed(kept))
        if against:
            return Outcome(scheme.id, False, obstacles=tuple(against), keeps=kept, plan=plan, way=way.id)
        devices = len(new_wall_devices(plan, self.bench))
        modules = sum(p.box != CEILING and self.bench.controls[p.control].loose for p in self._controls(plan))
        full = bool(plan.house.site.wall_boxes) and (devices, modules) in self.full_boxes
        ids = {*needed(plan, self.bench, self.facts, box_full=full), *extra}
        by_id = {p.id: p for p in self.preparations.preparation}
        ordered = tuple(sorted(ids, key=lambda i: (by_id[i].order, i)))
        bought_anyway = {"replace_fan_ac"} if self.facts.get("fan_installed") is False else set()
        work = scheme.work + way.work + sum(by_id[i].work for i in ids - bought_anyway)
        gangs = gangs_there(self.facts)
        if gangs is not None and plan.house.site.wall_boxes:
            work += UNUSED_GANG * max(0, gangs - max(devices, 1))
        waits = self._waits(way, plan)
        return Outcome(scheme.id, True, ordered, (), kept, plan, self._score(kept), work, waits, way.id)

    def _controls(self, plan: Plan) -> list[Placed]:
        return [p for p in plan.wired.parts if not self.bench.is_load(p)]

    def _keeps(self, plan: Plan) -> dict[str, bool | None]:
        today = tuple(len(a.boxes) for a in plan.house.active)
        stubs = tuple(s.nets for s in plan.house.site.stubs if s.id == "other")
        walls = bool(plan.house.site.wall_boxes)
        way, fan = plan.way, plan.fan
        bought = tuple(part.control for part in way.part)
        key = (
            way.app,
            bought,
            plan.wired.parts,
            fan.light,
            fan.remote,
            plan.receiver_kept,
            today,
            stubs,
            walls,
        )
        if key not in self.cache:
            self.cache[key] = keeps(plan, self.bench)
        return self.cache[key]

    def _forbidden(self, scheme: Scheme, way: Way) -> Iterator[Obstacle]:
        controls = {part.control for part in way.part}
        for rule in self.rules.forbids:
            if (scheme.id in rule.schemes or controls & set(rule.controls)) and all_hold(rule.when, self.facts):
                yield Obstacle(rule.id, facts=_facts_of(rule))

    def _trade(self, plan: Plan, way: Way) -> Iterator[Obstacle]:
        """Trade rules that need the planned circuit."""
        fan = plan.fan
        if plan.receiver_kept and not fan.resumes and self._supply_switched(plan):
            yield Obstacle("forgets_after_power_cut", facts=("resumes_after_power_cut",))
        if way.app and way.receiver == "keep" and not fan.remote:
            yield Obstacle("needs_remote", facts=("handheld_remote",))
        lit = fan.light != "none"
        if lit and way.light_from == HOT and self.facts.get("pull_chain_light") is False:
            yield Obstacle("light_needs_chain", facts=("pull_chain_light",))
        needed_here = self.facts.get("only_room_light") is True and self.wall_light_required
        if lit and needed_here and not self._hand_on_light(plan):
            yield Obstacle("room_light_wall_control", facts=("only_room_light", "region"))
        if self.facts.get("may_open_canopy") is False and self._touches_canopy(plan):
            yield Obstacle("canopy_work", facts=("may_open_canopy",))

    def _supply_switched(self, plan: Plan) -> bool:
        """Whether the fan is started by a contact in its supply."""
        return any("app" in ch.by and load == "fan" for _, ch, load in self._feeds(plan))

    def _feeds(self, plan: Plan) -> Iterator[tuple[Placed, Channel, str]]:
        """Every part and channel with each load it feeds, directly or through other parts."""
        for part in plan.wired.parts:
            control = self.bench.controls.get(part.control)
            for channel in control.channel if control else ():
                net = part.net(channel.joins[1])
                for load in downstream(plan.wired, self.bench, net)[0] if net else ():
                    yield part, channel, load.id

    def _hand_on_light(self, plan: Plan) -> bool:
        """A wired wall control works the light, through its own lead or through the receiver's supply."""
        load = "light" if any(p.id == "light" for p in plan.wired.parts) else "fan"
        return any(
            fed == load and part.box != CEILING and ("hand" in channel.by or part.net("sense"))
            for part, channel, fed in self._feeds(plan)
        )

    def _touches_canopy(self, plan: Plan) -> bool:
        bypassed = plan.fan.receiver and not plan.receiver_kept
        return bypassed or plan.light_moved or _joints(plan.wired, plan) != _joints(plan.house.wired, plan)

    def _waits(self, way: Way, plan: Plan) -> tuple[str, ...]:
        if way.light_from == HOT and plan.fan.light != "none" and "pull_chain_light" not in self.facts:
            return ("pull_chain_light",)
        stays = self.facts.get("fan_installed") is not False and self.facts.get("may_replace_fan") is not True
        return ("may_replace_fan",) if way.receiver == "replace" and stays else ()

    def _wants(self) -> Iterator[tuple[WantClass, str]]:
        for want in self.schemes.want:
            said = self.facts.get(want.id)
            yield want, str(said) if said is not None else want.unasked

    def _missed(self, kept: Mapping[str, bool | None]) -> Iterator[Obstacle]:
        for want, said in self._wants():
            if said == "must" and kept[want.id] is False:
                yield Obstacle("missed_want", (("want", want.keeps), ("lost", want.loses)), (want.id,))

    def _score(self, kept: Mapping[str, bool | None]) -> float:
        """Weights of the wishes kept; a wish that does not arise, or hangs on the part bought, counts half."""
        total = 0.0
        for want, said in self._wants():
            if said != "no":
                value = kept[want.id]
                total += want.weight * (1.0 if value else 0.5 if value is None else 0.0)
        return total


def _joints(wired: Wired, plan: Plan) -> set[frozenset[End]]:
    """What meets at the ceiling, whatever it is called; a light that hangs on the receiver is left out."""
    lights = any(p.id == "light" for p in plan.wired.parts)
    joints = (j.ends for j in wired.joints if j.box == CEILING)
    kept = (frozenset(e for e in ends if lights or getattr(e, "part", "") != "light") for ends in joints)
    return {ends for ends in kept if len(ends) > 1}


def _facts_of(rule: Forbids) -> tuple[str, ...]:
    return tuple(dict.fromkeys(condition.fact for condition in rule.when))
