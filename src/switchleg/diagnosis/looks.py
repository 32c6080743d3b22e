"""Hypotheses, what each shows at each look, and what looks and stations cost: the table that policies work on.

A belief is a set of hypotheses as a bit mask: with answers that are always right it only ever shrinks.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True)
class Look:
    """One check. `answers`: what each hypothesis shows, in order; `cost`: its own trouble; `station`: where it is.

    `also`: a second station that must be open for it to make sense.
    """

    name: str
    answers: tuple[Hashable, ...]
    cost: float
    station: str | None = None
    also: str | None = None


@dataclass(frozen=True)
class Table:
    """Hypotheses with their shares and recommendation classes, the looks, and what opening a station costs.

    A station that is not in `opening` is open from the start.
    """

    shares: tuple[float, ...]
    classes: tuple[Hashable, ...]
    looks: tuple[Look, ...]
    opening: Mapping[str, float]

    @property
    def everything(self) -> int:
        """The belief before any look."""
        return (1 << len(self.shares)) - 1

    @cached_property
    def parts(self) -> tuple[tuple[int, ...], ...]:
        """For each look, the hypotheses that show each answer."""
        return tuple(masks_of(look.answers) for look in self.looks)

    @cached_property
    def class_masks(self) -> tuple[int, ...]:
        return masks_of(self.classes)

    @cached_property
    def class_of(self) -> tuple[int, ...]:
        """For each hypothesis, the mask of its class."""
        masks = dict(zip(dict.fromkeys(self.classes), self.class_masks, strict=True))
        return tuple(masks[c] for c in self.classes)

    @cached_property
    def _by_byte(self) -> list[list[float]]:
        tables = []
        for start in range(0, len(self.shares), 8):
            eight = (*self.shares[start : start + 8], *[0.0] * 8)[:8]
            tables.append([sum(p for i, p in enumerate(eight) if byte >> i & 1) for byte in range(256)])
        return tables

    @cached_property
    def _masses(self) -> dict[int, float]:
        return {}

    def mass(self, belief: int) -> float:
        """The share of all the hypotheses in a belief."""
        known = self._masses.get(belief)
        if known is None:
            tables = self._by_byte
            known = sum([t[b] for t, b in zip(tables, belief.to_bytes(len(tables), "little"), strict=True) if b])
            self._masses[belief] = known
        return known

    def settled(self, belief: int) -> bool:
        """Whether one class is left."""
        return belief & ~self.class_of[(belief & -belief).bit_length() - 1] == 0

    def classes_in(self, belief: int) -> Iterator[int]:
        """The belief cut up by class."""
        while belief:
            part = belief & self.class_of[(belief & -belief).bit_length() - 1]
            yield part
            belief &= ~part

    def split(self, look: int, belief: int) -> tuple[int, ...]:
        """The beliefs that the look may leave."""
        return tuple([left for part in self.parts[look] if (left := part & belief)])

    @cached_property
    def stations(self) -> tuple[str, ...]:
        return tuple(self.opening)

    @cached_property
    def _stands_in(self) -> tuple[int, ...]:
        """For each look, the stations (bit mask in the order of `opening`) that must be open for it."""
        places = {station: 1 << i for i, station in enumerate(self.stations)}
        return tuple(places.get(look.station or "", 0) | places.get(look.also or "", 0) for look in self.looks)

    def opens(self, look: int, opened: int) -> int:
        """The stations (bit mask in the order of `opening`) that stand open after the look."""
        return opened | self._stands_in[look]

    def cost(self, look: int, opened: int) -> float:
        """Marginal trouble: the look itself, and its stations as far as they are still closed."""
        closed = self._stands_in[look] & ~opened
        opening = sum(self.opening[station] for i, station in enumerate(self.stations) if closed >> i & 1)
        return self.looks[look].cost + opening


def masks_of(labels: Sequence[Hashable]) -> tuple[int, ...]:
    masks: dict[Hashable, int] = {}
    for i, label in enumerate(labels):
        masks[label] = masks.get(label, 0) | 1 << i
    return tuple(masks.values())
