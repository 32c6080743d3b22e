"""The record of one fan: everything that was said, when and where, as one JSON object.

The order of the fields is the order in the file: what a list of records shows stands before `replies`,
so that listing reads only the head of each file.
"""

from __future__ import annotations

from typing import Literal

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, JsonValue

from switchleg.record.migrate import FORMAT
from switchleg.tree.model import Reply, Station

Stage = Literal["new", "asking", "waiting", "declined", "done"]
"""Nothing answered; between questions; at the card with a gate put off; with a gate refused; with none."""


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


class Record(Kept):
    """One fan. `format` above FORMAT: written by a newer version, held only for reading."""

    format: int = Field(default=FORMAT, ge=1)
    id: str
    name: str
    home: str = ""
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
    verdict: dict[str, JsonValue] | None = None
    """`at`, `knowledge_version`, `facts`, `headline` and `advice` of the last card."""
