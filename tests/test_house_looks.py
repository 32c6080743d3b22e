"""The registry of what a house shows, held against the questions."""

from __future__ import annotations

import pytest

from switchleg.advice.candidates import bench_of, candidates
from switchleg.diagnosis.controls import CONTROL_LOOKS
from switchleg.diagnosis.predictions import HOUSE_LOOKS, predicted
from switchleg.diagnosis.shows import LOOKED_AT
from switchleg.knowledge.load import load
from switchleg.tree.values import answer_for


def test_every_look_is_a_question() -> None:
    """What a house has an answer to can be asked; what its controls do is joined to it once."""
    assert set(HOUSE_LOOKS) | set(CONTROL_LOOKS) == LOOKED_AT
    assert set(load().tree.questions) >= LOOKED_AT


@pytest.mark.parametrize("region", ["us", "uk"])
@pytest.mark.parametrize("other", [True, False])
def test_what_a_house_shows_can_be_answered(region: str, *, other: bool) -> None:
    """Every look is shown by some house, and whatever it shows its question offers as an answer."""
    knowledge = load()
    bench = bench_of(knowledge, knowledge.regions[region])
    houses = candidates(knowledge, region, other, True)[::40]
    shown = {fact: {v for h in houses for v in predicted(h, fact, bench)} for fact in HOUSE_LOOKS}
    for fact, values in shown.items():
        assert values or (fact.startswith("other_load") and not other), fact
        for value in values:
            assert answer_for(knowledge.tree.questions[fact], value) is not None, (fact, value)
