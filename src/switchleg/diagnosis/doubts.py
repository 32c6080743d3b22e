"""Which answer is best checked again: how likely each is a slip, given all the others.

Every candidate keeps a share of belief: its prior, times the slip rates of the answers that it contradicts. An
answer's doubt is the share of the candidates that it contradicts. A reserve that agrees with nothing stands for
houses outside the candidates, so that an impossible house gets no confident answer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import prod

OUTSIDE = 0.001
"""Prior share of houses that are none of the candidates (an estimate)."""


def doubts(
    candidates: Iterable[tuple[float, frozenset[str]]], facts: Iterable[str], slip: Callable[[str], float]
) -> dict[str, float]:
    """Fact -> how likely its answer is wrong, most doubtful first.

    `candidates` are (prior share, the facts it contradicts). The reserve contradicts nothing in particular: its
    weight is OUTSIDE times one half for every fact.
    """
    told = tuple(facts)
    weights: list[tuple[float, frozenset[str]]] = []
    for p, against in candidates:
        weights.append((p * prod(slip(f) / (1 - slip(f)) for f in against), against))
    weights.append((OUTSIDE * 0.5 ** len(told), frozenset()))
    total = sum(w for w, _ in weights)
    if not total:
        return {}
    found = {f: sum(w for w, against in weights if f in against) / total for f in told}
    return dict(sorted(found.items(), key=lambda kv: (-kv[1], kv[0])))
