"""The least expected trouble that decides the recommendation, exactly.

Dynamic programming over (belief, stations opened); opening a station is paid once. Bounds from below cut the
search; a sum of children is always made anew from the very bounds that are exchanged in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, log2

from switchleg.diagnosis.looks import Table, masks_of
from switchleg.diagnosis.policies import greedy_value

TINY = 1e-12


class Optimum:
    """Exact values of beliefs in a table. Beliefs that no look can settle any further cost nothing more."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self.known: dict[tuple[int, int], float] = {}
        self._bounds: dict[tuple[int, int], float] = {}
        self._greedy: dict[tuple[int, int], float] = {}
        self._groups = {opened: self._told_apart(opened) for opened in range(1 << len(table.stations))}
        self._openings = {
            opened: sum(table.opening[s] for i, s in enumerate(table.stations) if opened >> i & 1)
            for opened in self._groups
        }

    def value(self, belief: int | None = None, opened: int = 0) -> float:
        """The least expected trouble from here on."""
        table = self.table
        belief = table.everything if belief is None else belief
        if table.settled(belief):
            return 0.0
        useful, parts = self._useful(belief, opened)
        if not useful:
            return 0.0
        key = (belief, self._that_matter(useful, opened))
        found = self.known.get(key)
        if found is not None:
            return found
        whole = table.mass(belief)
        best = self._greedily(belief, opened)
        tries = []
        for look in useful:
            then = table.opens(look, opened)
            shares = [table.mass(part) / whole for part in parts[look]]
            floors = [self.bound(part, then) for part in parts[look]]
            least = table.cost(look, opened) + sum(p * b for p, b in zip(shares, floors, strict=True))
            tries.append((least, look, then, shares, floors))
        for least, look, then, shares, floors in sorted(tries, key=lambda t: t[:2]):
            if least >= best - TINY:
                break
            total = least
            for i in sorted(range(len(shares)), key=lambda i: -shares[i]):
                exact = self.value(parts[look][i], then)
                floors[i] = exact
                total = table.cost(look, opened) + sum(p * b for p, b in zip(shares, floors, strict=True))
                if total >= best - TINY:
                    break
            best = min(best, total)
        self.known[key] = best
        return best

    def asked_first(self, look: int, belief: int | None = None, opened: int = 0) -> float:
        """The expected trouble when this look is taken now and all goes best afterwards (Q)."""
        table = self.table
        belief = table.everything if belief is None else belief
        whole, then = table.mass(belief), table.opens(look, opened)
        after = (table.mass(part) / whole * self.value(part, then) for part in table.split(look, belief))
        return table.cost(look, opened) + sum(after)

    def bound(self, belief: int, opened: int = 0) -> float:
        """No policy does with less: stations that must be opened, plus what the looks can bring per trouble."""
        table = self.table
        if table.settled(belief):
            return 0.0
        key = (belief, opened)
        if key not in self._bounds:
            self._bounds[key] = self._must_open(belief, opened) + self._must_ask(belief)
        return self._bounds[key]

    def _must_ask(self, belief: int) -> float:
        """The uncertainty about the class over the most that any look tells about it per trouble of its own."""
        table = self.table
        whole = table.mass(belief)
        rate = 0.0
        least = inf
        for look, masks in enumerate(table.parts):
            shares = [table.mass(left) / whole for part in masks if (left := part & belief)]
            if len(shares) > 1:
                own = table.looks[look].cost
                rate = max(rate, log2(len(shares)) / own if own else inf)
                least = min(least, own)
        if not rate:
            return 0.0
        return max(least, entropy([table.mass(c) / whole for c in table.classes_in(belief)]) / rate)

    def _must_open(self, belief: int, opened: int) -> float:
        """Each hypothesis takes at least the cheapest stations whose looks tell it from all other classes."""
        table = self.table
        left, total, before = belief, 0.0, self._openings[opened]
        supersets = [o for o in self._groups if o & opened == opened]
        for more in sorted(supersets, key=lambda o: self._openings[o]):
            told = 0
            for group in self._groups[more]:
                here = group & belief
                if here and (here & left) and table.settled(here):
                    told |= here & left
            total += table.mass(told) * (self._openings[more] - before) if told else 0.0
            left &= ~told
            if not left:
                break
        return total / table.mass(belief)

    def _told_apart(self, opened: int) -> tuple[int, ...]:
        """Hypotheses that all looks in these stations together leave in one group."""
        table = self.table
        usable = [look for i, look in enumerate(table.looks) if table.opens(i, opened) == opened]
        return masks_of(list(zip(*(look.answers for look in usable), strict=True)) or [()] * len(table.shares))

    def _useful(self, belief: int, opened: int) -> tuple[list[int], dict[int, tuple[int, ...]]]:
        """Looks that split the belief; of those that split it alike, the ones that none beats."""
        table = self.table
        alike: dict[frozenset[int], list[int]] = {}
        parts: dict[int, tuple[int, ...]] = {}
        for look in range(len(table.looks)):
            split = table.split(look, belief)
            if len(split) > 1:
                parts[look] = split
                alike.setdefault(frozenset(split), []).append(look)
        useful = []
        for same in alike.values():
            same.sort(key=lambda i: (table.cost(i, opened), i))
            kept: list[int] = []
            for look in same:
                then, own = table.opens(look, opened), table.looks[look].cost
                if not any(table.looks[k].cost <= own and table.opens(k, opened) in (opened, then) for k in kept):
                    kept.append(look)
            useful += kept
        return useful, parts

    def _that_matter(self, useful: Sequence[int], opened: int) -> int:
        """Of the open stations, those that still have a look worth taking."""
        table, matter = self.table, 0
        for look in useful:
            matter |= table.opens(look, 0)
        return opened & matter

    def _greedily(self, belief: int, opened: int) -> float:
        """What the greedy rule takes from here: never less than the optimum."""
        return greedy_value(self.table, belief, opened, self._greedy)


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
