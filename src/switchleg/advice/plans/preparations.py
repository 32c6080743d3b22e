"""The preparations a plan needs: what differs between today's wiring and the planned one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from switchleg.advice.plans.keeps import new_wall_devices
from switchleg.advice.plans.plan import Plan
from switchleg.schema.questions import Value
from switchleg.wiring.bench import Bench
from switchleg.wiring.netlist import Wired
from switchleg.wiring.rules import downstream
from switchleg.wiring.site import CEILING, HOT


def needed(plan: Plan, bench: Bench, facts: Mapping[str, Value], *, box_full: bool) -> frozenset[str]:
    """Ids of preparations.toml, unordered."""
    return frozenset(_each(plan, bench, facts, box_full=box_full))


def _each(plan: Plan, bench: Bench, facts: Mapping[str, Value], *, box_full: bool) -> Iterator[str]:
    way, house, wired = plan.way, plan.house, plan.wired
    if plan.new_cables:
        yield "pull_new_cable"
    if facts.get("fan_box_marked") is False:
        yield "fan_rated_box"
    if way.receiver != "replace" and plan.fan.receiver:
        yield "keep_receiver" if plan.receiver_kept else "bypass_receiver"
    if plan.light_moved:
        yield "move_light_to_own_leg"
    joined = any((c := bench.controls.get(p.control)) and c.joined for p in wired.parts)
    if joined or (_uses_hot_up_there(plan) and HOT not in house.wired_nets(CEILING)):
        yield "join_switch_always_hot"
    if newly_used(plan):
        yield "use_spare_conductor"
    if _used(house.wired, plan) - _used(wired, plan):
        yield "cap_unused"
    if any(bench.controls[part.control].battery for part in way.part) or _places_without_control(plan, bench):
        yield "battery_wall_button"
    if _sets_speed(plan, bench) and way.receiver != "replace" and facts.get("pull_chain_fan") is True:
        yield "set_chain_high"
    gangs = gangs_there(facts)
    taken = sum(bench.controls[p.control].gangs for p in new_wall_devices(plan, bench))
    if gangs is not None and house.site.wall_boxes and taken > gangs:
        yield "add_wall_gang"
    if box_full:
        yield "larger_box"


def newly_used(plan: Plan) -> list[tuple[str, str]]:
    """Conductors (cable, colour) that lie unused today and that the plan puts to use; those of new cables are none."""
    return sorted(_used(plan.wired, plan) - _used(plan.house.wired, plan))


def _used(wired: Wired, plan: Plan) -> set[tuple[str, str]]:
    """The conductors in use, of cables that stay."""
    stay = set(plan.wired.conductors) & set(plan.house.wired.conductors)
    return {key for key in stay if wired.conductors[key] is not None}


def gangs_there(facts: Mapping[str, Value]) -> int | None:
    """Gangs at the wall: counted, or taken as one for each control when nobody counted."""
    for fact in ("wall_gangs", "wall_controls"):
        value = facts.get(fact)
        if isinstance(value, int) and not isinstance(value, bool):
            return value
    return None


def _uses_hot_up_there(plan: Plan) -> bool:
    return any(part.box == CEILING and net == HOT for part in plan.wired.parts for _, net in part.nets)


def _places_without_control(plan: Plan, bench: Bench) -> bool:
    """A second wall place that had a control and gets none."""
    today = {box for a in plan.house.active for box in a.boxes}
    tomorrow = {p.box for p in new_wall_devices(plan, bench)}
    return bool(tomorrow) and bool(today - tomorrow)


def _sets_speed(plan: Plan, bench: Bench) -> bool:
    for part in plan.wired.parts:
        control = bench.controls.get(part.control)
        for channel in control.channel if control else ():
            net = part.net(channel.joins[1])
            if channel.does == "speed" and net and downstream(plan.wired, bench, net)[0]:
                return True
    return False
