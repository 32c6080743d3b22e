"""What holds for every advice, whatever was answered: facts drawn from the tree's questions and from the stories."""

from __future__ import annotations

import json
from typing import Any, get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from test_stories import STORIES

from switchleg.advice.advise import advise
from switchleg.advice.card.build import build_card
from switchleg.advice.model import Advice
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load
from switchleg.schema.parts import OtherKind
from switchleg.schema.questions import Question, Value

TOP_KEYS = {
    *("format", "status", "motor", "motor_settled", "wirings", "wiring_settled", "recommendation", "schemes"),
    *("stops", "contradictions", "next_checks", "box_fill", "warnings", "sources"),
}
PART_KEYS = {
    "wirings": {"id", "p", "words"},
    "schemes": {"id", "verdict", "preparations", "reasons", "keeps", "plan"},
    "stops": {"rule", "text", "facts"},
    "next_checks": {"fact", "station", "text"},
}
"""Keys of `advise --json` as the design gives them; more may be added."""

MEASURES = {
    "current": ["0.3 A", "15 A", "20 A"], "power": ["25 W", "70 W"], "volume": ["12.5 in3", "22 in3", "300 mL"],
    "mass": ["7 kg", "40 lb", "80 lb"], "length": ["2.1 m", "9 ft"], "area": ["12 m2"],
    "airflow": ["3000 cfm", "6000 cfm"], "wire": ["14 AWG", "12 AWG", "1.5 mm2"], "temperature": ["50 C"],
    "space": ["300 mL"], "angle": ["20 deg"],
}  # fmt: skip


def _values(question: Question) -> st.SearchStrategy[Value]:
    given_values = [a.value for a in question.answers if a.value is not None]
    given_values += [a.at_least + n for a in question.answers if a.at_least is not None for n in (0, 1)]
    if question.kind == "measure":
        given_values += MEASURES[question.dimension or ""]
    return st.sampled_from(given_values)


@st.composite
def any_facts(draw: st.DrawFn) -> dict[str, Value]:
    """A region and any twenty or more of the tree's facts with any values: mostly nonsense. With fewer an advice takes
    seconds; stories tell little too."""
    questions = load().tree.questions
    names = draw(st.lists(st.sampled_from(sorted(questions)), unique=True, min_size=20, max_size=50))
    return {name: draw(_values(questions[name])) for name in ("region", *names)}


@st.composite
def nearly_stories(draw: st.DrawFn) -> dict[str, Value]:
    """A story's facts with some left out and up to two changed; mostly sense."""
    questions = load().tree.questions
    facts = dict(draw(st.sampled_from(STORIES)).facts())
    for name in draw(st.lists(st.sampled_from(sorted(facts) or ["region"]), unique=True, max_size=6)):
        facts.pop(name, None)
    for name in draw(st.lists(st.sampled_from(sorted(questions)), unique=True, max_size=2)):
        facts[name] = draw(_values(questions[name]))
    return facts


def told(facts: dict[str, Any]) -> Advice:
    knowledge = load()
    return advise(knowledge, parse_facts(knowledge, facts, "drawn facts"))


