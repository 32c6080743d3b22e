"""Which open questions would bring the recommendation closer, and what to say about each."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from switchleg.advice.cases.beliefs import region_of
from switchleg.advice.cases.dangers import by_worth
from switchleg.advice.cases.settled_joints import joints_known
from switchleg.advice.cases.survey import LOOKED_THROUGH, Hypothesis, Survey
from switchleg.advice.looks.control_answers import control_shares, no_such_control
from switchleg.advice.looks.trouble import trouble_of
from switchleg.advice.model import NextCheck
from switchleg.advice.plans.outcome import PERMISSIONS
from switchleg.diagnosis.fans import Fan
from switchleg.diagnosis.houses.agreement import COLOUR_FACTS
from switchleg.diagnosis.houses.controls import CONTROL_LOOKS
from switchleg.diagnosis.houses.predictions import HOUSE_LOOKS, predicted
from switchleg.diagnosis.look_ranking import Check, rank
from switchleg.schema.clues import CluesFile
from switchleg.schema.questions import Value
from switchleg.tree.conditions import all_hold

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region

MOST = 6
"""Checks named at once: more is no help on a ladder."""

Shares = Mapping[Hashable, float]


def _sure(value: Value | None) -> Shares:
    return {value: 1.0}


FAN_LOOKS: dict[str, Callable[[Hypothesis, CluesFile], Shares]] = {
    "receiver": lambda h, _: _sure(h.fan.receiver and not h.fan.hidden),
    "handheld_remote": lambda h, _: _sure(h.fan.remote),
    "resumes_after_power_cut": lambda h, _: _sure(h.fan.resumes),
    "receiver_light_lead": lambda h, clues: _light_lead(h.fan, clues),
    "light_joined_to": lambda h, _: _sure(_joined_to(h.fan)),
    "light_kit": lambda h, _: {"none": 1.0} if h.fan.light == "none" else {"lamps": 0.5, "led_built_in": 0.5},
}
"""What a look at the fan would show where its kind alone decides it; None: the question does not arise."""

MOTOR_LOOKS = ("motor_label", "pull_chain_fan", "capacitor_in", "receiver_motor_leads")
"""Looks whose answers are clues: how likely each is stands in clues.toml."""


def _light_lead(fan: Fan, clues: CluesFile) -> Shares:
    if not fan.receiver or fan.hidden or fan.light == "none":
        return _sure(None)
    used = {"receiver_mains": "mains", "receiver_low_voltage": "low_voltage"}.get(fan.light)
    return _sure(used) if used else dict(clues.prior.unused_output.items())


def _joined_to(fan: Fan) -> str | None:
    if not fan.receiver or fan.hidden or fan.light == "none":
        return None
    return {"own_lead": "house_leg", "loose": "nothing"}.get(fan.light, "receiver")


def shares(survey: Survey, clues: CluesFile, h: Hypothesis, fact: str) -> Shares:
    """How likely each answer to an open look is in one case (shares sum to one)."""
    if fact in FAN_LOOKS:
        return FAN_LOOKS[fact](h, clues)
    if fact in MOTOR_LOOKS:
        return _clue_shares(clues, h.fan, fact)
    if fact in CONTROL_LOOKS:
        return control_shares(h.house, survey.facts, fact)
    possible = predicted(h.house, fact, survey.judge.bench)
    return dict.fromkeys(possible, 1 / len(possible)) if possible else _sure(None)


def _clue_shares(clues: CluesFile, fan: Fan, fact: str) -> Shares:
    """Answers to a clue by the motor; what the clues leave over shows nothing (None)."""
    seen_there = fan.receiver and not fan.hidden
    if fact == "receiver_motor_leads" and not seen_there:
        return _sure(None)
    found: dict[Hashable, float] = {}
    for clue in clues.motor:
        if clue.fact == fact:
            answer: Hashable = clue.value if clue.at_least is None else f"{clue.at_least} or more"
            found[answer] = clue.shares(receiver=fan.receiver)[fan.motor]
    total = sum(found.values())
    if total > 1:
        return {answer: p / total for answer, p in found.items()}
    return {**found, None: 1 - total}


WIRING_LOOKS = (*CONTROL_LOOKS, *(fact for fact, look in HOUSE_LOOKS.items() if look.ranked))
"""Looks at the house that are weighed as next checks."""


def ranked(
    knowledge: Knowledge,
    survey: Survey,
    facts: Mapping[str, Value],
    decided: Callable[[Hypothesis], Hashable],
    *,
    barred: Callable[[str], bool] = lambda _: False,
) -> tuple[Check, ...]:
    """Open looks that tell apart what `decided` keeps apart, most worth for their trouble first."""
    few = survey.hypotheses[:LOOKED_THROUGH]
    open_facts = [f for f in (*FAN_LOOKS, *MOTOR_LOOKS, *WIRING_LOOKS) if f not in facts and not barred(f)]
    open_facts = [f for f in open_facts if there_to_look_at(knowledge, facts, f)]
    if "region" not in facts:
        open_facts = [f for f in open_facts if f not in COLOUR_FACTS]

    def shown(h: Hypothesis, fact: str) -> Shares:
        return shares(survey, knowledge.clues, h, fact)

    return rank([(h, h.p) for h in few], decided, shown, open_facts, trouble_of(knowledge, facts, survey.untold))


def next_checks(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    survey: Survey,
    contradictions: tuple[tuple[str, ...], ...],
    region: Region | None,
    doubtful: Mapping[str, float],
    dangers: Sequence[str] = (),
    unsafe: Sequence[str] = (),
    twice: Collection[str] = (),
) -> tuple[NextCheck, ...]:
    """Most worth for the trouble first. A contradiction comes before everything: its answers again.

    Of those the likeliest slip comes first, for the trouble of looking again, and what was looked at twice (`twice`)
    last. `unsafe` are dangers that could not be told: they come first; other `dangers` come when everything else is
    decided, and none of them is left out.
    """
    names: list[str] = []
    barred = barred_by(knowledge, facts)
    if contradictions:
        trouble = trouble_of(knowledge, facts, survey.untold)
        at_odds = dict.fromkeys(f for conflict in contradictions for f in conflict)
        names = sorted(at_odds, key=lambda f: (f in twice, -doubtful.get(f, 0.0) / trouble(f)))
    else:
        names += by_worth(knowledge, facts, unsafe, trouble_of(knowledge, facts, survey.untold))
        if region is None:
            names.append("region")
        names += [c.fact for c in ranked(knowledge, survey, facts, survey.decided, barred=barred)]
        names += [f for f in survey.looks_waited_for() if f not in names and f not in facts and not barred(f)]
        if best := survey.agreed():
            names += [f for f in survey.hoped_for() if f not in facts and not barred(f)]
            names += [c.fact for c in ranked(knowledge, survey, facts, lambda h: h.wiring, barred=barred)]
            if region and not joints_known(survey, best.scheme, region):
                wirings = _wirings(survey)
                names += [c.fact for c in ranked(knowledge, wirings, facts, _joints_today, barred=barred)]
        if not names and "able_to_test_live" not in facts:
            waiting = left_to_others(knowledge, facts, survey)
            names += ["able_to_test_live"] * any(knowledge.tree.questions[f].power_on for f in waiting)
        if survey.nothing_fits() or not names:
            names += [f for f in ("may_replace_fan", "may_pull_cable") if f not in facts and survey.nothing_fits()]
    questions = knowledge.tree.questions
    told = [f for f in dict.fromkeys(names) if f in questions][:MOST]
    if not contradictions and survey.agreed():  # of these none is cut off
        told += [f for f in dict.fromkeys(dangers) if f not in told and not barred(f)]
    return tuple(NextCheck(fact=f, station=knowledge.tree.station_of[f], text=questions[f].look) for f in told)


def _wirings(survey: Survey) -> Survey:
    """The cases with each wiring in its other colours as a case of its own."""
    each = [
        replace(h, house=house, p=h.p / (1 + len(h.alike)), alike=())
        for h in survey.hypotheses[:LOOKED_THROUGH]
        for house in (h.house, *h.alike)
    ]
    return survey.of(tuple(each))


def _joints_today(h: Hypothesis) -> Hashable:
    return h.house.site, frozenset(h.house.wired.conductors.items())


def barred_by(knowledge: Knowledge, facts: Mapping[str, Value]) -> Callable[[str], bool]:
    """Looks that this person does not take: into a canopy that stays closed, with power on unless they are able.

    What there is nothing to look at for is no look at all.
    """
    questions, station_of = knowledge.tree.questions, knowledge.tree.station_of
    closed = facts.get("may_open_canopy") is False
    able = facts.get("able_to_test_live") is True

    def barred(fact: str) -> bool:
        question = questions.get(fact)
        powered = bool(question and question.power_on) and not able
        return moot(knowledge, facts, fact) or powered or (closed and station_of.get(fact) == "canopy")

    return barred


def moot(knowledge: Knowledge, facts: Mapping[str, Value], fact: str) -> bool:
    """Whether there is nothing to look at: no fan hangs yet, or what the question speaks of is not there."""
    if facts.get("fan_installed") is False:
        at_the_fan = {*FAN_LOOKS, *MOTOR_LOOKS, *(f for f, look in HOUSE_LOOKS.items() if look.of_fan)}
        if fact in at_the_fan or fact.startswith("control_"):
            return True
    return no_such_control(facts, fact) or not there_to_look_at(knowledge, facts, fact)


def there_to_look_at(knowledge: Knowledge, facts: Mapping[str, Value], fact: str) -> bool:
    """Whether what its question speaks of is known to be there."""
    question = knowledge.tree.questions.get(fact)
    return question is None or bool(all_hold(question.only_where, facts))


def left_to_others(knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey) -> tuple[str, ...]:
    """Looks that would decide and that only somebody else may take, most worth first."""
    barred = barred_by(knowledge, facts)
    names = [c.fact for c in ranked(knowledge, survey, facts, survey.decided)]
    if best := survey.agreed():
        names += [c.fact for c in ranked(knowledge, survey, facts, lambda h: h.wiring)]
        region = region_of(knowledge, facts)
        if region and not joints_known(survey, best.scheme, region):
            names += [c.fact for c in ranked(knowledge, _wirings(survey), facts, _joints_today)]
    names += [f for f in survey.looks_waited_for() if f not in facts and f not in PERMISSIONS]
    return tuple(f for f in dict.fromkeys(names) if barred(f) and not moot(knowledge, facts, f))
