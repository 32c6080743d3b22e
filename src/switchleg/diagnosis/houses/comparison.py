"""What a whole list of candidate wirings shows, fact by fact: which of them an answer strikes out, as bits of a number.

An answer is compared with a candidate once, and only with those that no cheaper look struck out; after that a set
of answers costs a few operations on numbers.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.houses.controls import controls_disagree
from switchleg.diagnosis.houses.predictions import HOUSE_LOOKS, predicted
from switchleg.schema.questions import Value
from switchleg.wiring.bench import Bench


class Columns:
    """Bit n of a number stands for the n-th house."""

    def __init__(self, houses: Sequence[Candidate], bench: Bench) -> None:
        self.houses = houses
        self.bench = bench
        self.every = (1 << len(houses)) - 1
        self._compared: dict[tuple[str, type, Value], tuple[int, int]] = {}
        """Houses that an answer was compared with, and those among them that it strikes out."""
        self._alike: dict[object, tuple[Candidate, int]] = {}
        for number, house in enumerate(houses):
            key = (bool(house.site.wall_boxes), house.has_light, tuple((a.works, len(a.boxes)) for a in house.active))
            first, bits = self._alike.get(key, (house, 0))
            self._alike[key] = first, bits | 1 << number

    def left(self, facts: Mapping[str, Value]) -> Iterator[Candidate]:
        """The houses that could have shown all the facts, in their order."""
        open_ones = self.every
        for bits in self._controls(facts).values():
            open_ones &= ~bits
        for fact in (f for f in HOUSE_LOOKS if f in facts):
            open_ones &= ~self._striking(fact, facts[fact], open_ones)
        yield from self._those(open_ones)

    def against(self, facts: Mapping[str, Value]) -> dict[frozenset[str], float]:
        """Sets of facts, each with the prior share of the houses that contradict just these."""
        groups: dict[frozenset[str], int] = {frozenset(): self.every}
        found = self._controls(facts)
        for fact in HOUSE_LOOKS:
            if fact in facts:
                found[fact] = found.get(fact, 0) | self._striking(fact, facts[fact], self.every)
        for fact, bits in found.items():
            for one, members in list(groups.items()):
                if struck := members & bits:
                    groups[one | {fact}] = struck
                    if members == struck:
                        del groups[one]
                    else:
                        groups[one] = members & ~bits
        return {one: sum(h.p for h in self._those(members)) for one, members in groups.items()}

    def struck(self, fact: str, value: Value) -> int:
        """All the houses that could not have shown this answer."""
        return self._striking(fact, value, self.every)

    def _those(self, bits: int) -> Iterator[Candidate]:
        return (self.houses[number] for number in _places(bits))

    def _controls(self, facts: Mapping[str, Value]) -> dict[str, int]:
        """What the controls are said to do, compared once with each pattern of controls."""
        found: dict[str, int] = {}
        for house, bits in self._alike.values():
            for fact in controls_disagree(house, facts):
                found[fact] = found.get(fact, 0) | bits
        return found

    def _striking(self, fact: str, value: Value, among: int) -> int:
        """The houses among these that could not have shown this."""
        key = (fact, type(value), value)
        known, struck = self._compared.get(key, (0, 0))
        if new := among & ~known:
            struck |= self._compare(fact, value, new)
            self._compared[key] = known | new, struck
        return struck & among

    def _compare(self, fact: str, value: Value, among: int) -> int:
        bits = 0
        for number in _places(among):
            possible = predicted(self.houses[number], fact, self.bench)
            if possible and value not in possible:
                bits |= 1 << number
        return bits


def _places(bits: int) -> Iterator[int]:
    while bits:
        lowest = bits & -bits
        yield lowest.bit_length() - 1
        bits ^= lowest


_MADE: dict[int, Columns] = {}
MOST = 24


def columns(houses: Sequence[Candidate], bench: Bench) -> Columns:
    """The columns of a list of houses, made once for it as long as few lists are in use."""
    known = _MADE.get(id(houses))
    if known is None or known.houses is not houses:
        if len(_MADE) >= MOST:
            _MADE.clear()
        known = _MADE[id(houses)] = Columns(houses, bench)
    return known
