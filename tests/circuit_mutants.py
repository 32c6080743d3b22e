"""One wrong joint at a time: make it, say by what it shows, explain what shows nothing."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from wiring_world import bench

from switchleg.wiring.finding import Finding
from switchleg.wiring.function_table import Row, function_table
from switchleg.wiring.netlist import ConductorEnd, End, Joint, Terminal, Wired
from switchleg.wiring.rules import findings
from switchleg.wiring.solve import nodes_without_contacts


@dataclass(frozen=True)
class Mutant:
    """A wired site with one wrong joint."""

    kind: str
    words: str
    wired: Wired
    ends: tuple[End, ...]


def name_of(end: End) -> str:
    return f"{end.part}.{end.name}" if isinstance(end, Terminal) else f"{end.cable}.{end.colour}"


def rejoined(wired: Wired, box: str, changed: Mapping[Joint, Iterable[End]], *more: Iterable[End]) -> Wired:
    """The site with some joints of a box made of other ends; a joint of one end is that end left alone."""
    joints = [made_of(j, changed[j]) if j in changed else j for j in wired.joints]
    joints += [Joint(box, "?", tuple(ends)) for ends in more]
    return replace(wired, joints=tuple(j for j in joints if len(j.ends) > 1))


def made_of(joint: Joint, ends: Iterable[End]) -> Joint:
    """The joint with other ends; what is no longer one conductor under one terminal gets a connector."""
    ends = tuple(ends)
    one_to_one = len(ends) == 2 and any(isinstance(end, Terminal) for end in ends)
    return replace(joint, ends=ends, connector=joint.connector or not one_to_one)


def swap(wired: Wired, one: End, other: End) -> Wired:
    """Two ends change places; one may be capped."""

    def there(end: End) -> End:
        return other if end == one else one if end == other else end

    return replace(wired, joints=tuple(made_of(j, map(there, j.ends)) for j in wired.joints))


def omit(wired: Wired, end: End) -> Wired:
    """An end left out of its joint: a conductor's is capped, a terminal stays empty."""
    joints = (made_of(j, (e for e in j.ends if e != end)) for j in wired.joints)
    return replace(wired, joints=tuple(j for j in joints if len(j.ends) > 1))


def move(wired: Wired, end: End, beside: End) -> Wired:
    """An end taken out of where it is and joined with another end; that one may have been alone."""
    rest = omit(wired, end)
    if not any(beside in j.ends for j in rest.joints):
        box = (
            beside.box if isinstance(beside, ConductorEnd) else next(p.box for p in wired.parts if p.id == beside.part)
        )
        return replace(rest, joints=(*rest.joints, Joint(box, "?", (beside, end))))
    joints = (made_of(j, (*j.ends, end)) if beside in j.ends else j for j in rest.joints)
    return replace(rest, joints=tuple(joints))


def bridge(wired: Wired, one: End, other: End) -> Wired:
    """The joints of two ends made one."""
    a, b = (next(j for j in wired.joints if end in j.ends) for end in (one, other))
    return rejoined(wired, a.box, {a: (*a.ends, *b.ends), b: ()})


def mutants(wired: Wired) -> Iterator[Mutant]:
    """Every single wrong joint of the kinds below that changes what is joined to what."""
    for box in wired.site.boxes:
        joints = [j for j in wired.joints if j.box == box]
        for mutant in _in_box(wired, box, joints):
            if mutant.kind in JOINS_NOTHING_ELSE or _partition(mutant.wired) != _partition(wired):
                yield mutant
    for key in sorted(wired.relabelled):
        told = f"{key[0]}.{key[1]} not marked"
        yield Mutant("forget a mark", told, replace(wired, marked=wired.marked - {key}), ())


JOINS_NOTHING_ELSE = ("bare end", "two under one terminal")
"""Mistakes of workmanship: what is joined to what stays the same."""


