"""A finished calculation: what was given, the sum line by line, the verdict, the edition and the sources."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from switchleg.figures.fit import Fit
from switchleg.units.display import both_ways
from switchleg.units.reading import Measure


@dataclass(frozen=True)
class Number:
    """A result: exact, with its unit (of units.reading, "count", "share" or a compound such as "kWh/year")."""

    id: str
    amount: Fraction
    unit: str


@dataclass(frozen=True)
class Sheet:
    """A sum as it is shown. `fits` None: nothing to judge, or it cannot be told; the verdict says which.

    `covered` False: no rule is known here for this region, and there is no number of another one.
    `ways` say what would make it fit; `doubts` what the sum rests on without being sure.
    """

    id: str
    title: str
    given: tuple[tuple[str, str], ...] = ()
    lines: tuple[str, ...] = ()
    verdict: str = ""
    fits: bool | None = None
    ways: tuple[str, ...] = ()
    numbers: tuple[Number, ...] = ()
    editions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    covered: bool = True


def shown_given(given: Iterable[tuple[str, Measure | str | None]]) -> tuple[tuple[str, str], ...]:
    """What was given, each measure both ways; what is None was not given."""
    return tuple(
        (name, both_ways(value) if isinstance(value, Measure) else value) for name, value in given if value is not None
    )


def distinct(items: Iterable[str]) -> tuple[str, ...]:
    """Each once, in their order, without empty ones."""
    return tuple(dict.fromkeys(item for item in items if item))


GUESSED = "A figure here is from memory, an estimate or a habit of the trade: check it."


def fit_sheet(
    name: str,
    title: str,
    fit: Fit,
    given: tuple[tuple[str, str], ...] = (),
    *,
    ways: tuple[str, ...] = (),
    numbers: tuple[Number, ...] = (),
) -> Sheet:
    """One judgement as a calculation: its sentence is the verdict."""
    return Sheet(
        name,
        title,
        given,
        (),
        fit.text,
        fit.fits,
        ways,
        numbers,
        distinct((fit.rule,)),
        distinct(fit.sources),
        (GUESSED,) if fit.doubtful else (),
        fit.covered,
    )


def verdict_of(fits: Iterable[Fit]) -> bool | None:
    """False if anything does not fit, None if anything cannot be told, else True; None of nothing."""
    found = [fit.fits for fit in fits if fit.covered]
    if False in found:
        return False
    return True if found and None not in found else None
