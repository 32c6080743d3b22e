"""The least expected trouble that decides the recommendation, exactly.

Dynamic programming over (belief, stations opened); opening a station is paid once. Bounds from below cut the
search, and a search goes no further than the trouble at which its answer would change nothing; a sum of children is
always made anew from the very bounds that are exchanged in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf, log2

from switchleg.diagnosis.factored import Factored
from switchleg.diagnosis.looks import Table

TINY = 1e-10


@dataclass(slots=True)
class _Child:
    """What a look may leave. `least`: its value where `exact`, else no more than its value."""

    share: float
    rows: int
    signs: int
    least: float
    exact: bool


class Optimum:
    """Exact values of beliefs in a table. Beliefs that no look can settle any further cost nothing more."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self.cut = Factored(table)
        self.known: dict[tuple[int, int, int], tuple[float, bool]] = {}
        self._bounds: dict[tuple[int, int, int], float] = {}
        self._beliefs: dict[int, tuple[int, int]] = {}
        stations = range(1 << len(table.stations))
        self._openings = [sum(c for i, c in enumerate(table.opening.values()) if o >> i & 1) for o in stations]
        self._groups = [self.cut.told_apart(opened) for opened in stations]
        self._wider = [sorted((m for m in stations if m & o == o), key=lambda m: self._openings[m]) for o in stations]

    def value(self, belief: int | None = None, opened: int = 0) -> float:
        """The least expected trouble from here on; the belief is one that looks leave."""
        rows, signs = self._belief(belief)
        return self._search(rows, signs, opened, inf)[0]

    def asked_first(self, look: int, belief: int | None = None, opened: int = 0) -> float:
        """The expected trouble when this look is taken now and all goes best afterwards (Q)."""
        table = self.table
        belief = table.everything if belief is None else belief
        whole, then = table.mass(belief), table.opens(look, opened)
        after = (table.mass(part) / whole * self.value(part, then) for part in table.split(look, belief))
        return table.cost(look, opened) + sum(after)

    def bound(self, belief: int | None = None, opened: int = 0) -> float:
        """No policy does with less: stations that must be opened, plus what the looks can bring per trouble."""
        return self._bound(*self._belief(belief), opened)

    def _belief(self, belief: int | None) -> tuple[int, int]:
        belief = self.table.everything if belief is None else belief
        if belief not in self._beliefs:
            self._beliefs[belief] = self.cut.belief(belief)
        return self._beliefs[belief]

    def _search(self, rows: int, signs: int, opened: int, limit: float) -> tuple[float, bool]:
        """The value and True; or, once it is seen to reach the limit, a bound that reaches it and False."""
        if self.cut.settled(rows):
            return 0.0, True
        key = rows, signs, opened
        found = self.known.get(key)
        if found is not None and (found[1] or found[0] >= limit - TINY):
            return found
        best = at_least = inf
        tries = self._tries(rows, signs, opened)
        if not tries:
            best = 0.0
        for low, paid, then, children in tries:
            cap = min(best, limit)
            if low >= cap - TINY:
                at_least = min(at_least, low)
                break
            for child in children:
                if not child.exact:
                    rest = paid + sum([c.share * c.least for c in children if c is not child])
                    least, child.exact = self._search(child.rows, child.signs, then, (cap - rest) / child.share)
                    child.least = max(child.least, least)
                    if rest + child.share * child.least >= cap - TINY:
                        at_least = min(at_least, rest + child.share * child.least)
                        break
            else:
                best = min(best, paid + sum([c.share * c.least for c in children]))
        exact = best < limit - TINY or best <= at_least
        found = self.known[key] = (best if exact else min(best, at_least)), exact
        return found

    def _tries(self, rows: int, signs: int, opened: int) -> list[tuple[float, float, int, list[_Child]]]:
        """The useful looks, the most promising first: a bound, marginal trouble, stations open then, what it leaves."""
        whole, found = self.cut.mass(rows, signs), []
        for paid, then, parts in self._useful(rows, signs, opened):
            children, low = [], paid
            for part, seen in parts:
                share = self.cut.mass(part, seen) / whole
                part, seen = self.cut.possible(part, seen)
                if share and not self.cut.settled(part):
                    least, exact = self.known.get((part, seen, then)) or (self._bound(part, seen, then), False)
                    children.append(_Child(share, part, seen, least, exact))
                    low += share * least
            children.sort(key=lambda child: -child.share)
            found.append((low, paid, then, children))
        return sorted(found, key=lambda t: t[:3])

    def _useful(self, rows: int, signs: int, opened: int) -> Iterator[tuple[float, int, list[tuple[int, int]]]]:
        """Looks that split the belief, save those that another, no dearer and opening no more, splits more finely."""
        telling = []
        for check in self.cut.hard:
            parts = [left for part in check.parts if (left := part & rows)]
            if len(parts) > 1:
                telling.append((check.cost, check.stands_in | opened, parts))
        telling.sort(key=lambda t: (t[0], -len(t[2])))
        kept: list[tuple[int, list[int]]] = []
        for cost, then, parts in telling:
            if not any(stands & ~then == 0 and _within(finer, parts) for stands, finer in kept):
                kept.append((then, parts))
                yield cost + self._openings[then] - self._openings[opened], then, [(part, signs) for part in parts]
        if self.cut.of_one_type(rows):
            return
        for check in self.cut.soft:
            shown = [left for part in check.parts if (left := part & signs)]
            if len(shown) > 1:
                then = check.stands_in | opened
                yield check.cost + self._openings[then] - self._openings[opened], then, [(rows, s) for s in shown]

    def _bound(self, rows: int, signs: int, opened: int) -> float:
        if self.cut.settled(rows):
            return 0.0
        key = rows, signs, opened
        if key not in self._bounds:
            self._bounds[key] = self._must_open(rows, signs, opened) + self._must_ask(rows, signs)
        return self._bounds[key]

    def _must_ask(self, rows: int, signs: int) -> float:
        """The uncertainty about the class over the most that any look tells about it per trouble of its own."""
        counts = [(check.cost, sum([1 for part in check.parts if part & rows])) for check in self.cut.hard]
        if not self.cut.of_one_type(rows):
            counts += [(check.cost, sum([1 for part in check.parts if part & signs])) for check in self.cut.soft]
        telling = [(cost, count) for cost, count in counts if count > 1]
        if not telling or not (least := min(telling)[0]):
            return 0.0
        whole = self.cut.mass(rows, signs)
        unsure = entropy([self.cut.mass(c, signs) / whole for c in self.cut.classes_in(rows)])
        return max(least, unsure / max(log2(count) / cost for cost, count in telling))

    def _must_open(self, rows: int, signs: int, opened: int) -> float:
        """Each hypothesis takes at least the cheapest stations whose looks tell it from all other classes.

        What leans may rule out rows at once: each sign is taken as seen already, for nothing.
        """
        whole, total = self.cut.mass(rows, signs), 0.0
        for can, seen in self.cut.kinds_of_signs(signs):
            left = here = rows & can
            if self.cut.settled(here):
                continue
            for more in self._wider[opened]:
                told = self._told(left, here, more)
                if told:
                    total += self.cut.mass(told, seen) * (self._openings[more] - self._openings[opened])
                    left &= ~told
                if not left:
                    break
        return total / whole

    def _told(self, left: int, here: int, opened: int) -> int:
        """Of some rows, those that all looks in these stations together tell from every other class."""
        told, groups = 0, self._groups[opened]
        while left:
            group = groups[(left & -left).bit_length() - 1] & here
            if self.cut.settled(group):
                told |= group & left
            left &= ~group
        return told


def _within(finer: Sequence[int], parts: Sequence[int]) -> bool:
    return len(finer) >= len(parts) and all(any(x & ~y == 0 for y in parts) for x in finer)


def entropy(shares: Sequence[float]) -> float:
    """Uncertainty in bit."""
    return -sum(p * log2(p) for p in shares if p > 0) + 0.0


def entropy_bound(table: Table) -> float:
    """Least expected own cost of any policy: H(class) over the most bits a look can bring per trouble.

    Opening costs are left out. Shannon; with one cost, H / log2 k (Cover and Thomas, Elements of Information
    Theory, ch. 5; from memory).
    """
    whole = table.mass(table.everything)
    rates = [log2(len(p)) / look.cost for p, look in zip(table.parts, table.looks, strict=True) if len(p) > 1]
    return entropy([table.mass(c) / whole for c in table.class_masks]) / max(rates) if rates else 0.0
