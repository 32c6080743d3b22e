"""What looking, trying and measuring shows in a house: read off its copper by networkx, switch position by position."""

from __future__ import annotations

import itertools
from functools import lru_cache
from typing import Any

import networkx as nx
from wiring_world import State, bench, contacts, copper, feed_ends

from simulation.houses import Recipe, lay
from switchleg.wiring.netlist import ConductorEnd, End, Placed, Terminal, Wired
from switchleg.wiring.site import CEILING, SECOND_WALL, WALL

Facts = dict[str, Any]


def states(wired: Wired) -> list[dict[tuple[str, str], int]]:
    """Every combination of contacts and throws; a loop for something else stays as it is."""
    keys = []
    for part in wired.parts:
        control = bench().controls.get(part.control)
        if control and part.id != "beside":
            keys += [(part.id, ch.id) for ch in control.channel]
            keys += [(part.id, "throw")] if control.throws else []
    return [dict(zip(keys, values, strict=True)) for values in itertools.product((0, 1), repeat=len(keys))]


def closed(wired: Wired, base: nx.Graph, state: State) -> nx.Graph:
    graph = base.copy()
    graph.add_edges_from((a, b) for a, b, on in contacts(wired, bench().controls, state) if on)
    return graph


class Reading:
    """One house in every position of its switches: which ends are live, which loads run."""

    def __init__(self, wired: Wired) -> None:
        self.wired = wired
        self.base = copper(wired)
        self.states = states(wired)
        feed = feed_ends(wired)
        self.neutral = nx.node_connected_component(self.base, feed["NEUTRAL"])
        beside = [ConductorEnd("beside", c, WALL) for (n, c), net in wired.conductors.items() if net == "BESIDE_HOT"]
        graphs = [closed(wired, self.base, state) for state in self.states]
        self.live: list[set[End]] = []
        for graph in graphs:
            sources = [feed["HOT"], *(end for end in beside if end in graph)]
            self.live.append(set().union(*(nx.node_connected_component(graph, end) for end in sources)))
        self.loads: dict[str, End] = {p.id: Terminal(p.id, "hot") for p in wired.parts if bench().is_load(p)}
        for (name, colour), net in wired.conductors.items():
            if name == "other" and net != "NEUTRAL":
                box = next(s.box for s in wired.site.stubs if s.id == "other")
                self.loads["other"] = ConductorEnd("other", colour, box)

    def on(self, load: str) -> tuple[bool, ...]:
        return tuple(self.loads[load] in live for live in self.live)

    def works(self, key: tuple[str, str]) -> str:
        """What flipping one switch changes, in any position of the others."""
        changed = set()
        for number, state in enumerate(self.states):
            if not state[key]:
                other = self.states.index({**state, key: 1})
                changed |= {
                    load for load in ("fan", "light") if load in self.loads and self._differs(load, number, other)
                }
        return {(): "nothing", ("fan",): "fan", ("light",): "light"}.get(tuple(sorted(changed)), "both")

    def _differs(self, load: str, one: int, other: int) -> bool:
        return (self.loads[load] in self.live[one]) != (self.loads[load] in self.live[other])

    def ends(self, box: str) -> list[ConductorEnd]:
        cables = {c.id for c in self.wired.site.at(box)}
        return [ConductorEnd(c, colour, box) for c, colour in self.wired.conductors if c in cables]

    def alone(self, end: ConductorEnd) -> bool:
        """Joined to nothing in its box."""
        return not any(getattr(n, "box", end.box) == end.box for n in self.base.neighbors(end))


@lru_cache(maxsize=60_000)
def seen(recipe: Recipe) -> Facts:
    """Everything about the wiring that some question asks; `switches` lists what each wired control works."""
    wired = lay(recipe)
    assert wired is not None
    site, house = wired.site, Reading(wired)
    facts: Facts = {
        "wall_boxes": len(site.wall_boxes),
        "ceiling_cables": len(site.at(CEILING)),
        "acts_on_other_loads": recipe.other is not None,
        "switches": (),
        "stops_from_wall": bool(recipe.switches),
    }
    if "other" in house.loads:
        same = [load for load in ("fan", "light") if load in house.loads and house.on(load) == house.on("other")]
        facts["other_load_works_with"] = {1: same[0] if same else ""}.get(len(same), "both") if same else None
        facts["other_load_joined_with"] = _others_connector(house)
    if not site.wall_boxes:
        return facts
    keys = [key for key in house.states[0] if key[0].startswith("switch")]
    facts["switches"] = tuple(house.works(key) for key in keys)
    facts["run_conductors"] = recipe.run
    facts["wall_cables"] = len(site.at(WALL))
    facts |= _colours(house) | _readings(house, recipe)
    facts["run_on_controls"] = _on_controls(house)
    facts["legs_of_their_own"] = _legs_of_their_own(house)
    if SECOND_WALL in site.boxes:
        facts["switches_work_together"] = _together(house, keys)
        facts["run_and_link_conductors"] = len([e for e in house.ends(WALL) if e.cable in ("run", "link")])
    return facts


def passes_on(recipe: Recipe, places: int, *, other_known: bool) -> bool | None:
    """What somebody who knows of so many wall places sees of the further cables at the ceiling; None: there are none.

    A cable goes straight on when its two conductors are the feed's hot and neutral in their own colours.
    """
    wired = lay(recipe)
    assert wired is not None
    known = {"feed", *("run", "link")[:places], *(("other",) if other_known else ())}
    left = [cable.id for cable in wired.site.at(CEILING) if cable.id not in known]
    straight = [{c: n for (of, c), n in wired.conductors.items() if of == cable} for cable in left]
    return all(nets == {"black": "HOT", "white": "NEUTRAL"} for nets in straight) if left else None


