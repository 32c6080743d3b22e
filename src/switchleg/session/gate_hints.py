"""What a safety gate says of itself beside its checks: that it may wait, and which station is better opened first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from switchleg.schema.questions import Door, Fork, Reply, Station
from switchleg.session.remaining import Way
from switchleg.tree.graph import Tree, doors_behind
from switchleg.tree.walk import way_of

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

PLACE: dict[Station, str] = {"floor": "the room", "wall": "the wall plate", "canopy": "the canopy"}
SETTLED = (
    "What to do is settled by your answers. Here you only look for what could stop the work, and for what its parts "
    "and joints need. Not now is fine: look before the work begins."
)
CANOPY_FIRST = (
    "Not now is fine here. Looking in the canopy first is likely less trouble: it may decide what to do. "
    "You come back here if this box is still needed."
)
WALL_FIRST = (
    "Not now is fine here. Taking the wall plate off first is likely less trouble, and it needs no ladder. "
    "You come back here if the canopy is still needed."
)


@dataclass(frozen=True)
class DoorHint:
    """`text`: "" when there is nothing to say. `first`: the other station, when it is better opened first."""

    text: str = ""
    first: Station | None = None


def other_station(tree: Tree, way: Way, replies: Mapping[str, Reply], door: Door) -> Door | None:
    """The gate of another station that is shut and may be opened before this one."""
    put_off = [*way.walk.later, *way.walk.after]
    onward = door.later
    while isinstance(fork := tree.nodes.get(onward), Fork):
        onward = way_of(fork, way.facts)  # a canopy that may not be opened is no other way
    behind = [at for at in doors_behind(tree, onward) if at not in replies or replies[at].kind == "later"]
    for at in (*put_off, *sorted(behind)):
        other = tree.nodes.get(at)
        needed = way.needed is None or (isinstance(other, Door) and other.opens not in way.needed.shut)
        if isinstance(other, Door) and other.opens != door.opens and needed and at not in way.walk.passed:
            return other
    return None


def hint(knowledge: Knowledge, way: Way, other: Door | None, opened: frozenset[Station]) -> DoorHint:
    """What to say at a gate; `other` as from `other_station`. Weighs the two orders, which takes a moment."""
    if way.needed is None or way.needed.ended:
        return DoorHint()
    if way.needed.settled:
        return DoorHint(SETTLED)
    if other is None:
        return DoorHint()
    from switchleg.advice.looks.station_order import first_station

    first = first_station(knowledge, way.facts, way.untold, opened)
    if first != other.opens:
        return DoorHint()
    return DoorHint(CANOPY_FIRST if first == "canopy" else WALL_FIRST, first)
