"""What a plan keeps of the wishes, read off its solved circuit and its control classes."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

from switchleg.advice.plans.plan import Plan, Setting
from switchleg.diagnosis.fans import Fan
from switchleg.schema.parts import Control
from switchleg.schema.schemes import Way
from switchleg.wiring.bench import Bench
from switchleg.wiring.finding import FULL
from switchleg.wiring.netlist import Placed, Terminal
from switchleg.wiring.positions import positions
from switchleg.wiring.rules import downstream, unpowered
from switchleg.wiring.site import HOT, IDLE
from switchleg.wiring.solve import solve


def keeps(plan: Plan, bench: Bench) -> dict[str, bool | None]:
    """Each wish by its fact name, and `stays_online`. None: it does not arise, or depends on the part bought."""
    wired, controls = plan.wired, bench.controls
    has_light = plan.fan.light != "none"
    rows = _function_rows(plan, bench)
    standing = {part.id for part in plan.house.standing}
    placed = [(p, c) for p in wired.parts if p.id not in standing and (c := controls.get(p.control))]
    feeders = [(p, ch) for p, control in placed for ch in control.channel if p.net(ch.joins[1]) not in (None, IDLE)]
    hands = [p for p, ch in feeders if "hand" in ch.by]
    battery = any(controls[part.control].battery for part in plan.way.part)
    return {
        "want_wall_control": bool(hands) or battery,
        "want_speed_from_app": "speed" in plan.way.app or any("speed" in ch.app for _, ch in feeders),
        "want_light_apart": _apart(plan, rows) if has_light else None,
        "want_light_dimming": _dims(plan, bench) if has_light else None,
        "want_keep_remote": plan.receiver_kept if plan.fan.remote else None,
        "want_keep_wall_look": _look(plan, bench),
        "stays_online": _online(plan, bench),
    }


def never_kept(way: Way, fan: Fan, fed: Setting, today: int | None, controls: Mapping[str, Control]) -> frozenset[str]:
    """Wishes that a way surely misses, told by its parts before anything is wired.

    `today`: places with a control at the wall; None where nobody works anything there.
    """
    placed = [(part, controls[part.control]) for part in way.part if part.nets]
    channels = [channel for _, control in placed for channel in control.channel]
    by_app = {*way.app, *(function for channel in channels for function in channel.app)}
    found = set()
    if "speed" not in by_app:
        found.add("want_speed_from_app")
    if fan.remote and not fed.receiver_kept:
        found.add("want_keep_remote")
    if fan.light != "none" and "light" not in way.app:
        if fed.light_net is None or fed.light_net == way.fan_from != HOT:
            found.add("want_light_apart")
        if fed.light_net is None or "dim" not in by_app:
            found.add("want_light_dimming")
    devices = [control for part, control in placed if control.place == "wall" and control.gangs]
    if today is not None and (len(devices) < today or not all(control.keeps_look for control in devices)):
        found.add("want_keep_wall_look")
    return frozenset(found)


def at_most(
    way: Way, fan: Fan, fed: Setting, today: int | None, controls: Mapping[str, Control]
) -> dict[str, bool | None]:
    """The most that `keeps` can tell of any plan of a way: what it surely misses, what does not arise, else all."""
    lit, missed = fan.light != "none", never_kept(way, fan, fed, today, controls)
    arises = {
        "want_light_apart": lit,
        "want_light_dimming": lit and "light" not in way.app,
        "want_keep_remote": fan.remote,
        "want_keep_wall_look": today is not None,
    }
    wants = ("want_wall_control", "want_speed_from_app", *arises)
    return {want: False if want in missed else True if arises.get(want, True) else None for want in wants}


def _function_rows(plan: Plan, bench: Bench) -> list[tuple[bool, bool]]:
    """(fan has voltage, light on its own lead has voltage) in every position of every contact."""
    rows = []
    for state in positions(plan.wired, bench):
        solution = solve(plan.wired, bench, state)
        lit = []
        for load in ("fan", "light"):
            lit.append(solution.across(Terminal(load, "hot"), Terminal(load, "neutral")) > FULL * bench.volts)
        rows.append((lit[0], lit[1]))
    return rows


def _apart(plan: Plan, rows: list[tuple[bool, bool]]) -> bool | None:
    """Two positions exist that differ in the light alone; or the remote's own signals work it.

    None for a light that is always fed and works by its chain: apart, but by neither wall nor app.
    """
    if "light" in plan.way.app:
        return True
    light = next((p for p in plan.wired.parts if p.id == "light"), None)
    if light is None:
        return False
    if light.net("hot") == HOT:
        return None
    return any(a[0] == b[0] and a[1] != b[1] for a, b in combinations(sorted(set(rows)), 2))


def _dims(plan: Plan, bench: Bench) -> bool | None:
    if "light" in plan.way.app:
        return None
    for part in plan.wired.parts:
        control = bench.controls.get(part.control)
        for channel in control.channel if control else ():
            net = part.net(channel.joins[1])
            if "dim" in channel.app and net and any(p.id == "light" for p in downstream(plan.wired, bench, net)[0]):
                return True
    return False


def new_wall_devices(plan: Plan, bench: Bench) -> list[Placed]:
    """Wall parts of the plan that take a gang; a switch of something else in the box has its own and stays."""
    standing = {p.id for p in plan.house.standing}
    wall = (p for p in plan.wired.parts if (c := bench.controls.get(p.control)) and c.place == "wall" and c.gangs)
    return [p for p in wall if p.id not in standing]


def _look(plan: Plan, bench: Bench) -> bool | None:
    """The present switches stay what people touch; None where the wall has none."""
    if not plan.house.site.wall_boxes or not plan.house.active:
        return None
    devices = new_wall_devices(plan, bench)
    if any(not bench.controls[p.control].keeps_look for p in devices):
        return False
    today = sum(len(a.boxes) for a in plan.house.active)
    return len(devices) >= today


def _online(plan: Plan, bench: Bench) -> bool:
    """Every networked part, and a fan that is reached through its remote, is powered whatever a hand does."""
    fan_listens = bool(plan.way.app)
    app_channels = [
        (p.id, ch.id)
        for p in plan.wired.parts
        if (c := bench.controls.get(p.control))
        for ch in c.channel
        if "app" in ch.by
    ]
    for state in positions(plan.wired, bench, by="hand"):
        only_hand = {key: value for key, value in state.items() if key not in app_channels}
        solution = solve(plan.wired, bench, only_hand)
        if any(True for _ in unpowered(plan.wired, bench, solution, only_hand)):
            return False
        if fan_listens:
            across = solution.across(Terminal("fan", "hot"), Terminal("fan", "neutral"))
            if across < FULL * bench.volts:
                return False
    return True
