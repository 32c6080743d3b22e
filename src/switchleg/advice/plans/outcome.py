"""How a scheme comes out in one house with one fan, and which of two outcomes is liked better."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from switchleg.advice.plans.plan import Obstacle, Plan

PERMISSIONS = frozenset({"may_replace_fan"})
"""What an outcome may wait for that is leave, not a look: without it the outcome is no candidate."""


@dataclass(frozen=True)
class Outcome:
    """How a scheme comes out in one house with one fan. `waits_for`: permissions or looks nobody has given yet."""

    scheme: str
    fits: bool
    preparations: tuple[str, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    keeps: Mapping[str, bool | None] = field(default_factory=dict)
    plan: Plan | None = None
    score: float = 0.0
    work: float = 0.0
    waits_for: tuple[str, ...] = ()
    way: str = ""

    @property
    def rank(self) -> tuple[float, float]:
        """Greater is better: first the wishes kept, then the least work."""
        return (round(self.score, 6), -round(self.work, 6))


def liked(outcome: Outcome) -> tuple[bool, float, float]:
    """Greater is better: first what waits for nothing."""
    return (not outcome.waits_for, *outcome.rank)
