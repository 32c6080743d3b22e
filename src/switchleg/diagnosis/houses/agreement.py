"""Which answers a candidate wiring could have shown, and which not. The cheap looks are compared first."""

from __future__ import annotations

from collections.abc import Mapping

from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.houses.controls import CONTROL_LOOKS, ELECTRONICS, KINDS, controls_disagree
from switchleg.diagnosis.houses.predictions import HOUSE_LOOKS, predicted
from switchleg.schema.questions import Value
from switchleg.wiring.bench import Bench

COLOUR_FACTS = frozenset(fact for fact, look in HOUSE_LOOKS.items() if look.colours)
"""Facts that speak of colours: worthless until the region says what colours mean."""

WIRING_FACTS = (*CONTROL_LOOKS, *HOUSE_LOOKS)
LOOKED_AT = frozenset(WIRING_FACTS)
"""Facts that tell wirings apart."""

COMPARED = LOOKED_AT | ELECTRONICS | frozenset(KINDS)
"""Facts that wirings are compared with; the last ones only say what the controls may be."""


def agrees(house: Candidate, facts: Mapping[str, Value], bench: Bench) -> bool:
    """Whether this wiring could have shown all the facts; the cheap looks are compared first."""
    if controls_disagree(house, facts):
        return False
    return not any(_differs(house, fact, facts, bench) for fact in HOUSE_LOOKS if fact in facts)


def disagreeing(house: Candidate, facts: Mapping[str, Value], bench: Bench) -> frozenset[str]:
    """All the given facts that this wiring could not have shown."""
    wrong = {fact for fact in HOUSE_LOOKS if fact in facts and _differs(house, fact, facts, bench)}
    return frozenset(wrong | controls_disagree(house, facts))


def _differs(house: Candidate, fact: str, facts: Mapping[str, Value], bench: Bench) -> bool:
    possible = predicted(house, fact, bench)
    return bool(possible) and facts[fact] not in possible
