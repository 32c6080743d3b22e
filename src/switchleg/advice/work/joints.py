"""The wiring plan box by box: what meets under each connector or terminal, and what is capped."""

from __future__ import annotations

from collections.abc import Mapping

from switchleg.advice.model import BoxPlan, Splice
from switchleg.advice.plans.plan import Plan
from switchleg.advice.wording.names import box_names, plan_names
from switchleg.advice.wording.phrases import CABLE, listed, net_words, terminal
from switchleg.diagnosis.lights import BEHIND
from switchleg.schema.parts import Control, plain_class
from switchleg.wiring.netlist import ConductorEnd, End, Joint, Terminal, Wired
from switchleg.wiring.site import CEILING, GROUND, HOT, IDLE, NEUTRAL, Cable, Site

FAN_GROUND = "the fan's ground leads"
FAN_LEAD = {
    "fan_motor": {"hot": "the fan motor's hot lead", "neutral": "the fan motor's neutral lead", "ground": FAN_GROUND},
    "fan_receiver": {
        "hot": "the receiver's hot supply lead",
        "neutral": "the receiver's neutral supply lead",
        "ground": FAN_GROUND,
    },
    "fan_driver": {
        "hot": "the driver's hot supply lead",
        "neutral": "the driver's neutral supply lead",
        "ground": FAN_GROUND,
    },
    "fan_lamp": {"hot": "the light's hot lead", "neutral": "the light's neutral lead"},
}
NEW_FAN_LEAD = {
    "hot": "the new fan's hot supply lead",
    "neutral": "the new fan's neutral supply lead",
    "ground": FAN_GROUND,
}


def box_plans(plan: Plan, controls: Mapping[str, Control], ground: str, *, tagged: bool = True) -> tuple[BoxPlan, ...]:
    """Splices per box in working order: wall first, then ceiling; ground first in each, it is never switched.

    `tagged`: today's two legs go by the tags that the steps give them.
    """
    order = [box for box in plan.wired.site.boxes if box != CEILING] + [CEILING]
    return tuple(_box(plan, box, controls, ground, tagged=tagged) for box in order)


def _in_order(plan: Plan, box: str) -> list[Joint]:
    """The joints of a box as they are told."""
    first = (GROUND, NEUTRAL)
    return sorted((j for j in plan.wired.joints if j.box == box), key=lambda j: (j.net not in first, j.net))


def _box(plan: Plan, box: str, controls: Mapping[str, Control], ground: str, *, tagged: bool) -> BoxPlan:
    wired = plan.wired
    splices = []
    for joint in _in_order(plan, box):
        told = [end for end in joint.ends if not _goes_on(end)]
        words = [end_words(end, plan, box, controls, ground) for end in told]
        if joint.net == GROUND:
            words += METAL[box == CEILING]
        if len(words) > 1:
            remarks = (_remark(wired, joint.ends), _leg_remark(plan, joint) if tagged else "", _further(plan, joint))
            name = ground if joint.net == GROUND else net_words(joint.net)
            splices.append(Splice(net=name, ends=tuple(words), remark=" ".join(filter(None, remarks))))
    loose = [end for end in wired.capped(box) if not _goes_on(end)]
    lone = [end for end in loose if wired.conductors[(end.cable, end.colour)] == GROUND]
    words = [end_words(end, plan, box, controls, ground) for end in lone]
    if words:
        splices.insert(0, Splice(net=ground, ends=(*words, *METAL[box == CEILING]), remark=LONE_GROUND_REMARK))
    capped = tuple(end_words(end, plan, box, controls, ground) for end in loose if end not in lone)
    capped += unused_leads(plan, box, controls)
    return BoxPlan(box=box, title=box_names(wired.site)[box], splices=tuple(splices), capped=capped)


def unused_leads(plan: Plan, box: str, controls: Mapping[str, Control]) -> tuple[str, ...]:
    """Outputs that meet nothing can be live and are capped: leads of loose modules, a kept receiver's for the light."""
    left = box == CEILING and plan.receiver_kept and plan.light_moved and plan.fan.light in BEHIND
    found = ["the receiver's output for the light"] if left else []
    for placed in plan.wired.parts:
        control = controls.get(placed.control)
        if placed.box == box and control and control.loose:
            outputs = {channel.joins[1] for channel in control.channel}
            names = plan_names(plan, controls)
            found += [f"{names[placed.id]}: {t} lead" for t in control.terminals if t in outputs and not placed.net(t)]
    return tuple(found)


