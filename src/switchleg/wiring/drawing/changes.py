"""What a new wiring changes against today's: which ends are new, which are joined differently, what goes."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal

from switchleg.wiring.netlist import ConductorEnd, End, Joint, Placed, Terminal, Wired
from switchleg.wiring.site import Cable

Change = Literal["", "new", "moved"]
"""new: it was not there. moved: it was there, and leaves what it met (a cap counts as meeting nothing)."""


@dataclass(frozen=True)
class Changes:
    """`ends`: changes by end (an end that is not in it stays). `as_today`: joints nobody need open,
    by their place in the new wiring's joints. `gone`, `cables_gone`: today's parts and cables that it has not."""

    ends: Mapping[End, Change]
    as_today: frozenset[int]
    gone: tuple[Placed, ...]
    cables_gone: tuple[Cable, ...] = ()


def compare(new: Wired, today: Wired, replaced: Collection[str] = ()) -> Changes:
    """Match parts, then joints, one to one by what they share; the rest follows.

    `replaced` names parts and cables that bear an id of today's but are other things.
    """
    parts = _same_parts(new.parts, today.parts, replaced)
    there = set(_ends_there(today))
    same_cables = ({*today.site.cables} | {*today.site.stubs}) & ({*new.site.cables} | {*new.site.stubs})
    cables = {c.id for c in same_cables} - set(replaced)

    def before(end: End) -> End | None:
        """The same end in today's wiring."""
        if isinstance(end, Terminal):
            old: End = Terminal(parts.get(end.part, ""), end.name)
        else:
            old = end
            if end.cable not in cables:
                return None
        return old if old in there else None

    was = {end: before(end) for end in (*_ends_there(new), *(e for j in new.joints for e in j.ends))}
    follows = _same_joints(new.joints, today.joints, was)
    changes: dict[End, Change] = {}
    for end, old in was.items():
        if old is None:
            changes[end] = "new"
        elif _moved(end, old, new, today, was, follows):
            changes[end] = "moved"
    untouched = {n for t, n in follows.items() if {was[e] for e in new.joints[n].ends} == set(today.joints[t].ends)}
    gone = tuple(p for p in today.parts if p.id not in parts.values())
    ids = {c.id for c in new.site.cables} - set(replaced)
    return Changes(changes, frozenset(untouched), gone, tuple(c for c in today.site.cables if c.id not in ids))


def _ends_there(wired: Wired) -> list[End]:
    ends: list[End] = [Terminal(p.id, name) for p in wired.parts for name, _ in p.nets]
    for box in wired.site.boxes:
        ids = {c.id for c in wired.site.at(box)}
        ends += [ConductorEnd(cable, colour, box) for cable, colour in wired.conductors if cable in ids]
    return ends


def _same_parts(new: tuple[Placed, ...], today: tuple[Placed, ...], replaced: Collection[str]) -> dict[str, str]:
    """New id -> today's id: the same id in the same box, else the likest part of the same class there."""
    here = {(p.id, p.box) for p in today}
    pairs = {p.id: p.id for p in new if (p.id, p.box) in here and p.id not in replaced}
    candidates = [
        (-len({*n.nets} & {*t.nets}), i, j)
        for i, n in enumerate(new)
        for j, t in enumerate(today)
        if (n.control, n.box) == (t.control, t.box) and not {n.id, t.id} & {*pairs, *replaced}
    ]
    for _, i, j in sorted(candidates):
        if new[i].id not in pairs and today[j].id not in pairs.values():
            pairs[new[i].id] = today[j].id
    return pairs


def _same_joints(new: tuple[Joint, ...], today: tuple[Joint, ...], was: Mapping[End, End | None]) -> dict[int, int]:
    """Today's joint -> the new joint that follows from it, by place in the tuples."""
    candidates = []
    for n, joint in enumerate(new):
        ends = {was[e] for e in joint.ends}
        for t, old in enumerate(today):
            shared = len(ends & set(old.ends))
            if shared and old.box == joint.box:
                candidates.append((-shared, old.net != joint.net, n, t))
    follows: dict[int, int] = {}
    for _, _, n, t in sorted(candidates):
        if t not in follows and n not in follows.values():
            follows[t] = n
    return follows


def _moved(
    end: End, old: End, new: Wired, today: Wired, was: Mapping[End, End | None], follows: Mapping[int, int]
) -> bool:
    now = [n for n, joint in enumerate(new.joints) if end in joint.ends]
    then = [t for t, joint in enumerate(today.joints) if old in joint.ends]
    if not now and not then:
        return False
    if {follows.get(t) for t in then} != set(now):
        return True
    met = {e for t in then for e in today.joints[t].ends} - {old}
    meets = {was[e] for n in now for e in new.joints[n].ends} - {old}
    return not met & meets
