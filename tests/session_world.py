"""A made-up tree, small enough to know by heart, and sessions on it."""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from types import ModuleType, SimpleNamespace
from typing import Any, cast

from switchleg.advice.model import Advice
from switchleg.knowledge.load import Knowledge
from switchleg.record.model import Record
from switchleg.schema.pictures import Picture
from switchleg.schema.questions import StationFile, Value
from switchleg.session.session import Session
from switchleg.session.views.model import DoorView, QuestionView
from switchleg.tree.graph import Tree, build_tree

HEAD = 'serves = ["houses"]\nwhy = "Because."\nlook = "Look."\nsettles = "It."\n'
FLOOR = f"""
station = "floor"
title = "From the floor"
intro = "Nothing is opened."
first = "light_kit"
[[question]]
fact = "light_kit"
kind = "choice"
ask = "Does the fan have a light?"
answers = [{{ value = "none", label = "No light", leads_to = "wall_boxes" }},
           {{ value = "lamps", label = "Lamps – to change", leads_to = "chain" }}]
cant_tell = "wall_boxes"
{HEAD}
[[question]]
fact = "chain"
kind = "yes_no"
ask = "Is there a chain?"
answers = [{{ value = true, label = "Yes", leads_to = "wall_boxes" }},
           {{ value = false, label = "No", leads_to = "wall_boxes" }}]
cant_tell = "wall_boxes"
{HEAD}
[[question]]
fact = "wall_boxes"
kind = "count"
ask = "How many places on the wall?"
answers = [{{ value = 0, label = "None", leads_to = "fan_amps" }},
           {{ value = 1, label = "One", leads_to = "fan_amps" }},
           {{ at_least = 2, label = "Two or more", leads_to = "fan_amps" }}]
cant_tell = "fan_amps"
{HEAD}
[[question]]
fact = "fan_amps"
kind = "measure"
dimension = "current"
ask = "How many amperes?"
answers = [{{ value = "0.5 A", label = "0.5 A", leads_to = "which" }},
           {{ typed = true, label = "Another", leads_to = "which" }}]
cant_tell = "which"
{HEAD}
[[fork]]
id = "which"
otherwise = "wall_door"
[[fork.branch]]
when = [{{ fact = "wall_boxes", is = 0 }}]
leads_to = "canopy_door"
"""
WALL = f"""
station = "wall"
title = "Behind the plate"
intro = "The plate comes off."
[[door]]
id = "wall_door"
opens = "wall"
ask = "Open the wall?"
cautions = ["Local code first."]
checks = ["Breaker off.", "Tester proved.", "Tested dead."]
open = "wall_cables"
later = "canopy_door"
decline = "card"
[[question]]
fact = "wall_cables"
kind = "count"
ask = "How many cables?"
answers = [{{ value = 1, label = "One", leads_to = "run_spare" }},
           {{ at_least = 2, label = "Two or more", leads_to = "run_spare" }}]
cant_tell = "run_spare"
{HEAD}
[[question]]
fact = "run_spare"
kind = "yes_no"
ask = "Is one conductor unused?"
answers = [{{ value = true, label = "Yes", leads_to = "canopy_door" }},
           {{ value = false, label = "No", leads_to = "canopy_door" }}]
cant_tell = "canopy_door"
{HEAD}
"""
CANOPY = f"""
station = "canopy"
title = "Under the canopy"
intro = "The canopy comes down."
[[door]]
id = "canopy_door"
opens = "canopy"
ask = "Open the canopy?"
cautions = ["The fan is heavy."]
checks = ["Breaker off.", "Weight held."]
open = "spare_again"
later = "card"
decline = "card"
[[again]]
id = "spare_again"
fact = "run_spare"
look = "Look at the capped wire."
leads_to = "amps_again"
[[again]]
id = "amps_again"
fact = "fan_amps"
look = "Look at the label on the motor."
leads_to = "receiver"
[[question]]
fact = "receiver"
kind = "yes_no"
ask = "Is there a receiver?"
answers = [{{ value = true, label = "Yes", leads_to = "card" }},
           {{ value = false, label = "No", leads_to = "card" }}]
cant_tell = "card"
picture = "box"
{HEAD}
"""
START = datetime(2026, 5, 3, 14, 5, tzinfo=UTC)


