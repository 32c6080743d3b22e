"""How fan and light are worked from the wall, with phone, hub and network down: read off a plan's parts and circuit."""

from __future__ import annotations

from collections.abc import Mapping

from switchleg.advice.plans.plan import Plan
from switchleg.schema.parts import Control, Reach
from switchleg.wiring.bench import Bench
from switchleg.wiring.rules import downstream

GRADES: Mapping[Reach, int] = {"wired": 3, "paired": 2, "own_remote": 2, "hub": 1, "none": 0}
"""Wired at the wall; reached from there directly; only through the hub; not at all."""


def reaches(plan: Plan, bench: Bench) -> dict[str, Reach]:
    """For the fan, and for its light if it has one, the best way in which the wall works it."""
    found = {"fan": _reach(plan, bench, "fan", fed="fan")}
    if plan.fan.light != "none":
        own_lead = any(part.id == "light" for part in plan.wired.parts)
        found["light"] = _reach(plan, bench, "light", fed="light" if own_lead else "fan")
    return found


def grade(reached: Mapping[str, Reach]) -> int | None:
    """Of what the wall works at all, the worst; None where nothing is known."""
    return min((GRADES[one] for one in reached.values() if GRADES[one]), default=0 if reached else None)


def _reach(plan: Plan, bench: Bench, load: str, fed: str) -> Reach:
    """`fed`: the load whose supply `load` hangs on, itself or the fan's receiver."""
    feeding: list[tuple[Control, tuple[str, ...]]] = []
    standing = {part.id for part in plan.house.standing}
    for part in plan.wired.parts:
        control = bench.controls.get(part.control)
        for channel in control.channel if control and part.id not in standing else ():
            net = part.net(channel.joins[1])
            if control and net and fed in {one.id for one in downstream(plan.wired, bench, net)[0]}:
                feeding.append((control, tuple(channel.by)))
    if any("hand" in by for _, by in feeding):
        return "wired"
    bought = [bench.controls[part.control] for part in plan.way.part]
    if not any(control.battery for control in bought):
        return "none"
    answering = [control for control, by in feeding if "app" in by]
    answering += [control for control in bought if not control.terminals and load in plan.way.app]
    ways: list[Reach] = [control.button for control in answering if control.button is not None]
    return max(ways, key=lambda one: GRADES[one], default="none")
