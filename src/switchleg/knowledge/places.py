"""Find the models inside a file's model, each with the dotted key under which a person finds it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from pydantic import BaseModel

NAMES = ("fact", "id", "name", "value", "title")
"""The keys that name an item of a list, best first."""


def item_name(items: Sequence[Any], index: int, read: Callable[[Any, str], Any]) -> str:
    """The name of an item of a list; its number, from 1, where it has none or shares it with another."""
    name = _own_name(items[index], read)
    if name and sum(_own_name(item, read) == name for item in items) == 1:
        return name
    return str(index + 1)


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
        elif isinstance(value, tuple | list):
            for index, item in enumerate(value):
                if isinstance(item, BaseModel):
                    yield from models_in(item, f"{place}.{item_name(value, index, _attribute)}")
        elif isinstance(value, dict):
            for inner, item in value.items():
                if isinstance(item, BaseModel):
                    yield from models_in(item, f"{place}.{inner}")


def _attribute(item: Any, key: str) -> Any:
    return getattr(item, key, None)
