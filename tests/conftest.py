"""How the tests are shared out."""

from __future__ import annotations

import os
from typing import Any

import pytest
from xdist.scheduler import LoadScopeScheduling

TOGETHER = ("test_simulation", "test_optimum_tree", "test_circuit_mutants", "test_bad_schemes")
"""Files whose tests share what is costly to work out: one worker runs each of them."""


class _Together(LoadScopeScheduling):
    """Every test goes to the worker that is free; the files above go as a whole."""

    def _split_scope(self, nodeid: str) -> str:
        file = nodeid.partition("::")[0]
        return file if file.endswith(tuple(f"{name}.py" for name in TOGETHER)) else nodeid


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: Any, log: Any) -> _Together:
    """Shares the tests out."""
    return _Together(config, log)


def pytest_xdist_auto_num_workers() -> int:
    """One worker more than there are cores: many tests wait for a terminal or a screen."""
    try:
        cores = len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        cores = os.cpu_count() or 1
    return cores + 1