def small_tree(*texts: str) -> Tree:
    """The tree of these station files; the made-up house without any."""
    files = (tomllib.loads(text) for text in texts or (FLOOR, WALL, CANOPY))
    return build_tree(StationFile.model_validate(file) for file in files)


BOX = Picture(title="A box", says="An open box.", drawing="[ ]", ascii="[ ]")


def small_knowledge(tree: Tree | None = None, version: str = "v1") -> Knowledge:
    """Knowledge with a tree and nothing else."""
    made = SimpleNamespace(tree=tree or small_tree(), tables={}, pictures={"box": BOX}, version=version)
    return cast(Knowledge, made)


def ticking(start: datetime = START) -> Callable[[], datetime]:
    """A clock that moves on one minute at every look."""
    ticks = iter(range(10**6))
    return lambda: start + timedelta(minutes=next(ticks))


def empty_record(**fields: Any) -> Record:
    """A record with nothing in it."""
    start: dict[str, Any] = {"id": "blue-room", "name": "Blue room", "home": "Guesthouse"}
    return Record(**{**start, "created": START, "changed": START, **fields})


@dataclass
class Kept:
    """A session whose saved records are kept in a list."""

    knowledge: Knowledge = field(default_factory=small_knowledge)
    record: Record = field(default_factory=empty_record)
    saved: list[Record] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.session = Session(self.knowledge, self.record, self.saved.append, ticking())

    def say(self, *answers: Value | None) -> Session:
        """Answer one question after the other; None is "can't tell"."""
        for answer in answers:
            if answer is None:
                self.session.cant_tell()
            else:
                self.session.answer(answer)
        return self.session


def node(session: Session) -> str:
    """The node in view, or "card"."""
    view = session.view
    return view.node if isinstance(view, QuestionView | DoorView) else "card"


def confirm(session: Session) -> None:
    """Open the gate in view with every check confirmed."""
    view = session.view
    assert isinstance(view, DoorView)
    session.open_door([True] * len(view.checks))


def step_on(session: Session) -> bool:
    """Give the next answer of a fixed plan: the same node always gets the same answer. False at the card.

    A note comes before its answer, so that a plan that is broken off anywhere goes on as it was meant.
    """
    view = session.view
    if isinstance(view, DoorView):
        confirm(session)
    elif isinstance(view, QuestionView):
        pick = (sum(view.node.encode()) + 1) % (len(view.choices) + 1)
        if pick == 0:
            session.note(view.node, f"seen at {view.node}")
        if pick == len(view.choices) or view.choices[pick].typed:
            session.cant_tell()
        else:
            value = view.choices[pick].value
            assert value is not None
            session.answer(value)
    else:
        return False
    return True


def fake_advice(status: str = "needs_checks") -> Advice:
    """A verdict with nothing in it but its status."""
    empty: dict[str, Any] = dict.fromkeys(
        ("wirings", "schemes", "stops", "contradictions", "next_checks", "warnings", "sources"), ()
    )
    nothing: dict[str, Any] = dict.fromkeys(("motor_settled", "wiring_settled", "recommendation", "box_fill"))
    return Advice.model_validate({"status": status, "motor": {"ac": 0.5, "dc": 0.5}, **nothing, **empty})


def fake_reasoning(monkeypatch: Any, status: str = "needs_checks") -> list[dict[str, Value]]:
    """Put a fake verdict and card in the place of the reasoning; returns the facts of each call."""
    calls: list[dict[str, Value]] = []
    advise, card = ModuleType("advise"), ModuleType("card")

    def judge(_: object, facts: dict[str, Value], *_rest: Collection[str]) -> Advice:
        calls.append(dict(facts))
        return fake_advice(status)

    def build(_: object, facts: dict[str, Value], advice: Advice, *, title: str = "") -> object:
        return SimpleNamespace(title=title, status=advice.status, headline=f"{len(facts)} facts – so far.", sections=())

    advise.__dict__["advise"] = judge
    card.__dict__["build_card"] = build
    monkeypatch.setitem(sys.modules, "switchleg.advice.advise", advise)
    monkeypatch.setitem(sys.modules, "switchleg.advice.card.build", card)
    return calls
