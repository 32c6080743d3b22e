"""Every published source, named once; tables, rules, schemes and clues point here by id."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from pydantic import Field

from switchleg.schema.questions import Strict

Grade = Literal["A", "B", "C", "D", "-"]
"""A code text or regulator, B trade press or educator, C forum or exam site, D maker's data sheet, - none."""


class Source(Strict):
    """One document, or a plain admission that there is none."""

    id: str = Field(min_length=1, max_length=40)
    title: str = Field(min_length=1, max_length=160)
    edition: str = Field(default="", max_length=60)
    grade: Grade
    place: str = Field(default="", max_length=300)
    """Where in the document: section, table, page; or the address of a public page."""
    common_practice: bool = False
    """A rule of thumb of the trade: nobody has published it as a requirement."""
    from_memory: bool = False
    """Remembered from a published standard, not read again: see the book before relying on it."""
    regions: tuple[str, ...] = ()
    """Where it is in force, or whose rules it tells; empty for what holds or is of use anywhere."""


class SourceFile(Strict):
    """sources.toml: a list of `[[source]]`."""

    source: tuple[Source, ...]


ELSEWHERE = "not a rule of this region: ask what holds here"


def source_words(name: str, sources: Mapping[str, Source], region: str = "") -> str:
    """A source by its title and place, and how far it may be trusted; an unknown id as it stands."""
    source = sources.get(name)
    if source is None:
        return name
    text = source.title
    if source.place:
        text += f" ({source.place})"
    if source.from_memory:
        text += " (from memory: see the book)"
    return text + foreign(source, region)


def foreign(source: Source, region: str) -> str:
    """A remark on a source that tells the rules of other regions than this one; else nothing."""
    return f" ({ELSEWHERE})" if region and source.regions and region not in source.regions else ""
