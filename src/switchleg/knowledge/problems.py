"""What is wrong in the data files, said so that a person who edits TOML can mend it."""

from __future__ import annotations

import tomllib
import types
import typing
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from switchleg.knowledge.model_walk import item_names
from switchleg.spelling import nearest_of


@dataclass(frozen=True, order=True)
class Problem:
    """One fault: file below decision_tree/, dotted key in it, what is wrong, nearest right spelling."""

    file: str
    key: str
    message: str
    nearest: str = ""

    def line(self) -> str:
        """One line, as `questions/wall.toml: question.wire_metal.cant_tell: no node is called "x"`."""
        place = f"{self.file}: {self.key}" if self.key else self.file
        hint = f'; did you mean "{self.nearest}"?' if self.nearest else ""
        return " ".join(f"{place}: {self.message}{hint}".split())


def toml_problem(file: str, error: tomllib.TOMLDecodeError | UnicodeDecodeError) -> Problem:
    """A file that is not TOML at all; the parser's own words carry line and column."""
    if isinstance(error, UnicodeDecodeError):
        return Problem(file, "", f"is not UTF-8 text (byte {error.start + 1}); save it as UTF-8")
    text = str(error)
    what, _, place = text.rpartition(" (")
    return Problem(file, place.rstrip(")").removeprefix("at "), f"is not TOML here: {(what or text).lower()}")


def model_problems(file: str, data: object, model: type[BaseModel], error: ValidationError) -> list[Problem]:
    """Every complaint of a model as a plain problem, in the order of the file."""
    found: dict[tuple[str, str], Problem] = {}
    for detail in error.errors(include_url=False):
        problem = _one(file, data, model, detail)
        found.setdefault((problem.key, problem.message), problem)
    return list(found.values())


def _one(file: str, data: object, model: type[BaseModel], detail: ErrorDetails) -> Problem:
    loc, kind, ctx = detail["loc"], detail["type"], detail.get("ctx", {})
    key = dotted(data, loc)
    if kind == "extra_forbidden":
        fields = fields_at(model, loc[:-1])
        return Problem(file, key, "nothing reads this key", nearest_of(loc[-1], fields))
    if kind == "missing":
        return Problem(file, key, "is missing")
    given = _shown(detail["input"])
    if kind in ("literal_error", "enum"):
        expected = str(ctx["expected"])
        words = [word.strip("'") for part in expected.split(", ") for word in part.split(" or ")]
        expected = expected.replace("'", '"')
        message = f"{given} is not allowed; expected {expected}"
        return Problem(file, key, message, nearest_of(detail["input"], words))
    if kind == "string_too_long":
        length, limit = len(str(detail["input"])), ctx["max_length"]
        return Problem(file, key, f"is too long: {length} characters, at most {limit}")
    if kind in ("string_too_short", "too_short"):
        return Problem(file, key, "is empty" if not detail["input"] else detail["msg"].lower())
    if kind == "string_pattern_mismatch":
        return Problem(file, key, f"{given} is not written like {ctx['pattern']}")
    if kind == "value_error":
        return Problem(file, key, str(ctx.get("error", detail["msg"])))
    return Problem(file, key, f"{given} does not fit: {_expected(detail['msg'])}")


def _expected(message: str) -> str:
    text = message.removeprefix("Input should be ").replace("Input should ", "it should ")
    text = text.replace("dictionary or an instance of", "table for")
    text = text.replace("valid string", "text").replace("tuple", "list")
    return f"expected {text}" if not text.startswith("it should") else text


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value if len(value) <= 40 else value[:37] + "..."}"'
    if isinstance(value, dict):
        return "a table"
    return "a list" if isinstance(value, list | tuple) else str(value)


def dotted(data: object, loc: Iterable[int | str]) -> str:
    """The place in a file, items of lists by what names them: `question.motor_label.answers.dc.label`."""
    parts: list[str] = []
    for step in loc:
        if isinstance(data, dict):
            data = data.get(step)
            parts.append(str(step))
        elif isinstance(data, list) and isinstance(step, int) and step < len(data):
            parts.append(item_names(data, _read)[step])
            data = data[step]
    return ".".join(parts)


def _read(item: Any, key: str) -> Any:
    return item.get(key) if isinstance(item, dict) else None


def fields_at(model: type[BaseModel], loc: Iterable[int | str]) -> Collection[str]:
    """The keys allowed at a place, so that a misspelt one can be matched."""
    shapes: list[Any] = [model]
    for step in loc:
        deeper: list[Any] = []
        for shape in shapes:
            if isinstance(step, int):
                deeper += typing.get_args(shape)
            elif isinstance(shape, type) and issubclass(shape, BaseModel):
                deeper += [f.annotation for n, f in shape.model_fields.items() if step in (n, f.alias)]
            elif typing.get_origin(shape) is dict:
                deeper += typing.get_args(shape)[1:]
        shapes = [part for shape in deeper for part in _parts(shape)]
    models = [shape for shape in shapes if isinstance(shape, type) and issubclass(shape, BaseModel)]
    return [field.alias or name for shape in models for name, field in shape.model_fields.items()]


def _parts(shape: Any) -> tuple[Any, ...]:
    origin = typing.get_origin(shape)
    if origin is typing.Annotated:
        return _parts(typing.get_args(shape)[0])
    if origin in (typing.Union, types.UnionType):
        return tuple(part for arg in typing.get_args(shape) for part in _parts(arg))
    return (shape,)
