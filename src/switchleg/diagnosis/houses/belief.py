"""Belief over wirings: which candidates the answers allow, merged into classes that differ in the plan."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from switchleg.diagnosis.houses.agreement import COLOUR_FACTS, COMPARED
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.houses.comparison import columns
from switchleg.diagnosis.houses.controls import KINDS, UNTOLD
from switchleg.diagnosis.houses.predictions import HOUSE_LOOKS
from switchleg.schema.questions import Value
from switchleg.wiring.bench import Bench


@dataclass(frozen=True)
class WiringClass:
    """Candidates alike but for details; `house` is the likeliest of them, `p` their share together."""

    id: str
    p: float
    house: Candidate
    members: tuple[Candidate, ...]


@dataclass(frozen=True)
class WiringBelief:
    """Classes by falling share (they sum to one). With none left, `conflicts`: what struck each candidate out."""

    classes: tuple[WiringClass, ...]
    conflicts: tuple[frozenset[str], ...]
    candidates: int


def possible_wirings(
    houses: Sequence[Candidate],
    facts: Mapping[str, Value],
    bench: Bench,
    *,
    colours_known: bool,
    untold: Collection[str] = (),
) -> WiringBelief:
    """Strike out every candidate that could not have shown the facts; merge and weigh the rest.

    Without a region, facts that speak of colours are left out: nobody knows what the colours mean. A control
    whose kind is `untold` may be a transmitter.
    """
    used = _used(COMPARED, facts, untold, colours_known=colours_known)
    left: dict[str, list[Candidate]] = {}
    compared = columns(houses, bench)
    for house in compared.left(used):
        left.setdefault(house.id, []).append(house)
    conflicts = () if left else tuple(compared.against(used))
    total = sum(h.p for members in left.values() for h in members)
    classes = [
        WiringClass(name, sum(h.p for h in members) / total, max(members, key=lambda h: h.p), tuple(members))
        for name, members in left.items()
    ]
    classes.sort(key=lambda c: (-c.p, c.id))
    return WiringBelief(tuple(classes), conflicts, len(houses))


CHEAP = COMPARED - {fact for fact, look in HOUSE_LOOKS.items() if look.solved}
"""Looks that need no circuit solved; enough to find a slip among them."""


def contradicted(
    houses: Sequence[Candidate],
    facts: Mapping[str, Value],
    bench: Bench,
    *,
    colours_known: bool,
    untold: Collection[str] = (),
) -> tuple[tuple[float, frozenset[str]], ...]:
    """Prior shares of the candidates that contradict the same facts (of the cheap looks), with these facts."""
    used = _used(CHEAP, facts, untold, colours_known=colours_known)
    return tuple((p, against) for against, p in columns(houses, bench).against(used).items())


def _used(
    compared: Collection[str], facts: Mapping[str, Value], untold: Collection[str], *, colours_known: bool
) -> dict[str, Value]:
    used = {f: v for f, v in facts.items() if f in compared and (colours_known or f not in COLOUR_FACTS)}
    return used | {kind: UNTOLD for kind in KINDS if kind in untold and kind not in facts}
