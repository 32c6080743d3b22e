"""Texts in the words of a region: earth for ground, live or active for hot, MCB for breaker. Pure.

Texts are written with the words of North America; only those who say something else get them changed.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import BaseModel

if TYPE_CHECKING:
    from switchleg.schema.regions import Region, Words

SAID = frozenset({"text", "words", "ends", "remark", "title", "capped", "positions", "what", "answer", "lines"})
SAID_LISTS = frozenset({"warnings", "hazards", "before"})
"""Fields of an advice that people read; ids, nets, facts and sources stay as they are."""

GROUND = re.compile(r"\b(?P<word>ground)(?P<end>s|ed|ing)?\b(?! floor)(?! fault)", re.I)
HOT = re.compile(r"(?<!runs )(?<!run )(?<!feels )(?<!get )(?<!gets )\b(?P<word>hot)(?P<end>s)?\b(?! to | or )", re.I)
"""The conductor; what is warm stays hot."""
BREAKER = re.compile(r"(?<!circuit )(?<!Circuit )\b(?P<word>breaker)(?P<end>s)?\b", re.I)
WALL_BOX = re.compile(r"\b(?P<word>wall box)(?P<end>es)?\b", re.I)
ARTICLE = re.compile(r"\b([Aa]) (?=(?:earth|active|MCB)\b)")
LICENSED = re.compile(r"\b(?P<word>licensed electrician)(?P<end>s)?\b", re.I)

Say = Callable[[str], str]
Model = TypeVar("Model", bound=BaseModel)


def in_words_of(region: Region | None) -> Say:
    """How a text is said there. Without a region, and where the words are those written, as it stands."""
    return _say(region.words) if region is not None else str


@functools.lru_cache(maxsize=16)
def _say_by(pairs: tuple[tuple[re.Pattern[str], str], ...]) -> Say:
    def say(text: str) -> str:
        for pattern, word in pairs:
            text = pattern.sub(functools.partial(_like, word), text)
        return ARTICLE.sub(r"\1n ", text)

    return say


def _say(words: Words) -> Say:
    said = (
        (GROUND, "ground", words.ground),
        (HOT, "hot", words.hot),
        (BREAKER, "breaker", words.breaker),
        (WALL_BOX, "wall box", words.wall_box),
        (LICENSED, "licensed electrician", words.licensed_person),
    )
    pairs = tuple((pattern, here) for pattern, written, here in said if here not in (written, "box"))
    return _say_by(pairs) if pairs else str


def _like(word: str, match: re.Match[str]) -> str:
    """The local word with the ending and the capital of the written one."""
    first = word[0].upper() if match["word"][0].isupper() else word[0]
    return f"{first}{word[1:]}{match['end'] or ''}"


def localised(model: Model, region: Region | None) -> Model:
    """The model with every text that people read in the region's words."""
    say = in_words_of(region)
    return model if say is str else _model(model, say)


def _model(model: Model, say: Say) -> Model:
    changed = {}
    for name, value in model:
        new = _value(value, say, said=name in SAID or name in SAID_LISTS)
        if new is not value:
            changed[name] = new
    return model.model_copy(update=changed) if changed else model


def _value(value: Any, say: Say, *, said: bool) -> Any:
    if isinstance(value, str):
        return say(value) if said else value
    if isinstance(value, BaseModel):
        return _model(value, say)
    if isinstance(value, tuple):
        return tuple(_value(item, say, said=said) for item in value)
    if isinstance(value, Mapping):
        return value
    return value
