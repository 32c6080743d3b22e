"""The record of one fan: everything that was said, when and where, as one JSON object.

The order of the fields is the order in the file: what a list of records shows stands before `replies`,
so that listing reads only the head of each file.
"""

from __future__ import annotations

from typing import Literal

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, JsonValue

from switchleg.record.migrate import FORMAT
from switchleg.schema.questions import Reply, Station

Stage = Literal["new", "asking", "waiting", "declined", "done"]
"""Nothing answered; between questions; at the card with a gate put off; with a gate refused; with none."""


WorkStage = Literal["", "begun", "proved"]
"""Not begun; steps or proof left; every step done and every row of the function table checked."""


class Kept(BaseModel):
    """Unknown keys are errors; a change makes a new value, so a failed save leaves the old one whole."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Standing(Kept):
    """What a list of records shows about one of them."""

    stage: Stage = "new"
    station: Station = "floor"
    answered: int = 0
    status: str | None = None
    """The verdict's status while it still fits the answers, else None."""
    headline: str = ""
    work: WorkStage = ""


class Event(Kept):
    """What stood at `node` until `at`: a reply or a note that was changed."""

    at: AwareDatetime
    node: str
    reply: Reply | None = None
    note: str | None = None


class GateEntry(Kept):
    """One answer at a safety gate; for "open", each check as it was confirmed."""

    at: AwareDatetime
    door: str
    opens: Station
    outcome: Literal["open", "later", "decline"]
    checks: tuple[str, ...] = ()


class Origin(Kept):
    """Which fan of the home a reply was taken from, and when it was confirmed for this one."""

    record: str
    name: str
    at: AwareDatetime


class Work(Kept):
    """How far the work on a plan has come, step by step."""

    scheme: str
    plan: str
    """Short hash of the plan's steps and function table: another plan is another piece of work."""
    knowledge_version: str = ""
    begun: AwareDatetime
    steps: int = Field(ge=0)
    rows: int = Field(ge=0)
    """How many steps and rows of the function table the plan has."""
    next: int = Field(default=0, ge=0)
    """Index of the next step; `steps` when all are done."""
    notes: dict[int, str] = {}
    """What was noted at a step, by its index."""
    checked: tuple[int, ...] = ()
    """Rows of the function table that were seen to hold, by index."""


class Record(Kept):
    """One fan. `format` above FORMAT: written by a newer version, held only for reading."""

    format: int = Field(default=FORMAT, ge=1)
    id: str
    name: str
    home: str = ""
    breaker_label: str = ""
    """The breaker that feeds it, as the panel calls it; "" while nobody has said."""
    created: AwareDatetime
    changed: AwareDatetime
    knowledge_version: str = ""
    """The version of the knowledge that the last change was made with."""
    standing: Standing = Standing()
    replies: dict[str, Reply] = {}
    """What stands now, by node; replies off the present way are kept."""
    history: list[Event] = []
    gates: list[GateEntry] = []
    notes: dict[str, str] = {}
    origins: dict[str, Origin] = {}
    """For replies taken over from another fan of the home, by node, while they stand."""
    asks_everything: bool = False
    """Questions that could change nothing any more are asked too: somebody wanted them."""
    progress: Work | None = None
    past_work: list[Work] = []
    """Work on plans that were given up or have changed, with its notes."""
    verdict: dict[str, JsonValue] | None = None
    """`at`, `knowledge_version`, `facts`, `headline` and `advice` of the last card."""
