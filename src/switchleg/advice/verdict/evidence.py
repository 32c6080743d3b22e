"""How each thing is known that the advice rests on: measured, seen, inferred from the rest, or only assumed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Literal

from switchleg.advice.cases.survey import Survey
from switchleg.advice.model import Evidence
from switchleg.diagnosis.clue_weights import excluding
from switchleg.diagnosis.fans import ALONE
from switchleg.schema.clues import MOTORS, Motor
from switchleg.schema.questions import Value
from switchleg.wiring.site import CEILING, HOT

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

Kind = Literal["measured", "seen", "inferred", "assumed"]

MOTOR_WORDS = {
    "ac": "The motor is plain AC",
    "ac_tapped": "The motor is AC with its speed parts in the receiver",
    "dc": "The motor is DC",
}
Speaking = Mapping[str, tuple[Value, ...]]
"""Looks that show a thing by themselves, with the answers that show it; no values: whatever was found there."""

RECEIVER: Speaking = {
    "receiver": (True,),
    "receiver_motor_leads": (),
    "receiver_motor_plug": (True,),
    "receiver_label": (),
    "receiver_light_lead": (),
    "capacitor_in": ("receiver",),
}
NO_RECEIVER: Speaking = {"receiver": (False,)}
NEUTRAL: Speaking = {"neutral_reading": (True,), "neutral_bundle": (True,)}
NO_NEUTRAL: Speaking = {"neutral_reading": (False,), "neutral_bundle": (False,)}
LIVE: Speaking = {"hot_at_ceiling_switch_off": (True,)}
DEAD: Speaking = {"hot_at_ceiling_switch_off": (False,)}


def evidence(knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey) -> tuple[Evidence, ...]:
    """What is settled in every case still open, and what is taken for granted, each with its kind and facts."""
    return tuple(_each(knowledge, facts, survey))


def _each(knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey) -> Iterator[Evidence]:
    cases = survey.hypotheses
    if not cases:
        return
    if facts.get("fan_installed") is not False:
        motors = {h.fan.motor for h in cases}
        if len(motors) == 1:
            yield _motor(knowledge, facts, motors.pop())
        there = {h.fan.receiver for h in cases}
        if there == {True}:
            hidden = all(h.fan.hidden for h in cases)
            text = "There is a receiver or driver in the fan" + (", out of sight" if hidden else "")
            yield _known(knowledge, facts, text, RECEIVER, rest=("handheld_remote", "resumes_after_power_cut"))
        elif there == {False}:
            yield _known(knowledge, facts, "There is no receiver in the fan", NO_RECEIVER, rest=tuple(sorted(ALONE)))
    if all(h.house.site.wall_boxes for h in cases):
        at_wall = {h.house.neutral_at_wall for h in cases}
        if at_wall == {True}:
            yield _known(knowledge, facts, "A neutral is at the wall", NEUTRAL)
        elif at_wall == {False}:
            yield _known(knowledge, facts, "No neutral is at the wall", NO_NEUTRAL)
    live = {HOT in h.house.wired_nets(CEILING) for h in cases}
    if live == {True}:
        yield _known(knowledge, facts, "The ceiling is live with the wall switched off", LIVE)
    elif live == {False}:
        yield _known(knowledge, facts, "The ceiling is dead with the wall switched off", DEAD)
    if not any(stub.id == "other" for h in cases for stub in h.house.site.stubs):
        text = "Nothing else hangs on the switched leg"
        yield from _taken(knowledge, facts, "acts_on_other_loads", text, wanted=False)
    if any(h.house.site.wall_boxes for h in cases):
        yield from _taken(knowledge, facts, "wall_ground", "A ground is at the wall", wanted=True)
        yield from _taken(knowledge, facts, "wall_gangs", "The wall has a gang for each control", wanted=None)
    yield from _taken(knowledge, facts, "ceiling_ground", "A ground is at the ceiling", wanted=True)


def _motor(knowledge: Knowledge, facts: Mapping[str, Value], motor: Motor) -> Evidence:
    """Seen where clues to the motor itself exclude every other kind; else it follows from what is around it."""
    excluded = [excluding(knowledge.clues.motor, other, facts) for other in MOTORS if other != motor]
    given = tuple(sorted(set().union(*excluded)))
    if all(excluded):
        alone = tuple(fact for fact in given if all(fact in one for one in excluded))
        return Evidence(what=MOTOR_WORDS[motor], kind="seen", facts=alone or given)
    around = ("receiver",) if "receiver" in facts else ()
    return Evidence(what=MOTOR_WORDS[motor], kind="inferred", facts=(*around, *given))


def _known(
    knowledge: Knowledge, facts: Mapping[str, Value], text: str, speaking: Speaking, rest: tuple[str, ...] = ()
) -> Evidence:
    """How a settled thing is known: by the best of the looks that show it, else inferred from the rest.

    A look that showed the contrary, or nothing, is no evidence for it. `rest`: answers it mostly follows from.
    """
    given = tuple(f for f, values in speaking.items() if f in facts and (not values or facts[f] in values))
    if not given:
        return Evidence(what=text, kind="inferred", facts=tuple(f for f in rest if f in facts))
    measured = tuple(f for f in given if knowledge.tree.questions[f].power_on)
    return Evidence(what=text, kind="measured" if measured else "seen", facts=measured or given)


def _taken(
    knowledge: Knowledge, facts: Mapping[str, Value], fact: str, text: str, *, wanted: bool | None
) -> Iterator[Evidence]:
    """Something taken for granted while nobody has looked; once looked at, said only if it is so."""
    if fact not in facts:
        yield Evidence(what=text, kind="assumed", facts=(fact,))
    elif wanted is not None and facts[fact] == wanted:
        yield _known(knowledge, facts, text, {fact: (wanted,)})
