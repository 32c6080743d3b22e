"""Small instances with known optima, and the slow plain recursion that needs no trust."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from functools import lru_cache

from switchleg.diagnosis.looks import Look, Table


def table(
    shares: Sequence[float],
    classes: Sequence[Hashable],
    answers: Sequence[Sequence[Hashable]],
    costs: Sequence[float],
    stations: Sequence[str | None] | None = None,
    opening: Mapping[str, float] | None = None,
) -> Table:
    """Looks q1, q2, ...: `answers[i][h]` is what hypothesis h shows at look i."""
    places = stations or [None] * len(costs)
    looks = [Look(f"q{i}", tuple(a), c, s) for i, (a, c, s) in enumerate(zip(answers, costs, places, strict=True), 1)]
    return Table(tuple(shares), tuple(classes), tuple(looks), opening or {})


M6 = table(
    (0.30, 0.20, 0.20, 0.15, 0.10, 0.05),
    ("R1", "R1", "R2", "R3", "R2", "R3"),
    ("aabbab", "nynyny", "pppqqq", "xxyzyz", "uvuuvv"),
    (1, 1, 3, 8, 4),
)
_YES = ("357", "2356", "234", "346", "12356", "1247")
_M7 = (
    (0.05, 0.25, 0.05, 0.15, 0.15, 0.25, 0.10),
    (0, 1, 0, 0, 2, 2, 1),
    [[str(h) in yes for h in range(1, 8)] for yes in _YES],
)
M7 = table(*_M7, (1, 5, 1, 2, 2, 1))
M7S = table(*_M7, (1,) * 6, ("floor", "floor", "wall", "canopy", "wall", "canopy"), {"wall": 3, "canopy": 8})


def plain_optimum(one: Table) -> float:
    """The recursion written down as it is defined, over frozen sets, without any bound."""
    stations = list(one.opening)

    @lru_cache(None)
    def least(left: frozenset[int], opened: frozenset[str]) -> float:
        if len({one.classes[h] for h in left}) == 1:
            return 0.0
        whole, best = sum(one.shares[h] for h in left), float("inf")
        for look in one.looks:
            parts: dict[Hashable, set[int]] = {}
            for h in left:
                parts.setdefault(look.answers[h], set()).add(h)
            if len(parts) > 1:
                new = {s for s in stations if s == look.station and s not in opened}
                then = opened | new
                total = look.cost + sum([one.opening[s] for s in new])
                for part in parts.values():
                    total += sum(one.shares[h] for h in part) / whole * least(frozenset(part), then)
                best = min(best, total)
        return 0.0 if best == float("inf") else best

    return least(frozenset(range(len(one.shares))), frozenset())


def plain_noisy_optimum(one: Table, *, slip: float, cant_tell: float, wrong: float, give_up: float) -> float:
    """The optimum when answers slip: each look once, stop at any time; a state is what was answered so far."""
    answers = [sorted(set(look.answers), key=str) for look in one.looks]
    recommendations = sorted(set(one.classes), key=str)

    @lru_cache(None)
    def least(asked: tuple[int, ...], weights: tuple[float, ...]) -> float:
        whole = sum(weights)
        if not whole:
            return 0.0
        by_class = [sum(w for w, c in zip(weights, one.classes, strict=True) if c == r) for r in recommendations]
        best = min(give_up, wrong * (1 - max(by_class) / whole)) * whole
        for i, look in enumerate(one.looks):
            if i in asked:
                continue
            then = (*asked, i)
            total = look.cost * whole
            for answer in answers[i]:
                likely = [1 - slip if a == answer else slip / (len(answers[i]) - 1) for a in look.answers]
                total += (1 - cant_tell) * least(then, tuple(w * p for w, p in zip(weights, likely, strict=True)))
            if cant_tell:
                total += cant_tell * least(then, weights)
            best = min(best, total)
        return best

    return least((), one.shares)
