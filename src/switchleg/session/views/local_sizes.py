"""Which of a measure's quick answers are offered in a region: those in its own units and of its usual breakers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from switchleg.session.views.build import SPARE_KEYS
from switchleg.session.views.model import Choice

if TYPE_CHECKING:
    from switchleg.schema.regions import Region

KINDRED = (("ft", "in", "ft2"), ("m", "cm", "mm", "m2"), ("in3",), ("cm3", "mL", "L"), ("lb", "oz"), ("kg", "g"))
"""Units that are used together."""


def offered(choices: tuple[Choice, ...], region: Region) -> tuple[Choice, ...]:
    """The quick answers people there expect, with keys anew; all of them where none is local. Any other is typed.

    An answer with a label of its own ("right above it") is at home everywhere.
    """
    sizes = {choice.value for choice in choices if isinstance(choice.value, str) and choice.value == choice.label}
    there = {size for size in sizes if size.rpartition(" ")[2] in _units(region)}
    local = there | (sizes & set(region.usual_breakers))
    if not local or local == sizes:
        return choices
    keys = iter(SPARE_KEYS)
    kept = (choice for choice in choices if choice.value not in sizes - local)
    return tuple(choice if choice.typed else replace(choice, key=next(keys)) for choice in kept)


def _units(region: Region) -> set[str]:
    own = {region.length_unit, region.volume_unit, region.weight_unit}
    found = {size.rpartition(" ")[2] for size in region.wire_sizes}
    return found.union(*(kindred for kindred in KINDRED if own & set(kindred)))
