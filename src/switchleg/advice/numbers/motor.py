"""What label figures hint of the motor: the number, the way it leans, and the family that it shares."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from switchleg.diagnosis.clue_weights import matches
from switchleg.figures.fan.motor_clues import POWER_FAMILY, DerivedNumber, derived_numbers
from switchleg.figures.sheet import Number, Sheet, distinct
from switchleg.schema.questions import Value
from switchleg.units.display import rounded

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.clues import Clue

NAMES = {
    "watts_high": "Watts at high speed",
    "airflow_per_watt": "Airflow per watt at high speed",
    "power_factor": "Power factor at high speed",
}
ONE_FAMILY = "They are of one family, the power figures: only the strongest of them counts, and none settles the motor."


def motor_hints(knowledge: Knowledge, facts: Mapping[str, Value], volts: int | None) -> Iterator[str]:
    """A sentence for each figure that the facts allow; then, if there are several, that they are of one family."""
    numbers = derived_numbers(facts, volts)
    for number in numbers:
        yield f"{NAMES[number.id]}: {_shown(number)}. {_lean(_clue(knowledge, number))}"
    if len(numbers) > 1:
        yield ONE_FAMILY


def motor_sheet(knowledge: Knowledge, facts: Mapping[str, Value], volts: int | None) -> Sheet:
    """The same as a calculation. `facts` hold fan_watts_high, fan_airflow_high and fan_amps as far as known."""
    numbers = derived_numbers(facts, volts)
    clues = [clue for number in numbers if (clue := _clue(knowledge, number))]
    return Sheet(
        "motor-clues",
        "What the label hints of the motor",
        tuple((name.replace("_", " "), str(value)) for name, value in facts.items()),
        tuple(motor_hints(knowledge, facts, volts)),
        _verdict(clues) if numbers else "Nothing to work out: give the watts at high speed.",
        numbers=tuple(Number(number.id, number.value, number.unit) for number in numbers),
        sources=distinct(source for clue in clues for source in clue.sources),
        doubts=("Hints only: the label's own word, or the leads between receiver and motor, settle the motor.",),
    )


def _shown(number: DerivedNumber) -> str:
    unit = "" if number.unit == "share" else f" {number.unit}"
    return f"{rounded(Fraction(number.value))}{unit}"


def _clue(knowledge: Knowledge, number: DerivedNumber) -> Clue | None:
    figures = {number.id: float(number.value)}
    return next((c for c in knowledge.clues.motor if c.family == POWER_FAMILY and matches(c, {}, figures)), None)


def _lean(clue: Clue | None) -> str:
    if clue is None:
        return "It leans neither way."
    ac, dc = (round(100 * clue.p[kind]) for kind in ("ac", "dc"))
    return f"It leans to {'AC' if ac > dc else 'DC'}: so in about {ac} % of AC fans and {dc} % of DC fans (estimate)."


def _verdict(clues: list[Clue]) -> str:
    kinds = {"AC" if clue.p["ac"] > clue.p["dc"] else "DC" for clue in clues}
    if len(kinds) == 1:
        return f"Leans to {kinds.pop()}; it settles nothing."
    return "The figures disagree: read the label again." if kinds else "Leans neither way."
