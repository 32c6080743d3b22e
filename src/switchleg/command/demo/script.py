"""The invented house of `switchleg demo`: read strictly from demo.toml, and walked room by room."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

from pydantic import Field, ValidationError

from switchleg.errors import SwitchlegError
from switchleg.knowledge.problems import Problem, model_problems, toml_problem
from switchleg.schema.questions import STATIONS, Strict, Value
from switchleg.spelling import nearest_of

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge, Root
    from switchleg.session.session import Session

FILE = "demo.toml"
MOST_STEPS = 500
"""No tree asks that much; a walk that goes on longer turns in a circle."""
AtDoor = Literal["open", "later", "decline"]


class Room(Strict):
    """One fan: what somebody sees from each station, and what they say at each gate."""

    name: str = Field(min_length=1, max_length=40)
    breaker_label: str = Field(default="", max_length=20)
    wall_door: AtDoor = "open"
    canopy_door: AtDoor = "open"
    floor: dict[str, Value] = Field(default_factory=dict)
    wall: dict[str, Value] = Field(default_factory=dict)
    canopy: dict[str, Value] = Field(default_factory=dict)
    """Facts as they are told at a station; whatever else is asked there cannot be told."""
    notes: dict[str, str] = Field(default_factory=dict)

    def told(self, station: str) -> dict[str, Value]:
        """The facts that are told at a station."""
        return {"floor": self.floor, "wall": self.wall, "canopy": self.canopy}[station]

    def at_door(self, station: str) -> AtDoor:
        """What is said at the gate of a station."""
        return self.wall_door if station == "wall" else self.canopy_door


class Plan(Strict):
    """The house and its rooms."""

    home: str = Field(min_length=1, max_length=40)
    room: tuple[Room, ...] = Field(min_length=1)


def load_plan(knowledge: Knowledge) -> Plan:
    """The installed plan; raises SwitchlegError with its first problem."""
    from importlib.resources import files

    plan, problems = read_plan(files("switchleg.decision_tree"), knowledge)
    if plan is None:
        raise SwitchlegError(problems[0].line(), where="decision_tree", mend="run `switchleg check`")
    return plan


def examine_plan(root: Root, knowledge: Knowledge | None) -> list[Problem]:
    """Every problem of the plan below `root`; a folder without one has none.

    Without knowledge, which may be broken itself, only its shape is looked at.
    """
    return read_plan(root, knowledge)[1] if root.joinpath(FILE).is_file() else []


def read_plan(root: Root, knowledge: Knowledge | None) -> tuple[Plan | None, list[Problem]]:
    """The plan below `root` with every measure in its usual form, or None and every problem in it."""
    try:
        data = tomllib.loads(root.joinpath(FILE).read_bytes().decode())
    except OSError as error:
        return None, [Problem(FILE, "", f"cannot be read: {error.strerror or error}")]
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        return None, [toml_problem(FILE, fault)]
    try:
        plan = Plan.model_validate(data)
    except ValidationError as faults:
        return None, model_problems(FILE, data, Plan, faults)
    problems: list[Problem] = []
    rooms = plan.room
    if knowledge is not None:
        rooms = tuple(_checked(room, knowledge, problems) for room in plan.room)
    names = [room.name.casefold() for room in rooms]
    for name in sorted({name for name in names if names.count(name) > 1}):
        problems.append(Problem(FILE, f"room.{name}", "stands twice"))
    if problems:
        return None, problems
    return plan.model_copy(update={"room": rooms}), []


def play(session: Session, room: Room, until: str = "") -> None:
    """Answers what the session asks as this room's person would, up to the question of fact `until`, else the card."""
    from switchleg.session.views.model import CardView, DoorView

    for _ in range(MOST_STEPS):
        view = session.view
        if isinstance(view, CardView):
            session.card()
            return
        if isinstance(view, DoorView):
            said = room.at_door(view.opens)
            if said == "open":
                session.open_door([True] * len(view.checks))
            elif said == "later":
                session.later()
            else:
                session.decline()
            continue
        if view.fact == until:
            return
        value = room.told(view.station).get(view.fact)
        if value is None:
            session.cant_tell()
        else:
            session.answer(value)
        if view.fact in room.notes:
            session.note(view.node, room.notes[view.fact])
    raise SwitchlegError(f"{room.name} does not come to a card", where=FILE, mend="run `switchleg check`")


def _checked(room: Room, knowledge: Knowledge, problems: list[Problem]) -> Room:
    from switchleg.tree.values import check_value

    questions = knowledge.tree.questions
    place = f"room.{room.name}"
    said: dict[str, Mapping[str, Value]] = {}
    for station in STATIONS:
        kept: dict[str, Value] = {}
        for fact, raw in room.told(station).items():
            if fact not in questions:
                problems.append(Problem(FILE, f"{place}.{station}.{fact}", "no such fact", nearest_of(fact, questions)))
                continue
            try:
                kept[fact] = check_value(questions[fact], raw, knowledge.tables)
            except SwitchlegError as fault:
                problems.append(Problem(FILE, f"{place}.{station}.{fact}", fault.line()))
        said[station] = kept
    for fact in room.notes:
        if fact not in questions:
            key = f"{place}.notes.{fact}"
            problems.append(Problem(FILE, key, "no such fact", nearest_of(fact, questions)))
    return room.model_copy(update=dict(said))
