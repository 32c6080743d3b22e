"""Cards speak as people do where the house stands; what is warm stays hot."""

from __future__ import annotations

import pytest
from figures_world import REGIONS

from switchleg.advice.local_words import in_words_of


@pytest.mark.parametrize(
    ("region", "said"),
    [
        ("uk", "Earth: an earth of the live. Circuit breaker off; call a qualified electrician. It runs hot."),
        ("in", "Earth: an earth of the phase. MCB off; call a licensed electrician. It runs hot."),
        ("au_nz", "Earth: an earth of the active. Circuit breaker off; call a licensed electrician. It runs hot."),
        ("us", "Ground: a ground of the hot. Breaker off; call a licensed electrician. It runs hot."),
        ("ca", "Ground: a ground of the hot. Breaker off; call a licensed electrician. It runs hot."),
    ],
)
def test_one_sentence_in_each_regions_words(region: str, said: str) -> None:
    """The same sentence with the region's words for ground, hot, breaker and who does the work."""
    say = in_words_of(REGIONS[region])
    assert say("Ground: a ground of the hot. Breaker off; call a licensed electrician. It runs hot.") == said
    assert say(say(said)) == said
