"""What each question would show on a candidate wiring, read off its circuit.

A prediction is the set of answers the wiring allows: one where looking leaves no doubt, more where the same
wiring can look two ways (a neutral brought down a loop and capped looks like a spare at the wall).
"""

from __future__ import annotations

from collections.abc import Mapping

from switchleg.diagnosis.controls import DOES, ELECTRONICS, KINDS, controls_disagree
from switchleg.diagnosis.houses import Candidate
from switchleg.diagnosis.readings import always_live, hot_at_ceiling
from switchleg.tree.model import Value
from switchleg.wiring.bench import Bench
from switchleg.wiring.netlist import ConductorEnd, Terminal
from switchleg.wiring.site import CEILING, GROUND, HOT, IDLE, NEUTRAL, Cable

COLOUR_FACTS = frozenset({"neutral_bundle", "white_on_control", "neutral_reading", "capped_end_at_ceiling"})
"""Facts that speak of colours: worthless until the region says what colours mean."""

LOOKED_AT = frozenset(
    {
        "wall_boxes",
        "stops_from_wall",
        "wall_controls",
        "wall_cables",
        "ceiling_cables",
        "feed_passes_on",
        "run_conductors",
        "run_spare",
        "run_on_controls",
        "leg_on_each_control",
        "run_and_link_conductors",
        "switches_work_together",
        "other_load_works_with",
        "other_load_joined_with",
        "hot_at_wall_always",
        "hot_at_ceiling_switch_off",
        *DOES,
        *COLOUR_FACTS,
    }
)
CHEAPEST_FIRST = (
    "wall_boxes",
    "stops_from_wall",
    "run_conductors",
    "wall_cables",
    "ceiling_cables",
    "feed_passes_on",
    "switches_work_together",
    "other_load_works_with",
    "other_load_joined_with",
    "white_on_control",
    "neutral_bundle",
    "run_spare",
    "run_on_controls",
    "leg_on_each_control",
    "run_and_link_conductors",
    "capped_end_at_ceiling",
    "neutral_reading",
    "hot_at_wall_always",
    "hot_at_ceiling_switch_off",
)
COMPARED = LOOKED_AT | ELECTRONICS | frozenset(KINDS)
"""Facts that wirings are compared with; the last ones only say what the controls may be."""

MANY = 4
"""How many further cables an onward feed may stand for: nobody's box here holds more."""


def predicted(house: Candidate, fact: str, bench: Bench) -> frozenset[Value]:
    """The answers to `fact` that this wiring allows; empty where the question makes no sense there.

    Worked out once for a house; the nominal voltage changes none of them.
    """
    known = house.predictions
    if fact not in known:
        known[fact] = _predict(house, fact, bench)
    return known[fact]


def _predict(house: Candidate, fact: str, bench: Bench) -> frozenset[Value]:
    walls = house.site.wall_boxes
    if fact == "wall_boxes":
        return frozenset({len(walls)})
    if fact == "stops_from_wall":
        return frozenset({any(a.works != "nothing" for a in house.active)})
    if fact == "feed_passes_on":
        goes_on = any(s.id.startswith("onward") and s.box == CEILING for s in house.site.stubs)
        return frozenset({True} if goes_on else ())
    if fact == "run_conductors":
        return _run_counted(house)
    if fact == "run_and_link_conductors":
        return _both_counted(house) if len(walls) > 1 else frozenset()
    if fact == "ceiling_cables":
        return _cable_count(house, CEILING)
    if fact == "capped_end_at_ceiling":
        return _far_end(house)
    if fact == "hot_at_ceiling_switch_off":
        return hot_at_ceiling(house, bench)
    if fact == "other_load_works_with":
        return _beside_the_other(house)
    if fact == "other_load_joined_with":
        return _under_the_others_connector(house)
    if fact == "switches_work_together":
        if len(walls) < 2:
            return frozenset()
        return frozenset({"same" if any(len(a.boxes) > 1 for a in house.active) else "different"})
    return frozenset(_at_wall(house, fact, house.opened, bench) if walls else ())


def _run_counted(house: Candidate) -> frozenset[Value]:
    """In one of two boxes the cable on to the other is easily taken for the fan's, or known not to be it."""
    counts = {c.conductors for c in house.site.cables if {house.opened, CEILING} & {*c.ends}}
    here = [c for c in house.site.cables if house.opened in c.ends]
    return frozenset(counts if not here or any(CEILING in c.ends for c in here) else counts | {0})


def _both_counted(house: Candidate) -> frozenset[Value]:
    """The cables to the ceiling and to the other box together: so neither can be taken for the other."""
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


def _at_wall(house: Candidate, fact: str, box: str, bench: Bench) -> set[Value]:
    if fact == "wall_cables":
        return set(_cable_count(house, box))
    if fact == "run_spare":
        return _spare_seen(house, box)
    if fact == "run_on_controls":
        return _wires_on_controls(house, box)
    if fact == "leg_on_each_control":
        return _leg_on_each(house, box)
    if fact == "white_on_control":
        if any(_on_control(house, end) for end in _stand_ins(house, box)):
            return {True, False}
        return {any(_on_control(house, end) for end in _pale(house, box))}
    if fact == "neutral_bundle":
        return _bundle_seen(house, box)
    if fact == "neutral_reading":
        return {NEUTRAL in house.wired_nets(box) and HOT in house.wired_nets(box)}
    if fact == "hot_at_wall_always":
        return {always_live(house, box, bench)}
    return set()


