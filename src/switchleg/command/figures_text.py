"""A calculation on paper: lines for a terminal, or one JSON object."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from switchleg.figures.sheet import Sheet
    from switchleg.knowledge.sources import Source

INDENT = "  "


def sheet_lines(sheet: Sheet, sources: Mapping[str, Source]) -> Iterator[tuple[str, str, str]]:
    """Each line with its first and its following indent; the verdict stands first, the sources last."""
    yield f"{sheet.title}: {sheet.verdict}", "", ""
    for heading, lines in (
        ("Given", [f"{name}: {value}" for name, value in sheet.given]),
        ("The sum", list(sheet.lines)),
        ("What would make it fit" if sheet.fits is False else "To go on with", list(sheet.ways)),
        ("Mind", list(sheet.doubts)),
        ("Edition", list(sheet.editions)),
        ("Sources", [source_line(name, sources) for name in sheet.sources]),
    ):
        if lines:
            yield f"{heading}:", "", ""
            for line in lines:
                yield line, f"{INDENT}- ", f"{INDENT}  "


def source_line(name: str, sources: Mapping[str, Source]) -> str:
    """A source by its title, and how far it may be trusted."""
    source = sources.get(name)
    if source is None:
        return name
    text = source.title
    if source.place:
        text += f" ({source.place})"
    if source.from_memory:
        text += " (from memory: see the book)"
    return text


def as_json(sheet: Sheet, sources: Mapping[str, Source]) -> str:
    """The sheet as ASCII JSON; exact numbers as fractions in text beside a decimal."""
    told = {
        "format": 1,
        "calculation": sheet.id,
        "covered": sheet.covered,
        "fits": sheet.fits,
        "verdict": sheet.verdict,
        "given": [{"name": name, "value": value} for name, value in sheet.given],
        "lines": list(sheet.lines),
        "numbers": [
            {"id": one.id, "value": float(one.amount), "exact": str(one.amount), "unit": one.unit}
            for one in sheet.numbers
        ],
        "ways": list(sheet.ways),
        "doubts": list(sheet.doubts),
        "editions": list(sheet.editions),
        "sources": [{"id": name, "text": source_line(name, sources)} for name in sheet.sources],
    }
    return json.dumps(told, ensure_ascii=True, indent=2)
