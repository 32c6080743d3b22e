"""Electrical rules that need no switch state: ground, joints, caps, marks, circuits kept apart and together."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping

from switchleg.wiring.bench import Bench
from switchleg.wiring.finding import Finding
from switchleg.wiring.netlist import ConductorEnd, End, Terminal, Wired
from switchleg.wiring.site import GROUND, HOT, IDLE, NEUTRAL, Stub


def static_findings(wired: Wired, bench: Bench, nodes: Mapping[End, Hashable]) -> Iterator[Finding]:
    """Faults that stand whatever any switch does. `nodes`: which ends are one with every contact open."""
    yield from _ground(wired, nodes)
    yield from _joints(wired)
    yield from _conductors(wired)
    yield from _circuits(wired, nodes)
    yield from _passing(wired, nodes)
    yield from _turned(wired, bench, nodes)
    yield from _misleading(wired, nodes)


def _feed_end(wired: Wired, net: str, stub: str = "feed") -> ConductorEnd | None:
    box = next((s.box for s in wired.site.stubs if s.id == stub), None)
    for (cable, colour), carried in wired.conductors.items():
        if cable == stub and carried == net and box is not None:
            return ConductorEnd(cable, colour, box)
    return None


def _ground(wired: Wired, nodes: Mapping[End, Hashable]) -> Iterator[Finding]:
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
        carrying = [t for t, _ in part.nets if t != "ground" and nodes.get(Terminal(part.id, t)) == earth]
        if carrying and earth is not None:
            yield Finding("ground_carries", part.box, (("part", part.id),))
    boxes = {cable.id: cable.ends for cable in wired.site.cables} | {s.id: (s.box,) for s in wired.site.stubs}
    for (name, colour), net in wired.conductors.items():
        for box in boxes[name] if net == GROUND else ():
            if nodes.get(ConductorEnd(name, colour, box)) != earth:
                yield Finding("ground_open", box, (("part", name),))
    neutral = _feed_end(wired, NEUTRAL)
    if neutral is not None and nodes.get(neutral) == earth:
        yield Finding("neutral_on_ground", neutral.box, ())


def _joints(wired: Wired) -> Iterator[Finding]:
    """Joints made wrongly: too much under a terminal, terminals on nothing, ends neither joined nor capped."""
    joined = {end for joint in wired.joints for end in joint.ends}
    for joint in wired.joints:
        conductors = [e for e in joint.ends if isinstance(e, ConductorEnd)]
        if not joint.connector and (len(conductors) > 1 or len(joint.ends) > 2):
            yield Finding("many_under_one_terminal", joint.box, (("net", joint.net),))
        for conductor in conductors:
            key = (conductor.cable, conductor.colour)
            net = wired.conductors.get(key)
            if net is None or (net == IDLE and not all(_net_of(wired, end) == IDLE for end in joint.ends)):
                yield Finding("unused_conductor_joined", joint.box, (("cable", key[0]), ("colour", key[1])))
    for part in wired.parts:
        for terminal, _ in part.nets:
            if Terminal(part.id, terminal) not in joined and not _alone(wired, part.id, terminal):
                yield Finding("terminal_open", part.box, (("part", part.id), ("terminal", terminal)))
    for end in sorted(wired.bare):
        yield Finding("bare_end", end.box, (("cable", end.cable), ("colour", end.colour)))


def _net_of(wired: Wired, end: End) -> str | None:
    """The net that an end is meant for."""
    if isinstance(end, ConductorEnd):
        return wired.conductors.get((end.cable, end.colour))
    return next(p for p in wired.parts if p.id == end.part).net(end.name)


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
    for name, colour in sorted(wired.relabelled):
        beside = {net for (of, _), net in wired.conductors.items() if of == name}
        if wired.conductors.get((name, colour)) != NEUTRAL and NEUTRAL in beside:
            yield Finding("pale_outside_loop", "", (("cable", name), ("colour", colour)))
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


def _passing(wired: Wired, nodes: Mapping[End, Hashable]) -> Iterator[Finding]:
    """Cables that only pass through: one that carries the feed on, and the loop of something else."""
    for stub in wired.site.stubs:
        if stub.id.startswith("onward"):
            for net in stub.nets:
                mine, theirs = _feed_end(wired, net), _feed_end(wired, net, stub.id)
                if mine is None or theirs is None or nodes.get(mine) != nodes.get(theirs):
                    yield Finding("onward_supply", stub.box, (("net", net),))
        elif stub.id.startswith("beside") and not _loop_whole(wired, stub, nodes):
            yield Finding("other_loop_changed", stub.box, ())


def _loop_whole(wired: Wired, stub: Stub, nodes: Mapping[End, Hashable]) -> bool:
    """The loop's two ways end on its own switch, apart from each other and from everything else."""
    own: dict[str, set[Hashable]] = {}
    members: set[End] = set()
    for net in stub.nets:
        ends: list[End] = [Terminal(p.id, t) for p in wired.parts for t, n in p.nets if n == net]
        ends += [ConductorEnd(name, colour, stub.box) for (name, colour), n in wired.conductors.items() if n == net]
        own[net] = {nodes.get(end) for end in ends}
        members |= set(ends)
    if any(len(pieces) != 1 for pieces in own.values()) or len(set.union(*own.values())) != len(own):
        return False
    pieces = set.union(*own.values())
    return all(end in members for end, piece in nodes.items() if piece in pieces)


def _turned(wired: Wired, bench: Bench, nodes: Mapping[End, Hashable]) -> Iterator[Finding]:
    """A control that lives on its load, put in the wrong way round: its line lead is not on the hot."""
    feed = _feed_end(wired, HOT)
    for part in wired.parts:
        control = bench.controls.get(part.control)
        if control and control.lives_on_load and feed is not None:
            lines = {channel.joins[0] for channel in control.channel}
            if any(nodes.get(Terminal(part.id, line)) != nodes.get(feed) for line in lines):
                yield Finding("line_load_reversed", part.box, (("part", part.id),))


def _misleading(wired: Wired, nodes: Mapping[End, Hashable]) -> Iterator[Finding]:
    """Re-identified conductors that are joined to something else than they are marked for.

    In a loop a neutral-coloured conductor has a set role: supply to the switch under NEC 200.7(C), never return.
    """
    feed = {net: nodes.get(end) for net in (HOT, NEUTRAL) if (end := _feed_end(wired, net)) is not None}
    for cable in wired.site.cables:
        for name, colour in sorted(wired.marked):
            net = wired.conductors.get((name, colour))
            if name != cable.id or net is None:
                continue
            for box in cable.ends:
                piece = nodes.get(ConductorEnd(name, colour, box))
                if piece != feed[net] if net in feed else piece in feed.values():
                    yield Finding("mark_misleads", box, (("cable", name), ("colour", colour)))
