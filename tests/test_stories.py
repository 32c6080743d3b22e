"""Stories as data: what an electrician would say of a house, held against what the reasoning says.

The facts and the expected verdict stand in stories/*.toml with the one who says so; here they are only compared.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel, ConfigDict, Field

from switchleg.advice.advise import advise
from switchleg.advice.model import Advice, SchemeVerdict
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load

FOLDER = Path(__file__).parent / "stories"
SETS: dict[str, dict[str, Any]] = tomllib.loads((FOLDER / "fact_sets.toml").read_text(encoding="utf-8"))


class Story(BaseModel):
    """One story. An expectation that is left out is not looked at."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: str
    says_who: str = Field(min_length=8)
    sets: list[str]
    but: dict[str, bool | int | str] = {}
    unknown: list[str] = []
    untold: list[str] = []
    """Facts that somebody looked for and could not tell."""
    topology: str = ""
    status: str = ""
    not_status: str = ""
    motor_settled: str = ""
    """A kind, or "none" for a motor that must not be settled."""
    motor_likeliest: str = ""
    wiring_settled: bool | None = None
    wiring_has: list[str] = []
    wiring_has_all: list[str] = []
    wiring_lacks: list[str] = []
    """Pieces of the settled wiring's id; of every wiring's id; of no wiring's id."""
    scheme: str = ""
    preparations_with: list[str] = Field(default=[], alias="with")
    without: list[str] = []
    scheme_preparations: dict[str, list[str]] = {}
    verdicts: dict[str, str] = {}
    """A verdict, "ruled_out RULE", or "not fits" for anything but fits and fits_with_preparation."""
    stops: list[str] = []
    not_stops: list[str] = []
    contradictions: list[list[str]] | None = None
    contradiction_holds: list[str] = []
    next_checks: list[str] = []
    next_checks_any: list[str] = []
    no_next_check_at: list[str] = []
    no_next_check_of: list[str] = []
    warns: list[str] = []
    warns_not: list[str] = []
    not_silent_about: str = ""
    """A word that a recommendation may not do without: in a warning, a reason, a check or a stop."""
    plan_says: list[str] = []
    plan_says_not: list[str] = []
    no_plans: bool = False
    legs_told_apart: bool = False
    box_or_elsewhere: bool = False

    def facts(self) -> dict[str, Any]:
        merged: dict[str, Any] = {}
        for name in self.sets:
            merged |= SETS[name]
        merged |= self.but
        return {fact: value for fact, value in merged.items() if fact not in self.unknown}


def _stories() -> list[Story]:
    found: list[Story] = []
    for file in sorted(FOLDER.glob("*.toml")):
        if file.name != "fact_sets.toml":
            found += [Story(**one) for one in tomllib.loads(file.read_text(encoding="utf-8"))["story"]]
    return found


STORIES = _stories()


@cache
def told(name: str) -> Advice:
    """The advice for a story, worked out once for all tests that look at it."""
    story = next(s for s in STORIES if s.name == name)
    knowledge = load()
    facts = parse_facts(knowledge, story.facts(), f"the story {name}")
    return advise(knowledge, facts, [fact for fact in story.untold if fact not in facts])


def _scheme(advice: Advice, scheme: str) -> SchemeVerdict:
    return next(s for s in advice.schemes if s.id == scheme)


def _plan_lines(verdict: SchemeVerdict) -> list[str]:
    splices = [(box.box, splice) for box in verdict.plan or () for splice in box.splices]
    return [f"{box} | {s.net} | {'; '.join(s.ends)} | {s.remark}" for box, s in splices]


def _verdict_held(advice: Advice, scheme: str, expected: str) -> str:
    """Nothing, or what is wrong."""
    verdict = _scheme(advice, scheme)
    rules = {r.rule for r in verdict.reasons}
    said = f"{scheme} is {verdict.verdict} by {sorted(rules)}, expected {expected}"
    if expected == "not fits":
        return said if verdict.verdict.startswith("fits") else ""
    word, _, rule = expected.partition(" ")
    return said if verdict.verdict != word or (rule and rule not in rules) else ""


