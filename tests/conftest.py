"""How the tests are shared out."""

from __future__ import annotations

import os


def pytest_xdist_auto_num_workers() -> int:
    """One worker more than there are cores: many tests wait for a terminal or a screen."""
    try:
        cores = len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        cores = os.cpu_count() or 1
    return cores + 1
