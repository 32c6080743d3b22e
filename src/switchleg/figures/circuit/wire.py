"""Does the breaker protect the wire? And what a gauge measures (ASTM B258)."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Literal

from switchleg.figures.fit import Fit, not_covered
from switchleg.schema.tables import Tables, tables_for
from switchleg.units.reading import Measure, show_number

Metal = Literal["copper", "aluminum"]
FIXTURE_ONLY = "fixture leads only"
CONTROLS_MADE_FOR_A = 20
"""Controls and lights of a home are made for circuits up to this (scope of UL 1917: 15 to 20 A circuits)."""


def breaker_suits_wire(
    wire: Measure | None, breaker: Measure | None, metal: str | None, region: str | None, tables: Tables
) -> Fit:
    """Whether the breaker is small enough for the wire; an unknown metal is judged as copper and says so.

    `metal` is copper, aluminum or None. `fits` is None where the rule of the region is not in the tables.
    """
    table = tables_for(tables, "small_conductor_", region) if region else None
    if table is None:
        return not_covered("Breaker and wire are not compared here for this region: ask a licensed person.")
    looks = {"breaker": "the number on the breaker", "wire_size": "the size of the wire"}
    told = {"breaker": breaker, "wire_size": wire}
    missing = tuple(fact for fact, value in told.items() if value is None)
    unread = Fit(None, f"Read {' and '.join(looks[f] for f in missing)}.", table.edition, missing=missing)
    if wire is None:
        return unread
    row = table.find(str(wire))
    if row is None:
        return not_covered(f"{wire} is not in the table used here ({table.edition}): ask a licensed person.")
    source = (table.source_of(row),)
    if row.words.get("use") == FIXTURE_ONLY:
        return Fit(False, f"{wire} is for fixture leads, not for a circuit in the house.", table.edition, source)
    limit = row.number(metal or "copper")
    if limit is None:
        return not_covered(f"{metal} wire of {wire} is not covered by the table used here.")
    if breaker is None:
        return unread
    amps = breaker.to("A")
    shown = f"{show_number(amps)} A"
    guess = "" if metal else " if the wire is copper"
    if amps > limit:
        text = f"A {shown} breaker is too large for {wire} {metal or 'copper'}: {show_number(limit)} A at most."
        return Fit(False, text, table.edition, source)
    return Fit(True, f"A {shown} breaker suits {wire}{guess}.", table.edition, source, doubtful=metal is None)


def circuit_too_large(breaker: Measure, region: str | None) -> Fit | None:
    """A circuit of a kind that no control of a home is made for, in North America; None where nothing is amiss."""
    if region not in ("us", "ca") or breaker.to("A") <= CONTROLS_MADE_FOR_A:
        return None
    text = (
        f"A circuit of {breaker} is not one for a fan, lights and their controls: those are made for 15 A and 20 A. "
        "Ask a licensed electrician what it is."
    )
    return Fit(None, text, "scope of UL 1917: circuits of 15 A and 20 A", ("ul_1917",), doubtful=True)


def gauge_diameter_mm(gauge: int) -> float:
    """Diameter of a solid wire of that AWG number in mm: 0.005 in x 92^((36 - n)/39) (ASTM B258)."""
    return float(0.127 * 92 ** ((36 - gauge) / 39))


def gauge_area_mm2(gauge: int) -> float:
    """Cross-section of a solid wire of that AWG number in mm2."""
    return math.pi / 4 * gauge_diameter_mm(gauge) ** 2


def nearest_metric(gauge: int, tables: Tables) -> tuple[Fraction, Fraction] | None:
    """The metric sizes (mm2) next below and next above a gauge: neighbours, never equals, or None."""
    row = tables["wire_gauges"].find(f"{gauge} AWG")
    if row is None:
        return None
    return row.values["metric_below"], row.values["metric_above"]
