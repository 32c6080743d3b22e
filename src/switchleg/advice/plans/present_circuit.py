"""Today's circuit as it really is: the fan's own kind of load in place of the candidate's plain motor and lamp."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from switchleg.diagnosis.fans import Fan
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.wiring.netlist import End, Terminal, Wired, join

GOES = "fan_today"
"""The id of today's fan load where the plan puts another one in its place."""

Leaves = Literal["nothing", "receiver", "fan"]


def wired_today(house: Candidate, fan: Fan, leaves: Leaves = "nothing") -> Wired:
    """The house's wiring with this fan: a receiver or driver where it has one, no lead for a light fed by it.

    What leaves is called GOES: a whole fan, or a receiver, whose fan keeps its ground leads.
    """
    name = "fan" if leaves == "nothing" else GOES
    own_lead = fan.light == "own_lead"
    loads = {"fan": (fan.load, name), "light": (fan.light_load, "light")}
    parts = tuple(
        replace(part, control=loads[part.id][0], id=loads[part.id][1]) if part.id in loads else part
        for part in house.wired.parts
        if part.id != "light" or own_lead
    )
    joints = join(house.site, parts, house.wired.conductors)
    if leaves == "receiver":
        joints = tuple(replace(j, ends=tuple(_fan_ground(end) for end in j.ends)) for j in joints)
    return replace(house.wired, parts=parts, joints=joints)


def _fan_ground(end: End) -> End:
    return Terminal("fan", "ground") if end == Terminal(GOES, "ground") else end
