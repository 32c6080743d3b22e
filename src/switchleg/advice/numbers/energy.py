"""What the fan in hand and the added parts draw in a year, as calculations. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from switchleg.advice.numbers.safety import measure
from switchleg.figures.fan.energy import added_standby, label_price, yearly_cost
from switchleg.figures.sheet import Sheet
from switchleg.schema.questions import Value
from switchleg.schema.tables import tables_for
from switchleg.units.display import rounded

if TYPE_CHECKING:
    from switchleg.advice.model import SchemeVerdict
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region

OWN = "With your own watts, hours and price: switchleg figures yearly-cost."


def energy_sheets(
    knowledge: Knowledge, facts: Mapping[str, Value], region: Region, chosen: SchemeVerdict | None
) -> Iterator[Sheet]:
    """The year by the label's rule where it holds, and what is drawn all day by what is added."""
    high = measure(facts, "fan_watts_high", "power")
    if high is not None:
        if tables_for(knowledge.tables, "energy_label_", region.id) is None:
            text = f"What the fan costs in a year: no label rule is covered here. {OWN}"
            yield Sheet("yearly-cost", "The fan in a year", verdict=text, covered=False)
        else:
            sheet = yearly_cost(high, None, None, knowledge.tables)
            kwh = next(one.amount for one in sheet.numbers if one.unit == "kWh/year")
            cost = label_price(knowledge.tables).cost(kwh)
            text = f"The fan in a year by the label's hours and price: {rounded(kwh)} kWh and {cost} at most. {OWN}"
            yield replace(sheet, verdict=text)
    if chosen is not None and adds_standby(knowledge, chosen):
        table = knowledge.tables["added_standby"]
        yield Sheet(
            "added-standby",
            "Added standby",
            verdict="What is added draws all day, by its kind: " + "; ".join(added_standby(knowledge.tables)) + ".",
            editions=(table.edition,),
            sources=(table.source,),
        )


def adds_standby(knowledge: Knowledge, chosen: SchemeVerdict) -> bool:
    """Whether the chosen parts listen all day on the mains."""
    parts = [c for c in knowledge.controls.control if c.id in chosen.parts]
    return any(c.supply or c.lives_on_load or "radio" in c.id for c in parts)
