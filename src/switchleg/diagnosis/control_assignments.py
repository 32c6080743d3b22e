"""Every manner in which the wall's controls may stand to a wiring: which answers each would make wrong. Pure.

A control that was told of works a part of the circuit, or nothing, or sends to the fan.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.houses.controls import DOES, KINDS, at_no_wall
from switchleg.schema.questions import Value

IDLE, SENDS = "idle", "sends"
ODDS = {IDLE: 0.1, SENDS: 0.1}
"""Shares of controls that do nothing, or send, beside plain ones that work something (estimates)."""

MOST_CONTROLS = 3


@dataclass(frozen=True)
class Story:
    """`p`: how usual; `against`: answers that are wrong if it is so; `sends`: something in the fan must hear it."""

    p: float
    against: frozenset[str]
    sends: bool


def stories(house: Candidate, facts: Mapping[str, Value], untold: Collection[str]) -> Iterator[Story]:
    """All stories of a wiring's controls. A kind that nobody was asked about is taken for a plain control's."""
    if not house.site.wall_boxes:
        yield Story(1.0, frozenset(at_no_wall(facts)), sends=False)
        return
    works = [a.works for a in house.active for _ in a.boxes]
    counted = facts.get("wall_controls")
    for n in range(len(works), max(MOST_CONTROLS, len(works)) + 1):
        right = not isinstance(counted, int) or counted == n or MOST_CONTROLS <= n <= counted
        yield from _of_so_many(house, works, n, frozenset(() if right else {"wall_controls"}), facts, untold)


def _of_so_many(
    house: Candidate,
    works: list[str],
    n: int,
    wrong: frozenset[str],
    facts: Mapping[str, Value],
    untold: Collection[str],
) -> Iterator[Story]:
    slots = min(n, len(DOES))
    beyond = frozenset(f for number in range(slots, len(DOES)) for f in (DOES[number],) if f in facts)
    sorts = (*dict.fromkeys(works), IDLE, SENDS)
    for chosen in product(sorts, repeat=slots):
        left = list(works)
        for one in chosen:
            if one in left:
                left.remove(one)
            elif one not in (IDLE, SENDS):
                break
        else:
            if len(left) > n - slots:
                continue
            sending = [number for number, one in enumerate(chosen) if one == SENDS]
            if any(KINDS[number] not in facts and KINDS[number] not in untold for number in sending):
                continue
            p = 1.0
            against = set(wrong | beyond)
            for number, one in enumerate(chosen):
                p *= ODDS.get(one, 1.0)
                against |= _differing(house, one, number, facts)
            yield Story(p * 0.1 ** (n - slots - len(left)), frozenset(against), bool(sending))


def _differing(house: Candidate, one: str, number: int, facts: Mapping[str, Value]) -> set[str]:
    """The answers about one control that are wrong when it is of this sort."""
    does, kind = facts.get(DOES[number]), facts.get(KINDS[number])
    wrong = {KINDS[number]} if kind is not None and (kind == "remote") != (one == SENDS) else set()
    if does == "both" and not house.has_light:
        does = "fan"
    if one == SENDS:
        wrong |= {DOES[number]} if does == "light" and not house.has_light else set()
    elif does is not None and does != ("nothing" if one == IDLE else one):
        wrong.add(DOES[number])
    return wrong
