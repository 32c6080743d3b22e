"""Trade rules that answers, a fan and a plan break together; those on answers alone stand in rules.toml."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from switchleg.advice.plans.attempts import Tried
from switchleg.advice.plans.plan import Obstacle
from switchleg.diagnosis.fans import Fan
from switchleg.schema.questions import Value
from switchleg.schema.schemes import Way
from switchleg.wiring.site import HOT


def closed(way: Way, fan: Fan, facts: Mapping[str, Value]) -> Iterator[Obstacle]:
    """What stands against a way with a fan before anything is planned."""
    if way.app and way.receiver == "keep" and not fan.remote:
        yield Obstacle("needs_remote", facts=("handheld_remote",))
    if fan.light != "none" and way.light_from == HOT and facts.get("pull_chain_light") is False:
        yield Obstacle("light_needs_chain", facts=("pull_chain_light",))


def broken(tried: Tried, facts: Mapping[str, Value], *, wall_light_required: bool) -> Iterator[Obstacle]:
    """What stands against a plan."""
    plan = tried.plan
    if plan.receiver_kept and not plan.fan.resumes and tried.supply_switched:
        yield Obstacle("forgets_after_power_cut", facts=("resumes_after_power_cut",))
    yield from closed(plan.way, plan.fan, facts)
    needed_here = facts.get("only_room_light") is True and wall_light_required
    if plan.fan.light != "none" and needed_here and not tried.hand_on_light:
        yield Obstacle("room_light_wall_control", facts=("only_room_light", "region"))
    if facts.get("may_open_canopy") is False and tried.touches_canopy:
        yield Obstacle("canopy_work", facts=("may_open_canopy",))
