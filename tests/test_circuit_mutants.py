"""Wrong joints, one at a time, in correct circuits: the function table or the rules notice, or why not is explained."""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest
from circuit_checks import Trial, correct_circuits, try_mutants
from circuit_mutants import LEADS_NOWHERE, TURNED, mutants, reversed_at_source
from circuit_world import many_places, two_places, two_switches
from test_circuit_rules import BESIDE, LOOP, ONWARD, loop_fed, metal, relay_fed, two_wire, with_input, with_stub
from wiring_world import bench

from switchleg.wiring.function_table import function_table
from switchleg.wiring.rules import findings

FIXED = {
    "two switches": two_switches(),
    "two places": two_places(),
    "three places": many_places(1),
    "grounded switch and fan": metal(),
    "loop in two conductors": loop_fed(2),
    "loop with a spare": loop_fed(3),
    "relay in the canopy beside a switch": relay_fed("HOT"),
    "relay module behind a switch": with_input(turned=False),
    "control that lives on its load": two_wire(),
    "feed that goes on": with_stub(ONWARD),
    "loop of something else beside": with_stub(BESIDE, **LOOP),
}
"""Circuits that no change of the data touches."""

COUNTS = {
    "two switches": (112, 2, 0),
    "two places": (174, 0, 1),
    "three places": (245, 0, 0),
    "grounded switch and fan": (94, 2, 0),
    "loop in two conductors": (61, 2, 0),
    "loop with a spare": (78, 2, 0),
    "relay in the canopy beside a switch": (116, 1, 0),
    "relay module behind a switch": (120, 1, 0),
    "control that lives on its load": (77, 0, 0),
    "feed that goes on": (108, 1, 0),
    "loop of something else beside": (146, 2, 0),
}
"""Wrong joints made; unnoticed because a switch, a pair or its loop is only turned round; because the changed
conductor leads nowhere. All others are noticed."""


@pytest.mark.parametrize("name", FIXED)
def test_wrong_joints_in_fixed_circuits(name: str) -> None:
    """In known circuits exactly so many wrong joints can be made, and exactly so many show nothing and do no harm."""
    trial = try_mutants([(name, FIXED[name])])
    why = Counter(reason for *_, reason in trial.survivors)
    assert set(why) <= {TURNED, LEADS_NOWHERE}, trial.survivors
    assert (trial.made, why[TURNED], why[LEADS_NOWHERE]) == COUNTS[name]


def test_how_many_of_how_many() -> None:
    """In all fixed circuits together so many of so many are noticed, and the rest is explained."""
    made, turned, nowhere = (sum(counts[n] for counts in COUNTS.values()) for n in range(3))
    assert (made - turned - nowhere, made) == TOTAL


TOTAL = (1317, 1331)


@cache
def broad() -> Trial:
    return try_mutants(correct_circuits(0, 10))


def test_wrong_joints_in_plans_and_houses() -> None:
    """In a plan of every way and in houses of today no wrong joint stays unnoticed without a reason, few with one."""
    unexplained = [f"{mutant.words}; {name}" for name, mutant, why in broad().survivors if why is None]
    assert not unexplained, unexplained[:5]
    assert len(broad().survivors) < 0.02 * broad().made


def test_every_kind_of_wrong_joint_was_made() -> None:
    """Swaps, omissions, bridges, caps, spares, marks, bare ends and terminals: each kind many times."""
    made = {kind: tally.made for kind, tally in broad().kinds.items()}
    assert len(made) == 10
    assert min(made.values()) > 5, made
    assert sum(made.values()) > 5000


def test_every_rule_that_needs_no_second_circuit_spoke() -> None:
    """Among the broken rules are those of joints, ground, supply, inputs, passing cables and other loops."""
    wanted = {"short", "neutral_not_solid", "part_voltage", "load_never_on", "electronics_lose_power", "ground_open"}
    wanted |= {"ground_carries", "neutral_on_ground", "input_not_switched", "line_load_reversed", "onward_supply"}
    wanted |= {"terminal_open", "bare_end", "not_marked", "mark_misleads", "many_under_one_terminal"}
    assert wanted <= set(broad().rules)


def test_correct_circuits_break_nothing() -> None:
    """The circuits in which joints are made wrong break no rule as they are."""
    for name, wired in [*correct_circuits(0, 10), *FIXED.items()]:
        assert not findings(wired, bench()), name


def test_no_wrong_joint_is_the_right_one() -> None:
    """Every wrong joint differs from the right wiring in joints, marks or bare ends."""
    for right in FIXED.values():
        for mutant in mutants(right):
            drawn = (mutant.wired.joints, mutant.wired.marked, mutant.wired.bare)
            assert drawn != (right.joints, right.marked, right.bare), mutant.words


def test_reversed_at_the_source_shows_in_no_table() -> None:
    """Hot and neutral reversed ahead of the feed change no function anywhere: only a reading can tell."""
    for name, wired in correct_circuits(0, 10):
        assert function_table(reversed_at_source(wired), bench()) == function_table(wired, bench()), name
        assert findings(reversed_at_source(wired), bench()), name