FEW = settings(max_examples=12, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
SHAPES = {"fan_speed_control", "combined_control", "canopy_speed_module"}


def holds_for(facts: dict[str, Any], advice: Advice) -> None:
    """All that must be true of any advice."""
    assert (advice.status == "stop") == bool(advice.stops)
    assert (advice.status == "recommended") == (advice.recommendation is not None)
    handed_over = any("electrician can say" in w for w in advice.warnings)
    assert advice.status != "needs_checks" or advice.next_checks or handed_over, "checks needed, none named"
    if not advice.contradictions:
        if facts.get("fan_installed") is not False:
            assert sum(advice.motor.values()) == pytest.approx(1, abs=1e-3)
        assert sum(w.p for w in advice.wirings) == pytest.approx(1, abs=0.02)
    assert all(0 <= w.p <= 1 for w in advice.wirings)
    dumped = json.loads(json.dumps(advice.model_dump(mode="json")))
    assert set(dumped) >= TOP_KEYS
    for part, keys in PART_KEYS.items():
        assert all(set(one) >= keys for one in dumped[part])
    assert all(set(r) >= {"rule", "text", "facts"} for s in dumped["schemes"] for r in s["reasons"])
    assert dumped["box_fill"] is None or set(dumped["box_fill"]) >= {"required_cm3", "available_cm3", "fits", "lines"}
    for scheme in advice.schemes:
        assert scheme.verdict != "ruled_out" or scheme.reasons or advice.contradictions, scheme.id
    if advice.recommendation:
        recommended_rightly(facts, advice)


def recommended_rightly(facts: dict[str, Any], advice: Advice) -> None:
    """A recommendation respects the motor, the permissions, the musts and the region."""
    chosen = advice.recommendation
    assert chosen is not None
    verdict = next(s for s in advice.schemes if s.id == chosen.scheme)
    assert verdict.verdict in ("fits", "fits_with_preparation")
    new_fan = "replace_fan_ac" in chosen.preparations or facts.get("fan_installed") is False
    if set(verdict.parts) & SHAPES:
        assert new_fan or advice.motor_settled == "ac"
        assert "keep_receiver" not in chosen.preparations
        assert facts.get("acts_on_other_loads") is not True or not set(verdict.beside_other) & SHAPES
    assert "region" in facts
    if facts.get("may_pull_cable") is not True:
        assert "pull_new_cable" not in chosen.preparations
    if facts.get("may_replace_fan") is not True and facts.get("fan_installed") is not False:
        assert chosen.scheme != "smart_fan"
        assert "replace_fan_ac" not in chosen.preparations
    if facts.get("may_open_canopy") is False:
        assert chosen.scheme not in ("canopy_relay", "canopy_speed", "smart_fan")
        assert not {"bypass_receiver", "move_light_to_own_leg"} & set(chosen.preparations)
    for want, kept in chosen.keeps.items():
        assert not (facts.get(want) == "must" and kept is False), want
    if "low_voltage" in (facts.get("receiver_light_lead"),) and not new_fan and chosen.scheme != "smart_fan":
        assert "move_light_to_own_leg" not in chosen.preparations


@given(any_facts())
@settings(FEW, max_examples=6)
def test_any_facts(facts: dict[str, Value]) -> None:
    """Whatever subset of facts is given, there is an advice that keeps its promises and a card that can be built."""
    advice = told(facts)
    holds_for(facts, advice)
    assert build_card(load(), parse_facts(load(), facts, "drawn facts"), advice).sections


@given(nearly_stories())
@FEW
def test_nearly_stories(facts: dict[str, Value]) -> None:
    """A sensible house with answers missing or changed gets an advice that keeps its promises."""
    advice = told(facts)
    holds_for(facts, advice)
    assert build_card(load(), facts, advice).headline


@given(nearly_stories(), st.data())
@settings(FEW, max_examples=4)
def test_cant_tell_is_the_same_as_silence(facts: dict[str, Value], data: st.DataObject) -> None:
    """Saying "can't tell" to any open question changes nothing."""
    questions = load().tree.questions
    silent = sorted(set(questions) - set(facts))
    said = data.draw(st.lists(st.sampled_from(silent), unique=True, max_size=10)) if silent else []
    assert told({**facts, **dict.fromkeys(said, "can't tell")}) == told(facts)


@given(nearly_stories())
@settings(FEW, max_examples=4)
def test_the_same_facts_give_the_same_advice(facts: dict[str, Value]) -> None:
    """The order in which answers were given changes nothing."""
    assert told(dict(reversed(facts.items()))) == told(facts)


def test_shaped_outputs_never_feed_supplies_in_the_knowledge() -> None:
    """No control class that steps or cuts power lists a receiver, a driver or other loads among what it may feed."""
    for control in load().controls.control:
        for channel in control.channel:
            if channel.does != "contact":
                assert not {"receiver", "driver", *get_args(OtherKind)} & set(channel.feeds), control.id
                assert channel.does == "speed" or "ac_motor" not in channel.feeds, f"{control.id} dims a motor"
                assert channel.does == "phase_cut" or "lamp" not in channel.feeds, f"{control.id} steps a lamp"
