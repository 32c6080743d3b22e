"""Near water: the zone over a bathtub or shower in which no fan, or no metal of it, may hang."""

from __future__ import annotations

from typing import Literal

from switchleg.figures.fan.support import METRIC
from switchleg.figures.fit import Fit, not_covered
from switchleg.schema.tables import Row, Tables, tables_for
from switchleg.units.display import both_ways
from switchleg.units.reading import Measure, show_number

ZoneEdition = Literal["2020", "2023"]
"""NFPA 70: "2020" stands for 2020 and earlier; from 2023 a fan without a light is looked at by its metal parts."""


def bath_zone(
    across: Measure | None,
    up: Measure | None,
    region: str | None,
    tables: Tables,
    *,
    near: bool | None = True,
    light: bool | None = None,
    edition: ZoneEdition = "2020",
) -> Fit:
    """Whether the nearest part of the fan (a blade tip counts) lies outside the zone.

    `near`: whether there is a tub or shower at all. `across`: level distance from the rim or threshold, zero right
    above the tub; `up`: height of the lowest part above it. A part on the very edge counts as inside. One distance
    beyond its limit is enough to be outside.
    """
    table = tables_for(tables, "bath_zone_", region) if region else None
    if table is None:
        return not_covered("The zones around a bath are not covered here for this region: ask a licensed person.")
    if near is False:
        return Fit(True, "No bathtub and no shower in the room.", table.edition, (table.source,))
    if near is None:
        text = "Look whether there is a bathtub or a shower in the room."
        return Fit(None, text, table.edition, (table.source,), missing=("bath_near",))
    wide, high = table.named("across"), table.named("up")
    sources = (table.source, "nec_410_10", "nec_422_18")
    given = ((across, "across"), (up, "up"))
    where = " and ".join(f"{both_ways(distance)} {way}" for distance, way in given if distance is not None)
    units = {METRIC[distance.unit] for distance, _ in given if distance is not None} or {"ft"}
    zone = " or ".join(
        f"{show_number(wide.values[unit])} {unit} across and {show_number(high.values[unit])} {unit} up"
        for unit in sorted(units)
    )
    if (across and _beyond(across, wide)) or (up and _beyond(up, high)):
        text = f"{where}: outside the zone of {zone}. The place is damp all the same: fan and parts listed for it."
        return Fit(True, text, table.edition, sources)
    if across is None or up is None:
        open_ways = " and ".join(f"how far {way}" for distance, way in given if distance is None)
        known = f"{where}: " if where else ""
        text = f"{known}measure {open_ways} from its rim; the zone is {zone}."
        missing = tuple(f"bath_{way}" for distance, way in given if distance is None)
        return Fit(None, text, table.edition, sources, missing=missing)
    if edition == "2023" and light is False:
        text = f"{where}: inside the zone of {zone}. By the 2023 edition no metal part of a fan without a light may be."
        return Fit(None, text, table.edition, sources)
    text = f"{where}: inside the zone of {zone}. No part of the fan may be there."
    if edition == "2023" and light is None:
        text += " (2023: of a fan without a light, no metal part.)"
    return Fit(False, text, table.edition, sources)


def _beyond(distance: Measure, row: Row) -> bool:
    """Whether a distance is more than the printed limit of its own half of the world."""
    unit = METRIC[distance.unit]
    return distance.to(unit) > row.values[unit]
