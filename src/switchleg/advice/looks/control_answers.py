"""What trying the wall's controls would show in one case: each control by itself, in no known order."""

from __future__ import annotations

from collections.abc import Hashable, Mapping

from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.houses.controls import DOES, KINDS
from switchleg.schema.questions import Value


def control_shares(house: Candidate, facts: Mapping[str, Value], fact: str) -> Mapping[Hashable, float]:
    """How likely each answer is. A control that the circuit does not need does nothing; which is which is even."""
    works: list[str] = [a.works for a in house.active for _ in a.boxes]
    if fact == "wall_controls":
        return {len(works): 1.0}
    sending = [facts.get(kind) == "remote" for kind in KINDS]
    told = [str(facts[other]) for other, sends in zip(DOES, sending, strict=True) if other in facts and not sends]
    for one in told:
        if one in works:
            works.remove(one)
    counted = facts.get("wall_controls")
    idle = counted - len(told) - sum(sending) - len(works) if isinstance(counted, int) else 0
    slots = [*works, *["nothing"] * idle] or ["nothing"]
    return {one: slots.count(one) / len(slots) for one in slots}


def no_such_control(facts: Mapping[str, Value], fact: str) -> bool:
    """Whether a question speaks of a control that is not there, or of a second one while nobody has counted two.

    What a transmitter works tells nothing of the wires.
    """
    counted, boxes = facts.get("wall_controls"), facts.get("wall_boxes")
    if any(fact == does and facts.get(kind) == "remote" for does, kind in zip(DOES, KINDS, strict=True)):
        return True
    if boxes == 0:
        return fact.startswith("control_") or fact == "wall_controls"
    if fact.startswith("control_2_"):
        return not isinstance(counted, int) or counted < 2
    return fact.startswith("control_1_") and counted == 0
