"""How each thing is known that the advice rests on: measured, seen, inferred from the rest, or only assumed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Literal

from switchleg.advice.model import Evidence
from switchleg.advice.survey import Hypothesis, Survey
from switchleg.tree.model import Value
from switchleg.wiring.site import CEILING, HOT

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

Kind = Literal["measured", "seen", "inferred", "assumed"]

READS = frozenset({"wall_ground", "ceiling_ground", "acts_on_other_loads", "wall_gangs", "neutral_reading"})

MOTOR_WORDS = {
    "ac": "The motor is plain AC",
    "ac_tapped": "The motor is AC with its speed parts in the receiver",
    "dc": "The motor is DC",
}
_MOTOR_FACTS = (
    "motor_label",
    "receiver_label",
    "motor_leads_alike",
    "receiver_motor_plug",
    "receiver_motor_leads",
    "capacitor_in",
    "pull_chain_fan",
)


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
            yield _known(knowledge, facts, MOTOR_WORDS[motors.pop()], _MOTOR_FACTS)
        yield from _all(
            knowledge,
            facts,
            cases,
            lambda h: h.fan.receiver,
            ("There is a receiver or driver in the fan", "There is no receiver in the fan"),
            ("receiver", "receiver_motor_leads", "receiver_label"),
        )
    if all(h.house.site.wall_boxes for h in cases):
        yield from _all(
            knowledge,
            facts,
            cases,
            lambda h: h.house.neutral_at_wall,
            ("A neutral is at the wall", "No neutral is at the wall"),
            ("neutral_reading", "neutral_bundle", "white_on_control"),
        )
    yield from _all(
        knowledge,
        facts,
        cases,
        lambda h: HOT in h.house.wired_nets(CEILING),
        ("The ceiling is live with the wall switched off", "The ceiling is dead with the wall switched off"),
        ("hot_at_ceiling_switch_off",),
    )
    yield from _taken(knowledge, facts, "acts_on_other_loads", "Nothing else hangs on the switched leg", wanted=False)
    if any(h.house.site.wall_boxes for h in cases):
        yield from _taken(knowledge, facts, "wall_ground", "A ground is at the wall", wanted=True)
        yield from _taken(knowledge, facts, "wall_gangs", "The wall has a gang for each control", wanted=None)
    yield from _taken(knowledge, facts, "ceiling_ground", "A ground is at the ceiling", wanted=True)


def _known(knowledge: Knowledge, facts: Mapping[str, Value], text: str, speak: tuple[str, ...]) -> Evidence:
    """How a settled thing is known: by the best of the facts that speak of it, else inferred from the rest."""
    given = tuple(f for f in speak if f in facts)
    if not given:
        return Evidence(what=text, kind="inferred", facts=())
    measured = tuple(f for f in given if knowledge.tree.questions[f].power_on)
    return Evidence(what=text, kind="measured" if measured else "seen", facts=measured or given)


def _all(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    cases: tuple[Hypothesis, ...],
    test: Callable[[Hypothesis], bool],
    texts: tuple[str, str],
    speak: tuple[str, ...],
) -> Iterator[Evidence]:
    """Something that is so, or is not so, in every case; nothing when cases differ."""
    found = {test(h) for h in cases}
    if len(found) == 1:
        yield _known(knowledge, facts, texts[0] if found.pop() else texts[1], speak)


def _taken(
    knowledge: Knowledge, facts: Mapping[str, Value], fact: str, text: str, *, wanted: bool | None
) -> Iterator[Evidence]:
    """Something taken for granted while nobody has looked; once looked at, said only if it is so."""
    if fact not in facts:
        yield Evidence(what=text, kind="assumed", facts=(fact,))
    elif wanted is not None and facts[fact] == wanted:
        yield _known(knowledge, facts, text, (fact,))
