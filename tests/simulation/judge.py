"""Whether a recommendation is right, and whether it is safe, in the house that truly stands there.

Right or wrong is the project's own judging of the true house with all true answers. Safe or unsafe is looked at apart
from it: the recommended joints are made in the true house's copper, and networkx tells what meets.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

import networkx as nx
from wiring_world import bench, contacts, feed_ends

from simulation.beside import not_borne
from simulation.houses import WORKS, Recipe, crossing, lay, legs, site_of
from simulation.people import Case, plain_answers
from simulation.reading import Facts
from switchleg.advice.cases.beliefs import bench_of, palette_of, region_of
from switchleg.advice.cases.survey import Hypothesis, Survey
from switchleg.advice.numbers import safety
from switchleg.advice.plans.attempts import Drawer
from switchleg.advice.plans.judge import Judge
from switchleg.advice.plans.outcome import Outcome
from switchleg.advice.plans.plan import Plan
from switchleg.diagnosis.fans import Fan
from switchleg.diagnosis.houses.candidate import Active, Candidate
from switchleg.knowledge.load import Knowledge
from switchleg.schema.parts import OtherKind
from switchleg.tree.conditions import all_hold
from switchleg.tree.walk import walk
from switchleg.wiring.netlist import ConductorEnd, End, Terminal, Wired
from switchleg.wiring.rules import downstream
from switchleg.wiring.site import GROUND, Routing

ELECTRICAL = frozenset(
    {
        "too_few_conductors", "lives_on_electronics", "dc_needs_driver", "receiver_holds_capacitors",
        "electronics_not_found", "low_voltage_light_stays", "output_feeds_wrong_load",
        "shaped_power_ahead_of_electronics", "other_load_stranded", "other_load_not_marked",
    }
)  # fmt: skip
"""Obstacles of the true house that make a recommendation unsafe where it gives no joints to look at."""


@lru_cache(maxsize=60_000)
def true_house(recipe: Recipe, region: str, knowledge: Knowledge) -> Candidate:
    """The recipe in the project's terms, so that its schemes can be judged there."""
    active = tuple(
        Active("both" if works == "tied" else works, boxes, tied=works == "tied") for works, boxes in recipe.switches
    )
    routing = Routing(crossing(recipe), ())
    palette = palette_of(knowledge.regions[region])
    return Candidate(
        site_of(recipe), active, recipe.fan_on, recipe.light_on, recipe.neutral_down, recipe.white_spare, routing,
        palette, 0.0, recipe.light,
    )  # fmt: skip


@lru_cache(maxsize=8)
def _drawer(knowledge: Knowledge, region: str, other: OtherKind | None) -> Drawer:
    return Drawer(bench_of(knowledge, knowledge.regions[region], other))


def same_copper(recipe: Recipe) -> Iterator[Recipe]:
    """The recipe with everything that its switches might be said to work while no fan hangs."""
    names = [works for works, _ in recipe.switches]
    others: list[list[str]] = [["fan"], ["light"], ["both"]] if len(names) == 1 and "tied" not in names else []
    if sorted(names) == ["fan", "light"]:
        others = [names[::-1]]
    yield recipe
    for renamed in others:
        new = dict(zip([WORKS[n][0] for n in names], [WORKS[n][0] for n in renamed], strict=True))
        switches = tuple((w, boxes) for w, (_, boxes) in zip(renamed, recipe.switches, strict=True))
        other = recipe.other and (new[recipe.other[0]], recipe.other[1])
        twin = replace(recipe, switches=switches, other=other)
        if twin != recipe and _kinds(twin) == _kinds(recipe):
            yield twin


def _kinds(recipe: Recipe) -> dict[str, list[str]]:
    fixed = {"HOT", "NEUTRAL", "T1", "T2"}
    return {cable: sorted(n if n in fixed else "leg" for n in nets) for cable, nets in crossing(recipe).items()}


