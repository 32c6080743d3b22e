"""From the bytes of a file to a record and back; nothing here touches a file."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any, TypeVar

from pydantic import BaseModel, JsonValue, TypeAdapter, ValidationError

from switchleg.record.ids import typed_text
from switchleg.record.migrate import FORMAT, format_of, migrate
from switchleg.record.model import Event, GateEntry, Origin, Record, Standing, Work
from switchleg.record.summary import LONG_AGO, Summary, summary_of, time_of
from switchleg.schema.questions import Reply

_M = TypeVar("_M", bound=BaseModel)

HEAD = {"format", "id", "name", "home", "breaker_label", "created", "changed", "knowledge_version", "standing"}
"""The fields before `replies`: all that a line of the list is told from."""


class Unreadable(ValueError):
    """The bytes are no record; the message says what is wrong with them."""


def to_bytes(record: Record) -> bytes:
    """The file's content: UTF-8 JSON, one key a line, a line break at the end."""
    return record.model_dump_json(indent=1).encode() + b"\n"


def from_bytes(data: bytes, id_: str) -> Record:
    """The record in `data`, under the id that its file bears. Unreadable when it is damaged.

    A newer format is read as far as it is understood, and keeps its format number.
    """
    raw = _object(data)
    try:
        number = format_of(raw)
        if number > FORMAT:
            return _newer(raw, number, id_)
        raw = migrate(raw)
        # The strict reading works on JSON text: there a date is a string, and only a whole number is an int.
        record = Record.model_validate_json(json.dumps(raw), strict=True)
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(part) for part in first["loc"]) or "the whole"
        raise Unreadable(f"{place}: {first['msg'][:1].lower()}{first['msg'][1:]}") from None
    except ValueError as error:
        raise Unreadable(str(error)) from None
    return record if record.id == id_ else record.model_copy(update={"id": id_})


def summary_of_whole(data: bytes, id_: str) -> Summary:
    """The line for a file whose head alone did not do; damaged ones get their problem."""
    try:
        record = from_bytes(data, id_)
    except Unreadable as error:
        return Summary(id=id_, name=id_, problem=f"damaged: {error}")
    return summary_of(record.model_dump(mode="json", exclude=set(Record.model_fields) - HEAD), id_)


def _object(data: bytes) -> dict[str, Any]:
    if not data.strip(b"\0 \r\n\t"):
        raise Unreadable("it is empty")
    try:
        raw = json.loads(data.decode("utf-8-sig"))
    except json.JSONDecodeError as error:
        raise Unreadable(f"line {error.lineno}: {error.msg[:1].lower()}{error.msg[1:]}") from None
    except UnicodeDecodeError:
        raise Unreadable("it is not UTF-8 text") from None
    except (ValueError, RecursionError):
        raise Unreadable("it is not usable JSON") from None
    if not isinstance(raw, dict):
        raise Unreadable("it is not one JSON object")
    return raw


def _newer(raw: dict[str, Any], number: int, id_: str) -> Record:
    """What this version understands of a newer record; the file itself is never written."""
    replies = raw.get("replies")
    notes = raw.get("notes")
    origins = raw.get("origins")
    verdict = raw.get("verdict")
    return Record(
        format=number,
        id=id_,
        name=typed_text(str(raw.get("name", id_))),
        home=typed_text(str(raw.get("home", ""))),
        breaker_label=typed_text(str(raw.get("breaker_label", ""))),
        created=_understood_time(raw.get("created")),
        changed=_understood_time(raw.get("changed")),
        knowledge_version=typed_text(str(raw.get("knowledge_version", ""))),
        standing=_understood(Standing, raw.get("standing")) or Standing(),
        replies={
            typed_text(node): reply
            for node, item in (replies if isinstance(replies, dict) else {}).items()
            if (reply := _understood(Reply, item)) is not None
        },
        history=_understood_list(Event, raw.get("history")),
        gates=_understood_list(GateEntry, raw.get("gates")),
        notes={
            typed_text(node): typed_text(text)
            for node, text in (notes if isinstance(notes, dict) else {}).items()
            if isinstance(text, str)
        },
        origins={
            typed_text(node): origin
            for node, item in (origins if isinstance(origins, dict) else {}).items()
            if (origin := _understood(Origin, item)) is not None
        },
        progress=_understood(Work, raw.get("progress")),
        past_work=_understood_list(Work, raw.get("past_work")),
        verdict=_understood_verdict(verdict),
    )


def _understood_verdict(item: object) -> dict[str, JsonValue] | None:
    try:
        return TypeAdapter(dict[str, JsonValue]).validate_python(item)
    except ValidationError:
        return None


def _understood(model: type[_M], item: object) -> _M | None:
    if not isinstance(item, dict):
        return None
    known = {key: value for key, value in item.items() if key in model.model_fields}
    try:
        return TypeAdapter(model).validate_json(json.dumps(known), strict=True)
    except ValidationError:
        return None


def _understood_list(model: type[_M], items: object) -> list[_M]:
    found = (_understood(model, item) for item in (items if isinstance(items, list) else []))
    return [item for item in found if item is not None]


def _understood_time(text: object) -> datetime:
    try:
        return time_of(text)
    except ValueError:
        return LONG_AGO