METAL = {True: ["the fan's bracket, rod and canopy", "the box, if it is metal"], False: ["the box, if it is metal"]}
"""What else is bonded at the ceiling and at the wall, beside the parts' own terminals."""


LONE_GROUND = (
    "fasten it to the box and to a metal cover plate. Only in a box and plate without metal, cap it by itself."
)
LONE_GROUND_REMARK = "A metal cover plate is grounded too. Only in a box and plate without metal, cap it by itself."
"""A ground that meets no device any more still has the box's own metal to ground."""


def two_legs(plan: Plan) -> bool:
    """Two conductors are a leg today, and the plan uses one of them: only use or the loads tell which is which."""
    today, new = plan.house.wired.conductors, plan.wired.conductors
    tags = tags_of(plan)
    return len(tags) > 1 and any(new.get(key) is not None for key, net in today.items() if net in tags)


def tags_of(plan: Plan) -> dict[str, str]:
    """Today's legs with the letter each gets: F for the fan's, L for the light's; an idle one gets what is left."""
    there = set(plan.house.wired.conductors.values())
    found = {leg: letter for leg, letter in TAG.items() if leg in there}
    if IDLE in there and found:
        found[IDLE] = "F" if "F" not in found.values() else "L"
    return found


def tied_legs(plan: Plan) -> bool:
    """One control works both legs today, so that only the loads tell them apart."""
    return any(a.tied for a in plan.house.active)


TAG = {"FAN": "F", "BOTH": "F", "LIGHT": "L"}
BY_TAG = {
    True: "By {tags} from the first look, not by colour.",
    False: "By {tags}, not by colour.",
}
"""On joints with a leg: the tags that the steps give it, when both are tied today and when each has its control."""


def _leg_remark(plan: Plan, joint: Joint) -> str:
    today = plan.house.wired.conductors
    conductors = [end for end in joint.ends if isinstance(end, ConductorEnd)]
    legs = {today.get((end.cable, end.colour)) for end in conductors}
    tags = [tag for leg, tag in tags_of(plan).items() if leg in legs]
    if not tags or not two_legs(plan):
        return ""
    named = f"the tag {tags[0]}" if len(tags) == 1 else f"the tags {listed(tags)}"
    return BY_TAG[tied_legs(plan)].format(tags=named)


def _goes_on(end: End) -> bool:
    """Cables that carry the feed on are counted only when they are seen; they stay in the joints they are in."""
    return isinstance(end, ConductorEnd) and end.cable.startswith("onward")


def _further(plan: Plan, joint: Joint) -> str:
    """Where a cable may go on that nobody has counted."""
    feeds = joint.net in (GROUND, HOT, NEUTRAL) and any(s.box == joint.box for s in plan.wired.site.stubs)
    return "Any further cable's wires stay joined here as they are." if feeds else ""


def _remark(wired: Wired, ends: tuple[End, ...]) -> str:
    marks = [e for e in ends if isinstance(e, ConductorEnd) and (e.cable, e.colour) in wired.relabelled]
    if not marks:
        return ""
    as_neutral = any(wired.conductors[(e.cable, e.colour)] == NEUTRAL for e in marks)
    kind = "neutral" if as_neutral else "hot"
    return f"Mark the {listed(e.colour for e in marks)} all around as {kind} wherever it is seen."


def cable_words(site: Site, cable: str, box: str) -> str:
    """Which cable, as seen from a box."""
    for one in site.at(box):
        if one.id == cable and isinstance(one, Cable):
            other = next(end for end in one.ends if end != box)
            return f"the {'new ' if one.replaces else ''}cable to {box_names(site)[other]}"
    return CABLE[cable.partition("_")[0]]


def end_words(end: End, plan: Plan, box: str, controls: Mapping[str, Control], ground: str) -> str:
    """One end in a joint, in words: colour and cable, or part and terminal."""
    if isinstance(end, ConductorEnd):
        if plan.wired.conductors[(end.cable, end.colour)] == GROUND:
            return f"{ground} of {cable_words(plan.wired.site, end.cable, box)}"
        return f"{end.colour} of {cable_words(plan.wired.site, end.cable, box)}"
    return _terminal(end, plan, controls)


def _terminal(end: Terminal, plan: Plan, controls: Mapping[str, Control]) -> str:
    placed = next(p for p in plan.wired.parts if p.id == end.part)
    if plain_class(placed.control) in FAN_LEAD:
        if placed.id == "fan" and plan.way.receiver == "replace":
            return NEW_FAN_LEAD[end.name]
        return FAN_LEAD[plain_class(placed.control)][end.name]
    return f"{plan_names(plan, controls)[placed.id]}: {terminal(end.name)}"
