"""Words of the command line as measures and regions, for every calculation."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING

from switchleg.errors import SwitchlegError

if TYPE_CHECKING:
    from argparse import Namespace

    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region
    from switchleg.units.reading import Measure, Quantity


def measure(args: Namespace, name: str, dimension: Quantity, *, zero: bool = False) -> Measure | None:
    from switchleg.units.reading import parse_measure

    text = getattr(args, name.replace("-", "_"))
    return None if text is None else parse_measure(text, dimension, f"--{name}", zero=zero)


def sure(args: Namespace, name: str, dimension: Quantity) -> Measure:
    """A measure that the parser required."""
    found = measure(args, name, dimension)
    assert found is not None
    return found


def region_of(args: Namespace, knowledge: Knowledge) -> Region | None:
    if args.region is None:
        return None
    region = knowledge.regions.get(args.region.strip().lower())
    if region is None:
        near = difflib.get_close_matches(args.region.lower(), knowledge.regions, n=1, cutoff=0.3)
        raise SwitchlegError(
            f"{args.region!r} is no region known here",
            where="--region",
            expected="one of " + ", ".join(knowledge.regions),
            mend=f"did you mean {near[0]}?" if near else "pick the one whose wiring rules hold",
        )
    return region


def required_region(args: Namespace, knowledge: Knowledge) -> Region:
    found = region_of(args, knowledge)
    assert found is not None
    return found
