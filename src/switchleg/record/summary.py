"""One line of the list of records, told from the head of a file.

Nothing here touches a file, and nothing needs the models: the list stands on the first screen.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from switchleg.record.migrate import FORMAT, format_of

HEAD_BYTES = 2048
"""Read from each file for the list; a longer head is read whole."""
LONG_AGO = datetime(1970, 1, 1, tzinfo=UTC)
"""The time of what cannot be dated."""
_HEAD_ENDS = b'\n "replies":'


@dataclass(frozen=True)
class Summary:
    """One line of the list. `problem` is "" for a sound record; a damaged one has only `id` and `name`."""

    id: str
    name: str
    home: str = ""
    breaker_label: str = ""
    created: datetime = LONG_AGO
    changed: datetime = LONG_AGO
    stage: str = ""
    station: str = ""
    answered: int = 0
    status: str | None = None
    headline: str = ""
    work: str = ""
    """"begun" or "proved" once the work was started."""
    problem: str = ""
    newer: bool = False


def summary_from(head: bytes, tail: bytes, id_: str) -> Summary | None:
    """The line for a file from its first and last bytes; None when the head is too long for that.

    A file that was cut short is told by its missing end.
    """
    end = head.find(_HEAD_ENDS)
    if end < 0 or not tail.rstrip().endswith(b"}"):
        return None
    try:
        return summary_of(json.loads(head[:end].rstrip().rstrip(b",") + b"}"), id_)
    except (ValueError, RecursionError):
        return None


def summary_of(head: dict[str, Any], id_: str) -> Summary:
    """The line for a record's JSON object; ValueError when it has no format number or no times."""
    number = format_of(head)
    standing = head.get("standing")
    standing = standing if isinstance(standing, dict) else {}
    status, answered = standing.get("status"), standing.get("answered", 0)
    return Summary(
        id=id_,
        name=str(head.get("name", id_)),
        home=str(head.get("home", "")),
        breaker_label=str(head.get("breaker_label", "")),
        created=time_of(head.get("created")),
        changed=time_of(head.get("changed")),
        stage=str(standing.get("stage", "")),
        station=str(standing.get("station", "")),
        answered=answered if isinstance(answered, int) else 0,
        status=status if isinstance(status, str) else None,
        headline=str(standing.get("headline", "")),
        work=str(standing.get("work", "")),
        problem=f"written by a newer version (format {number})" if number > FORMAT else "",
        newer=number > FORMAT,
    )


def time_of(text: object) -> datetime:
    """A time with its offset; without one it is taken as UTC. ValueError when `text` is none."""
    when = datetime.fromisoformat(str(text))
    return when if when.tzinfo else when.replace(tzinfo=UTC)
