"""One judgement: does this suit that, in a sentence, with its rule and sources."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Fit:
    """`fits` is None when it cannot be told; `covered` is False when that is for want of a rule here.

    `doubtful`: the judgement rests on a figure from memory, on an estimate or on a trade habit.
    """

    fits: bool | None
    text: str
    rule: str = ""
    sources: tuple[str, ...] = ()
    covered: bool = True
    doubtful: bool = False
    missing: tuple[str, ...] = ()
    """Facts that could tell it, where it cannot be told."""


def not_covered(text: str) -> Fit:
    """No rule is known here: no verdict and no number of another region."""
    return Fit(None, text, covered=False)
