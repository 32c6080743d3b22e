"""What each look would show on a candidate wiring, read off its circuit: the one registry of such looks.

What a look shows is the set of answers that the wiring allows: one where looking leaves no doubt, more where the same
wiring can look two ways (a neutral brought down a loop and capped looks like a spare at the wall).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.houses.tester import always_live, hot_at_ceiling
from switchleg.schema.questions import Station, Value
from switchleg.wiring.bench import Bench
from switchleg.wiring.netlist import ConductorEnd, Terminal
from switchleg.wiring.site import CEILING, GROUND, HOT, IDLE, NEUTRAL, Cable

MANY = 4
"""How many further cables an onward feed may stand for: nobody's box here holds more."""


def _wall_places(house: Candidate) -> frozenset[Value]:
    return frozenset({len(house.site.wall_boxes)})


def _stopped_from_wall(house: Candidate) -> frozenset[Value]:
    return frozenset({any(a.works != "nothing" for a in house.active)})


def _feed_goes_on(house: Candidate) -> frozenset[Value]:
    goes_on = any(s.id.startswith("onward") and s.box == CEILING for s in house.site.stubs)
    return frozenset({True} if goes_on else ())


def _two_places_work(house: Candidate) -> frozenset[Value]:
    if len(house.site.wall_boxes) < 2:
        return frozenset()
    return frozenset({"same" if any(len(a.boxes) > 1 for a in house.active) else "different"})


def _run_counted(house: Candidate) -> frozenset[Value]:
    """In one of two boxes the cable on to the other is easily taken for the fan's, or known not to be it."""
    counts = {c.conductors for c in house.site.cables if {house.opened, CEILING} & {*c.ends}}
    here = [c for c in house.site.cables if house.opened in c.ends]
    return frozenset(counts if not here or any(CEILING in c.ends for c in here) else counts | {0})


def _both_counted(house: Candidate) -> frozenset[Value]:
    """The cables to the ceiling and to the other box together: so neither can be taken for the other."""
    if len(house.site.wall_boxes) < 2:
        return frozenset()
    return frozenset({sum(c.conductors for c in house.site.cables if house.opened in c.ends)})


def _beside_the_other(house: Candidate) -> frozenset[Value]:
    """What goes on together with the other load: whatever a control works over the leg it hangs on."""
    legs = {net for stub in house.site.stubs if stub.id == "other" for net in stub.nets}
    works = {a.works for a in house.active if legs & set(a.legs)}
    return frozenset("fan" if w == "both" and not house.has_light else w for w in works)


def _under_the_others_connector(house: Candidate) -> frozenset[Value]:
    """Whose wire the other load's meets at the ceiling. A receiver's one lead may be told as the fan's, or as both."""
    for stub in house.site.stubs:
        if stub.id == "other":
            if stub.box != CEILING:
                return frozenset({"not_here"})
            met = {load for load, on in (("fan", house.fan_on), ("light", house.light_on)) if on in stub.nets}
            if len(met) == 1 and house.has_light:
                return frozenset(met)
            return frozenset({"fan", "both"} if met else ())
    return frozenset()


def _pale_on_control(house: Candidate) -> frozenset[Value]:
    if any(_on_control(house, end) for end in _stand_ins(house)):
        return frozenset({True, False})
    return frozenset({any(_on_control(house, end) for end in _pale(house))})


def _neutral_read(house: Candidate) -> frozenset[Value]:
    return frozenset({{NEUTRAL, HOT} <= house.wired_nets(house.opened)})


def _bundle_seen(house: Candidate) -> frozenset[Value]:
    """Neutral-coloured conductors joined with each other: neutrals, or a hot passed on in a pale conductor."""
    pale = _pale(house)
    joints = [j for j in house.wired.joints if j.box == house.opened and sum(end in j.ends for end in pale) > 1]
    on_control = [any(isinstance(e, Terminal) for e in j.ends) for j in joints]
    bundled = not all(on_control)
    if joints and all(on_control) and not any(j.net == NEUTRAL for j in joints):
        return frozenset({True, False})  # joined with each other and, by a pigtail, to a control
    neutral = [e for e in pale if house.wired.conductors[(e.cable, e.colour)] == NEUTRAL]
    return frozenset({len(neutral) > 1 or bundled})


