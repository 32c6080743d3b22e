"""Ways to choose the next look, and what each of them costs: exactly, by going through every hypothesis."""

from __future__ import annotations

from collections.abc import Callable
from itertools import permutations

from switchleg.diagnosis.looks import Table

Gain = Callable[[Table, int, tuple[int, ...]], float]
"""What splitting a belief into parts brings; greater is better."""


def cut_gain(table: Table, belief: int, parts: tuple[int, ...]) -> float:
    """Expected weight of the pairs of different classes that are told apart.

    Golovin, Krause and Ray 2010, arXiv 1010.3091: the edge-cutting rule for deciding a class.
    """
    whole = table.mass(belief)
    after = sum(table.mass(part) / whole * _pairs(table, part) for part in parts)
    return _pairs(table, belief) - after


def _pairs(table: Table, belief: int) -> float:
    return (table.mass(belief) ** 2 - sum([table.mass(c) ** 2 for c in table.classes_in(belief)])) / 2


def greedy_choice(
    table: Table, belief: int, opened: int, *, gain: Gain = cut_gain, marginal: bool = True
) -> int | None:
    """The look with the greatest gain per trouble; None when no look splits the belief or it is settled.

    `marginal`: opening a closed station counts; else only the look's own cost.
    """
    if table.settled(belief):
        return None
    best: tuple[float, int] | None = None
    for look in range(len(table.looks)):
        parts = table.split(look, belief)
        if len(parts) > 1:
            cost = table.cost(look, opened) if marginal else table.looks[look].cost
            worth = gain(table, belief, parts) / max(cost, 1e-9)
            if best is None or worth > best[0] + 1e-12:
                best = (worth, look)
    return best[1] if best else None


def greedy_value(
    table: Table,
    belief: int,
    opened: int = 0,
    known: dict[tuple[int, int], float] | None = None,
    *,
    gain: Gain = cut_gain,
    marginal: bool = True,
) -> float:
    """Expected trouble of the greedy rule from here on. `known` is filled and may be handed in again."""
    known = {} if known is None else known
    key = (belief, opened)
    if key not in known:
        look = greedy_choice(table, belief, opened, gain=gain, marginal=marginal)
        total = 0.0
        if look is not None:
            then, whole = table.opens(look, opened), table.mass(belief)
            total = table.cost(look, opened)
            for part in table.split(look, belief):
                rest = greedy_value(table, part, then, known, gain=gain, marginal=marginal)
                total += table.mass(part) / whole * rest
        known[key] = total
    return known[key]


def open_first(table: Table, belief: int, opened: int = 0) -> str | None:
    """The closed station to open first, so that the least opening is expected; None when none tells more.

    Every order of the closed stations is weighed: each is opened only for what the looks in those before it,
    all taken together, leave unsettled.
    """
    closed = [s for i, s in enumerate(table.stations) if not opened >> i & 1]
    best: tuple[float, str] | None = None
    for order in permutations(closed):
        open_now, expected, left = opened, 0.0, unsettled(table, belief, opened)
        for station in order:
            expected += left * table.opening[station]
            open_now |= 1 << table.stations.index(station)
            left = unsettled(table, belief, open_now)
        if order and unsettled(table, belief, opened) > left and (best is None or expected < best[0] - 1e-9):
            best = (expected, order[0])
    return best[1] if best else None


def unsettled(table: Table, belief: int, opened: int) -> float:
    """The share of a belief that no look in the open stations, all taken together, would settle."""
    groups = [belief]
    for look in range(len(table.looks)):
        if table.opens(look, opened) == opened:
            groups = [part for g in groups for part in ((g,) if table.settled(g) else table.split(look, g))]
    return sum([table.mass(g) for g in groups if not table.settled(g)]) / table.mass(belief)
