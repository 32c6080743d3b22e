"""The walk stops when enough is known, a gate says that it may wait, and the other station may come first."""

from __future__ import annotations

import random

import pytest
from command_paths import NOON, session
from fan_world import CHOICES, SOUND, go
from simulation.people import answer, draw_case

from switchleg.advice.advise import advise
from switchleg.advice.cases.open_cases import open_cases
from switchleg.advice.looks.next_checks import shares
from switchleg.advice.looks.station_order import first_station
from switchleg.knowledge.load import load
from switchleg.schema.questions import Reply
from switchleg.session.session import Session
from switchleg.session.views.model import CardView, DoorView, QuestionView


def left_out(one: Session) -> list[str]:
    tree = load().tree
    nodes = (tree.nodes[at] for at in one._walk.passed)
    return [node.fact for node in nodes if hasattr(node, "fact") and node.fact not in one.facts]


def walked(rng: random.Random) -> Session:
    """Somebody who answers everything rightly, at the card."""
    told = answer(rng, load(), draw_case(rng), 0.0, 0.0)
    one = session()
    while not isinstance(view := one.view, CardView):
        if isinstance(view, DoorView):
            one.open_door([True] * len(view.checks))
        elif (value := told.replies[view.node].value) is not None:
            one.answer(value)
        else:
            one.cant_tell()
    assert view.left_out == len(left_out(one))
    return one


@pytest.mark.parametrize("number", range(4))
def test_what_is_left_out_could_change_nothing(number: int) -> None:
    """No answer that a case left would show, to a question left out, changes the recommendation, unless it
    contradicts what was seen."""
    people = (walked(random.Random(f"{number}/{drawn}")) for drawn in range(20))
    one, now = next((one, now) for one in people if (now := one.advice()).recommendation is not None and left_out(one))
    survey = open_cases(load(), one.facts, one._way.untold).survey
    for fact in left_out(one):
        expected = {a for h in survey.hypotheses for a, p in shares(survey, load().clues, h, fact).items() if p}
        if load().tree.station_of[fact] in _shut(one):
            continue
        for choice in load().tree.questions[fact].answers:
            if choice.value is not None and (choice.value in expected or None in expected):
                then = advise(load(), {**one.facts, fact: choice.value}, one._way.untold)
                assert then.contradictions or then.recommendation == now.recommendation, (fact, choice.value)


def _shut(one: Session) -> frozenset[str]:
    return frozenset(one._way.needed.shut) if one._way.needed else frozenset()


WALL = {"wall_cables": 2, "run_conductors": 3, "neutral_bundle": True, "white_on_control": False}
TWO_SWITCHES = {
    "wall_controls": 2,
    "wall_gangs": 2,
    "control_1_does": "fan",
    "control_2_does": "light",
    "control_2_kind": "on_off",
}


def test_a_speed_control_waits_for_a_look_into_the_canopy() -> None:
    """A chain and no remote make a receiver unlikely and no more: before a speed control feeds the fan somebody has
    to look, and who looked and could not tell is not told to go on."""
    one = session()
    knows = {**CHOICES, **SOUND, **WALL, **TWO_SWITCHES, "pull_chain_fan": True}
    assert "receiver" in go(one, knows)
    assert one.advice().status == "recommended"
    blind = session()
    go(blind, {fact: value for fact, value in knows.items() if fact != "receiver"})
    assert blind.advice().status == "needs_checks"
    assert any(reason.facts == ("receiver",) for s in blind.advice().schemes for reason in s.reasons)


def test_the_canopy_stays_shut_when_the_work_does_not_go_there() -> None:
    """With a chain, no remote and no wish for speeds the wall decides: nobody is sent up the ladder, and the card has
    nothing open."""
    one = session()
    wishes = {"want_speed_from_app": "no", "want_keep_wall_look": "must"}
    asked = go(one, {**CHOICES, **SOUND, **WALL, **TWO_SWITCHES, **wishes, "pull_chain_fan": True})
    assert "receiver" not in asked
    assert one.advice().enough
    view = one.view
    assert isinstance(view, CardView)
    assert view.left_out
    assert not view.waiting
    one.ask_the_rest()
    assert isinstance(one.view, QuestionView | DoorView)
    assert one.record.asks_everything
    assert "receiver" in go(one, {**CHOICES, **SOUND})
    assert one.view == CardView(declined=False, waiting=())


def test_another_fan_opens_the_canopy() -> None:
    """Where the work at the wall waits for another fan, the ceiling is opened: that fan hangs on the box up there."""
    fan = {"motor_label": "dc", "handheld_remote": True, "remote_kind": "radio", "resumes_after_power_cut": False}
    wishes = {"want_light_dimming": "nice", "may_replace_fan": True}
    told = {**CHOICES, **SOUND, **WALL, **TWO_SWITCHES, **fan, **wishes, "receiver_light_lead": "none"}
    one = session()
    asked = go(one, told)
    recommended = one.advice().recommendation
    assert recommended is not None
    assert "replace_fan_ac" in recommended.preparations
    assert {"fan_box_marked", "ceiling_damage_seen"} <= set(asked)