def _cable_count(house: Candidate, box: str) -> frozenset[Value]:
    base = len(house.site.at(box))
    grows = any(s.id.startswith("onward") and s.box == box for s in house.site.stubs)
    return frozenset(range(base, base + (MANY if grows else 1)))


def _pale(house: Candidate) -> list[ConductorEnd]:
    """Ends in the open wall box that look neutral: by colour, or marked because they are."""
    cables = {c.id for c in house.site.at(house.opened)}
    colours = house.palette.neutral_colours
    return [
        ConductorEnd(cable, colour, house.opened)
        for (cable, colour), net in house.wired.conductors.items()
        if cable in cables and (colour in colours or net == NEUTRAL)
    ]


def _stand_ins(house: Candidate) -> list[ConductorEnd]:
    """Ends of conductors that would be neutral in cables without a neutral colour: one may have marked them."""
    palette = house.palette
    return [
        ConductorEnd(cable.id, pale, house.opened)
        for cable in house.site.at(house.opened)
        if isinstance(cable, Cable)
        and (pale := palette.pale(cable.conductors)) not in palette.neutral_colours
        and (cable.id, pale) in house.wired.conductors
    ]


def _on_control(house: Candidate, end: ConductorEnd) -> bool:
    net = house.wired.conductors[(end.cable, end.colour)]
    if net in (None, NEUTRAL, GROUND):
        return False
    joint = next((j for j in house.wired.joints if end in j.ends), None)
    return joint is not None and any(isinstance(e, Terminal) for e in joint.ends)


def _spare_seen(house: Candidate) -> frozenset[Value]:
    """At the wall a capped neutral cannot be told from a spare: both answers are possible then.

    A leg that is on an idle control below and capped above looks unused only from above.

    Of two cables to other boxes either may be taken for the fan's.
    """
    found: set[Value] = set()
    capped = [e for e in house.wired.capped(house.opened) if house.wired.conductors[(e.cable, e.colour)] == NEUTRAL]
    for cable in house.site.at(house.opened):
        if isinstance(cable, Cable):
            nets = [net for (of, _), net in house.wired.conductors.items() if of == cable.id]
            either = IDLE in nets or any(e.cable == cable.id for e in capped)
            found |= {True} if None in nets else {True, False} if either else {False}
    return frozenset(found)


def _wires_on_controls(house: Candidate) -> frozenset[Value]:
    """How many wires of the cable to the fan end on controls; of two cables to other boxes either may be taken."""
    found: set[Value] = set()
    box = house.opened
    for cable in house.site.at(box):
        if isinstance(cable, Cable):
            ends = (ConductorEnd(cable.id, colour, box) for of, colour in house.wired.conductors if of == cable.id)
            found.add(sum(_on_control(house, end) for end in ends))
    return frozenset(found)


def _leg_on_each(house: Candidate) -> frozenset[Value]:
    """Whether two controls hold a leg each. A hot that comes down may be on one that works nothing."""
    legs = [leg for a in house.active if house.opened in a.boxes for leg in a.legs[:1]]
    runs = [c.id for c in house.site.at(house.opened) if isinstance(c, Cable)]
    carried = {net for (cable, _), net in house.wired.conductors.items() if cable in runs}
    if sum(leg in carried for leg in legs) > 1:
        return frozenset({True})
    either = HOT in carried or any(s.id == "beside" for s in house.site.stubs)
    return frozenset({True, False} if either else {False})


