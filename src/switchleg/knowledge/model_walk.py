"""Find the models inside a file's model, each with the dotted key under which a person finds it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from pydantic import BaseModel

NAMES = ("fact", "id", "name", "value", "title")
"""The keys that name an item of a list, best first."""


def item_names(items: Sequence[Any], read: Callable[[Any, str], Any]) -> list[str]:
    """The names of a list's items; the number, from 1, of one that has none or shares it with another."""
    names = [_own_name(item, read) for item in items]
    often = Counter(names)
    return [name if name and often[name] == 1 else str(number) for number, name in enumerate(names, 1)]


def _own_name(item: Any, read: Callable[[Any, str], Any]) -> str:
    for key in NAMES:
        value = read(item, key)
        if isinstance(value, bool):
            return str(value).lower()
        if isinstance(value, str | int) and value != "":
            return str(value)
    least = read(item, "at_least")
    if isinstance(least, int):
        return f"{least}+"
    return "typed" if read(item, "typed") is True else ""


def models_in(model: BaseModel, key: str = "") -> Iterator[tuple[str, BaseModel]]:
    """The model itself and every model inside it, with dotted keys as `question.motor_label.answers.dc`."""
    yield key, model
    for name, field in type(model).model_fields.items():
        value = getattr(model, name)
        place = f"{key}.{field.alias or name}" if key else field.alias or name
        if isinstance(value, BaseModel):
            yield from models_in(value, place)
        elif isinstance(value, tuple | list) and any(isinstance(item, BaseModel) for item in value):
            for item, own in zip(value, item_names(value, _attribute), strict=True):
                if isinstance(item, BaseModel):
                    yield from models_in(item, f"{place}.{own}")
        elif isinstance(value, dict):
            for inner, item in value.items():
                if isinstance(item, BaseModel):
                    yield from models_in(item, f"{place}.{inner}")


def _attribute(item: Any, key: str) -> Any:
    return getattr(item, key) if isinstance(item, BaseModel) and key in type(item).model_fields else None