def _bundle_seen(house: Candidate, box: str) -> set[Value]:
    """Neutral-coloured conductors joined with each other: neutrals, or a hot passed on in a pale conductor."""
    pale = _pale(house, box)
    joints = [j for j in house.wired.joints if j.box == box and sum(end in j.ends for end in pale) > 1]
    on_control = [any(isinstance(e, Terminal) for e in j.ends) for j in joints]
    bundled = not all(on_control)
    if joints and all(on_control) and not any(j.net == NEUTRAL for j in joints):
        return {True, False}  # joined with each other and, by a pigtail, to a control
    neutral = [e for e in pale if house.wired.conductors[(e.cable, e.colour)] == NEUTRAL]
    together = len(neutral) > 1 or bundled
    return {together}


def _cable_count(house: Candidate, box: str) -> frozenset[Value]:
    base = len(house.site.at(box))
    grows = any(s.id.startswith("onward") and s.box == box for s in house.site.stubs)
    return frozenset(range(base, base + (MANY if grows else 1)))


def _pale(house: Candidate, box: str) -> list[ConductorEnd]:
    """Ends in a box that look neutral: by colour, or marked because they are."""
    cables = {c.id for c in house.site.at(box)}
    colours = house.palette.neutral_colours
    return [
        ConductorEnd(cable, colour, box)
        for (cable, colour), net in house.wired.conductors.items()
        if cable in cables and (colour in colours or net == NEUTRAL)
    ]


def _stand_ins(house: Candidate, box: str) -> list[ConductorEnd]:
    """Ends of conductors that would be neutral in cables without a neutral colour: one may have marked them."""
    palette = house.palette
    return [
        ConductorEnd(cable.id, pale, box)
        for cable in house.site.at(box)
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


def _spare_seen(house: Candidate, box: str) -> set[Value]:
    """At the wall a capped neutral cannot be told from a spare: both answers are possible then.

    A leg that is on an idle control below and capped above looks unused only from above.

    Of two cables to other boxes either may be taken for the fan's.
    """
    found: set[Value] = set()
    capped = [e for e in house.wired.capped(box) if house.wired.conductors[(e.cable, e.colour)] == NEUTRAL]
    for cable in house.site.at(box):
        if isinstance(cable, Cable):
            nets = [net for (of, _), net in house.wired.conductors.items() if of == cable.id]
            either = IDLE in nets or any(e.cable == cable.id for e in capped)
            found |= {True} if None in nets else {True, False} if either else {False}
    return found


def _wires_on_controls(house: Candidate, box: str) -> set[Value]:
    """How many wires of the cable to the fan end on controls; of two cables to other boxes either may be taken."""
    found: set[Value] = set()
    for cable in house.site.at(box):
        if isinstance(cable, Cable):
            ends = (ConductorEnd(cable.id, colour, box) for of, colour in house.wired.conductors if of == cable.id)
            found.add(sum(_on_control(house, end) for end in ends))
    return found


def _leg_on_each(house: Candidate, box: str) -> set[Value]:
    """Whether two controls hold a leg each. A hot that comes down may be on one that works nothing."""
    legs = [leg for a in house.active if box in a.boxes for leg in a.legs[:1]]
    runs = [c.id for c in house.site.at(box) if isinstance(c, Cable)]
    carried = {net for (cable, _), net in house.wired.conductors.items() if cable in runs}
    if sum(leg in carried for leg in legs) > 1:
        return {True}
    return {True, False} if HOT in carried or any(s.id == "beside" for s in house.site.stubs) else {False}


def _far_end(house: Candidate) -> frozenset[Value]:
    runs = [c for c in house.site.cables if CEILING in c.ends]
    if any(house.wired.conductors[key] is None for c in runs for key in house.wired.conductors if key[0] == c.id):
        return frozenset({"capped"})
    walls = [e for box in house.site.wall_boxes for e in house.wired.capped(box)]
    if walls:
        return frozenset({"joined_whites"})
    idle = any(IDLE in house.routing.nets[c.id] for c in runs)
    return frozenset({"capped", "none_seen"} if idle else {"none_seen"})


def agrees(house: Candidate, facts: Mapping[str, Value], bench: Bench) -> bool:
    """Whether this wiring could have shown all the facts; the cheap looks are compared first."""
    if controls_disagree(house, facts):
        return False
    return not any(_differs(house, fact, facts, bench) for fact in CHEAPEST_FIRST if fact in facts)


def disagreeing(house: Candidate, facts: Mapping[str, Value], bench: Bench) -> frozenset[str]:
    """All the given facts that this wiring could not have shown."""
    wrong = {fact for fact in CHEAPEST_FIRST if fact in facts and _differs(house, fact, facts, bench)}
    return frozenset(wrong | controls_disagree(house, facts))


def _differs(house: Candidate, fact: str, facts: Mapping[str, Value], bench: Bench) -> bool:
    possible = predicted(house, fact, bench)
    return bool(possible) and facts[fact] not in possible