def _others_connector(house: Reading) -> str:
    """Whose lead shares the connector of the other load's wire at the ceiling."""
    end = house.loads["other"]
    if not isinstance(end, ConductorEnd) or end.box != CEILING:
        return "not_here"
    graph = _box_graph(house, CEILING)
    leads = [load for load in ("fan", "light") if load in house.loads and nx.has_path(graph, end, house.loads[load])]
    return {1: leads[0] if leads else ""}.get(len(leads), "both")


def _on_controls(house: Reading) -> int:
    """Conductors of the cable to the fan that end on a control; what is tied to a control's lead ends on it too."""
    graph = _box_graph(house, WALL)
    ties = [p for p in house.wired.parts if p.control == "wall_joint"]
    graph.add_edges_from((Terminal(p.id, "one"), Terminal(p.id, "other")) for p in ties)
    runs = [end for end in house.ends(WALL) if end.cable == "run" and end in graph and end not in house.neutral]
    switches = {p.id for p in house.wired.parts if p.control in ("plain_switch", "plain_two_way")}
    on = [nx.node_connected_component(graph, end) for end in runs]
    return sum(any(isinstance(n, Terminal) and n.part in switches for n in found) for found in on)


def _legs_of_their_own(house: Reading) -> int:
    """Controls that hold a conductor of the cable to the fan which reaches no other control and brings no power."""
    graph = _box_graph(house, WALL)
    switches = {p.id for p in house.wired.parts if p.control in ("plain_switch", "plain_two_way")}
    found: set[str] = set()
    for end in house.ends(WALL):
        if end.cable != "run" or end not in graph or all(end in live for live in house.live):
            continue
        on = {n.part for n in nx.node_connected_component(graph, end) if isinstance(n, Terminal)} & switches
        found |= on if len(on) == 1 else set()
    return len(found)


def _together(house: Reading, keys: list[tuple[str, str]]) -> str:
    """Whether some load answers to switches in both places."""
    place = {p.id: p.box for p in house.wired.parts}
    by_load: dict[str, set[str]] = {}
    for key in keys:
        works = house.works(key)
        for load in ("fan", "light") if works == "both" else (works,):
            by_load.setdefault(load, set()).add(place[key[0]])
    return "same" if any(len(boxes) > 1 for boxes in by_load.values()) else "different"


def _colours(house: Reading) -> Facts:
    """What somebody sees in the opened wall box, and at the far ends of what is unused there."""
    ends = house.ends(WALL)
    whites = [e for e in ends if e.colour == "white"]

    def near(end: ConductorEnd, kind: type) -> bool:
        return any(isinstance(n, kind) and (kind is Terminal or n.box == WALL) for n in house.base.neighbors(end))

    meeting = [w for w in whites if any(o is not w and _joined(house, w, o) for o in whites)]
    unused = [e for e in ends if e.cable == "run" and house.alone(e)]
    facts: Facts = {
        "white_on_control": any(near(e, Terminal) or _pigtailed(house, e) for e in whites),
        "neutral_bundle": bool(meeting) and not any(_pigtailed(house, w) for w in meeting),
        "doubtful_bundle": any(_pigtailed(house, w) for w in meeting),
        "run_spare": bool(unused),
    }
    above = [ConductorEnd("run", e.colour, CEILING) for e in unused]
    if not above:
        facts["capped_end_at_ceiling"] = "none_seen"
    else:
        facts["capped_end_at_ceiling"] = "capped" if any(house.alone(e) for e in above) else "joined_whites"
    return facts


def _box_graph(house: Reading, box: str) -> nx.Graph:
    """The joints of one box alone."""
    graph = nx.Graph()
    for joint in house.wired.joints:
        if joint.box == box:
            nx.add_path(graph, joint.ends)
    return graph


def _joined(house: Reading, one: ConductorEnd, other: ConductorEnd) -> bool:
    graph = _box_graph(house, one.box)
    return one in graph and other in graph and nx.has_path(graph, one, other)


def _pigtailed(house: Reading, end: ConductorEnd) -> bool:
    """A terminal of a control shares its connector."""
    graph = _box_graph(house, end.box)
    return end in graph and any(isinstance(n, Terminal) for n in nx.node_connected_component(graph, end))


def _readings(house: Reading, recipe: Recipe) -> Facts:
    """Tester readings. "Off" at the ceiling: every load that a switch works stands still."""
    ends = house.ends(WALL)
    worked = [load for load in ("fan", "light") if load in house.loads and len(set(house.on(load))) > 1]
    live_off = set()
    for number, state in enumerate(house.states):
        open_all = not any(on for (_, channel), on in state.items() if channel != "throw")
        if open_all and not any(house.on(load)[number] for load in worked):
            live_off.add(any(end in house.live[number] for end in house.ends(CEILING)))
    always = any(all(end in live for live in house.live) for end in ends)
    whites = [e for e in ends if e.colour == "white"]
    del recipe
    return {
        "hot_at_wall_always": always,
        "neutral_reading": always and any(e in house.neutral for e in whites),
        "hot_at_ceiling_switch_off": True in live_off,
    }


def loads_of(wired: Wired) -> tuple[Placed, ...]:
    return tuple(p for p in wired.parts if bench().is_load(p))
