"""Wrong joints, one at a time, in correct circuits: the function table or the rules notice, or why not is explained."""

from __future__ import annotations

from collections import Counter
from functools import cache

from circuit_checks import Trial, correct_circuits, try_mutants
from circuit_mutants import LEADS_NOWHERE, TURNED, mutants, reversed_at_source
from circuit_world import two_switches
from wiring_world import bench

from switchleg.wiring.functions import function_table
from switchleg.wiring.rules import findings

EXPLAINED = {TURNED: 45, LEADS_NOWHERE: 3}
"""Wrong joints of the sample that nothing shows, by why they do no harm; none without a reason."""


MADE = {
    "swap two ends": 4265,
    "bare end": 727,
    "take the wrong conductor": 694,
    "bridge two joints": 626,
    "cap what should be joined": 545,
    "join a capped end": 450,
    "omit a terminal": 394,
    "join two capped ends": 253,
    "two under one terminal": 102,
    "forget a mark": 15,
}
"""Wrong joints of the sample by kind. The sample is the first plan of every way in a lasting order, and 14 houses of
today: a new way or another wiring of an old one changes these figures, nothing else does."""


@cache
def trial() -> Trial:
    return try_mutants(correct_circuits(0, 14))


def test_every_wrong_joint_is_noticed_or_explained() -> None:
    """No wrong joint of the sample stays unnoticed without a reason, and those with a reason are as many as known."""
    unexplained = [f"{mutant.words}; {name}" for name, mutant, why in trial().survivors if why is None]
    assert not unexplained, unexplained[:5]
    assert Counter(why for *_, why in trial().survivors) == EXPLAINED


def test_every_kind_of_wrong_joint_was_made() -> None:
    """Swaps, omissions, bridges, caps, spares, marks, bare ends and terminals: each kind, and as many as known."""
    made = {kind: tally.made for kind, tally in trial().kinds.items()}
    assert made == MADE
    noticed = sum(tally.made - tally.unnoticed for tally in trial().kinds.values())
    assert noticed == sum(MADE.values()) - sum(EXPLAINED.values())


def test_correct_circuits_break_nothing() -> None:
    """The circuits in which joints are made wrong break no rule as they are."""
    for name, wired in correct_circuits(0, 14):
        assert not findings(wired, bench()), name


def test_no_wrong_joint_is_the_right_one() -> None:
    """Every wrong joint differs from the right wiring in joints, marks or bare ends."""
    right = two_switches()
    for mutant in mutants(right):
        drawn = (mutant.wired.joints, mutant.wired.marked, mutant.wired.bare)
        assert drawn != (right.joints, right.marked, right.bare), mutant.words


def test_reversed_at_the_source_shows_in_no_table() -> None:
    """Hot and neutral reversed ahead of the feed change no function anywhere: only a reading can tell."""
    for name, wired in correct_circuits(0, 14):
        assert function_table(reversed_at_source(wired), bench()) == function_table(wired, bench()), name
        assert findings(reversed_at_source(wired), bench()), name
