"""The session on a made-up house: what is shown, what is kept, where it goes on."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from session_world import (
    CANOPY,
    FLOOR,
    WALL,
    Kept,
    confirm,
    empty_record,
    fake_reasoning,
    node,
    small_knowledge,
    small_tree,
    ticking,
)

from switchleg.errors import SwitchlegError
from switchleg.record.atomic_write import NotSaved
from switchleg.record.model import Record
from switchleg.session.session import Session
from switchleg.session.views.model import QuestionView


def question(session: Session) -> QuestionView:
    view = session.view
    assert isinstance(view, QuestionView)
    return view


def test_a_new_session_shows_the_first_question() -> None:
    """A new record shows the first question of the floor with its introduction and changes nothing."""
    kept = Kept()
    view = question(kept.session)
    assert (view.node, view.station, view.first_of_station) == ("light_kit", "floor", True)
    assert view.station_title == "From the floor"
    assert [choice.key for choice in view.choices] == ["1", "2"]
    assert kept.saved == []


def test_keys_follow_the_kind_of_question() -> None:
    """Yes/no has y and n, a count its digits, a measure picks and t."""
    kept = Kept()
    session = kept.say("lamps")
    assert [(c.key, c.value) for c in question(session).choices] == [("y", True), ("n", False)]
    kept.say(True)
    assert [(c.key, c.value, c.typed) for c in question(session).choices] == [
        ("0", 0, False),
        ("1", 1, False),
        ("2", None, True),
    ]
    assert "2 or more" in question(session).typed_hint
    kept.say(1)
    assert [(c.key, c.typed) for c in question(session).choices] == [("a", False), ("t", True)]
    assert "A" in question(session).typed_hint


def test_every_answer_is_saved_with_time_and_station() -> None:
    """After each answer the record on disk holds it, with when and where it was given."""
    kept = Kept()
    kept.say("lamps", None, 1)
    assert len(kept.saved) == 3
    replies = kept.saved[-1].replies
    assert [(n, r.kind, r.value, r.station) for n, r in replies.items()] == [
        ("light_kit", "value", "lamps", "floor"),
        ("chain", "cant_tell", None, "floor"),
        ("wall_boxes", "value", 1, "floor"),
    ]
    assert replies["light_kit"].at < replies["chain"].at < replies["wall_boxes"].at == kept.saved[-1].changed
    assert kept.saved[-1].knowledge_version == "v1"


def test_typed_text_is_parsed_and_kept_canonically() -> None:
    """A typed measure is kept with its unit; a bare number is refused and nothing changes."""
    kept = Kept()
    session = kept.say("none", 1)
    with pytest.raises(SwitchlegError):
        session.answer_text("1.2")
    assert node(session) == "fan_amps"
    assert len(kept.saved) == 2
    session.answer_text("1.2 amps")
    assert session.facts["fan_amps"] == "1.2 A"


@pytest.mark.parametrize("wrong", ["perhaps", True, 7, ""])
def test_a_wrong_value_is_refused(wrong: str | int | bool) -> None:
    """A value that is no answer of the question changes neither the record nor the view."""
    kept = Kept()
    before = kept.session.record
    with pytest.raises(SwitchlegError):
        kept.session.answer(wrong)
    assert kept.session.record is before
    assert node(kept.session) == "light_kit"


def test_a_resumed_session_stands_where_it_stopped() -> None:
    """A session on the saved record shows the same question as the one that was left."""
    kept = Kept()
    kept.say("lamps", False)
    again = Session(kept.knowledge, kept.saved[-1], None, ticking())
    assert again.view == kept.session.view
    assert again.settled == kept.session.settled
    assert again.progress == kept.session.progress


def test_a_changed_answer_goes_to_the_history_and_others_stay() -> None:
    """Changing an early answer keeps the old one in the history and every answer that still applies."""
    kept = Kept()
    session = kept.say("lamps", True, 1)
    session.go_to("light_kit")
    assert question(session).earlier == "Lamps – to change"
    session.answer("none")
    assert node(session) == "fan_amps"
    assert session.facts == {"light_kit": "none", "wall_boxes": 1}
    assert [(e.node, e.reply.value) for e in session.record.history if e.reply] == [("light_kit", "lamps")]
    assert [row.changed for row in session.review] == [True, False]
    session.go_to("light_kit")
    session.answer("lamps")
    assert session.facts["chain"] is True, "the answer off the way was kept"


def test_the_same_answer_again_is_no_change() -> None:
    """Confirming an earlier answer adds nothing to the history and goes on to the open question."""
    kept = Kept()
    session = kept.say("lamps", True)
    saved = len(kept.saved)
    session.go_to("light_kit")
    session.answer("lamps")
    assert (session.record.history, len(kept.saved), node(session)) == ([], saved, "wall_boxes")


def test_back_steps_to_the_first_and_onward_returns() -> None:
    """Back goes step by step to the first question, says when there is none, and onward comes back."""
    kept = Kept()
    session = kept.say("lamps", True)
    assert session.back()
    assert node(session) == "chain"
    assert session.back()
    assert node(session) == "light_kit"
    assert not session.back()
    session.onward()
    assert node(session) == "wall_boxes"
    assert len(kept.saved) == 2


def test_a_step_that_was_never_asked_cannot_be_gone_to() -> None:
    """Going to a node off the way is refused and the view stays."""
    kept = Kept()
    session = kept.say("none")
    for wrong in ("chain", "which", "no such thing", "card"):
        with pytest.raises(SwitchlegError):
            session.go_to(wrong)
    assert node(session) == "wall_boxes"


def test_notes_are_kept_changed_and_taken_away() -> None:
    """A note is saved with its node; an older one stays in the history; an empty one takes it away."""
    kept = Kept()
    session = kept.session
    session.note("light_kit", " loose \ud800 glass ")
    assert question(session).note == "loose \ufffd glass"
    session.note("light_kit", "tight")
    session.note("light_kit", "")
    assert session.record.notes == {}
    assert [event.note for event in session.record.history] == ["loose \ufffd glass", "tight"]
    assert len(kept.saved) == 3
    for wrong in ("which", "nowhere"):
        with pytest.raises(SwitchlegError):
            session.note(wrong, "x")


def test_a_read_only_session_refuses_every_change() -> None:
    """Without a save function everything can be looked at and nothing changed."""
    session = Session(small_knowledge(), empty_record(), None, ticking())
    changes: list[Callable[[], None]] = [
        lambda: session.answer("none"),
        lambda: session.answer_text("none"),
        session.cant_tell,
        lambda: session.note("light_kit", "x"),
        lambda: session.rename("x"),
        session.save_again,
    ]
    for change in changes:
        with pytest.raises(SwitchlegError, match="reading only"):
            change()
    assert session.record == empty_record()


def test_a_full_disk_loses_nothing() -> None:
    """When saving fails the answer stands in memory, the error is told, and the next save writes all."""
    full = True
    saved: list[Record] = []

    def save(record: Record) -> None:
        if full:
            raise NotSaved("not saved: the disk is full", where="x", mend="free some space")
        saved.append(record)

    session = Session(small_knowledge(), empty_record(), save, ticking())
    with pytest.raises(NotSaved):
        session.answer("lamps")
    assert node(session) == "chain"
    assert session.save_error is not None
    with pytest.raises(NotSaved):
        session.save_again()
    full = False
    session.answer(True)
    assert session.save_error is None
    assert saved[-1].replies.keys() == {"light_kit", "chain"}


def test_rename_keeps_the_id() -> None:
    """A renamed record keeps its id; an empty name is refused."""
    kept = Kept()
    kept.session.rename(" Attic ", "Barn")
    assert (kept.saved[-1].id, kept.saved[-1].name, kept.saved[-1].home) == ("blue-room", "Attic", "Barn")
    with pytest.raises(SwitchlegError):
        kept.session.rename("  ")


def test_the_card_puts_its_verdict_into_the_record(monkeypatch: pytest.MonkeyPatch) -> None:
    """Building the card stores the verdict with facts and knowledge version, once per verdict."""
    calls = fake_reasoning(monkeypatch)
    kept = Kept()
    session = kept.say("none")
    assert session.card().headline == "1 facts – so far."
    session.card()
    assert calls == [{"light_kit": "none"}]
    assert len(kept.saved) == 2
    verdict = kept.saved[-1].verdict
    assert verdict is not None
    assert (verdict["knowledge_version"], verdict["facts"]) == ("v1", {"light_kit": "none"})
    assert kept.saved[-1].standing.status == "needs_checks"
    session.answer(1)
    assert session.record.standing.status is None, "the verdict is about other facts now"
    assert session.record.verdict == verdict


def test_the_card_is_shown_even_when_it_cannot_be_saved(monkeypatch: pytest.MonkeyPatch) -> None:
    """A read-only record and a full disk still give their card."""
    fake_reasoning(monkeypatch)
    shown = Session(small_knowledge(), empty_record(), None, ticking())
    assert shown.card().headline
    assert shown.record.verdict is None

    def full(_: Record) -> None:
        raise NotSaved("full", where="x", mend="y")

    session = Session(small_knowledge(), empty_record(), full, ticking())
    assert session.card().headline
    assert session.save_error is not None


def test_changed_knowledge_asks_again_what_no_longer_suits() -> None:
    """An answer that its question no longer has is asked again and stays in the history."""
    kept = Kept()
    kept.say("lamps", True, 1)
    floor = FLOOR.replace('value = "lamps"', 'value = "changeable"')
    newer = small_knowledge(small_tree(floor, WALL, CANOPY), "v2")
    session = Session(newer, kept.saved[-1], kept.saved.append, ticking())
    assert node(session) == "light_kit"
    assert len(kept.saved) == 3, "opening saves nothing"
    session.answer("changeable")
    assert node(session) == "fan_amps"
    assert [e.reply.value for e in kept.saved[-1].history if e.reply] == ["lamps"]
    assert kept.saved[-1].knowledge_version == "v2"


def test_a_vanished_question_keeps_its_answer() -> None:
    """An answer to a question that the new tree lacks stays in the record and bothers nobody."""
    kept = Kept()
    kept.say("lamps", True)
    floor = FLOOR.replace('fact = "chain"', 'fact = "cord"').replace('"chain"', '"cord"')
    session = Session(small_knowledge(small_tree(floor, WALL, CANOPY), "v2"), kept.saved[-1], None, ticking())
    assert node(session) == "cord"
    assert "chain" in session.record.replies


def test_standing_tells_the_list_how_far_it_went() -> None:
    """The record's standing follows the walk: stage, station and count."""
    kept = Kept()
    assert kept.session.record.standing.stage == "new"
    kept.say("none", 1, None)
    standing = kept.saved[-1].standing
    assert (standing.stage, standing.station, standing.answered) == ("asking", "floor", 3)
    confirm(kept.session)
    assert kept.saved[-1].standing.station == "wall"
