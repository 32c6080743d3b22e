"""Facts that note which of them are asked for, handed to each part of the reasoning: stories and the demo's fans."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from unittest.mock import Mock, patch

from same_advice import stories

from switchleg.advice.cases import beliefs, hazards
from switchleg.advice.cases.open_cases import open_cases
from switchleg.advice.cases.survey import Survey
from switchleg.advice.model import SchemeVerdict
from switchleg.advice.numbers import safety
from switchleg.advice.numbers.boxes import room_warnings
from switchleg.advice.numbers.choosing import choosing_lines
from switchleg.advice.numbers.safety import FullBoxes
from switchleg.advice.numbers.sheets import number_lines
from switchleg.advice.plans import preparations, unproved
from switchleg.advice.plans.attempts import Tried
from switchleg.advice.plans.judge import Judge
from switchleg.advice.verdict import warnings
from switchleg.advice.verdict.schemes import scheme_verdicts
from switchleg.advice.work.shopping import not_to_buy, parts_to_buy
from switchleg.command.demo.script import load_plan
from switchleg.diagnosis.fans import possible_fans
from switchleg.figures.fan.motor_clues import derived_numbers
from switchleg.figures.fan.placing import placing
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load
from switchleg.schema.questions import STATIONS, Value

EVERY = 8
"""Of so many stories one is taken, and all in which cables go on from the ceiling."""
FEW = 4


class Noting(dict[str, Value]):
    """Facts that note which of them were asked for, told or not."""

    def __init__(self, facts: Mapping[str, Value]) -> None:
        super().__init__(facts)
        self.asked: set[str] = set()

    def get(self, fact: str, otherwise: object = None) -> Value:  # type: ignore[override]
        self.asked.add(fact)
        return super().get(fact, otherwise)  # type: ignore[arg-type,return-value]

    def __getitem__(self, fact: str) -> Value:
        self.asked.add(fact)
        return super().__getitem__(fact)

    def __contains__(self, fact: object) -> bool:
        self.asked.add(str(fact))
        return super().__contains__(fact)


def told() -> Iterator[tuple[dict[str, Value], frozenset[str]]]:
    """What is known and what could not be told: of some stories, and of every fan of the demo."""
    met: set[str] = set()
    for number, (_, facts, untold) in enumerate(stories()):
        doubtful = facts.get("receiver_light_lead") == "mains" and "light_joined_to" not in facts
        if number % EVERY == 0 or facts.get("ceiling_cables", 0) > 1 or doubtful or not facts.keys() <= met:
            met |= facts.keys()
            yield parse_facts(load(), facts), frozenset(untold)
    for room in load_plan(load()).room:
        facts = {f: v for station in STATIONS for f, v in room.told(station).items()}
        yield parse_facts(load(), facts), frozenset()


def judging(survey: Survey, facts: Mapping[str, Value], blind: frozenset[str]) -> Judge:
    """A judge like that of the survey, which hears these answers and has forgotten all it judged."""
    old, region = survey.judge, beliefs.region_of(load(), facts)
    return Judge(
        schemes=old.schemes,
        preparations=old.preparations,
        rules=old.rules,
        bench=old.bench,
        heard=facts,
        blind=blind,
        coloured=old.coloured,
        wall_light_required=old.wall_light_required,
        full_boxes=FullBoxes(facts, region, load().tables),
        drawer=old.drawer,
    )


class Unread(frozenset[str]):
    """Facts that could not be told, which note in the same place which of them were asked for."""

    asked: set[str]

    def __contains__(self, fact: object) -> bool:
        self.asked.add(str(fact))
        return super().__contains__(fact)


class Case:
    """One set of answers with what was made of them."""

    def __init__(self, facts: Mapping[str, Value], untold: frozenset[str]) -> None:
        region = beliefs.region_of(load(), facts)
        cases = open_cases(load(), facts, untold)
        fans, self.survey = cases.fans, cases.survey
        self.motor = fans.settled
        schemes = scheme_verdicts(load(), facts, self.survey, region)
        self.plans = [scheme for scheme in schemes if scheme.plan is not None and scheme.verdict != "ruled_out"]


def premise(case: Case, facts: Noting, untold: Unread) -> None:
    region = beliefs.region_of(load(), facts)
    load().wiring.hangs(facts.get("other_load_kind"))
    with patch.multiple(beliefs, possible_wirings=Mock(), possible_fans=Mock(), derived_numbers=Mock(return_value=())):
        beliefs.beliefs(load(), facts, region, case.survey.judge.bench, untold)


def fans(case: Case, facts: Noting, untold: Unread) -> None:  # noqa: ARG001
    derived_numbers(facts, 120)
    possible_fans(load().clues, facts, {}, untold)


def judged(case: Case, facts: Noting, untold: Unread) -> None:
    judge = judging(case.survey, facts, untold)
    for h in case.survey.hypotheses[:FEW]:
        judge.best(h.house, h.fan)
        judge.hoped_for(h.house, h.fan)
        for scheme in judge.schemes.scheme:
            judge.outcome(scheme, h.house, h.fan)


def work(case: Case, facts: Noting, untold: Unread) -> None:
    survey = case.survey
    for h in case.survey.hypotheses[:FEW]:
        best = survey.best(h)
        if best is not None and best.plan is not None:
            tried = Tried(best.plan, {}, survey.judge.bench)
            tuple(unproved.unproved(tried, facts, untold, coloured=True))
            preparations.needed(best.plan, survey.judge.bench, facts, box_full=False)
            warnings._never_off(load(), facts, best, survey)


def danger(case: Case, facts: Noting, untold: Unread) -> None:  # noqa: ARG001
    safety.stops(facts, load().tables)
    safety.figure_warnings(facts, load().tables)
    safety.support_warning(facts, load().tables)
    for fans in ({h.fan for h in case.survey.hypotheses}, set()):
        hazards.hazards(load(), facts, fans)
        tuple(hazards.open_facts(load(), facts, fans))


def figure(case: Case, facts: Noting, untold: Unread) -> None:  # noqa: ARG001
    region = beliefs.region_of(load(), facts)
    safety.wall_fill(facts, region, load().tables)
    tuple(placing(facts, load().tables))
    for chosen in (None, *case.plans):
        tuple(number_lines(load(), facts, chosen, case.motor))
        tuple(choosing_lines(load(), facts, chosen))
        if region is not None:
            room_warnings(load(), facts, region, chosen)


def parts(case: Case, facts: Noting, untold: Unread) -> None:  # noqa: ARG001
    for chosen in map(asking_for_all, case.plans):
        tuple(parts_to_buy(load(), facts, chosen))
        tuple(not_to_buy(load(), facts, chosen, None))


HEARERS: Mapping[str, Callable[[Case, Noting, Unread], None]] = {
    "premise": premise,
    "fans": fans,
    "judged": judged,
    "work": work,
    "danger": danger,
    "figure": figure,
    "parts": parts,
}


def awkward(facts: Mapping[str, Value]) -> dict[str, Value]:
    """The same by watts alone, without what was seen under the canopy, and with wall controls that shape the power."""
    kept = {f: v for f, v in facts.items() if load().tree.station_of[f] != "canopy" and f != "fan_amps"}
    return {**kept, "fan_watts_high": "60 W", "control_1_kind": "dimmer", "control_2_kind": "speed"}


def asking_for_all(chosen: SchemeVerdict) -> SchemeVerdict:
    """The same plan with a new box for the fan, and with another load on every part."""
    preparations = (*chosen.preparations, "fan_rated_box")
    return chosen.model_copy(update={"preparations": preparations, "beside_other": tuple(chosen.parts)})


@cache
def asked_for() -> Mapping[str, frozenset[str]]:
    """For every part of the reasoning the facts that it asked for."""
    found: dict[str, set[str]] = defaultdict(set)
    for facts, could_not in told():
        case = Case(facts, could_not)
        for use, hear in HEARERS.items():
            for heard in (facts, awkward(facts)):
                noting, untold = Noting(heard), Unread(load().tree.questions.keys() - heard.keys())
                untold.asked = noting.asked
                hear(case, noting, untold)
                found[use] |= noting.asked
    return {use: frozenset(names) for use, names in found.items()}
