"""No set of permissions, wishes and region makes the advice, or anything that is made of it, fall over."""

from __future__ import annotations

import os
from itertools import islice

import pytest
from turned_over import Facts, every, render, some

COUNT = int(os.environ.get("TURNED_OVER", "28"))
"""How many cases; 0: all of them. TURNED_OVER_PART "2/20" takes the second twentieth of all."""
PART, PARTS = map(int, os.environ.get("TURNED_OVER_PART", "1/1").split("/"))
CASES = list(some(COUNT) if COUNT else islice(every(), PART - 1, None, PARTS))


@pytest.mark.parametrize(("name", "facts"), CASES, ids=[name for name, _ in CASES])
def test_nothing_falls_over(name: str, facts: Facts) -> None:
    """Advice, JSON, card, paper, numbers, parts and drawings of every scheme that fits; of some the comparison."""
    render(facts, compared=sum(name.encode()) % 16 == 0)
