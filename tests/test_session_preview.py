"""What another answer would change is told before it is taken, and nothing is touched by asking."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from command_paths import room
from session_world import ticking

from switchleg.command.demo.script import play
from switchleg.errors import SwitchlegError
from switchleg.knowledge.load import load
from switchleg.record.model import Record
from switchleg.schema.questions import Value
from switchleg.session.preview import UNSAID
from switchleg.session.session import Session

NOON = datetime(2026, 5, 3, 12, tzinfo=UTC)


@pytest.fixture(scope="module")
def finished() -> Record:
    """The front parlour, answered to its card."""
    record = Record(id="x", name="front parlour", created=NOON, changed=NOON)
    session = Session(load(), record, lambda _: None, ticking(NOON))
    play(session, room("front parlour"))
    return session.record


@pytest.mark.parametrize(
    ("node", "value"),
    [
        ("want_speed_from_app", "must"),
        ("light_kit", "none"),
        ("wire_metal", "aluminum"),
        ("run_conductors", 2),
        ("region", None),
        ("fan_installed", False),
    ],
)
def test_what_is_told_is_what_comes(node: str, value: Value | None, finished: Record) -> None:
    """The told verdict, questions to come and lines of the card are those that stand after the answer is taken;
    the telling saves nothing and leaves record and place alone."""
    saved: list[Record] = []
    session = Session(load(), finished, saved.append, ticking(NOON))
    before = session.card()
    saved.clear()
    kept = session.record
    session.go_to(node)
    change = session.preview(value)
    assert (session.record, saved) == (kept, [])
    assert getattr(session.view, "node", "") == node
    assert change.headline_before == before.headline
    if value is None:
        session.cant_tell()
    else:
        session.answer(value)
    after = session.card()
    assert change.headline_after == after.headline
    assert (change.least_left, change.most_left) == (session.progress.least_left, session.progress.most_left)
    texts = {line.text for section in after.sections for line in section.lines}
    assert all(line.partition(": ")[2] in texts for line in change.gained)
    for card, side in ((before, "before"), (after, "after")):
        told = [(part.title, text) for part in change.parts for text in getattr(part, side)]
        stands = [(s.title, line.text) for s in card.sections if s.id not in UNSAID for line in s.lines]
        assert sorted(told) == sorted(stands)
    asked = {row.ask for row in session.review}
    assert not asked & set(change.dropped)


def test_the_same_answer_changes_nothing(finished: Record) -> None:
    """The answer that stands, weighed again, keeps the card line by line."""
    session = Session(load(), finished, lambda _: None, ticking(NOON))
    session.go_to("region")
    change = session.preview_text("us")
    assert (change.same, change.lost, change.gained, change.dropped) == (True, (), (), ())


def test_only_an_earlier_answer_can_be_weighed(finished: Record) -> None:
    """Where nothing is to be changed, or the value does not suit, it is refused as an answer would be."""
    session = Session(load(), finished, lambda _: None, ticking(NOON))
    with pytest.raises(SwitchlegError):
        session.preview("us")
    session.go_to("region")
    with pytest.raises(SwitchlegError):
        session.preview("mars")
    fresh = Session(load(), Record(id="y", name="y", created=NOON, changed=NOON), lambda _: None, ticking(NOON))
    with pytest.raises(SwitchlegError, match="no answer to change"):
        fresh.preview("us")
