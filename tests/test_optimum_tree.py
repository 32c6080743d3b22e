"""The real tree on the real candidate table, at a size that is solved in seconds (tests/tree_report.py does all)."""

from __future__ import annotations

import random
from functools import cache

import pytest
from tree_report import Measured, conditions, measured
from tree_walked import SOUND, as_walked

from switchleg.advice.advise import advise
from switchleg.advice.looks.look_table import Case, case
from switchleg.diagnosis.optimum import Optimum
from switchleg.diagnosis.policies import unsettled
from switchleg.knowledge.load import load

NAMES = ("wall; light none; 1 wall boxes; no remote",)
SAID_BY_THE_CHAIN = "set_chain_high"
"""A preparation that follows from the answer about the chain itself, not from what the house or the fan is."""


@cache
def _case(name: str) -> Case:
    given = {n: facts for n, _, facts in conditions(load())}[name]
    return case(load(), given, covering=0.998, most=180)


@cache
def _measured(name: str) -> Measured:
    return measured(load(), name, 1.0, _case(name))


@pytest.mark.parametrize("name", NAMES)
def test_the_walk_is_near_the_optimum(name: str) -> None:
    """Bound <= optimum <= greedy and walk; what its nodes lose is all that it costs above the optimum; and whoever
    follows what the walk says at its gates has at most 1.2 times the least possible trouble here."""
    m = _measured(name)
    assert m.bound <= m.least <= m.best + 1e-9
    assert m.best <= min(m.greedy, m.tree.trouble, m.advised.trouble) + 1e-9
    for followed in (m.tree, m.advised):
        assert sum(node.loss for node in followed.nodes) == pytest.approx(followed.trouble - m.best, abs=1e-6)
    assert m.tree.trouble <= m.tree.to_its_end + 1e-9
    assert m.advised.trouble <= 1.2 * m.best


@pytest.mark.parametrize("name", NAMES)
def test_the_tree_tells_all_that_can_be_told(name: str) -> None:
    """Whoever answers everything on the way is left with one recommendation, as far as any look can tell."""
    one = _case(name)
    m = _measured(name)
    assert max(m.tree.unsettled, m.advised.unsettled) < 0.002
    assert unsettled(one.table, one.table.everything, 0b11) == 0
    orders = as_walked(load(), one)
    assert all(len(set(order)) == len(order) for order in orders)


@pytest.mark.parametrize("name", NAMES)
def test_the_table_decides_as_the_program_does(name: str) -> None:
    """Given all the answers of a row, the program recommends what the table says of that row, or asks for checks."""
    one = _case(name)
    alike = 0
    for row in random.Random(2).sample(range(len(one.rows)), 20):
        found = advise(load(), {**SOUND, **one.given, **one.rows[row]})
        if found.recommendation is not None:
            kept = tuple(p for p in found.recommendation.preparations if p != SAID_BY_THE_CHAIN)
            assert (found.recommendation.scheme, kept) in _plain(one, row)
            alike += 1
    assert alike >= 12


def _plain(one: Case, row: int) -> set[tuple[str, tuple[str, ...]]]:
    decided = one.table.classes[row]
    assert isinstance(decided, frozenset)
    return {(scheme, tuple(p for p in preparations if p != SAID_BY_THE_CHAIN)) for scheme, preparations in decided}


def test_the_optimum_is_found_again_from_any_of_its_looks() -> None:
    """Among the first looks one costs the optimum exactly, and none costs less."""
    one = _case(NAMES[0])
    best = Optimum(one.table)
    firsts = [best.asked_first(i) for i, parts in enumerate(one.table.parts) if len(parts) > 1]
    assert min(firsts) == pytest.approx(best.value())
