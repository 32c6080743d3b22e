"""The open looks, ranked by how far each brings the decision for its trouble.

Gain is the expected cut of weight between hypotheses whose recommendations differ (the edge-cutting rule
for deciding a class, Golovin, Krause and Ray 2010, arXiv 1010.3091; from memory), divided by the marginal
trouble: the look itself and a station that must still be opened for it.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

H = TypeVar("H")


@dataclass(frozen=True)
class Check:
    """An open look: `gain` per unit of `trouble`, both greater than zero."""

    fact: str
    gain: float
    trouble: float

    @property
    def worth(self) -> float:
        return self.gain / self.trouble


def cut_weight(shares: Mapping[Hashable, float]) -> float:
    """Weight between different classes: half of total squared less the squares within classes."""
    total = sum(shares.values())
    return (total * total - sum(p * p for p in shares.values())) / 2


def rank(
    hypotheses: Sequence[tuple[H, float]],
    decided: Callable[[H], Hashable],
    shown: Callable[[H, str], Hashable | None],
    open_facts: Sequence[str],
    trouble: Callable[[str], float],
) -> tuple[Check, ...]:
    """Open facts that tell recommendations apart, most worth first.

    `decided` gives a hypothesis' recommendation; `shown` what a look would show on it (None: nothing,
    the look leaves it where it is).
    """
    classes = [decided(h) for h, _ in hypotheses]
    whole: dict[Hashable, float] = {}
    for (_, p), cls in zip(hypotheses, classes, strict=True):
        whole[cls] = whole.get(cls, 0.0) + p
    before, total = cut_weight(whole), sum(whole.values())
    checks: list[Check] = []
    for fact in open_facts:
        parts: dict[Hashable, dict[Hashable, float]] = {}
        for (h, p), cls in zip(hypotheses, classes, strict=True):
            part = parts.setdefault(shown(h, fact), {})
            part[cls] = part.get(cls, 0.0) + p
        after = sum(cut_weight(part) * sum(part.values()) / total for part in parts.values()) if total else 0.0
        if before - after > 1e-12:
            checks.append(Check(fact, before - after, trouble(fact)))
    return tuple(sorted(checks, key=lambda c: (-c.worth, c.fact)))
