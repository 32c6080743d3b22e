"""How honest stated confidences are: Brier score with Murphy's parts, log loss, reliability by bins. Pure.

Murphy, Journal of Applied Meteorology 12 (1973) 595 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import exp, log

Forecast = tuple[float, bool]
"""The confidence that was stated, and whether it came true."""


def brier(forecasts: Sequence[Forecast]) -> float:
    """Mean squared difference between confidence and outcome; 0 is best."""
    return sum((p - hit) ** 2 for p, hit in forecasts) / len(forecasts)


def brier_of_classes(shares: Mapping[str, float], truth: str) -> float:
    """The score of one forecast over several classes: the sum of squared differences."""
    return sum((p - (name == truth)) ** 2 for name, p in {truth: 0.0, **shares}.items())


def log_loss(forecasts: Sequence[Forecast]) -> float:
    """Mean surprise in nats. A certainty that fails is infinitely bad: it is an error here.

    Raises ValueError for one.
    """
    return -sum(log(p if hit else 1 - p) for p, hit in forecasts) / len(forecasts)


@dataclass(frozen=True)
class Bin:
    """Forecasts of about one confidence: how many, their mean confidence, and how often they came true."""

    n: int
    stated: float
    came_true: float


def bins(forecasts: Iterable[Forecast], *, edges: Sequence[float]) -> tuple[Bin, ...]:
    """Forecasts sorted by confidence between rising `edges` (a bin holds its lower edge); empty bins are left out."""
    groups: dict[int, list[Forecast]] = {}
    for p, hit in forecasts:
        groups.setdefault(sum(p >= edge for edge in edges), []).append((p, hit))
    return tuple(
        Bin(len(g), sum(p for p, _ in g) / len(g), sum(hit for _, hit in g) / len(g)) for _, g in sorted(groups.items())
    )


def calibration_error(reliability: Sequence[Bin]) -> float:
    """Mean distance between stated confidence and hit rate, weighted by the forecasts in each bin (ECE)."""
    return sum(b.n * abs(b.stated - b.came_true) for b in reliability) / sum(b.n for b in reliability)


@dataclass(frozen=True)
class BrierParts:
    """brier = reliability - resolution + uncertainty, when each bin holds one stated confidence."""

    reliability: float
    resolution: float
    uncertainty: float


def brier_parts(reliability: Sequence[Bin]) -> BrierParts:
    """Murphy's parts of the Brier score."""
    n = sum(b.n for b in reliability)
    base = sum(b.n * b.came_true for b in reliability) / n
    return BrierParts(
        sum(b.n * (b.stated - b.came_true) ** 2 for b in reliability) / n,
        sum(b.n * (b.came_true - base) ** 2 for b in reliability) / n,
        base * (1 - base),
    )


def most_failures_hidden(trials: int, *, doubt: float = 0.05) -> float:
    """The failure rate that stays possible after none in so many trials (one-sided; about 3 / trials).

    Rule of three: Eypasch and others, BMJ 311 (1995) 619.
    """
    return 1 - exp(log(doubt) / trials)
