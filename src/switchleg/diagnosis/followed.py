"""A given tree measured against the optimum: what it costs, and at which of its nodes the cost is lost.

Nothing is sampled: the tree is followed for every hypothesis.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from switchleg.diagnosis.looks import Table
from switchleg.diagnosis.optimum import Optimum


@dataclass(frozen=True)
class Node:
    """A look that a given tree takes. `share`: how often it comes there; `loss`: its part of the regret."""

    asked: tuple[str, ...]
    look: str
    share: float
    paid: float
    loss: float


@dataclass(frozen=True)
class Followed:
    """A given tree followed for every hypothesis until the class is settled.

    `trouble`: expected; where the tree ends unsettled (in `unsettled` of all cases) the best looks are added.
    `to_its_end`: expected trouble when every look on the way is taken. `nodes`: losses sum to the regret.
    """

    trouble: float
    to_its_end: float
    unsettled: float
    nodes: tuple[Node, ...]


def follow(table: Table, order: Sequence[Sequence[int]], best: Optimum) -> Followed:
    """Follow a tree, given as the looks it takes in turn for each hypothesis.

    Two hypotheses that have shown the same so far must be asked the same next.
    loss = share x (least trouble after this look is taken now, less the least trouble at all).
    """
    whole = table.mass(table.everything)
    nodes: list[Node] = []
    trouble = unsettled = 0.0
    for belief, opened, asked in _stops(table, order):
        share = table.mass(belief) / whole
        place = _next(order, belief, len(asked))
        if table.settled(belief):
            continue
        here = best.value(belief, opened)
        if place is None:
            unsettled += share if here > 0 else 0.0
            trouble += share * here
            continue
        paid = table.cost(place, opened)
        loss = share * (best.asked_first(place, belief, opened) - here)
        nodes.append(Node(tuple(table.looks[i].name for i in asked), table.looks[place].name, share, paid, loss))
        trouble += share * paid
    return Followed(trouble, _to_its_end(table, order) / whole, unsettled, tuple(nodes))


def _next(order: Sequence[Sequence[int]], belief: int, done: int) -> int | None:
    row = order[(belief & -belief).bit_length() - 1]
    return row[done] if done < len(row) else None


def _stops(table: Table, order: Sequence[Sequence[int]]) -> Iterator[tuple[int, int, tuple[int, ...]]]:
    """Every place of the tree that some hypothesis comes to, the belief and the open stations there."""
    todo: list[tuple[int, int, tuple[int, ...]]] = [(table.everything, 0, ())]
    while todo:
        belief, opened, asked = todo.pop()
        yield belief, opened, asked
        look = _next(order, belief, len(asked))
        if look is not None and not table.settled(belief):
            then = table.opens(look, opened)
            todo += [(part, then, (*asked, look)) for part in table.split(look, belief)]


def _to_its_end(table: Table, order: Sequence[Sequence[int]]) -> float:
    total = 0.0
    for share, looks in zip(table.shares, order, strict=True):
        opened, paid = 0, 0.0
        for look in looks:
            paid += table.cost(look, opened)
            opened = table.opens(look, opened)
        total += share * paid
    return total
