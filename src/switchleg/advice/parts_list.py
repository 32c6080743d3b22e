"""What to buy, as specifications that a package in a shop can be held against."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.model import SchemeVerdict
from switchleg.advice.words import number
from switchleg.tree.model import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

READS = frozenset({"fan_amps", "fan_watts_high", "place_rating_needed"})

SMALL_PARTS = (
    "Wire connectors listed for the sizes and numbers of wires that meet in each joint of the plan, "
    "and one for each capped end."
)
PLAIN_AC_FAN = "plain_ac_fan"
TESTER = "A two-pole tester or a low-impedance meter, and a known live source to prove it on."


def parts_to_buy(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict) -> Iterator[str]:
    """Control parts of the chosen way with what is known of the fan, then small parts."""
    controls = {c.id: c for c in knowledge.controls.control}
    counted = Counter(chosen.parts)
    stays = not {"radio_fan", PLAIN_AC_FAN} & set(counted) and "replace_fan_ac" not in chosen.preparations
    new_fan = "replace_fan_ac" in chosen.preparations
    if new_fan:
        yield f"One {controls[PLAIN_AC_FAN].title}: {controls[PLAIN_AC_FAN].specification}"
    for name, count in counted.items():
        text = controls[name].specification
        if text:
            rated = _this_fan(facts, label=stays and bool(controls[name].terminals))
            yield f"{number(count).capitalize()} {controls[name].title}: {text}{rated}"
    yield SMALL_PARTS
    if "battery_wall_button" in chosen.preparations and "wall_button" not in counted:
        yield f"One {controls['wall_button'].title}: {controls['wall_button'].specification}"
    yield TESTER


def _this_fan(facts: Mapping[str, Value], *, label: bool) -> str:
    """What is known of the fan and its place; the label counts only for the fan that stays."""
    amps = facts.get("fan_amps") if label else None
    place = facts.get("place_rating_needed")
    text = f" The fan's label says {amps}." if amps else ""
    if place in ("damp", "wet"):
        text += f" The place is {place}."
    return text
