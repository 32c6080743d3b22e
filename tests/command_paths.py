"""Ways through the real tree for the tests of the command line: what to type, view by view."""

from __future__ import annotations

from datetime import UTC, datetime

from switchleg.command.demo.script import Plan, Room, read_plan
from switchleg.knowledge.load import Knowledge, load
from switchleg.record.model import Record
from switchleg.record.store import Store
from switchleg.schema.questions import Value
from switchleg.session.session import Session
from switchleg.session.views.model import CardView, DoorView, QuestionView

NOON = datetime(2024, 5, 4, 12, 0, tzinfo=UTC)


def knowledge() -> Knowledge:
    """The installed knowledge."""
    return load()


def plan() -> Plan:
    """The invented house as it is installed."""
    from importlib.resources import files

    found, problems = read_plan(files("switchleg.decision_tree"), load())
    assert found is not None, problems
    return found


def room(name: str) -> Room:
    """One room of the invented house."""
    return next(room for room in plan().room if room.name == name)


def session() -> Session:
    """A session on a new record that lives in memory."""
    record = Record(id="x", name="x", created=NOON, changed=NOON)
    return Session(load(), record, lambda _: None, lambda: NOON)


WET: dict[str, Value] = {"region": "us", "fan_installed": True, "wall_boxes": 0, "place_rating_needed": "wet"}


def wet_fan(store: Store, name: str, home: str = "") -> str:
    """The id of a new record that a wet place stops at once: no card is worked out more quickly."""
    walk = Session(load(), store.create(name, home), store.save, lambda: NOON)
    while not isinstance(view := walk.view, CardView):
        assert isinstance(view, QuestionView)
        if view.fact in WET:
            walk.answer(WET[view.fact])
        else:
            walk.cant_tell()
    return walk.record.id


def said(value: Value) -> str:
    """A value as somebody types it."""
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)


def lines(told: Room) -> list[str]:
    """What the person of this room types into `switchleg ask`, from the first question to the card."""
    typed: list[str] = []
    walk = session()
    while not isinstance(view := walk.view, CardView):
        if isinstance(view, DoorView):
            way = told.at_door(view.opens)
            if way == "open":
                typed += ["open", *["yes"] * len(view.checks)]
                walk.open_door([True] * len(view.checks))
            elif way == "later":
                typed.append("not now")
                walk.later()
            else:
                typed.append("rather not")
                walk.decline()
            continue
        assert isinstance(view, QuestionView)
        value = told.told(view.station).get(view.fact)
        if value is None:
            typed.append("c")
            walk.cant_tell()
        else:
            typed.append(said(value))
            walk.answer(value)
    return typed
