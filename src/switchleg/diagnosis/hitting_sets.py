"""Answers that cannot all be true: the smallest disagreeing sets, as hitting sets of what strikes each candidate out.

Every candidate is struck out by some set of facts. A set of facts that meets all of those sets leaves no
candidate, so the smallest such sets are the minimal contradictions (the duality of Reiter, Artificial
Intelligence 32 (1987) 57; from memory).
"""

from __future__ import annotations

from collections.abc import Iterable


def smallest_conflicts(struck_by: Iterable[frozenset[str]], *, limit: int = 5) -> tuple[tuple[str, ...], ...]:
    """Minimal sets of facts that together strike out every candidate, smallest first, at most `limit`.

    `struck_by` holds, for each candidate, the facts that each alone strike it out (never empty).
    """
    sets = minimal(set(struck_by))
    if not sets:
        return ()
    partial: list[frozenset[str]] = [frozenset()]
    for struck in sorted(sets, key=lambda s: (len(s), sorted(s))):
        grown: set[frozenset[str]] = set()
        for hit in partial:
            if hit & struck:
                grown.add(hit)
            else:
                grown |= {hit | {fact} for fact in struck}
        partial = sorted(minimal(grown), key=lambda s: (len(s), sorted(s)))[:2_000]
    ordered = sorted((tuple(sorted(hit)) for hit in partial), key=lambda t: (len(t), t))
    return tuple(ordered[:limit])


def minimal(sets: set[frozenset[str]]) -> list[frozenset[str]]:
    """The sets that hold no other of them."""
    kept: list[frozenset[str]] = []
    for one in sorted(sets, key=len):
        if not any(other <= one for other in kept):
            kept.append(one)
    return kept
