"""What is dangerous as it is today stands first, once, and agrees with itself.

A dimmer is no motor control (NEC 404.14(E), from memory); a speed control for fans is made for a plain AC motor alone
(UL 1917 scope, from memory); behind one, receivers and drivers do not last (trade pages, S57 and S58).
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from test_stories import SETS

from switchleg.advice.advise import advise
from switchleg.advice.card.build import build_card
from switchleg.advice.card.tabs import tabs
from switchleg.advice.model import Advice
from switchleg.command.saved.card_text import card_text
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load
from switchleg.paper import html, markdown
from switchleg.paper import text as as_text
from switchleg.paper.document import fan_document
from switchleg.record.model import Record
from switchleg.session import work_plan

ONE_LEG = ("sound", "wiring_b", "wish_on_off")
TWO_LEGS = ("sound", "wiring_a", "wish_on_off")
FAN = {"motor_label", "receiver_motor_leads", "receiver_light_lead", "capacitor_in"}


def facts_of(*sets: str, without: set[str] | None = None, **but: Any) -> dict[str, Any]:
    merged: dict[str, Any] = {}
    for name in sets:
        merged |= SETS[name]
    return {fact: value for fact, value in merged.items() if fact not in (without or set())} | but


def advice_of(facts: dict[str, Any]) -> Advice:
    return advise(load(), parse_facts(load(), facts, "a hazard"))


def hazards_of(facts: dict[str, Any]) -> tuple[str, ...]:
    return advice_of(facts).hazards


def test_a_hazard_is_what_the_controls_own_class_may_not_feed() -> None:
    """What the data call harmed is just what a control that shapes power so does not list among what it feeds."""
    does = {"dimmer": "phase_cut", "speed": "speed"}
    kinds = {"ac_motor", "receiver", "driver"}
    for kind, how in does.items():
        channels = [ch for control in load().controls.control for ch in control.channel if ch.does == how]
        fed = {load_kind for channel in channels for load_kind in channel.feeds}
        harmed = {what for row in load().rules.hazard if row.control == kind for what in row.ahead_of}
        assert harmed == kinds - fed


@pytest.mark.parametrize("kind", ["speed", "dimmer"])
@pytest.mark.parametrize("fan", ["fan_dc", "fan_ac_receiver", "fan_tapped", "fan_dc_mains_light"])
def test_it_stands_first_once_and_says_until_when(kind: str, fan: str) -> None:
    """On the card, its first tab, the papers, the page and the ladder it comes before all else, and only there."""
    facts = facts_of(*ONE_LEG, fan, control_1_kind=kind)
    advice = advice_of(facts)
    (text,) = advice.hazards
    assert text.endswith("It comes out; until then the breaker stays off.")
    assert advice.warnings[0] == text
    assert advice.warnings.count(text) == 1
    card = build_card(load(), parse_facts(load(), facts, ""), advice, title="A fan")
    assert card.sections[0].lines[0].text == text
    assert tabs(card)[0].sections[0].lines[0].text == text
    now = datetime(2026, 1, 2, tzinfo=UTC)
    paper = fan_document(Record(id="a", name="A fan", created=now, changed=now), (), card)
    texts = card_text(card), as_text.render(paper), as_text.render_page(paper, "more")
    for told in (*texts, markdown.render(paper), html.render(paper)):
        flat = (
            " ".join(told.partition("<body")[2].split() or told.split())
            .replace("&#x27;", "'")
            .replace('class="verdict"', "")
        )
        assert flat.count(text) == 1
        others = (flat.lower().find(title) for title in ("what to do", "verdict", "before you touch"))
        assert flat.index(text) < min(at for at in others if at >= 0)
    if advice.recommendation and advice.schemes:
        steps = [s.steps for s in advice.schemes if s.id == advice.recommendation.scheme]
        if steps[0]:
            assert work_plan.plan_of(load(), advice).steps[0].cautions[0] == text


@pytest.mark.parametrize(
    "clue",
    [
        {"receiver_label": "dc_out"},
        {"receiver_motor_plug": True},
        {"receiver_motor_leads": 3, "motor_leads_alike": True},
        {"motor_label": "dc"},
    ],
    ids=str,
)
def test_a_dc_fan_is_told_of_by_whatever_shows_it(clue: dict[str, Any]) -> None:
    """Not one fact but what the fan may be decides: a mark on the receiver, a plug, three leads alike, a label."""
    facts = facts_of(*ONE_LEG, "fan_dc", without=FAN, control_1_kind="speed", **clue)
    advice = advice_of(facts)
    assert advice.motor_settled == "dc", "the clue is no hard one"
    assert ["DC fan" in text for text in advice.hazards] == [True]


def test_two_controls_of_a_kind_are_told_of_in_one_sentence() -> None:
    """One caution, whichever of them it is, and nothing that says to leave it on in any position."""
    facts = facts_of(*TWO_LEGS, "fan_dc", control_1_kind="speed", control_2_kind="speed", control_1_does="both")
    facts["control_2_does"] = "both"
    (text,) = hazards_of(facts)
    assert "full" not in text
    assert not any("full, or better off" in warning for warning in advice_of(facts).warnings)


def test_what_only_may_be_so_is_told_as_such() -> None:
    """A fan nobody has looked into may have electronics: that is no certainty, and no silence either."""
    facts = facts_of(
        *ONE_LEG, "fan_ac_chain", without={"motor_label", "receiver", "pull_chain_fan"}, control_1_kind="speed"
    )
    (text,) = hazards_of(facts)
    assert "may feed" in text
    assert "If so, it comes out, and until then the breaker stays off." in text


@pytest.mark.parametrize(
    ("sets", "kinds"),
    [
        ((*ONE_LEG, "fan_ac_chain"), {"control_1_kind": "speed"}),
        ((*TWO_LEGS, "fan_ac_chain"), {"control_1_kind": "speed", "control_2_kind": "dimmer"}),
        ((*TWO_LEGS, "fan_dc"), {"control_2_kind": "dimmer"}),
        ((*ONE_LEG, "fan_dc"), {"control_1_kind": "on_off"}),
    ],
    ids=str,
)
def test_nothing_is_told_of_what_is_fine(sets: tuple[str, ...], kinds: dict[str, str]) -> None:
    """A speed control ahead of a plain AC motor, a dimmer on the light's own leg, and switches are right."""
    assert hazards_of(facts_of(*sets, **kinds)) == ()
