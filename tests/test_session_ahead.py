"""What was found further on stays known while a changed answer brings up a new question before it."""

from __future__ import annotations

from datetime import UTC, datetime

from switchleg.knowledge.load import load
from switchleg.record.model import Record
from switchleg.schema.questions import Value
from switchleg.session.session import Session
from switchleg.session.views.model import CardView, DoorView

NOON = datetime(2024, 5, 4, 12, 0, tzinfo=UTC)
SEEN: dict[str, Value] = {
    "region": "us",
    "fan_installed": True,
    "wall_boxes": 1,
    "motor_label": "dc",
    "damage_seen": False,
    "wire_metal": "aluminum",
}


def at_the_card() -> Session:
    """A session that ended at the wall because the wire is aluminum."""
    session = Session(load(), Record(id="x", name="x", created=NOON, changed=NOON), lambda _: None, lambda: NOON)
    while not isinstance(view := session.view, CardView):
        if isinstance(view, DoorView):
            session.open_door([True] * len(view.checks))
        elif view.fact in SEEN:
            session.answer(SEEN[view.fact])
        else:
            session.cant_tell()
    return session


def test_a_stop_stands_when_an_earlier_answer_is_changed() -> None:
    """Aluminum seen at the wall stops the work even when an earlier answer brings up another way: nothing is asked."""
    session = at_the_card()
    assert session.advice().status == "stop"
    session.go_to("motor_label")
    session.answer("ac")
    assert isinstance(session.view, CardView)
    assert session.facts["wire_metal"] == "aluminum"
    advice = session.advice()
    assert advice.status == "stop"
    assert {stop.facts for stop in advice.stops} == {("wire_metal",)}
