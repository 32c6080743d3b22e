"""A calculation on paper: lines for a terminal, or one JSON object."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from switchleg.schema.sources import source_words

if TYPE_CHECKING:
    from switchleg.figures.sheet import Sheet
    from switchleg.schema.sources import Source

INDENT = "  "


def sheet_lines(sheet: Sheet, sources: Mapping[str, Source], region: str = "") -> Iterator[tuple[str, str, str]]:
    """Each line with its first and its following indent; the verdict stands first, the sources last."""
    yield f"{sheet.title}: {sheet.verdict}", "", ""
    for heading, lines in (
        ("Given", [f"{name}: {value}" for name, value in sheet.given]),
        ("The sum", list(sheet.lines)),
        ("What would make it fit" if sheet.fits is False else "To go on with", list(sheet.ways)),
        ("Mind", list(sheet.doubts)),
        ("Edition", list(sheet.editions)),
        ("Sources", [source_words(name, sources, region) for name in sheet.sources]),
    ):
        if lines:
            yield f"{heading}:", "", ""
            for line in lines:
                yield line, f"{INDENT}- ", f"{INDENT}  "


def as_json(sheet: Sheet, sources: Mapping[str, Source], region: str = "") -> str:
    """The sheet as ASCII JSON; exact numbers as fractions in text beside a decimal."""
    return json.dumps({"format": 1, **as_object(sheet, sources, region)}, ensure_ascii=True, indent=2)


def as_object(sheet: Sheet, sources: Mapping[str, Source], region: str = "") -> dict[str, Any]:
    """The sheet as plain values, for JSON."""
    return {
        "calculation": sheet.id,
        "title": sheet.title,
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
        "sources": [{"id": name, "text": source_words(name, sources, region)} for name in sheet.sources],
    }
