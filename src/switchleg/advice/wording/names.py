"""What boxes and parts are called on a card: by what a reader can see there."""

from __future__ import annotations

from collections.abc import Mapping

from switchleg.advice.plans.plan import Plan
from switchleg.advice.plans.present_circuit import GOES
from switchleg.advice.wording.phrases import part
from switchleg.diagnosis.houses.candidate import KEPT_SWITCH, Candidate
from switchleg.schema.parts import Control, plain_class
from switchleg.wiring.netlist import Wired
from switchleg.wiring.site import CEILING, SECOND_WALL, WALL, Site


def box_names(site: Site) -> dict[str, str]:
    """Boxes by what enters them: with two wall boxes, the feed and the cable to the fan tell them apart."""
    names = {CEILING: "the ceiling box", WALL: "the wall box"}
    if SECOND_WALL not in site.boxes:
        return names
    both = all(any(CEILING in c.ends and box in c.ends for c in site.cables) for box in (WALL, SECOND_WALL))
    if both and site.feed_box == CEILING:
        names |= {WALL: "the first wall box", SECOND_WALL: "the second wall box"}
    elif site.feed_box in (WALL, SECOND_WALL):
        other = SECOND_WALL if site.feed_box == WALL else WALL
        names |= {site.feed_box: "the wall box with the feed", other: "the other wall box"}
    else:
        names |= {WALL: "the wall box with the fan's cable", SECOND_WALL: "the other wall box"}
    return names


def present_names(house: Candidate, today: Wired) -> dict[str, str]:
    """Today's parts: each switch by what it works, where there is more than one."""
    names = {"beside": "the other loop's switch"}
    for number, control in enumerate(house.active, 1):
        works = {"both": "fan and light's", "nothing": "the idle"}.get(control.works, f"the {control.works}'s")
        name = "the present switch" if len(house.active) == 1 else f"{works} present switch"
        for id_ in (f"{KEPT_SWITCH}{number}", *(f"{KEPT_SWITCH}{number}_{n}" for n in (1, 2))):
            names[id_] = name
        names[f"tie_{number}"] = "the tie between the two legs"
    loads = {"fan_motor": "the fan motor", "fan_receiver": "the receiver", "fan_driver": "the driver"}
    for placed in today.parts:
        if placed.id in ("fan", GOES):
            names[placed.id] = loads[plain_class(placed.control)]
        elif placed.id == "light":
            names[placed.id] = "the light"
    return names


def plan_names(plan: Plan, controls: Mapping[str, Control]) -> dict[str, str]:
    """The plan's parts: switches that stay keep their name, new ones have their class's."""
    kept = present_names(plan.house, plan.house.wired)
    return {p.id: kept.get(p.id) or part(p.id, controls) for p in plan.wired.parts if p.id not in ("fan", "light")}
