"""The decision tree as data: questions, forks, second looks and station doors, joined by `leads_to`.

A *node* is a question (named by the fact it settles), a second look at a fact that could not be told
earlier, a fork (chooses a way by what is known) or a door (the safety gate before a station is opened).
Every way ends at CARD.
"""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from switchleg.units.names import Dimension

CARD = "card"
"""The node id where every way ends."""
ABLE_TO_TEST_LIVE = "able_to_test_live"
"""Only somebody who said yes to this is asked for a reading with the power on."""

Station = Literal["floor", "wall", "canopy"]
STATIONS: tuple[Station, ...] = ("floor", "wall", "canopy")

Value = bool | int | str
"""A fact's value: yes/no, a whole number, a choice, or a measure as text with its unit ("1.2 A")."""

Kind = Literal["yes_no", "choice", "count", "measure"]


Use = Literal["houses", "fans", "premise", "plan", "work", "danger", "figure", "parts", "wish", "permission", "home"]
"""What an answer is asked for; decision_tree/README.md tells them apart."""


class Strict(BaseModel):
    """Unknown keys are errors; loaded knowledge never changes."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Condition(Strict):
    """One closed test on one fact; exactly one of them is set. An unknown fact meets only `known = false`."""

    fact: str
    is_: Value | None = Field(default=None, alias="is")
    is_not: Value | None = None
    any_of: tuple[Value, ...] | None = None
    at_least: int | None = None
    at_most: int | None = None
    known: bool | None = None


def tests_of(condition: Condition) -> tuple[str, ...]:
    """The names of the tests that are set; a sound condition has one, or both `at_least` and `at_most`."""
    given = {
        "is": condition.is_,
        "is_not": condition.is_not,
        "any_of": condition.any_of,
        "at_least": condition.at_least,
        "at_most": condition.at_most,
        "known": condition.known,
    }
    return tuple(name for name, value in given.items() if value is not None)


class Answer(Strict):
    """One answer: an exact `value`, or a typed one (`at_least` for counts, `typed` for measures)."""

    value: Value | None = None
    at_least: int | None = None
    typed: bool = False
    label: str
    leads_to: str


class Question(Strict):
    """Settles one fact and bears its name. `cant_tell` is where "can't tell from here" leads."""

    fact: str
    short: str = Field(default="", max_length=20)
    """What a list of settled facts calls it ("dimming"); the fact's name without one."""
    serves: tuple[Use, ...]
    """What the answer is used for. What is asked, and what judging hears, follows from it."""
    kind: Kind
    ask: str = Field(max_length=120)
    why: str = Field(max_length=300)
    look: str = Field(max_length=400)
    settles: str = Field(max_length=160)
    answers: tuple[Answer, ...]
    cant_tell: str
    dimension: Dimension | None = None
    """For a measure: what is measured; the units understood follow from it."""
    sizes_from: tuple[str, ...] = ()
    """For a measure: tables whose row names are accepted too (trade sizes of boxes)."""
    asked: Literal["while_open", "where_it_tells", "wherever_met"] = "while_open"
    """A look that only tells houses and fans apart is asked until enough is known; or only where some answer rules
    out a recommendation that is still open; or, as it is believed even where no case would show it, always."""
    power_on: bool = False
    """The reading needs power on: asked only of somebody who said they are able."""
    only_where: tuple[Condition, ...] = ()
    """What it speaks of is there only where these are known to hold: elsewhere it is no look to be advised."""
    caution: str = Field(default="", max_length=300)
    picture: str | None = None


class Again(Strict):
    """A second look, in a later station, at a fact that could not be told before; passed over when known."""

    id: str
    fact: str
    look: str = Field(max_length=400)
    leads_to: str


class Branch(Strict):
    """A way out of a fork: taken when all conditions hold."""

    when: tuple[Condition, ...]
    leads_to: str


class Fork(Strict):
    """Chooses the first branch whose conditions all hold on the facts known so far, else `otherwise`."""

    id: str
    branch: tuple[Branch, ...]
    otherwise: str


class Door(Strict):
    """The safety gate before a station. `checks` are confirmed one by one; none can be skipped."""

    id: str
    opens: Station
    ask: str = Field(max_length=160)
    cautions: tuple[str, ...]
    checks: tuple[str, ...]
    open: str
    later: str
    decline: str
    """Where "open", "not now" and "I'd rather not" lead."""
    picture: str | None = None


class StationFile(Strict):
    """One file under questions/: a station and its nodes; the floor's `first` starts the tree."""

    station: Station
    title: str
    intro: str = Field(max_length=400)
    first: str | None = None
    question: tuple[Question, ...] = ()
    again: tuple[Again, ...] = ()
    fork: tuple[Fork, ...] = ()
    door: tuple[Door, ...] = ()


class Reply(Strict):
    """What was said at a node: a value or "can't tell" at a question; open, later or decline at a door, or "after":
    the stations behind it first, then back here."""

    kind: Literal["value", "cant_tell", "open", "later", "after", "decline"]
    value: Value | None = None
    at: datetime
    station: Station
    note: str = ""
