"""Is the fan held safely and high enough? Box marking, weight classes, blade height."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from switchleg.figures.fit import Fit, not_covered
from switchleg.schema.tables import Row, Table, Tables, tables_for
from switchleg.units.reading import Measure, show_number

METRIC = {
    "kg": "kg",
    "g": "kg",
    "lb": "lb",
    "oz": "lb",
    "m": "m",
    "cm": "m",
    "mm": "m",
    "ft": "ft",
    "in": "ft",
}
"""The printed column against which a measure in this unit is held."""


def box_carries_fan(
    marked: bool | None,
    weight: Measure | None,
    rating: Measure | None,
    region: str | None,
    tables: Tables,
    *,
    added: Measure | None = None,
) -> Fit:
    """Whether the box may carry the fan: marked for fans, and the weight (with `added` parts) in its class.

    None for an unknown mark or weight where it would decide; the sentence says what to look at.
    """
    table = tables_for(tables, "fan_support_", region) if region else None
    if table is None:
        return _by_mark_alone(weight, rating, added)
    sources = (table.source,)
    if marked is False:
        text = "The box is not marked for fans: a fan on a lamp's box can come down. Have it changed first."
        return Fit(False, text, table.edition, sources)
    must_say = table.find("weight_must_be_marked_above")
    unread = ("fan_box_rating",) if must_say and rating is None else ()
    unseen = () if marked else ("fan_box_marked",)
    if weight is None:
        text = "Look for the fan's weight on its label or carton" + (
            "." if marked else ", and inside the box for a mark for fan support."
        )
        return Fit(None, text, table.edition, sources, missing=("fan_weight", *unseen, *unread))
    whole, shown = _whole(weight, added)
    held = _too_heavy_for_any_box(table, whole)
    if held is not None:
        text = f"{shown} is too heavy to hang on a box ({held}): it must hang on the structure."
        return Fit(False, text, table.edition, sources)
    if rating is not None and whole.to("kg") > rating.to("kg"):
        return Fit(False, f"{shown} is more than the {rating} marked on the box.", table.edition, sources)
    heavy = must_say is not None and whole.amount > _limit(must_say, whole)
    if marked is None:
        text = "Look inside the box for a mark for fan support."
        return Fit(None, text, table.edition, sources, missing=(*unseen, *(unread if heavy else ())))
    if rating is None and must_say and heavy:
        limit = f"{show_number(_limit(must_say, whole))} {whole.unit}"
        text = f"{shown} is over {limit}: the box must have its greatest weight marked. Look inside it."
        return Fit(None, text, table.edition, sources, missing=unread)
    return Fit(True, f"The box is marked for fans and may carry {shown}.", table.edition, sources)


def _by_mark_alone(weight: Measure | None, rating: Measure | None, added: Measure | None) -> Fit:
    """Where no rule is known: too much for the box's own mark is too much anywhere; no more can be said.

    A mark that was read leaves the weight missing; the other way round nothing is, since there few boxes bear one.
    """
    if weight is not None and rating is not None:
        whole, shown = _whole(weight, added)
        if whole.to("kg") > rating.to("kg"):
            text = f"{shown} is more than the {rating} marked on the box."
            return Fit(False, text, "the mark on the box", ("maker_sheets",))
    found = not_covered("What a ceiling box may carry is not covered here: the fan's instructions decide.")
    return replace(found, missing=("fan_weight",)) if weight is None and rating is not None else found


def _whole(weight: Measure, added: Measure | None) -> tuple[Measure, str]:
    """Everything that hangs, in the printed unit (kg or lb) of the fan's own weight, and how to say it."""
    unit = METRIC[weight.unit]
    total = weight.to(unit) + (added.to(unit) if added else Fraction(0))
    whole = Measure(total, unit, "mass")
    return whole, f"{whole} with the added parts" if added else str(weight)


def _limit(row: Row, whole: Measure) -> Fraction:
    """The printed limit in the unit of the weight, converted only if that column is not printed."""
    printed = row.number(whole.unit)
    return printed if printed is not None else Measure(row.values["kg"], "kg", "mass").to(whole.unit)


def _too_heavy_for_any_box(table: Table, whole: Measure) -> str | None:
    above, at = table.find("never_on_the_box_above"), table.find("never_on_the_box_from")
    if above and whole.amount > _limit(above, whole):
        return f"over {show_number(_limit(above, whole))} {whole.unit}"
    if at and whole.amount >= _limit(at, whole):
        return f"{show_number(at.values['kg'])} kg or more"
    return None


def blades_high_enough(height: Measure, region: str | None, tables: Tables) -> Fit:
    """The blades' height above the floor against the listing instructions.

    Equal is enough (US: 7 ft), but not where the instructions say "more than" (IEC: 2.3 m).
    """
    table = tables["blade_height"]
    row = table.find(region) if region else None
    if row is None:
        return not_covered("No least height of the blades is known here; the fan's instructions decide.")
    column = METRIC[height.unit]
    if row.number(column) is None:
        column = "m"
    least = row.values[column]
    above = row.words.get("limit") == "more than"
    fits = height.to(column) > least if above else height.to(column) >= least
    limit = f"{'more than' if above else 'at least'} {show_number(least)} {column}"
    source = (table.source_of(row),)
    if fits:
        text = f"Blades {height} above the floor: {limit} is asked for. The fan's own sheet wins."
    else:
        text = f"Blades {height} above the floor are too low: {limit}, by the product's instructions."
    return Fit(fits, text, table.edition, source, doubtful=table.standing_of(row) == "doubtful")
