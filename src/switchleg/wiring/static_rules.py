"""Electrical rules that need no switch state: ground, joints, caps, marks, circuits kept apart and together."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping

from switchleg.wiring.netlist import ConductorEnd, End, Terminal, Wired
from switchleg.wiring.rules import Finding
from switchleg.wiring.site import GROUND, HOT, NEUTRAL
from switchleg.wiring.solve import Bench


def static_findings(wired: Wired, bench: Bench, nodes: Mapping[End, Hashable]) -> Iterator[Finding]:
    """Faults that stand whatever any switch does. `nodes`: which ends are one with every contact open."""
    yield from _ground(wired, bench, nodes)
    yield from _joints(wired)
    yield from _conductors(wired)
    yield from _circuits(wired, nodes)


def _feed_end(wired: Wired, net: str, stub: str = "feed") -> ConductorEnd | None:
    box = next((s.box for s in wired.site.stubs if s.id == stub), None)
    for (cable, colour), carried in wired.conductors.items():
        if cable == stub and carried == net and box is not None:
            return ConductorEnd(cable, colour, box)
    return None


def _ground(wired: Wired, bench: Bench, nodes: Mapping[End, Hashable]) -> Iterator[Finding]:
    feed = _feed_end(wired, GROUND)
    if feed is None:
        for part in wired.parts:
            if part.net("ground"):
                yield Finding("ground_open", part.box, (("part", part.id),))
        return
    earth = nodes.get(feed)
    for part in wired.parts:
        if part.net("ground") and nodes.get(Terminal(part.id, "ground")) != earth:
            yield Finding("ground_open", part.box, (("part", part.id),))
        carrying = [t for t, net in part.nets if net != GROUND and nodes.get(Terminal(part.id, t)) == earth]
        if carrying and earth is not None:
            yield Finding("ground_carries", part.box, (("part", part.id),))
    for cable in wired.site.cables:
        for (name, colour), net in wired.conductors.items():
            if name == cable.id and net == GROUND:
                for box in cable.ends:
                    if nodes.get(ConductorEnd(name, colour, box)) != earth:
                        yield Finding("ground_open", box, (("part", cable.id),))
    neutral = _feed_end(wired, NEUTRAL)
    if neutral is not None and nodes.get(neutral) == earth:
        yield Finding("neutral_on_ground", neutral.box, ())
    del bench


def _joints(wired: Wired) -> Iterator[Finding]:
    """Joints made wrongly: too much under a terminal, terminals on nothing, ends neither joined nor capped."""
    joined = {end for joint in wired.joints for end in joint.ends}
    for joint in wired.joints:
        conductors = [e for e in joint.ends if isinstance(e, ConductorEnd)]
        if not joint.connector and (len(conductors) > 1 or len(joint.ends) > 2):
            yield Finding("many_under_one_terminal", joint.box, (("net", joint.net),))
        for conductor in conductors:
            key = (conductor.cable, conductor.colour)
            if wired.conductors.get(key) is None:
                yield Finding("unused_conductor_joined", joint.box, (("cable", key[0]), ("colour", key[1])))
    for part in wired.parts:
        for terminal, _ in part.nets:
            if Terminal(part.id, terminal) not in joined and not _alone(wired, part.id, terminal):
                yield Finding("terminal_open", part.box, (("part", part.id), ("terminal", terminal)))
    for end in sorted(wired.bare):
        yield Finding("bare_end", end.box, (("cable", end.cable), ("colour", end.colour)))


def _alone(wired: Wired, part_id: str, terminal: str) -> bool:
    """The terminal's net has nothing else in that box, so nothing can meet it there (an input left open)."""
    part = next(p for p in wired.parts if p.id == part_id)
    net = part.net(terminal)
    others = [t for p in wired.parts if p.box == part.box for t, n in p.nets if n == net]
    cables = {c.id for c in wired.site.at(part.box)}
    conductors = [k for k, n in wired.conductors.items() if n == net and k[0] in cables]
    return len(others) + len(conductors) < 2


def _conductors(wired: Wired) -> Iterator[Finding]:
    """Colours that mislead, and cables that carry one way of a circuit without the other."""
    for name, colour in sorted(wired.relabelled - wired.marked):
        yield Finding("not_marked", "", (("cable", name), ("colour", colour)))
    for cable in wired.site.cables:
        carried = {net for (of, _), net in wired.conductors.items() if of == cable.id} - {None, GROUND}
        if len(carried) == 1:
            yield Finding("conductors_apart", "", (("cable", cable.id), ("net", str(carried.pop()))))


def _circuits(wired: Wired, nodes: Mapping[End, Hashable]) -> Iterator[Finding]:
    """A second circuit in the same boxes: neither hot nor neutral may meet the first one's."""
    for stub in wired.site.stubs:
        if stub.id.startswith("feed_"):
            for net, other in zip((HOT, NEUTRAL), stub.nets, strict=True):
                mine, theirs = _feed_end(wired, net), _feed_end(wired, other, stub.id)
                if mine and theirs and nodes.get(mine) == nodes.get(theirs):
                    yield Finding("circuits_mixed", stub.box, (("net", net),))
