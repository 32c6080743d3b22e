"""Which open questions would bring the recommendation closer, and what to say about each."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.model import NextCheck
from switchleg.advice.numbers import support_warning
from switchleg.advice.survey import LOOKED_THROUGH, Hypothesis, Survey
from switchleg.diagnosis.next_check import Check, rank
from switchleg.diagnosis.shows import COLOUR_FACTS, predicted
from switchleg.tree.model import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.knowledge.regions import Region

MOST = 6
"""Checks named at once: more is no help on a ladder."""

FAN_LOOKS: dict[str, Callable[[Hypothesis], Hashable]] = {
    "receiver": lambda h: h.fan.receiver and not h.fan.hidden,
    "handheld_remote": lambda h: h.fan.remote,
    "resumes_after_power_cut": lambda h: h.fan.resumes if h.fan.receiver else None,
    "receiver_light_lead": lambda h: h.fan.light if h.fan.receiver else None,
    "light_kit": lambda h: h.fan.light != "none",
    "capacitor_in": lambda h: h.fan.motor if h.fan.motor != "dc" else None,
    "receiver_motor_leads": lambda h: (h.fan.motor == "ac") if h.fan.receiver else None,
    "motor_label": lambda h: h.fan.motor == "dc",
    "pull_chain_fan": lambda h: h.fan.motor == "ac" and not h.fan.receiver,
}
"""What a look at the fan would show, as far as kinds of fan differ in it."""

WIRING_LOOKS = (
    "wall_boxes",
    "wall_controls",
    "control_1_does",
    "control_2_does",
    "wall_cables",
    "run_conductors",
    "run_spare",
    "neutral_bundle",
    "white_on_control",
    "hot_at_ceiling_switch_off",
    "ceiling_cables",
    "capped_end_at_ceiling",
    "neutral_reading",
    "switches_work_together",
    "other_load_works_with",
)


def ranked(
    survey: Survey,
    facts: Mapping[str, Value],
    decided: Callable[[Hypothesis], Hashable],
    trouble: Callable[[str], float],
    *,
    barred: Callable[[str], bool] = lambda _: False,
) -> tuple[Check, ...]:
    """Open looks that tell apart what `decided` keeps apart, most worth for their trouble first."""
    few = survey.hypotheses[:LOOKED_THROUGH]
    bench = survey.judge.bench
    open_facts = [f for f in (*FAN_LOOKS, *WIRING_LOOKS) if f not in facts]
    open_facts = [f for f in open_facts if not barred(f)]
    if facts.get("acts_on_other_loads") is not True:
        open_facts = [f for f in open_facts if f != "other_load_works_with"]
    if "region" not in facts:
        open_facts = [f for f in open_facts if f not in COLOUR_FACTS]

    def shown(h: Hypothesis, fact: str) -> Hashable:
        if fact in FAN_LOOKS:
            return FAN_LOOKS[fact](h)
        if fact in ("control_1_does", "control_2_does", "wall_controls"):
            return tuple(sorted((a.works, len(a.boxes)) for a in h.house.active))
        return predicted(h.house, fact, bench)

    return rank([(h, h.p) for h in few], decided, shown, open_facts, trouble)


def next_checks(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    survey: Survey,
    contradictions: tuple[tuple[str, ...], ...],
    region: Region | None,
) -> tuple[NextCheck, ...]:
    """Most worth for the trouble first. A contradiction comes before everything: its answers again."""
    names: list[str] = []
    if contradictions:
        names = list(dict.fromkeys(f for conflict in contradictions for f in conflict))
    else:
        if region is None:
            names.append("region")
        trouble = trouble_of(knowledge, facts)
        barred = barred_by(knowledge, facts)
        names += [c.fact for c in ranked(survey, facts, survey.decided, trouble, barred=barred)]
        if survey.agreed():
            names += [c.fact for c in ranked(survey, facts, lambda h: h.wiring, trouble, barred=barred)]
        if not names and "able_to_test_live" not in facts:
            waiting = left_to_others(knowledge, facts, survey)
            names += ["able_to_test_live"] * any(knowledge.tree.questions[f].power_on for f in waiting)
        if support_warning(facts, knowledge.tables) and "fan_box_rating" not in facts:
            names.append("fan_box_rating")
        if survey.nothing_fits() or not names:
            names += [f for f in ("may_replace_fan", "may_pull_cable") if f not in facts and survey.nothing_fits()]
    questions = knowledge.tree.questions
    return tuple(
        NextCheck(fact=f, station=knowledge.tree.station_of[f], text=questions[f].look) for f in names if f in questions
    )[:MOST]


def barred_by(knowledge: Knowledge, facts: Mapping[str, Value]) -> Callable[[str], bool]:
    """Looks that this person does not take: into a canopy that stays closed, with power on unless they are able."""
    questions, station_of = knowledge.tree.questions, knowledge.tree.station_of
    closed = facts.get("may_open_canopy") is False
    able = facts.get("able_to_test_live") is True
    no_fan = facts.get("fan_installed") is False

    def barred(fact: str) -> bool:
        question = questions.get(fact)
        if no_fan and (fact in FAN_LOOKS or fact.startswith("control_")):
            return True
        return (closed and station_of.get(fact) == "canopy") or (bool(question and question.power_on) and not able)

    return barred


def left_to_others(knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey) -> tuple[str, ...]:
    """Looks that would decide and that only somebody else may take."""
    barred = barred_by(knowledge, facts)
    checks = ranked(survey, facts, survey.decided, trouble_of(knowledge, facts))
    return tuple(c.fact for c in checks if barred(c.fact))


def trouble_of(knowledge: Knowledge, facts: Mapping[str, Value]) -> Callable[[str], float]:
    """Marginal trouble of a look: its own, and its station's opening unless something there is known already."""
    station_of, data = knowledge.tree.station_of, knowledge.clues.trouble
    opened = {"floor"} | {station_of[f] for f in facts if f in station_of}

    def trouble(fact: str) -> float:
        station = station_of.get(fact, "floor")
        return data.fact.get(fact, data.otherwise) + (0.0 if station in opened else data.station[station])

    return trouble