def _far_end(house: Candidate) -> frozenset[Value]:
    runs = [c for c in house.site.cables if CEILING in c.ends]
    if any(house.wired.conductors[key] is None for c in runs for key in house.wired.conductors if key[0] == c.id):
        return frozenset({"capped"})
    walls = [e for box in house.site.wall_boxes for e in house.wired.capped(box)]
    if walls:
        return frozenset({"joined_whites"})
    idle = any(IDLE in house.routing.nets[c.id] for c in runs)
    return frozenset({"capped", "none_seen"} if idle else {"none_seen"})


@dataclass(frozen=True)
class HouseLook:
    """One look: what it shows in a house, and what the rest of the program must know of it.

    `shows` gives no answer where the look makes no sense in that house.
    """

    shows: Callable[[Candidate, Bench], frozenset[Value]]
    solved: bool = False
    """Read off the circuit solved in every position of its controls, not off its copper: dear."""
    at_wall: bool = False
    """Seen in a wall box and nowhere else: a yes, or a count of one or more, cannot be told where there is none."""
    colours: bool = False
    """Speaks of colours: worthless until the region says what they mean."""
    ranked: bool = True
    """Weighed as a next check wherever it is open; else looked at only where a plan waits for it."""
    beyond: Station | None = None
    """The other end of something that must have been seen at this station before."""
    of_fan: bool = False
    """Speaks of what the fan's own wires are joined to: nothing to see while none hangs."""


def _seen(shows: Callable[[Candidate], frozenset[Value]], **known: Any) -> HouseLook:
    """A look at the copper, for which nothing is solved."""
    return HouseLook(lambda house, _: shows(house), **known)


HOUSE_LOOKS: Mapping[str, HouseLook] = {
    "wall_boxes": _seen(_wall_places),
    "stops_from_wall": _seen(_stopped_from_wall, ranked=False),
    "run_conductors": _seen(_run_counted),
    "wall_cables": _seen(lambda house: _cable_count(house, house.opened), at_wall=True),
    "ceiling_cables": _seen(lambda house: _cable_count(house, CEILING)),
    "feed_passes_on": _seen(_feed_goes_on, ranked=False),
    "switches_work_together": _seen(_two_places_work),
    "other_load_works_with": _seen(_beside_the_other),
    "other_load_joined_with": _seen(_under_the_others_connector, of_fan=True),
    "white_on_control": _seen(_pale_on_control, at_wall=True, colours=True),
    "neutral_bundle": _seen(_bundle_seen, at_wall=True, colours=True),
    "run_spare": _seen(_spare_seen),
    "run_on_controls": _seen(_wires_on_controls, at_wall=True),
    "leg_on_each_control": _seen(_leg_on_each, at_wall=True),
    "run_and_link_conductors": _seen(_both_counted, at_wall=True),
    "capped_end_at_ceiling": _seen(_far_end, colours=True, beyond="wall"),
    "neutral_reading": _seen(_neutral_read, at_wall=True, colours=True),
    "hot_at_wall_always": HouseLook(always_live, solved=True, at_wall=True, ranked=False),
    "hot_at_ceiling_switch_off": HouseLook(hot_at_ceiling, solved=True),
}
"""Every look that a wiring by itself has an answer to, by the fact it settles: what strikes out most for least first.

What the controls do is held against a house as a whole: see diagnosis.houses.controls.
"""


def predicted(house: Candidate, fact: str, bench: Bench) -> frozenset[Value]:
    """The answers to `fact` that this wiring allows; empty where the question makes no sense there.

    Worked out once for a house; the nominal voltage changes none of them.
    """
    known = house.predictions
    if fact not in known:
        known[fact] = _predict(house, fact, bench)
    return known[fact]


def _predict(house: Candidate, fact: str, bench: Bench) -> frozenset[Value]:
    look = HOUSE_LOOKS.get(fact)
    if look is None or (look.at_wall and not house.site.wall_boxes):
        return frozenset()
    return look.shows(house, bench)
