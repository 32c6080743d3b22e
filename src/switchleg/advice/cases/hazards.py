"""What is dangerous as it is today: a wall control that shapes the power ahead of what it harms in the fan. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from switchleg.diagnosis.fans import Fan
from switchleg.schema.questions import Value
from switchleg.schema.schemes import Hazard

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

CONTROLS = (("control_1_kind", "control_1_does"), ("control_2_kind", "control_2_does"))
TELLING = ("receiver", "motor_label")
"""What is still asked where nobody has ruled out that the fan has what the control harms."""
ASKED_FOR = frozenset(fact for control in CONTROLS for fact in control) | {*TELLING}
"""What `open_facts` asks for where a hazard hangs on it, and only there."""


def hazards(knowledge: Knowledge, facts: Mapping[str, Value], fans: Collection[Fan]) -> tuple[str, ...]:
    """Sentences for the head of every card, one for a kind of control. `fans`: those that the answers allow; where
    none is left, every kind may hang there. What only may be so is told as such.
    """
    return tuple(text for kind in _kinds(knowledge) if (text := _text(knowledge, facts, fans, kind)))


def open_facts(knowledge: Knowledge, facts: Mapping[str, Value], fans: Collection[Fan]) -> Iterator[str]:
    """Facts that nobody told and on which a hazard hangs."""
    for kind in _kinds(knowledge):
        for control, does in CONTROLS:
            if facts.get(control) != kind or not _reaches(facts, does):
                continue
            rows, met = _rows(knowledge, kind), _meets(knowledge, fans)
            if does not in facts:
                yield does
            if met & _harmed(rows) and not any(met <= set(row.ahead_of) for row in rows):
                yield from (fact for fact in TELLING if fact not in facts)


def _text(knowledge: Knowledge, facts: Mapping[str, Value], fans: Collection[Fan], kind: str) -> str:
    reached = [does in facts for control, does in CONTROLS if facts.get(control) == kind and _reaches(facts, does)]
    rows, met = _rows(knowledge, kind), _meets(knowledge, fans)
    harmed = met & _harmed(rows)
    if not reached or not harmed:
        return ""
    row = min((row for row in rows if harmed <= set(row.ahead_of)), key=lambda row: len(row.ahead_of))
    return row.text if any(reached) and harmed == met else row.perhaps


def _reaches(facts: Mapping[str, Value], does: str) -> bool:
    """Whether a control works the fan, or may, for all that was said."""
    return facts.get(does) in (None, "fan", "both")


def _meets(knowledge: Knowledge, fans: Collection[Fan]) -> set[str]:
    """What the fan's supply meets first, over the fans that may hang there."""
    loads = {load.id: str(load.kind) for load in knowledge.wiring.load}
    return {loads[fan.load] for fan in fans} or _harmed(knowledge.rules.hazard)


def _rows(knowledge: Knowledge, kind: str) -> Sequence[Hazard]:
    return [row for row in knowledge.rules.hazard if row.control == kind]


def _harmed(rows: Sequence[Hazard]) -> set[str]:
    return {str(what) for row in rows for what in row.ahead_of}


def _kinds(knowledge: Knowledge) -> list[str]:
    return list(dict.fromkeys(row.control for row in knowledge.rules.hazard))
