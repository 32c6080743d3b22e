"""Judge one scheme in one house with one fan: can it be wired, does a rule forbid it, what does it keep and cost."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import get_args

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
from switchleg.advice.plan import Obstacle, Plan, Setting, setting
from switchleg.advice.preparations import gangs_there, needed
from switchleg.advice.tried import Drawer, Tried
from switchleg.advice.unproved import unproved
from switchleg.diagnosis.fans import Fan
from switchleg.diagnosis.houses import Candidate
from switchleg.tree.conditions import all_hold
from switchleg.tree.model import Value
from switchleg.wiring.bench import Bench
from switchleg.wiring.site import HOT

READS = frozenset(
    {
        "pull_chain_light",
        "run_spare",
        "capped_end_at_ceiling",
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
    """How a scheme comes out in one house with one fan. `waits_for`: permissions or looks nobody has given yet."""

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
    untold: frozenset[str] = field(default=frozenset(), kw_only=True)
    """Facts that were looked for and could not be told."""
    coloured: bool = field(default=False, kw_only=True)
    """With two wall boxes, nothing but colours says that a neutral is in the one that was looked into."""
    full_boxes: Container[tuple[int, int]]
    """(wall devices, loose modules) with which the wall box would be too full."""
    drawer: Drawer
    """Plans drawn before for the same schemes and bench, whatever the answers were."""
    forbidden: dict[tuple[str, str], tuple[Obstacle, ...]] = field(default_factory=dict)
    """What the answers alone forbid, by scheme and way."""
    closed: dict[str, bool] = field(default_factory=dict)
    """Whether the answers alone forbid every way of a scheme."""
    settings: dict[object, Setting | Obstacle] = field(default_factory=dict)
    """What ways make of fans; of the house it takes only the legs that fan and light hang on."""
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

    def fitting(self, scheme: Scheme, house: Candidate, fan: Fan) -> Outcome | None:
        """What `outcome` gives where something fits; else None, and nobody asks why."""
        if self.closed.get(scheme.id) is None:
            self.closed[scheme.id] = all(any(self._forbidden(scheme, way)) for way in scheme.way)
        if self.closed[scheme.id]:
            return None
        found = [o for o in self._fitting(scheme, house, fan) if o.fits]
        return max(found, key=lambda o: (not o.waits_for, *o.rank), default=None)

    def ways(self, scheme: Scheme, house: Candidate, fan: Fan) -> list[Outcome]:
        """Every way and placement that was tried, fitting or not."""
        return list(self._fitting(scheme, house, fan))

    def _fitting(self, scheme: Scheme, house: Candidate, fan: Fan) -> Iterator[Outcome]:
        none_yet = self.facts.get("fan_installed") is False
        for way in scheme.way:
            extra = ("replace_fan_ac",) if none_yet and way.receiver == "remove" else ()
            yield from self._way(scheme, way, house, fan, extra)
        plain = replace(PLAIN_FAN, light="none") if fan.light == "none" else PLAIN_FAN
        if self.facts.get("may_replace_fan") is True and (fan.motor != "ac" or fan.hidden):
            for way in scheme.way:
                if way.receiver == "remove":
                    for outcome in self._way(scheme, way, house, plain, extra=("replace_fan_ac",)):
                        plan = replace(outcome.plan, replaces=fan) if outcome.plan else None
                        yield replace(outcome, plan=plan)

    def _way(
        self, scheme: Scheme, way: Way, house: Candidate, fan: Fan, extra: tuple[str, ...] = ()
    ) -> Iterator[Outcome]:
        forbidden = self.forbidden.get((scheme.id, way.id))
        if forbidden is None:
            forbidden = self.forbidden[scheme.id, way.id] = tuple(self._forbidden(scheme, way))
        if forbidden:
            yield Outcome(scheme.id, False, obstacles=forbidden, way=way.id)
            return
        on = scheme.id, way.id, fan, house.fan_on, house.light_on
        fed = self.settings.get(on)
        if fed is None:
            fed = self.settings[on] = setting(way, house, fan)
        if isinstance(fed, Obstacle):
            yield Outcome(scheme.id, False, obstacles=(fed,), way=way.id)
            return
        key = (*self.drawer.key(scheme, way, house, fan, fed), extra)
        if key not in self.outcomes:
            self.outcomes[key] = tuple(self._wired(scheme, way, house, fan, fed, extra))
        yield from self.outcomes[key]

    def _wired(
        self, scheme: Scheme, way: Way, house: Candidate, fan: Fan, fed: Setting, extra: tuple[str, ...]
    ) -> Iterator[Outcome]:
        may_pull = self.facts.get("may_pull_cable") is True
        found, against = self.drawer.tries(scheme, way, house, fan, fed, may_pull=may_pull)
        if against:
            yield Outcome(scheme.id, False, obstacles=against, way=way.id)
        for tried in found:
            yield self._weigh(scheme, way, tried, extra)

    def _weigh(self, scheme: Scheme, way: Way, tried: Tried, extra: tuple[str, ...]) -> Outcome:
        plan, kept = tried.plan, tried.kept
        against = (*self._trade(tried, way), *self._missed(kept)) or self.drawer.faults(plan)
        if against:
            return Outcome(scheme.id, False, obstacles=tuple(against), keeps=kept, plan=plan, way=way.id)
        ordered, preparing = self._prepared(tried, extra)
        work = scheme.work + way.work + preparing
        gangs = gangs_there(self.facts)
        if gangs is not None and plan.house.site.wall_boxes:
            work += UNUSED_GANG * max(0, gangs - max(tried.devices, 1))
        waits = (*self._waits(way, tried), *self._unseen(ordered), *self._unproved(tried))
        return Outcome(scheme.id, True, ordered, (), kept, plan, self._score(kept), work, waits, way.id)

    def _prepared(self, tried: Tried, extra: tuple[str, ...]) -> tuple[tuple[str, ...], float]:
        """Preparations in working order, and their trouble; one that is bought anyway costs none."""
        walls = tried.plan.house.site.wall_boxes
        full = bool(walls) and (tried.devices + len(tried.plan.house.standing), tried.modules) in self.full_boxes
        said = tuple(self.facts.get(f) for f in ("fan_box_marked", "pull_chain_fan", "fan_installed"))
        key = (extra, full, gangs_there(self.facts), said)
        if key not in tried.prepared:
            ids = {*needed(tried.plan, self.bench, self.facts, box_full=full), *extra}
            by_id = {p.id: p for p in self.preparations.preparation}
            ordered = tuple(sorted(ids, key=lambda i: (by_id[i].order, i)))
            bought_anyway = {"replace_fan_ac"} if self.facts.get("fan_installed") is False else set()
            tried.prepared[key] = ordered, sum(by_id[i].work for i in ids - bought_anyway)
        return tried.prepared[key]

    def _forbidden(self, scheme: Scheme, way: Way) -> Iterator[Obstacle]:
        controls = {part.control for part in way.part}
        for rule in self.rules.forbids:
            if (scheme.id in rule.schemes or controls & set(rule.controls)) and all_hold(rule.when, self.facts):
                yield Obstacle(rule.id, facts=_facts_of(rule))

    def _trade(self, tried: Tried, way: Way) -> Iterator[Obstacle]:
        """Trade rules that need the planned circuit."""
        plan, fan = tried.plan, tried.plan.fan
        if plan.receiver_kept and not fan.resumes and tried.supply_switched:
            yield Obstacle("forgets_after_power_cut", facts=("resumes_after_power_cut",))
        if way.app and way.receiver == "keep" and not fan.remote:
            yield Obstacle("needs_remote", facts=("handheld_remote",))
        lit = fan.light != "none"
        if lit and way.light_from == HOT and self.facts.get("pull_chain_light") is False:
            yield Obstacle("light_needs_chain", facts=("pull_chain_light",))
        needed_here = self.facts.get("only_room_light") is True and self.wall_light_required
        if lit and needed_here and not tried.hand_on_light:
            yield Obstacle("room_light_wall_control", facts=("only_room_light", "region"))
        if self.facts.get("may_open_canopy") is False and tried.touches_canopy:
            yield Obstacle("canopy_work", facts=("may_open_canopy",))

    def _waits(self, way: Way, tried: Tried) -> tuple[str, ...]:
        plan, hung = tried.plan, self.facts.get("fan_installed") is not False
        if hung and way.light_from == HOT and plan.fan.light != "none" and "pull_chain_light" not in self.facts:
            return ("pull_chain_light",)
        dark = self.wall_light_required and plan.fan.light != "none" and "only_room_light" in self.untold
        if dark and "only_room_light" not in self.facts and not tried.hand_on_light:
            return ("only_room_light",)
        stays = hung and self.facts.get("may_replace_fan") is not True
        return ("may_replace_fan",) if way.receiver == "replace" and stays else ()

    def _unseen(self, preparations: tuple[str, ...]) -> tuple[str, ...]:
        """A spare conductor is used only when somebody has seen it: that it must be there is not enough."""
        seen = self.facts.get("run_spare") is True or self.facts.get("capped_end_at_ceiling") == "capped"
        if "use_spare_conductor" not in preparations or seen:
            return ()
        return ("capped_end_at_ceiling" if "run_spare" in self.facts else "run_spare",)

    def _unproved(self, tried: Tried) -> Iterator[str]:
        coloured = len(tried.plan.house.site.wall_boxes) > 1 and self.coloured
        return unproved(tried, self.facts, self.untold, coloured=coloured)

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


def _facts_of(rule: Forbids) -> tuple[str, ...]:
    return tuple(dict.fromkeys(condition.fact for condition in rule.when))