def _in_box(wired: Wired, box: str, joints: list[Joint]) -> Iterator[Mutant]:
    capped = wired.capped(box)
    for n, one in enumerate(joints):
        for other in joints[n + 1 :]:
            for a in one.ends:
                for b in other.ends:
                    words = f"{name_of(a)} and {name_of(b)} swapped at {box}"
                    yield Mutant("swap two ends", words, swap(wired, a, b), (a, b))
            ends = (*one.ends, *other.ends)
            bridged = rejoined(wired, box, {one: ends, other: ()})
            yield Mutant("bridge two joints", f"{one.net} and {other.net} bridged at {box}", bridged, ())
        for end in one.ends:
            conductor = isinstance(end, ConductorEnd)
            kind = "cap what should be joined" if conductor else "omit a terminal"
            yield Mutant(kind, f"{name_of(end)} left out of {one.net} at {box}", omit(wired, end), (end,))
            if isinstance(end, ConductorEnd):
                loose = replace(omit(wired, end), bare=wired.bare | {end})
                yield Mutant("bare end", f"{name_of(end)} left bare at {box}", loose, (end,))
        for end in capped:
            joined = rejoined(wired, box, {one: (*one.ends, end)})
            yield Mutant("join a capped end", f"{name_of(end)} joined to {one.net} at {box}", joined, (end,))
            for a in one.ends:
                if isinstance(a, ConductorEnd):
                    words = f"{name_of(end)} in place of {name_of(a)} at {box}"
                    yield Mutant("take the wrong conductor", words, swap(wired, a, end), (a, end))
        conductors = sum(isinstance(e, ConductorEnd) for e in one.ends)
        if one.connector and any(isinstance(e, Terminal) for e in one.ends) and conductors > 1:
            under = replace(wired, joints=tuple(replace(j, connector=False) if j == one else j for j in wired.joints))
            yield Mutant("two under one terminal", f"{one.net} without a connector at {box}", under, ())
    for n, a in enumerate(capped):
        yield Mutant("bare end", f"{name_of(a)} left bare at {box}", replace(wired, bare=wired.bare | {a}), (a,))
        for b in capped[n + 1 :]:
            words = f"{name_of(a)} and {name_of(b)} joined at {box}"
            yield Mutant("join two capped ends", words, rejoined(wired, box, {}, (a, b)), (a, b))


def _partition(wired: Wired) -> frozenset[frozenset[End]]:
    pieces: dict[Hashable, set[End]] = {}
    for end, piece in nodes_without_contacts(wired, bench()).items():
        pieces.setdefault(piece, set()).add(end)
    return frozenset(map(frozenset, pieces.values()))


@dataclass(frozen=True)
class Noticed:
    """By what a wrong joint shows: the function table differs from the right one, rules of `findings` are broken."""

    table: bool
    rules: tuple[str, ...]

    def __bool__(self) -> bool:
        return self.table or bool(self.rules)


def notice(mutant: Mutant, right: tuple[Row, ...], before: tuple[Finding, ...]) -> Noticed:
    rules = {f.rule for f in findings(mutant.wired, bench()) if f not in before}
    return Noticed(function_table(mutant.wired, bench()) != right, tuple(sorted(rules)))


def explained(original: Wired, mutant: Mutant) -> str | None:
    """Why a wrong joint that nothing shows does no harm; None when nothing explains it."""
    outer = _outer(mutant.wired)
    if outer == _outer(original):
        return LEADS_NOWHERE
    if any(_outer(swap(original, *ways)) == outer for ways in _alike(original)):
        return TURNED
    return None


def _alike(wired: Wired) -> Iterator[tuple[End, End]]:
    """Two ways of a plain switch, or the two commons of a two-location pair: power may come by either."""
    controls = {p.id: c for p in wired.parts if (c := bench().controls.get(p.control))}
    for name, control in controls.items():
        if not control.supply and not control.lives_on_load and len(control.channel) == 1:
            one, other = control.channel[0].joins
            yield Terminal(name, one), Terminal(name, other)
    commons = [Terminal(name, control.throws[0]) for name, control in controls.items() if control.throws]
    yield from combinations(commons, 2)


TURNED = "a plain switch or a two-location pair, or its whole loop, turned round: its two ways are alike"
LEADS_NOWHERE = "only a conductor that leads nowhere changed: no part and no further cable is joined otherwise"


def _outer(wired: Wired) -> frozenset[frozenset[End]]:
    """Who is joined to whom among parts and the cables that leave the site.

    Conductors between boxes, and connectors in place of a switch, are only ways.
    """
    ways = {cable.id for cable in wired.site.cables}
    ways |= {p.id for p in wired.parts if (c := bench().controls.get(p.control)) and c.joined}
    pieces = (frozenset(e for e in piece if _of(e) not in ways) for piece in _partition(wired))
    return frozenset(piece for piece in pieces if piece)


def _of(end: End) -> str:
    return end.part if isinstance(end, Terminal) else end.cable


def reversed_at_source(wired: Wired) -> Wired:
    """Hot comes in on the conductor that is joined as neutral: every joint is as drawn."""
    other = {"HOT": "NEUTRAL", "NEUTRAL": "HOT"}
    conductors = {key: other.get(str(net), net) if key[0] == "feed" else net for key, net in wired.conductors.items()}
    return replace(wired, conductors=conductors)