class Truth:
    """What would be right in the true house, with the true answer to every question that comes up."""

    def __init__(self, knowledge: Knowledge, case: Case) -> None:
        self.case = case
        facts = walk(knowledge.tree, plain_answers(knowledge, case)).facts
        region = region_of(knowledge, facts)
        assert region is not None
        other = knowledge.wiring.hangs(facts.get("other_load_kind"))
        drawer = _drawer(knowledge, region.id, other.kind if other else None)
        judge = Judge(
            schemes=knowledge.schemes, preparations=knowledge.preparations, rules=knowledge.rules, bench=drawer.bench,
            heard=facts,
            wall_light_required=region.room_light_rule.wall_control_needed == "yes"
            and region.room_light_rule.battery_control_counts != "yes",
            full_boxes=safety.FullBoxes(facts, region, knowledge.tables), drawer=drawer,
        )  # fmt: skip
        fan = case.fan
        known = Fan(fan.motor, fan.receiver, fan.light, fan.resumes, fan.remote, fan.hidden)  # type: ignore[arg-type]
        recipes = (case.recipe,) if case.facts["fan_installed"] else tuple(same_copper(case.recipe))
        houses = [true_house(recipe, region.id, knowledge) for recipe in recipes]
        self.survey = Survey(judge, tuple(Hypothesis(h.id, h, known, 1.0) for h in houses), facts)
        self.hypothesis = max(
            self.survey.hypotheses, key=lambda h: best.rank if (best := self.survey.best(h)) else (float("-inf"),)
        )
        self.house = self.hypothesis.house
        self.best = self.survey.best(self.hypothesis)
        self.stop_facts = {s.id: tuple(c.fact for c in s.when) for s in knowledge.rules.stop if all_hold(s.when, facts)}
        self.stop_facts |= {stop.rule: stop.facts for stop in safety.stops(facts, knowledge.tables)}
        self.stops = list(self.stop_facts)

    def against(self, advised: Outcome) -> list[str]:
        """Electrical rules that stand in the true house against every placement of the advised way."""
        scheme = next(s for s in self.survey.judge.schemes.scheme if s.id == advised.scheme)
        ways = self.survey.judge.ways(scheme, self.house, self.hypothesis.fan)
        broken = [{o.rule for o in w.obstacles} & ELECTRICAL for w in ways if w.way == advised.way]
        return sorted(set().union(*broken)) if broken and all(broken) else []

    def outcome(self, scheme: str) -> Outcome:
        return self.survey.outcome(scheme, self.hypothesis)


# ---- safe or not ----


def dangers(advised: Outcome, truth: Truth, told: Facts, *, told_joints: bool) -> tuple[str, ...]:
    """Everything unsafe about carrying out the recommendation in the true house.

    Without joints to make, the true house's electrical obstacles to the scheme count instead. `told`: the answers.
    """
    assert advised.plan is not None
    found = list(_waveform(advised, truth))
    if told_joints:
        found += _joined(advised.plan, truth, told)
    else:
        found += truth.against(advised)
    return tuple(dict.fromkeys(found))


def _waveform(advised: Outcome, truth: Truth) -> Iterator[str]:
    """Speed-controlled or cut power ahead of electronics, or a driver taken away."""
    plan, fan = advised.plan, truth.case.fan
    assert plan is not None
    if plan.way.receiver == "replace" or "replace_fan_ac" in advised.preparations:
        return
    for part in plan.wired.parts:
        control = bench().controls.get(part.control)
        for channel in control.channel if control else ():
            net = part.net(channel.joins[1])
            if channel.does == "contact" or net is None:
                continue
            fed = {p.id for p in downstream(plan.wired, bench(), net)[0]}
            if "fan" in fed:
                if fan.motor == "dc":
                    yield "speed control ahead of a DC driver"
                elif fan.motor == "ac_tapped":
                    yield "speed control on a motor without its speed parts"
                elif fan.receiver and (fan.hidden or not plan.fan.receiver):
                    yield "speed control ahead of a receiver"
    if any(p.id == "light" for p in plan.wired.parts) and fan.light == "receiver_low_voltage":
        yield "house voltage on a low-voltage light"


def _joined(plan: Plan, truth: Truth, told: Facts) -> list[str]:
    """Make the recommended joints in the true copper; what meets then?"""
    wired = lay(truth.case.recipe)
    assert wired is not None
    ends = _translation(plan.wired, wired, truth.case.recipe)
    if ends is None:
        return []
    graph = nx.Graph()
    for cable in wired.site.cables:
        for name, colour in wired.conductors:
            if name == cable.id:
                graph.add_edge(*(ConductorEnd(name, colour, box) for box in cable.ends))
    for stub in wired.site.stubs:
        graph.add_nodes_from(ConductorEnd(n, c, stub.box) for n, c in wired.conductors if n == stub.id)
    for joint in plan.wired.joints:
        if joint.net != GROUND:
            nx.add_path(graph, [ends.get(e, e) for e in joint.ends])
    for joint in wired.joints:
        if joint.box not in plan.wired.site.boxes:  # nobody told of this box: it stays as it is
            nx.add_path(graph, [_of_today(e) for e in joint.ends])
    for part in plan.wired.parts:
        graph.add_nodes_from(Terminal(part.id, t) for t, net in part.nets if net != GROUND)
    beside = not_borne(graph, plan.wired, wired, truth.case.facts, told)
    return list(dict.fromkeys((*_faults(graph, plan.wired, wired), *beside)))


