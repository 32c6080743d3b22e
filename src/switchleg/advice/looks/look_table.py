"""The candidate table: every house and fan that the answers leave, with what each look that is left shows on it.

Policies are weighed on it, and the way into the cheaper station is told from it.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING, Any

from switchleg.advice.cases.open_cases import open_cases
from switchleg.advice.cases.survey import Survey
from switchleg.advice.looks.next_checks import WIRING_LOOKS
from switchleg.diagnosis.fans import Fan
from switchleg.diagnosis.houses.predictions import HOUSE_LOOKS, predicted
from switchleg.diagnosis.looks import Look, Table
from switchleg.schema.questions import Again, Value
from switchleg.tree.conditions import all_hold

if TYPE_CHECKING:
    from switchleg.diagnosis.houses.candidate import Candidate
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.clues import CluesFile

Answers = tuple[tuple[Value | None, float], ...]

FAN_FACTS = (
    "motor_label",
    "pull_chain_fan",
    "resumes_after_power_cut",
    "receiver",
    "receiver_label",
    "receiver_motor_plug",
    "receiver_motor_leads",
    "motor_leads_alike",
    "receiver_light_lead",
    "light_joined_to",
    "capacitor_in",
)
LEANING = ("remote_speeds", "remote_reverses", "reverse_slide", "start_behaviour", "fan_airflow_high")
"""Looks that only lean and never settle: the tree pays for them, no other policy would take them."""


def fan_answers(fan: Fan, clues: CluesFile) -> dict[str, Answers]:
    """What looks at the fan show: everything visible is marked, but a label or a chain need not be there.

    A chain beside a receiver that has no remote is left out, since the program takes chain and no remote as proof
    that there is none.
    """
    dc, seen = fan.motor == "dc", fan.receiver and not fan.hidden
    leads = {"ac": 2, "ac_tapped": 4, "dc": 3}[fan.motor]
    used = {"receiver_mains": "mains", "receiver_low_voltage": "low_voltage"}.get(fan.light)
    gives: Answers = ((used, 1.0),) if used else tuple(clues.prior.unused_output.items())
    joined = "house_leg" if fan.light == "own_lead" else "receiver"
    capacitor = {"ac": "fan", "ac_tapped": "receiver", "dc": "not_seen"}[fan.motor]
    if fan.motor == "ac_tapped" and not seen:
        capacitor = "not_seen"
    return {
        "motor_label": _as_often(clues, fan, "motor_label"),
        "pull_chain_fan": ((False, 1.0),)
        if fan.receiver and not fan.remote
        else _as_often(clues, fan, "pull_chain_fan"),
        "resumes_after_power_cut": ((fan.resumes, 1.0),),
        "receiver": ((seen, 1.0),),
        "receiver_label": ((("dc_out" if dc else "ac_out") if seen else None, 1.0),),
        "receiver_motor_plug": ((dc if seen else None, 1.0),),
        "receiver_motor_leads": ((leads if seen else None, 1.0),),
        "motor_leads_alike": ((dc if seen and leads == 3 else None, 1.0),),
        "receiver_light_lead": gives if seen and fan.light != "none" else ((None, 1.0),),
        "light_joined_to": ((joined if seen and fan.light != "none" else None, 1.0),),
        "capacitor_in": ((capacitor, 1.0),),
    }


def _as_often(clues: CluesFile, fan: Fan, fact: str) -> Answers:
    """The answers as often as clues.toml says that such a fan shows them."""
    found = {c.value: c.shares(receiver=fan.receiver)[fan.motor] for c in clues.motor if c.fact == fact}
    total = sum(found.values())
    return tuple((value, p / total) for value, p in found.items() if p)


def wiring_answers(knowledge: Knowledge, survey: Survey, house: Candidate, facts: Sequence[str]) -> dict[str, Answers]:
    """What looks at the wiring show, read off the candidate's circuit; equally likely where it may look two ways.

    A cable that carries the feed on counts as one cable.
    """
    works: list[Value] = [a.works for a in house.active for _ in a.boxes]
    if not house.has_light:
        works = ["fan" if w == "both" else w for w in works]
    found: dict[str, Answers] = {
        "wall_controls": ((len(works), 1.0),),
        "control_1_does": ((works[0] if works else None, 1.0),),
        "control_2_does": ((works[1] if len(works) > 1 else None, 1.0),),
    }
    there = {**survey.facts, "wall_controls": len(works), "wall_boxes": len(house.site.wall_boxes)}
    for fact in facts:
        if not all_hold(knowledge.tree.questions[fact].only_where, there):
            found[fact] = ((None, 1.0),)
        elif fact not in found:
            seen = sorted(predicted(house, fact, survey.judge.bench), key=str)
            if fact.endswith("_cables"):
                seen = seen[:1]
            found[fact] = tuple((value, 1 / len(seen)) for value in seen) or ((None, 1.0),)
    return found


@dataclass(frozen=True)
class Case:
    """The table under one set of given facts. `covered`: the share of its hypotheses that are kept."""

    given: Mapping[str, Value]
    table: Table
    rows: tuple[Mapping[str, Value], ...]
    hypotheses: int
    merged: int
    covered: float
    torn: float


def case(knowledge: Knowledge, given: Mapping[str, Value], *, covering: float, most: int) -> Case:
    """Merge hypotheses alike in every answer; keep the likeliest until `covering` of the mass or `most` rows."""
    return case_of(knowledge, given, open_cases(knowledge, given).survey, covering=covering, most=most)


def case_of(knowledge: Knowledge, given: Mapping[str, Value], survey: Survey, *, covering: float, most: int) -> Case:
    """`case` on hypotheses that are judged already."""
    names = [f for f in (*FAN_FACTS, *WIRING_LOOKS) if f not in given and not _moot(knowledge, f, given)]
    about_house = [f for f in names if f in WIRING_LOOKS]
    found: dict[tuple[Value | None, ...], dict[Hashable, float]] = {}
    seen_at: dict[int, dict[str, Answers]] = {}
    for h in survey.hypotheses:
        if id(h.house) not in seen_at:
            seen_at[id(h.house)] = wiring_answers(knowledge, survey, h.house, about_house)
        answers = {**fan_answers(h.fan, knowledge.clues), **seen_at[id(h.house)]}
        decided = survey.decided(h)
        for row, p in _combined([answers[name] for name in names]):
            into = found.setdefault(row, {})
            into[decided] = into.get(decided, 0.0) + h.p * p
    ordered = sorted(found.items(), key=lambda kv: -sum(kv[1].values()))
    kept: list[tuple[tuple[Value | None, ...], dict[Hashable, float]]] = []
    mass = 0.0
    for row, by_class in ordered:
        if mass >= covering or len(kept) == most:
            break
        kept.append((row, by_class))
        mass += sum(by_class.values())
    shares = tuple(sum(s.values()) / mass for _, s in kept)
    classes = tuple(frozenset(s) for _, s in kept)
    torn = sum(p for p, c in zip(shares, classes, strict=True) if len(c) > 1)
    table = Table(shares, classes, _looks(knowledge, names, [row for row, _ in kept]), _opening(knowledge))
    known = [{n: v for n, v in zip(names, row, strict=True) if v is not None} for row, _ in kept]
    return Case(given, table, tuple(known), len(survey.hypotheses), len(found), mass, torn)


def _moot(knowledge: Knowledge, fact: str, given: Mapping[str, Value]) -> bool:
    """Whether nothing is there to be looked at, or the power would have to be on."""
    if fact in ("receiver_light_lead", "light_joined_to"):
        return given.get("light_kit") == "none"
    question = knowledge.tree.questions[fact]
    absent = question.power_on or all_hold(question.only_where, given) is False
    return absent or (given.get("wall_boxes") == 0 and fact in WIRING_LOOKS and fact != "ceiling_cables")


def _combined(answers: list[Answers]) -> Iterator[tuple[tuple[Value | None, ...], float]]:
    for chosen in product(*answers):
        p = 1.0
        for _, share in chosen:
            p *= share
        yield tuple(value for value, _ in chosen), p


def _opening(knowledge: Knowledge) -> dict[str, float]:
    return {name: cost for name, cost in knowledge.clues.trouble.station.items() if cost}


def _looks(knowledge: Knowledge, names: list[str], rows: list[tuple[Value | None, ...]]) -> tuple[Look, ...]:
    """A look for each station where the tree asks for the fact; then what only leans, and the bare openings."""
    tree, trouble = knowledge.tree, knowledge.clues.trouble
    beyond = {fact: look.beyond for fact, look in HOUSE_LOOKS.items()}
    found = []
    for place, name in enumerate(names):
        nodes = [at for at, node in tree.nodes.items() if at == name or (isinstance(node, Again) and node.fact == name)]
        for station in dict.fromkeys(tree.station_of[at] for at in nodes):
            answers = tuple(_typed(row[place]) for row in rows)
            cost, also = trouble.fact.get(name, trouble.otherwise), beyond.get(name)
            found.append(Look(f"{name}@{station}", answers, cost, station, also))
    same = ("",) * len(rows)
    found += [Look(f"{f}@floor", same, trouble.fact.get(f, trouble.otherwise), "floor") for f in LEANING]
    found += [Look(f"open {station}", same, 0.0, station) for station in _opening(knowledge)]
    return tuple(found)


def _typed(value: Value | None) -> Any:
    """One is not yes."""
    return (type(value).__name__, value)