def test_what_only_leans_is_not_asked_for_the_joints() -> None:
    """A remote's fan without a box on the wall is bridged whatever its motor is: whether it remembers its speed
    only leans towards one motor, so nobody is sent to the breaker to try."""
    one = session()
    told = {"handheld_remote": True, "remote_kind": "radio", "wall_boxes": 0, "stops_from_wall": False}
    no_light = {"light_kit": "none", "want_wall_control": "nice", "receiver": True, "receiver_motor_leads": 3}
    asked = go(one, {**CHOICES, **SOUND, **told, **no_light, "capacitor_in": "not_seen", "pull_chain_fan": False})
    advice = one.advice()
    assert advice.recommendation is not None
    assert advice.recommendation.scheme == "signal_bridge"
    assert "resumes_after_power_cut" not in asked


def test_a_stop_ends_the_questions() -> None:
    """Somebody whose place is wet is not asked to open anything."""
    one = session()
    asked = go(one, {**CHOICES, "place_rating_needed": "wet"})
    assert asked[-1] == "place_rating_needed"
    assert one.advice().status == "stop"
    view = one.view
    assert isinstance(view, CardView)
    assert view.stopped
    assert view.left_out


def test_the_canopy_first_and_back() -> None:
    """The gate at the wall names the canopy exactly where it is better first; then the walk comes back to the wall,
    asks nothing twice, and whoever would rather not open it keeps what was found above."""
    one = session()
    go(one, {**CHOICES, "pull_chain_fan": False}, until="wall")
    view = one.view
    assert isinstance(view, DoorView)
    assert view.other == "canopy"
    assert one.door_hint().first == first_station(load(), one.facts, one._way.untold) == "canopy"
    assert "Not now is fine" in one.door_hint().text
    one.other_first()
    view = one.view
    assert isinstance(view, DoorView)
    assert view.opens == "canopy"
    assert view.other == "wall"
    one.other_first()
    view = one.view
    assert isinstance(view, DoorView)
    assert view.opens == "wall"
    one.other_first()
    view = one.view
    assert isinstance(view, DoorView)
    assert view.opens == "canopy"
    one.open_door([True] * len(view.checks))
    above = go(one, {**SOUND, "run_conductors": 3, "run_spare": False}, until="wall")
    assert {"receiver", "run_conductors"} <= set(above)
    view = one.view
    assert isinstance(view, DoorView)
    assert view.opens == "wall"
    assert view.earlier == "after"
    again = Session(load(), one.record, lambda _: None, lambda: NOON)
    assert again.view == view
    again.decline()
    assert again.facts["receiver"] is False
    assert again.view == CardView(declined=True, waiting=())
    asked = go(one, {**SOUND, "wall_cables": 2, "neutral_bundle": True, "white_on_control": False})
    assert "wall_cables" in asked
    assert "run_conductors" not in asked
    assert one.facts["run_conductors"] == 3
    assert one.facts["receiver"] is False


def test_what_waits_is_ordered_by_what_it_brings() -> None:
    """With both gates put off the card offers the one first where the next look is; coming back names that look."""
    one = session()
    go(one, {**CHOICES, "pull_chain_fan": False}, until="wall")
    one.later()
    one.later()
    assert isinstance(one.view, CardView)
    assert sorted(door.opens for door in one.waiting) == ["canopy", "wall"]
    behind_gates = [check.station for check in one.advice().next_checks if check.station != "floor"]
    assert one.waiting[0].opens == behind_gates[0]
    ask = load().tree.questions[one.advice().next_checks[0].fact].ask
    assert ask in Session(load(), one.record, None, lambda: NOON).next_look()


def test_the_gate_says_when_what_to_do_is_settled() -> None:
    """Where the wall alone has decided and the work goes up, the canopy's gate says that it may wait."""
    one = session()
    knows = {**CHOICES, **SOUND, "pull_chain_fan": True, "wall_cables": 1, "run_conductors": 2, "neutral_bundle": False}
    go(one, {**knows, "white_on_control": True}, until="canopy")
    view = one.view
    assert isinstance(view, DoorView)
    assert view.opens == "canopy"
    assert "settled" in one.door_hint().text
    one.later()
    assert one.advice().recommendation is not None
    assert isinstance(one.view, CardView)
    assert [door.opens for door in one.waiting] == ["canopy"]


@pytest.mark.parametrize("seed", range(6))
def test_every_walk_ends_at_the_card_within_its_range(seed: int) -> None:
    """Whatever is said at questions and gates, the card comes; the questions left were within the range told, unless
    something stopped the work."""
    rng = random.Random(seed)
    told = answer(rng, load(), draw_case(rng), 0.1, 0.2).replies
    one = session()
    ranges: list[tuple[int, int, int]] = []
    for _ in range(200):
        view = one.view
        progress = one.progress
        ranges.append((progress.answered, progress.least_left, progress.most_left))
        if isinstance(view, CardView):
            break
        if isinstance(view, DoorView):
            way = rng.choice(["open", "later", "other"] if view.other and not view.earlier else ["open", "later"])
            if way == "open":
                one.open_door([True] * len(view.checks))
            else:
                (one.later if way == "later" else one.other_first)()
        else:
            _say(one, told[view.node])
    assert isinstance(one.view, CardView)
    stopped = one._way.needed is not None and one._way.needed.ended
    for answered, least, most in ranges:
        left = ranges[-1][0] - answered
        assert left <= most
        assert stopped or least <= left


def _say(one: Session, reply: Reply) -> None:
    if reply.value is None:
        one.cant_tell()
    else:
        one.answer(reply.value)