def _faults(base: nx.Graph, planned: Wired, true: Wired) -> Iterator[str]:
    feed = feed_ends(true)
    beside = [ConductorEnd("beside", c, "wall") for (n, c), net in true.conductors.items() if net == "BESIDE_HOT"]
    untouched = {p.id for p in true.parts if p.box not in planned.site.boxes}
    today = [(_of_today(a), _of_today(b)) for a, b in _ways_through(true, untouched)]
    keys: list[tuple[str, str]] = []
    for part in planned.parts:
        control = bench().controls.get(part.control)
        if control:
            keys += [(part.id, ch.id) for ch in control.channel]
            keys += [(part.id, "throw")] if control.throws else []
    for values in itertools.product((0, 1), repeat=len(keys)):
        graph = base.copy()
        state = dict(zip(keys, values, strict=True))
        graph.add_edges_from((a, b) for a, b, on in contacts(planned, bench().controls, state) if on)
        graph.add_edges_from(today)
        hot = set().union(*(nx.node_connected_component(graph, e) for e in (feed["HOT"], *beside)))
        neutral = nx.node_connected_component(graph, feed["NEUTRAL"])
        if hot & neutral:
            yield "hot meets neutral"
            return
        for part in planned.parts:
            terminal = Terminal(part.id, "neutral")
            if part.net("neutral") is None:
                continue
            if terminal in hot:
                yield f"{part.control}: its neutral is live"
            elif terminal not in neutral:
                yield f"{part.control}: no neutral on its neutral"


def _of_today(end: End) -> End:
    """Parts of an untouched box keep names of their own."""
    return Terminal(f"today {end.part}", end.name) if isinstance(end, Terminal) else end


def _ways_through(wired: Wired, ids: set[str]) -> Iterator[tuple[End, End]]:
    """The switches of untouched boxes, turned on."""
    on = {(p.id, ch.id): 1 for p in wired.parts if (c := bench().controls.get(p.control)) for ch in c.channel}
    for one, other, closed in contacts(wired, bench().controls, on):
        if closed and isinstance(one, Terminal) and one.part in ids:
            yield one, other


def _translation(planned: Wired, true: Wired, recipe: Recipe) -> dict[End, End] | None:
    """Where each conductor of the plan is in the true house; None when somebody must notice that it is not there.

    Cables of a name are the same cable; others in a box are taken for each other one by one. Two legs are told
    apart by test, as the plan says, so their colours may have changed places.
    """
    found: dict[End, End] = {}
    for box in planned.site.boxes:
        if box not in true.site.boxes:
            return None
        mine, theirs = [c.id for c in planned.site.at(box)], [c.id for c in true.site.at(box)]
        if len(mine) != len(theirs):
            return None
        missing, extra = [c for c in mine if c not in theirs], [c for c in theirs if c not in mine]
        names = {c: c for c in mine if c in theirs} | dict(zip(missing, extra, strict=True))
        for cable, colour in planned.conductors:
            if cable not in names or planned.conductors[(cable, colour)] == GROUND:
                continue
            there = _twin(planned, true, recipe, cable, names[cable], colour)
            if (names[cable], there) not in true.conductors:
                return None
            found[ConductorEnd(cable, colour, box)] = ConductorEnd(names[cable], there, box)
    return found


def _twin(planned: Wired, true: Wired, recipe: Recipe, cable: str, there: str, colour: str) -> str:
    """The colour that the same leg has in the true cable, where both cables hold both legs."""
    net = planned.conductors[(cable, colour)]
    pair = {"FAN", "LIGHT"}
    if net in pair and pair <= set(legs(recipe)):
        nets = {n for (c, _), n in planned.conductors.items() if c == cable}
        same = {n: c for (of, c), n in true.conductors.items() if of == there}
        if pair <= nets and pair <= set(same):
            return same[net]
    return colour
