"""Which facts the engine reads by name, as its own modules declare them."""

from __future__ import annotations

import functools
import importlib
import pkgutil
from collections.abc import Iterator

PACKAGES = ("advice", "diagnosis", "figures", "wiring")
"""Where the reasoning lives. A module there that looks a fact up by name lists it in `READS`; one that
works out a number from facts lists the number's name in `DERIVES`."""


def facts_read() -> dict[str, str]:
    """Every fact that a module reads by name -> a module that does."""
    return dict(readings())


@functools.cache
def readings() -> tuple[tuple[str, str], ...]:
    """Every fact with every module that reads it by name."""
    return tuple(_listed("READS"))


def names_derived() -> frozenset[str]:
    """Names of numbers that are worked out from facts, and may stand in a clue like a fact."""
    return frozenset(name for name, _ in _listed("DERIVES"))


def _listed(attribute: str) -> Iterator[tuple[str, str]]:
    for package in PACKAGES:
        home = importlib.import_module(f"switchleg.{package}")
        for info in sorted(pkgutil.iter_modules(home.__path__), key=lambda each: each.name):
            path = f"switchleg.{package}.{info.name}"
            listed: frozenset[str] = getattr(importlib.import_module(path), attribute, frozenset())
            yield from ((name, path) for name in sorted(listed))
