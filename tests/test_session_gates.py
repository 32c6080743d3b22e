"""Safety gates in a session: nothing opens unconfirmed, what waits is reopened, all of it recorded."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from session_world import (
    Kept,
    confirm,
    empty_record,
    node,
    ticking,
)

from switchleg.errors import SwitchlegError
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value
from switchleg.session.session import Session
from switchleg.session.views.model import CardView, DoorView, QuestionView


def question(session: Session) -> QuestionView:
    view = session.view
    assert isinstance(view, QuestionView)
    return view


def at_wall_door() -> Kept:
    kept = Kept()
    kept.say("none", 1, None)
    assert node(kept.session) == "wall_door"
    return kept


@pytest.mark.parametrize("confirmed", [[], [True], [True, False, True], [True] * 2, [True] * 4, [1, 1, 1]])
def test_a_gate_opens_only_with_every_check(confirmed: list[bool]) -> None:
    """A gate stays shut unless each of its checks is confirmed, and nothing is written."""
    kept = at_wall_door()
    saved = len(kept.saved)
    with pytest.raises(SwitchlegError, match="shut"):
        kept.session.open_door(confirmed)
    assert (node(kept.session), len(kept.saved), kept.session.record.gates) == ("wall_door", saved, [])


def test_an_open_gate_is_recorded_with_its_checks_and_time() -> None:
    """Opening a gate records the time and every confirmation."""
    kept = at_wall_door()
    confirm(kept.session)
    gate = kept.saved[-1].gates[-1]
    assert (gate.door, gate.opens, gate.outcome) == ("wall_door", "wall", "open")
    assert gate.checks == ("Breaker off.", "Tester proved.", "Tested dead.")
    assert gate.at == kept.saved[-1].changed
    assert question(kept.session).first_of_station


def test_a_question_cannot_be_answered_through_a_gate() -> None:
    """Answers at a gate, and gate words at a question, are refused."""
    kept = at_wall_door()
    session = kept.session
    answers: list[Callable[[], None]] = [
        lambda: session.answer(True),
        lambda: session.answer_text("y"),
        session.cant_tell,
    ]
    for refused in answers:
        with pytest.raises(SwitchlegError):
            refused()
    confirm(kept.session)
    gates: list[Callable[[], None]] = [session.later, session.decline, lambda: session.open_door([True] * 3)]
    for refused in gates:
        with pytest.raises(SwitchlegError):
            refused()


def test_a_gate_without_recorded_checks_counts_as_shut() -> None:
    """A record that says open without a recorded confirmation is asked at the gate again."""
    kept = at_wall_door()
    confirm(kept.session)
    bare = kept.session.record.model_copy(update={"gates": []})
    assert node(Session(kept.knowledge, bare, None, ticking())) == "wall_door"


def test_a_put_off_canopy_is_reopened_straight_to_its_questions() -> None:
    """Not now leads to the card; reopening asks the checks, then only what was deferred or untold."""
    kept = at_wall_door()
    session = kept.session
    confirm(session)
    kept.say(2, None)
    session.later()
    view = session.view
    assert isinstance(view, CardView)
    assert [door.node for door in view.waiting] == ["canopy_door"]
    assert session.record.standing.stage == "waiting"
    resumed = Session(kept.knowledge, kept.saved[-1], kept.saved.append, ticking())
    resumed.reopen(resumed.waiting[0].node)
    assert isinstance(resumed.view, DoorView)
    assert resumed.view.earlier == "later"
    confirm(resumed)
    assert node(resumed) == "spare_again"
    assert question(resumed).second_look
    assert question(resumed).look == "Look at the capped wire."
    resumed.answer(True)
    assert node(resumed) == "amps_again"
    resumed.answer_text("0.7 A")
    assert node(resumed) == "receiver"
    assert question(resumed).picture == "[ ]"
    resumed.answer(False)
    assert isinstance(resumed.view, CardView)
    assert resumed.record.standing.stage == "done"
    seen = [line.fact for line in resumed.settled if line.station == "canopy"]
    assert seen == ["run_spare", "fan_amps", "receiver"]
    assert resumed.waiting == ()


def test_reopening_by_mistake_can_be_left() -> None:
    """A gate that was shown again can be left with onward, and still waits."""
    kept = at_wall_door()
    kept.session.later()
    kept.session.later()
    assert [door.node for door in kept.session.waiting] == ["wall_door", "canopy_door"]
    kept.session.reopen("wall_door")
    kept.session.onward()
    assert isinstance(kept.session.view, CardView)
    with pytest.raises(SwitchlegError):
        kept.session.reopen("light_kit")


def test_rather_not_ends_with_a_card_for_the_electrician() -> None:
    """Declining a gate leads to the card, marked as declined, with the gate's time in the record."""
    kept = at_wall_door()
    kept.session.decline()
    assert kept.session.view == CardView(declined=True, waiting=())
    assert [(g.outcome, g.checks) for g in kept.saved[-1].gates] == [("decline", ())]
    assert kept.saved[-1].standing.stage == "declined"


def test_coming_back_behind_a_gate_reminds_of_its_checks() -> None:
    """Somebody who resumes behind an open gate is told when it was confirmed, until they answer there."""
    kept = at_wall_door()
    confirm(kept.session)
    assert question(kept.session).reminder == ""
    resumed = Session(kept.knowledge, kept.saved[-1], kept.saved.append, ticking())
    assert "2026-05-03" in question(resumed).reminder
    resumed.answer(1)
    assert question(resumed).reminder == ""


def test_no_gate_sends_to_a_canopy_that_may_not_be_opened() -> None:
    """Where the canopy stays closed the gate at the wall names no other station, whatever the canopy would tell."""
    loft = Session(load(), empty_record(), lambda _: None, ticking())
    replies: dict[str, Value] = {
        "fan_installed": True,
        "may_open_canopy": False,
        "wall_boxes": 1,
        "motor_label": "unmarked",
    }
    while isinstance(view := loft.view, QuestionView):
        if (said := replies.get(view.fact)) is not None:
            loft.answer(said)
        else:
            loft.cant_tell()
    assert isinstance(view, DoorView)
    assert (view.opens, view.other) == ("wall", None)