def _settled_faults(story: Story, advice: Advice) -> list[str]:
    faults: list[str] = []
    if story.motor_settled and advice.motor_settled != (None if story.motor_settled == "none" else story.motor_settled):
        faults.append(f"motor settled as {advice.motor_settled}, expected {story.motor_settled}")
    if story.motor_likeliest and max(advice.motor, key=lambda kind: advice.motor[kind]) != story.motor_likeliest:
        faults.append(f"likeliest motor of {advice.motor} is not {story.motor_likeliest}")
    if story.wiring_settled is not None and (advice.wiring_settled is not None) != story.wiring_settled:
        faults.append(f"wiring settled as {advice.wiring_settled}")
    ids = [w.id for w in advice.wirings]
    for piece in story.wiring_has:
        if piece not in (advice.wiring_settled or ""):
            faults.append(f"settled wiring {advice.wiring_settled} of {ids[:4]} lacks {piece}")
    for piece in story.wiring_has_all:
        if not ids or any(piece not in i for i in ids):
            faults.append(f"not every wiring of {ids[:6]} has {piece}")
    for piece in story.wiring_lacks:
        if not ids or any(piece in i for i in ids):
            faults.append(f"there is none, or one with {piece}, among {ids[:6]}")
    return faults


def _choice_faults(story: Story, advice: Advice) -> list[str]:
    faults: list[str] = []
    chosen = advice.recommendation
    if story.scheme and (chosen is None or chosen.scheme != story.scheme):
        faults.append(f"recommended {chosen and chosen.scheme}, expected {story.scheme}")
    preparations = chosen.preparations if chosen else ()
    faults += [f"{p} is missing in {preparations}" for p in story.preparations_with if p not in preparations]
    faults += [f"{p} should not be in {preparations}" for p in story.without if p in preparations]
    for scheme, wanted in story.scheme_preparations.items():
        there = _scheme(advice, scheme).preparations
        faults += [f"{p} is missing in {scheme}'s {there}" for p in wanted if p not in there]
    faults += [f for s, e in story.verdicts.items() if (f := _verdict_held(advice, s, e))]
    two_devices = chosen is not None and chosen.scheme in ("wall_speed_and_light", "wall_switch_and_light")
    if story.box_or_elsewhere and two_devices and "larger_box" not in preparations:
        faults.append("two devices go into a full box")
    return faults


def _check_faults(story: Story, advice: Advice) -> list[str]:
    faults: list[str] = []
    stops = [s.rule for s in advice.stops]
    faults += [f"stop {s} is missing in {stops}" for s in story.stops if s not in stops]
    faults += [f"stop {s} should not be" for s in story.not_stops if s in stops]
    sets = {frozenset(c) for c in advice.contradictions}
    if story.contradictions is not None:
        wanted = {frozenset(c) for c in story.contradictions}
        if not wanted <= sets or (not wanted and sets):
            faults.append(f"contradictions {[sorted(s) for s in sets]}, expected {story.contradictions}")
    missing = [f for f in story.contradiction_holds if not any(f in s for s in sets)]
    faults += [f"no contradiction holds {f}: {sets}" for f in missing]
    checks = [c.fact for c in advice.next_checks]
    faults += [f"{f} is not among the next checks {checks}" for f in story.next_checks if f not in checks]
    if story.next_checks_any and not set(story.next_checks_any) & set(checks):
        faults.append(f"none of {story.next_checks_any} is among {checks}")
    barred = [c for c in advice.next_checks if c.station in story.no_next_check_at]
    faults += [f"{c.fact} should not be asked at the {c.station}" for c in barred]
    faults += [f"{f} should not be asked" for f in story.no_next_check_of if f in checks]
    return faults


