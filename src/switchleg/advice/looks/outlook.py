"""What the verdict would be with one more answer: the recommendations left, with their shares."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from switchleg.advice.cases.beliefs import region_of
from switchleg.advice.cases.dangers import untold_dangers
from switchleg.advice.cases.open_cases import open_cases
from switchleg.advice.cases.stops import NOTHING_FITS, stops_of
from switchleg.advice.cases.survey import LOOKED_THROUGH
from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

Decided = tuple[str, tuple[str, ...]]
"""A scheme and its preparations; "" when nothing fits, STOP when the work ends."""

STOP = "stop"


@dataclass(frozen=True)
class Prospect:
    """`shares`: recommendations over the likeliest cases. `settled`: the verdict would stand on these facts.

    With no shares, no house and fan agrees with them.
    """

    shares: Mapping[Decided, float]
    settled: bool


def prospect(knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str]) -> Prospect:
    """The verdict on these facts as far as it needs no words; answers are taken as they are."""
    likely = open_cases(knowledge, facts, untold, most=LOOKED_THROUGH).survey
    stops = [stop.rule for stop in stops_of(knowledge, facts, (), likely)] if likely.hypotheses else []
    if any(rule != NOTHING_FITS for rule in stops):
        return Prospect({(STOP, ()): 1.0}, settled=True)
    shares = likely.shares()
    total = sum(shares.values())
    left = {decided: p / total for decided, p in shares.items()}
    if len(left) > 1:
        return Prospect(left, settled=False)
    whole = likely
    if len(likely.hypotheses) == LOOKED_THROUGH:
        whole = open_cases(knowledge, facts, untold).survey
    if stops:
        return Prospect(left, settled=whole.nothing_fits())
    best = whole.agreed()
    stands = best is not None and region_of(knowledge, facts) is not None
    return Prospect(left, settled=stands and not untold_dangers(knowledge, facts, untold, whole, best))
