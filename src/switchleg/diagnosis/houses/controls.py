"""What the wall's controls are said to do, held against the plain controls of a candidate wiring."""

from __future__ import annotations

from collections.abc import Mapping

from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.houses.predictions import HOUSE_LOOKS
from switchleg.schema.questions import Value

DOES = ("control_1_does", "control_2_does")
KINDS = ("control_1_kind", "control_2_kind")
CONTROL_LOOKS = ("wall_controls", *DOES)
"""Looks at the controls, which are held against a wiring together."""
ELECTRONICS = frozenset({"handheld_remote", "receiver"})
"""Facts that say whether anything in the fan could hear a transmitter on the wall."""

UNTOLD = "untold"
"""Stands for the kind of a control that somebody looked at and could not tell."""

MANY = 99
"""Controls there may be while nobody has counted them."""


def controls_disagree(house: Candidate, facts: Mapping[str, Value]) -> set[str]:
    """The facts about controls that this wiring could not have shown.

    Every plain control of the wiring is one that was counted. The others send to the fan, or do nothing. One
    whose kind nobody could tell, or that was not asked about, may be of any sort.
    """
    if not house.site.wall_boxes:
        return at_no_wall(facts)
    left = [a.works for a in house.active for _ in a.boxes]
    counted = facts.get("wall_controls")
    free = counted if isinstance(counted, int) else MANY
    free -= sum(facts.get(kind) == "remote" for kind in KINDS)
    wrong: set[str] = set()
    if free < len(left):
        wrong.add("wall_controls")
    told = [
        (fact, kind) for fact, kind in zip(DOES, KINDS, strict=True) if fact in facts and facts.get(kind) != "remote"
    ]
    for fact, kind in sorted(told, key=lambda pair: facts.get(pair[1]) == UNTOLD):
        said = "fan" if facts[fact] == "both" and not house.has_light else str(facts[fact])
        free -= 1
        if said in left:
            left.remove(said)
        elif (
            free < len(left)
            or (said != "nothing" and not _may_send(kind, facts))
            or (said == "light" and not house.has_light)
        ):
            wrong.add(fact)
    if free < len(left) and told and not wrong:
        wrong |= {fact for fact, _ in told}
    return wrong


AT_A_WALL = ("wall_controls", *(fact for fact, look in HOUSE_LOOKS.items() if look.at_wall))


def at_no_wall(facts: Mapping[str, Value]) -> set[str]:
    """Finds that can only have been made at a wall box or control, where there is none."""
    found = {fact for fact in AT_A_WALL if facts.get(fact)}  # a yes, or a count
    for fact, kind in zip(DOES, KINDS, strict=True):
        if facts.get(kind) != "remote" and facts.get(fact) in ("fan", "light", "both"):
            found.add(fact)
    return found


def _may_send(kind: str, facts: Mapping[str, Value]) -> bool:
    """Whether a control of untold kind may be a wall-mounted transmitter."""
    return facts.get(kind) == UNTOLD and not all(facts.get(fact) is False for fact in ELECTRONICS)
