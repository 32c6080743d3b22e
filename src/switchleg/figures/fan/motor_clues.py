"""Figures that hint at the motor: airflow per watt and power factor. Numbers only; what they mean is data.

The family says which clues are correlated: of one family only the strongest counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from switchleg.schema.questions import Value
from switchleg.units.names import Dimension
from switchleg.units.reading import parse_measure

RESTS_ON: Mapping[str, tuple[str, ...]] = {
    "watts_high": ("fan_watts_high",),
    "airflow_per_watt": ("fan_airflow_high", "fan_watts_high"),
    "power_factor": ("fan_watts_high", "fan_amps"),
}
"""The numbers by the names under which clues may speak of them, each with the facts that it is worked out from."""

ON_THE_LABEL = frozenset(fact for facts in RESTS_ON.values() for fact in facts)

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
    found.append(_number("watts_high", watts, "W"))
    if airflow is not None:
        found.append(_number("airflow_per_watt", airflow / watts, "cfm/W"))
    if current is not None and voltage_v:
        found.append(_number("power_factor", watts / (current * voltage_v), "share"))
    return tuple(found)


def _number(name: str, value: Fraction, unit: str) -> DerivedNumber:
    return DerivedNumber(name, POWER_FAMILY, value, unit, RESTS_ON[name])


def _measure(facts: Mapping[str, Value], name: str, unit: str) -> Fraction | None:
    text = facts.get(name)
    if not isinstance(text, str):
        return None
    return parse_measure(text, DIMENSIONS[unit], name).to(unit)