def _word_faults(story: Story, advice: Advice) -> list[str]:
    faults = [f"no warning says {w!r}" for w in story.warns if not any(w in text for text in advice.warnings)]
    faults += [f"a warning says {w!r}" for w in story.warns_not if any(w in text for text in advice.warnings)]
    chosen = _scheme(advice, advice.recommendation.scheme) if advice.recommendation else None
    lines = _plan_lines(chosen) if chosen else []
    said = " ".join((*advice.warnings, *(r.text for r in chosen.reasons if chosen), *lines)) if chosen else ""
    if story.not_silent_about and chosen and story.not_silent_about not in said:
        faults.append(f"{chosen.id} is recommended without a word about {story.not_silent_about!r}")
    faults += [f"the plan does not say {p!r}: {lines}" for p in story.plan_says if not any(p in line for line in lines)]
    faults += [f"the plan says {p!r}" for p in story.plan_says_not if any(p in line for line in lines)]
    if story.no_plans and any(s.plan for s in advice.schemes):
        faults.append("a plan is shown")
    if story.legs_told_apart:
        legs = [line for line in lines if "'s leg" in line]
        kinds = [(step.kind, "Tag" in step.text) for step in chosen.steps] if chosen else []
        first = next((n for n, (kind, _) in enumerate(kinds) if kind == "take_apart"), 0)
        marked = legs and all("tag" in line.rpartition("|")[2] for line in legs)
        if not (marked and ("mark", True) in kinds[:first]):
            faults.append(f"nothing says how to tell the legs apart: {legs}")
    return faults


@pytest.mark.parametrize("story", STORIES, ids=lambda s: s.name)
def test_story(story: Story) -> None:
    """Every story comes out as the one who says so would have it, and its status is borne out by the rest."""
    advice = told(story.name)
    _status_holds(advice)
    faults = [] if story.status in ("", advice.status) else [f"status {advice.status}, expected {story.status}"]
    faults += [f"status {advice.status}"] if story.not_status == advice.status else []
    faults += _settled_faults(story, advice)
    faults += _choice_faults(story, advice)
    faults += _check_faults(story, advice)
    faults += _word_faults(story, advice)
    assert not faults, f"{story.says_who}:\n  " + "\n  ".join(faults)


def test_names_are_told_once() -> None:
    """No two stories share a name."""
    names = [s.name for s in STORIES]
    assert len(names) == len(set(names))


def test_every_scheme_wins_and_loses() -> None:
    """Every scheme is expected to be recommended in one story and to be ruled out in another."""
    schemes = {s.id for s in load().schemes.scheme}
    assert schemes <= {s.scheme for s in STORIES}
    assert schemes <= {n for s in STORIES for n, v in s.verdicts.items() if v.startswith("ruled_out")}


def test_every_stop_has_a_story() -> None:
    """Every stop that facts can bring about ends a story; a short is not among them, plans are checked for it."""
    rules = load().rules
    stops = {s.id for s in rules.stop} | {t.id for t in rules.tested if t.severity == "stop"}
    assert stops - {"short"} <= {s for story in STORIES for s in story.stops}


def test_every_wiring_and_region_has_a_story() -> None:
    """All usual topologies and all regions are told."""
    assert set("abcdefghijk") <= {s.topology for s in STORIES}
    assert set(load().regions) <= {str(s.facts().get("region")) for s in STORIES}


def _status_holds(advice: Advice) -> None:
    """Stop exactly with stops, a recommendation exactly when recommended, beliefs that sum to one."""
    assert (advice.status == "stop") == bool(advice.stops)
    assert (advice.status == "recommended") == (advice.recommendation is not None)
    if not advice.contradictions:
        assert sum(advice.motor.values()) == pytest.approx(1, abs=1e-3)
        assert sum(w.p for w in advice.wirings) == pytest.approx(1, abs=2e-2)
    if advice.status == "needs_checks":
        assert advice.next_checks, "checks needed, none named"
