"""Judge one scheme in one house with one fan: can it be wired, does a rule forbid it, what does it keep and cost."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import chain

from switchleg.advice.model import NewCable
from switchleg.advice.plans import trade
from switchleg.advice.plans.attempts import Drawer, Tried, Tries
from switchleg.advice.plans.keeps import at_most, never_kept
from switchleg.advice.plans.outcome import PERMISSIONS, Outcome, liked
from switchleg.advice.plans.plan import Obstacle, Setting, setting
from switchleg.advice.plans.preparations import gangs_there, needed
from switchleg.advice.plans.roads import Road, Roads, choices
from switchleg.advice.plans.unproved import unproved
from switchleg.advice.plans.waits import told_first, unseen, what_it_bears
from switchleg.advice.plans.wishes import Wishes
from switchleg.diagnosis.fans import Fan
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.schema.questions import Value
from switchleg.schema.schemes import Forbids, Preparation, PreparationsFile, RulesFile, Scheme, SchemesFile, Way
from switchleg.tree.conditions import all_hold
from switchleg.wiring.bench import Bench

BESIDE_THE_POINT = frozenset(
    {"needs_receiver", "light_not_on_receiver", "no_light", "light_to_control", "different_controls_today"}
)
"""Obstacles that only say that a way is meant for another kind of house; told when nothing else stands against."""

UNUSED_GANG = 0.4
"""Trouble of blanking a gang that stays empty (estimate)."""


@dataclass(frozen=True, eq=False)
class Judge:
    """All that judging needs and no house has: knowledge, the facts given, and what the region asks.

    What it has worked out is kept with it: it serves every further set of answers that reads the same here.
    """

    schemes: SchemesFile
    preparations: PreparationsFile
    rules: RulesFile
    bench: Bench
    heard: Mapping[str, Value]
    """The answers that judging reads (see decide.read_in_judging); others are not told to it."""
    wall_light_required: bool
    blind: frozenset[str] = field(default=frozenset(), kw_only=True)
    """Of the facts that judging reads, those that were looked for and could not be told."""
    coloured: bool = field(default=False, kw_only=True)
    """With two wall boxes, nothing but colours says that a neutral is in the one that was looked into."""
    full_boxes: Container[tuple[int, int, tuple[NewCable, ...]]]
    """(wall devices, loose modules) with which the wall box would be too full."""
    drawer: Drawer
    """Plans drawn before for the same schemes and bench, whatever the answers were."""
    forbidden: dict[tuple[str, str], tuple[Obstacle, ...]] = field(default_factory=dict)
    """What the answers alone forbid, by scheme and way."""
    settings: dict[object, Setting | Obstacle] = field(default_factory=dict)
    """What ways make of fans; of the house it takes only the legs that fan and light hang on."""
    roads: dict[object, tuple[Roads, ...]] = field(default_factory=dict)
    """The schemes that neither the answers nor a fan's kind rule out, the one first that may come out best."""
    known_roads: dict[object, Road] = field(default_factory=dict)
    outcomes: dict[object, tuple[Candidate, tuple[Outcome, ...]]] = field(default_factory=dict)
    """What fits along a road in a house; houses are told apart by identity, and so kept."""
    judged: dict[object, tuple[Candidate, tuple[Outcome, ...]]] = field(default_factory=dict)
    """The same with what stands against the others; `outcomes` alone serves who asks only for what fits."""
    kinds: dict[object, int] = field(default_factory=dict)
    fans_alike: dict[object, int] = field(default_factory=dict)
    by_kind: dict[object, tuple[Candidate, Outcome]] = field(default_factory=dict)
    """`outcome` by what a scheme makes of a fan (numbered in `kinds`) and by house."""
    bests: dict[object, tuple[Candidate, Outcome | None]] = field(default_factory=dict)

    @cached_property
    def _by_id(self) -> Mapping[str, Preparation]:
        return {p.id: p for p in self.preparations.preparation}

    @cached_property
    def wishes(self) -> Wishes:
        return Wishes(self.schemes.want, self.heard)

    def outcome(self, scheme: Scheme, house: Candidate, fan: Fan) -> Outcome:
        """The best way of the scheme here; when there is none, everything that stands against it."""
        on = scheme.id, fan, house.fan_on, house.light_on
        alike = self.fans_alike.get(on)
        if alike is None:
            alike = self.fans_alike[on] = self.kinds.setdefault(self._kind(scheme, house, fan), len(self.kinds))
        known = self.by_kind.get((alike, id(house)))
        if known is None:
            known = self.by_kind[alike, id(house)] = house, self._outcome(scheme, house, fan)
        return known[1]

    def _kind(self, scheme: Scheme, house: Candidate, fan: Fan) -> tuple[object, ...]:
        """What a scheme makes of a fan: where it makes the same, it comes out alike in any such house."""
        found: list[object] = [scheme.id]
        for way, hung, extra in choices(scheme, fan, self.heard):
            fed = None if self._forbidden(scheme, way) else self._setting(scheme, way, house, hung)
            made = self.drawer.kind(scheme, way, hung, fed) if isinstance(fed, Setting) else fed
            found.append((way.id, made, extra, fan if hung is not fan else None))
        return tuple(found)

    def _outcome(self, scheme: Scheme, house: Candidate, fan: Fan) -> Outcome:
        found = self.ways(scheme, house, fan)
        fitting = [o for o in found if o.fits]
        if fitting:
            return max(fitting, key=liked)
        obstacles = tuple(dict.fromkeys(ob for o in found for ob in o.obstacles))
        telling = tuple(ob for ob in obstacles if ob.rule not in BESIDE_THE_POINT)
        return Outcome(scheme.id, False, obstacles=telling or obstacles)

    def ways(self, scheme: Scheme, house: Candidate, fan: Fan) -> list[Outcome]:
        """Every way and placement that was tried, fitting or not."""
        found = []
        for way, hung, extra in choices(scheme, fan, self.heard):
            for outcome in self._judged(scheme, way, house, hung, extra):
                found.append(outcome if hung is fan else _replacing(fan, outcome))
        return found

    def best(self, house: Candidate, fan: Fan) -> Outcome | None:
        """What would be recommended if this house and fan were the truth; None when nothing fits."""
        known = self.bests.get((id(house), fan))
        if known is None:
            known = self.bests[id(house), fan] = house, self._best(house, fan)
        return known[1]

    def _best(self, house: Candidate, fan: Fan) -> Outcome | None:
        """Of what `outcome` gives for each scheme the highest in rank, of equals the first; what cannot reach it is
        not wired."""
        found: tuple[tuple[float, float], int, Outcome] | None = None
        for roads in self._by_promise(house, fan):
            if found is not None and roads.most < found[0]:
                break
            along = [(outcome, road) for road in roads.ways for outcome in self._along(road, house)]
            if not along:
                continue
            outcome, road = max(along, key=lambda pair: liked(pair[0]))
            if PERMISSIONS & set(outcome.waits_for) or (found and (outcome.rank, -roads.place) < found[:2]):
                continue
            found = outcome.rank, -roads.place, _replacing(fan, outcome) if road.bought else outcome
        return found[2] if found else None

    def hoped_for(self, house: Candidate, fan: Fan) -> tuple[str, ...]:
        """Looks that something better than the best waits for: a wire that nobody has seen yet may allow it."""
        best, found = self.best(house, fan), dict[str, None]()
        for roads in self._by_promise(house, fan):
            if best is not None and roads.most <= best.rank:
                break
            for outcome in (o for road in roads.ways for o in self._along(road, house)):
                if (best is None or outcome.rank > best.rank) and not PERMISSIONS & set(outcome.waits_for):
                    found |= dict.fromkeys(outcome.waits_for)
        return tuple(found)

    def _by_promise(self, house: Candidate, fan: Fan) -> tuple[Roads, ...]:
        on = fan, house.fan_on, house.light_on, house.controls
        if on not in self.roads:
            by_scheme = (tuple(self._roads(scheme, house, fan)) for scheme in self.schemes.scheme)
            found = [Roads(self._most(ways, house), place, ways) for place, ways in enumerate(by_scheme) if ways]
            self.roads[on] = tuple(sorted(found, key=lambda roads: roads.most, reverse=True))
        return self.roads[on]

    def _most(self, ways: tuple[Road, ...], house: Candidate) -> tuple[float, float]:
        """No plan along these ranks higher: what they can keep at most, and their own trouble alone."""
        controls = self.bench.controls
        kept = (at_most(road.way, road.fan, road.fed, house.controls, controls) for road in ways)
        work = (road.scheme.work + road.way.work for road in ways)
        return max((round(self.wishes.score(most), 6), -round(own, 6)) for most, own in zip(kept, work, strict=True))

    def _roads(self, scheme: Scheme, house: Candidate, fan: Fan) -> Iterator[Road]:
        """Fans that a way makes the same of go the same road; a way that surely misses a must is left out."""
        for way, hung, extra in choices(scheme, fan, self.heard):
            if self._forbidden(scheme, way) or any(trade.closed(way, hung, self.heard)):
                continue
            fed = self._setting(scheme, way, house, hung)
            if isinstance(fed, Obstacle):
                continue
            if not self.wishes.musts & never_kept(way, hung, fed, house.controls, self.bench.controls):
                road = Road(scheme, way, hung, fed, extra, bought=hung is not fan)
                yield self.known_roads.setdefault((*self.drawer.kind(scheme, way, hung, fed), extra, road.bought), road)

    def _along(self, road: Road, house: Candidate) -> tuple[Outcome, ...]:
        """The placements of a way in a house that nothing stands against."""
        known = self.outcomes.get((road, id(house)))
        if known is None:
            found = self._tries(road.scheme, road.way, house, road.fan, road.fed)[0]
            standing = (tried for tried in found if not any(self._against(tried)))
            known = house, tuple(self._fits(road.scheme, road.way, tried, road.extra) for tried in standing)
            self.outcomes[road, id(house)] = known
        return known[1]

    def _judged(
        self, scheme: Scheme, way: Way, house: Candidate, fan: Fan, extra: tuple[str, ...]
    ) -> tuple[Outcome, ...]:
        """Every placement of one way; fans that it makes the same of are judged once."""
        forbidden = self._forbidden(scheme, way)
        fed = None if forbidden else self._setting(scheme, way, house, fan)
        if fed is None or isinstance(fed, Obstacle):
            against = (fed,) if fed is not None else forbidden
            return (Outcome(scheme.id, False, obstacles=against, way=way.id),)
        on = (*self.drawer.kind(scheme, way, fan, fed), extra, id(house))
        if on not in self.judged:
            self.judged[on] = house, tuple(self._way(scheme, way, house, fan, fed, extra))
        return self.judged[on][1]

    def _way(
        self, scheme: Scheme, way: Way, house: Candidate, fan: Fan, fed: Setting, extra: tuple[str, ...]
    ) -> Iterator[Outcome]:
        found, against = self._tries(scheme, way, house, fan, fed)
        if against:
            yield Outcome(scheme.id, False, obstacles=against, way=way.id)
        for tried in found:
            broken = tuple(self._against(tried))
            if broken:
                yield Outcome(scheme.id, False, obstacles=broken, keeps=tried.kept, plan=tried.plan, way=way.id)
            else:
                yield self._fits(scheme, way, tried, extra)

    def _setting(self, scheme: Scheme, way: Way, house: Candidate, fan: Fan) -> Setting | Obstacle:
        on = scheme.id, way.id, fan, house.fan_on, house.light_on
        if on not in self.settings:
            self.settings[on] = setting(way, house, fan)
        return self.settings[on]

    def _tries(self, scheme: Scheme, way: Way, house: Candidate, fan: Fan, fed: Setting) -> Tries:
        return self.drawer.tries(scheme, way, house, fan, fed, may_pull=self.heard.get("may_pull_cable") is True)

    def _against(self, tried: Tried) -> Iterator[Obstacle]:
        """What a plan breaks: first of what the answers ask for, else of the electrical rules."""
        asked_for = False
        traded = trade.broken(tried, self.heard, wall_light_required=self.wall_light_required)
        for obstacle in chain(traded, self.wishes.missed(tried.kept)):
            asked_for = True
            yield obstacle
        if not asked_for:
            yield from self.drawer.faults(tried.plan)

    def _fits(self, scheme: Scheme, way: Way, tried: Tried, extra: tuple[str, ...]) -> Outcome:
        plan, kept = tried.plan, tried.kept
        ordered, preparing = self._prepared(tried, extra)
        work = scheme.work + way.work + preparing
        gangs = gangs_there(self.heard)
        if gangs is not None and plan.house.site.wall_boxes:
            work += UNUSED_GANG * max(0, gangs - max(tried.devices, 1))
        waits = self._waits(way, tried, ordered)
        return Outcome(scheme.id, True, ordered, (), kept, plan, self.wishes.score(kept), work, waits, way.id)

    def _prepared(self, tried: Tried, extra: tuple[str, ...]) -> tuple[tuple[str, ...], float]:
        """Preparations in working order, and their trouble; one that is bought anyway costs none."""
        adds = bool(tried.devices or tried.modules)  # what only comes out needs no larger box
        devices = tried.devices + len(tried.plan.house.standing)
        full = adds and (devices, tried.modules, tried.pulled) in self.full_boxes
        said = tuple(self.heard.get(f) for f in ("fan_box_marked", "pull_chain_fan", "fan_installed"))
        key = (extra, full, gangs_there(self.heard), said)
        if key not in tried.prepared:
            ids = {*needed(tried.plan, self.bench, self.heard, box_full=full), *extra}
            by_id = self._by_id
            ordered = tuple(sorted(ids, key=lambda i: (by_id[i].order, i)))
            bought_anyway = {"replace_fan_ac"} if self.heard.get("fan_installed") is False else set()
            tried.prepared[key] = ordered, sum(by_id[i].work for i in ids - bought_anyway)
        return tried.prepared[key]

    def _forbidden(self, scheme: Scheme, way: Way) -> tuple[Obstacle, ...]:
        """What the answers alone have against a way."""
        on = scheme.id, way.id
        if on not in self.forbidden:
            controls = {part.control for part in way.part}
            rules = (r for r in self.rules.forbids if scheme.id in r.schemes or controls & set(r.controls))
            standing = (rule for rule in rules if all_hold(rule.when, self.heard))
            self.forbidden[on] = tuple(Obstacle(rule.id, facts=_facts_of(rule)) for rule in standing)
        return self.forbidden[on]

    def _waits(self, way: Way, tried: Tried, preparations: tuple[str, ...]) -> tuple[str, ...]:
        coloured = len(tried.plan.house.site.wall_boxes) > 1 and self.coloured
        told = told_first(way, tried, self.heard, self.blind, wall_light_required=self.wall_light_required)
        proved = unproved(tried, self.heard, self.blind, coloured=coloured)
        return (*told, *unseen(preparations, self.heard), *proved, *what_it_bears(tried, self.heard))


def _facts_of(rule: Forbids) -> tuple[str, ...]:
    return tuple(dict.fromkeys(condition.fact for condition in rule.when))


def _replacing(fan: Fan, outcome: Outcome) -> Outcome:
    """The outcome of hanging another fan in place of this one."""
    return replace(outcome, plan=replace(outcome.plan, replaces=fan)) if outcome.plan else outcome
