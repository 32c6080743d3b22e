"""Keep what is sound in a file that has faults, so that one slip does not hide or invent others.

Only for checking: a repaired file is never used to advise anybody.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from switchleg.knowledge.model_walk import NAMES
from switchleg.knowledge.problems import fields_at
from switchleg.spelling import nearest_of

ROUNDS = 4


@dataclass(frozen=True)
class Salvaged:
    """What a file still says: its model (None when nothing could be kept), and the names of dropped items."""

    model: BaseModel | None
    lost: frozenset[str]


def salvage(data: dict[str, Any], model: type[BaseModel]) -> Salvaged:
    """Drop unknown keys, mend misspelt ones, shorten long texts; drop outermost items that stay unsound."""
    data = copy.deepcopy(data)
    lost: set[str] = set()
    for last in (*(False,) * ROUNDS, True):
        try:
            return Salvaged(model.model_validate(data), frozenset(lost))
        except ValidationError as error:
            details = error.errors(include_url=False)
        if last or not _mend(data, model, details):
            _drop(data, details, lost)
    try:
        return Salvaged(model.model_validate(data), frozenset(lost))
    except ValidationError:
        return Salvaged(None, frozenset(lost | _names(data)))


def _mend(data: dict[str, Any], model: type[BaseModel], details: list[ErrorDetails]) -> bool:
    mended = False
    for detail in details:
        *way, key = detail["loc"]
        holder = _at(data, way)
        if detail["type"] == "extra_forbidden" and isinstance(holder, dict) and key in holder:
            right = nearest_of(key, fields_at(model, way))
            value = holder.pop(key)
            if right:
                holder.setdefault(right, value)
            mended = True
        elif detail["type"] == "string_too_long" and isinstance(holder, dict | list):
            holder[key] = str(holder[key])[: detail["ctx"]["max_length"]]  # type: ignore[index]
            mended = True
    return mended


def _drop(data: dict[str, Any], details: list[ErrorDetails], lost: set[str]) -> None:
    spots: set[tuple[Any, int]] = set()
    for detail in details:
        loc = detail["loc"]
        if len(loc) > 1 and isinstance(loc[1], int):
            spots.add((loc[0], loc[1]))
        elif loc and loc[0] in data:
            lost |= _names(data.pop(str(loc[0])))
    for key, index in sorted(spots, reverse=True):
        items = data.get(key)
        if isinstance(items, list) and index < len(items):
            lost |= _names(items.pop(index))


def _at(data: Any, way: list[int | str]) -> Any:
    for step in way:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return None
    return data


def _names(item: Any) -> set[str]:
    """Every name that a dropped item may have carried."""
    found: set[str] = set()
    if isinstance(item, dict):
        found |= {str(item[key]) for key in NAMES if isinstance(item.get(key), str)}
        for value in item.values():
            found |= _names(value)
    elif isinstance(item, list):
        for value in item:
            found |= _names(value)
    return found
