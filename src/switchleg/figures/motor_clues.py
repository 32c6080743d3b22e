"""Figures that hint at the motor: airflow per watt and power factor. Numbers only; what they mean is data.

The family says which clues are correlated: of one family only the strongest counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from switchleg.figures.unit_names import Dimension
from switchleg.figures.units import parse_measure
from switchleg.tree.model import Value

READS: frozenset[str] = frozenset({"fan_watts_high", "fan_amps", "fan_airflow_high"})

DERIVES: frozenset[str] = frozenset({"watts_high", "airflow_per_watt", "power_factor"})
"""Names of the numbers, by which clues may speak of them."""

POWER_FAMILY = "power"
DIMENSIONS: dict[str, Dimension] = {"W": "power", "cfm": "airflow", "A": "current"}


@dataclass(frozen=True)
class DerivedNumber:
    """A number worked out from label figures: its id, family, exact value, unit and the facts it rests on."""

    id: str
    family: str
    value: Fraction
    unit: str
    facts: tuple[str, ...]


def derived_numbers(facts: Mapping[str, Value], voltage_v: int | None) -> tuple[DerivedNumber, ...]:
    """Every figure that the known facts allow, all at high speed.

    `watts_high` (W), `airflow_per_watt` (cfm/W), and with the supply voltage `power_factor` (share, 0 up;
    a value over 1 means that the label rounds or that two figures do not belong together).
    """
    watts = _measure(facts, "fan_watts_high", "W")
    airflow = _measure(facts, "fan_airflow_high", "cfm")
    current = _measure(facts, "fan_amps", "A")
    found: list[DerivedNumber] = []
    if watts is None:
        return ()
    found.append(DerivedNumber("watts_high", POWER_FAMILY, watts, "W", ("fan_watts_high",)))
    if airflow is not None:
        names = ("fan_airflow_high", "fan_watts_high")
        found.append(DerivedNumber("airflow_per_watt", POWER_FAMILY, airflow / watts, "cfm/W", names))
    if current is not None and voltage_v:
        factor = watts / (current * voltage_v)
        found.append(DerivedNumber("power_factor", POWER_FAMILY, factor, "share", ("fan_watts_high", "fan_amps")))
    return tuple(found)


def _measure(facts: Mapping[str, Value], name: str, unit: str) -> Fraction | None:
    text = facts.get(name)
    if not isinstance(text, str):
        return None
    return parse_measure(text, DIMENSIONS[unit], name).to(unit)
