"""The open looks, ranked by how far each brings the decision for its trouble.

Gain is the expected fall of the chance that two cases drawn from the belief call for different recommendations.
It is worked out on renormalised belief, so that an answer which says nothing about the recommendation gains
nothing however it falls. `cut_weight` is the weight that the edge-cutting rule of Golovin, Krause and Ray (2010,
arXiv 1010.3091; from memory) puts on such pairs. Trouble is marginal: the look and a station still to be opened.
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
    shown: Callable[[H, str], Mapping[Hashable, float]],
    open_facts: Sequence[str],
    trouble: Callable[[str], float],
) -> tuple[Check, ...]:
    """Open facts that tell recommendations apart, most worth first.

    `decided` gives a hypothesis' recommendation; `shown` how likely each answer is on it (shares sum to one).
    """
    classes = [decided(h) for h, _ in hypotheses]
    whole: dict[Hashable, float] = {}
    for (_, p), cls in zip(hypotheses, classes, strict=True):
        whole[cls] = whole.get(cls, 0.0) + p
    total = sum(whole.values())
    before = cut_weight(whole) / total**2 if total else 0.0
    checks: list[Check] = []
    for fact in open_facts:
        parts: dict[Hashable, dict[Hashable, float]] = {}
        for (h, p), cls in zip(hypotheses, classes, strict=True):
            for answer, share in shown(h, fact).items():
                part = parts.setdefault(answer, {})
                part[cls] = part.get(cls, 0.0) + p * share
        masses = ((part, sum(part.values())) for part in parts.values())
        after = sum(cut_weight(part) / mass / total for part, mass in masses if mass)
        if before - after > 1e-12:
            checks.append(Check(fact, before - after, trouble(fact)))
    return tuple(sorted(checks, key=lambda c: (-c.worth, c.fact)))
