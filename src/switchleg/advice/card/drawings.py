"""Pictures of today's wiring and of the planned one, ready to be drawn."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from switchleg.advice.cases.beliefs import region_of
from switchleg.advice.cases.open_cases import open_cases
from switchleg.advice.cases.survey import Survey
from switchleg.advice.plans.plan import Plan
from switchleg.advice.plans.present_circuit import GOES, wired_today
from switchleg.advice.wording import phrases
from switchleg.advice.wording.names import box_names, plan_names, present_names
from switchleg.advice.work.steps import leaves
from switchleg.errors import COULD_NOT, SwitchlegError
from switchleg.schema.parts import plain_class
from switchleg.schema.questions import Value
from switchleg.wiring.drawing.model import Picture, picture_of
from switchleg.wiring.netlist import Wired

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

FAN_TITLES = {
    "fan_motor": "the fan motor",
    "fan_receiver": "the receiver",
    "fan_driver": "the driver",
    "fan_lamp": "the light",
}


@dataclass(frozen=True)
class Pictures:
    """Today's wiring, and the planned one of `scheme` with its changes; `new` is None without a plan."""

    today: Picture
    new: Picture | None
    scheme: str | None


def pictures(knowledge: Knowledge, facts: Mapping[str, Value], scheme: str | None = None) -> Pictures:
    """What can be drawn on these facts: the recommended scheme, or the named one.

    Raises SwitchlegError where the wiring is not settled, or the scheme has no one plan: a drawing of a guess
    would be followed.
    """
    survey = open_cases(knowledge, facts).survey
    region = region_of(knowledge, facts)
    if not survey.hypotheses or region is None:
        raise _unsettled("the answers leave no wiring to draw" if region else "the region is not known")
    houses = {_shape(house.wired) for h in survey.hypotheses for house in (h.house, *h.alike)}
    if len(houses) > 1:
        raise _unsettled(f"{len(houses)} wirings are still possible")
    plan = _plan(survey, scheme)
    first = survey.hypotheses[0]
    ground = region.words.ground
    today = wired_today(first.house, first.fan, leaves(plan) if plan else "nothing")
    titles = _titles(survey, today, plan)
    drawn = _picture(today, titles, None, ground)
    new = _picture(plan.wired, titles, today, ground) if plan else None
    return Pictures(drawn, new, _scheme_of(survey, scheme) if plan else None)


def _shape(wired: Wired) -> object:
    """All that a drawing shows: cables and where they come in, parts, and what each conductor carries."""
    return wired.site, wired.parts, frozenset(wired.conductors.items())


def _unsettled(what: str) -> SwitchlegError:
    mend = "the card names the next look that settles it"
    return SwitchlegError(f"there is nothing safe to draw: {what}", mend=mend, exit_code=COULD_NOT)


def _scheme_of(survey: Survey, scheme: str | None) -> str | None:
    best = survey.agreed()
    return scheme or (best.scheme if best else None)


def _plan(survey: Survey, scheme: str | None) -> Plan | None:
    """The one plan of the scheme in every case still open; the recommended scheme's when none is named."""
    name = _scheme_of(survey, scheme)
    if name is None:
        return None
    outcomes = [survey.outcome(name, h) for h in survey.hypotheses]
    if any(not o.fits or o.plan is None for o in outcomes):
        raise _unsettled(f"{name} is ruled out or not settled")
    plans = {(o.way, o.preparations, _shape(o.plan.wired)) for o in outcomes if o.plan}
    if len(plans) > 1:
        raise _unsettled(f"how {name} is to be wired depends on the next looks")
    return outcomes[0].plan


def _titles(survey: Survey, today: Wired, plan: Plan | None) -> dict[str, str]:
    """What each part is called in both drawings."""
    house = survey.hypotheses[0].house
    titles = present_names(house, today)
    if GOES in titles and plan and leaves(plan) == "fan":
        titles[GOES] = "the fan"
    if plan:
        titles |= plan_names(plan, survey.judge.bench.controls)
        fan = next(p for p in plan.wired.parts if p.id == "fan")
        titles["fan"] = "the new fan" if leaves(plan) == "fan" else FAN_TITLES[plain_class(fan.control)]
        titles["light"] = "the light"
    if len({plain_class(h.fan.load) for h in survey.hypotheses}) > 1:
        titles |= dict.fromkeys({"fan", GOES} & set(titles), "the fan")
    return titles


def _picture(wired: Wired, titles: Mapping[str, str], today: Wired | None, ground: str) -> Picture:
    boxes = box_names(wired.site)

    def cable_words(cable: str, box: str) -> str:
        for one in (*wired.site.cables, *(today.site.cables if today else ())):
            if one.id == cable:
                other = next(end for end in one.ends if end != box)
                kind = "new cable " if one.replaces else "" if one in wired.site.cables else "the old cable "
                return f"{kind}to {boxes[other]}"
        return phrases.CABLE[cable.partition("_")[0]]

    nets = {*wired.conductors.values(), *(joint.net for joint in wired.joints)} - {None}
    net_words = {str(net): phrases.net_words(str(net)) for net in nets} | {"GROUND": ground}
    return picture_of(wired, titles, boxes, cable_words, today, net_words=net_words)
