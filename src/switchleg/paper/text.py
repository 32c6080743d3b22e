"""A document as plain text: 80 columns, ASCII layout, nothing that could move or hide on a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from switchleg.paper.document import AnswerRow, Document, Part, Row
from switchleg.paper.safe_text import WIDTH, plain, typed, wrap

PAGE = 60
"""Lines on one sheet, A4 or Letter, at ten or twelve points."""
_LEADS = {
    "item": "* ",
    "warning": "CAUTION: ",
    "good": "+ ",
    "bad": "- ",
    "dash": "- ",
    "sum": "    ",
    "check": "  [x] ",
    "unchecked": "  [ ] ",
    "detail": "  ",
}
_HANGS = {"warning": "  "}


def render(document: Document) -> str:
    """The whole document, ending in a line break."""
    blocks = [_header(document), *(_part(part) for part in document.parts if part.rows or not part.drawings)]
    for chapter in document.chapters:
        blocks += ["", render(chapter).rstrip("\n")]
    about = "\n".join(wrap(plain(document.about)))
    blocks.insert(1 + sum(part.first_page for part in document.parts), about)
    return "\n\n".join([*blocks, "End of the summary."]) + "\n"


def render_page(document: Document, more: str) -> str:
    """What fits on one sheet: the first-page parts in their order, each with the whole rows there is room for.

    Parts that must stay whole are never cut, even when that takes a second sheet. `more` is the last line when
    something was left out.
    """
    lines = [plain(document.kind).upper(), *_fields(document)]
    foot, ending = wrap(plain(document.about)), wrap(plain(more))
    parts = [
        (part, ["", plain(part.title).upper()], list(_rows(part.rows))) for part in document.parts if part.first_page
    ]
    kept = sum(len(block) + sum(map(len, rows)) for part, block, rows in parts if part.whole)
    room = PAGE - len(lines) - 1 - len(foot) - len(ending) - kept
    cut = bool(document.chapters) or any(not part.first_page for part in document.parts)
    for part, block, rows in parts:
        used = len(block)
        fitting = []
        for row in rows:
            if not part.whole and used + len(row) > room:
                cut = True
                break
            fitting += row
            used += len(row)
        if fitting:
            lines += [*block, *fitting]
            room -= 0 if part.whole else used
    return "\n".join([*lines, "", *foot, *(ending if cut else [])]) + "\n"


def _header(document: Document) -> str:
    return "\n".join(["=" * WIDTH, plain(document.kind).upper(), "=" * WIDTH, *_fields(document)])


def _fields(document: Document) -> list[str]:
    return [line for label, text in document.fields for line in wrap(typed(text), f"{label + ':':<13}")]


def _part(part: Part) -> str:
    rows = [line for row in _rows(part.rows) for line in row]
    return "\n".join([*wrap(typed(plain(part.title)).upper()), "-" * WIDTH, *(rows or ["Nothing."])])


def _rows(rows: Iterable[Row | AnswerRow]) -> Iterator[list[str]]:
    step = 0
    for row in rows:
        if isinstance(row, AnswerRow):
            yield list(_answer(row))
            continue
        lead = _LEADS.get(row.kind, "")
        if row.kind == "step":
            step += 1
            lead = f"{step}. "
        yield wrap(_safe(row), lead, _HANGS.get(row.kind))


def _answer(row: AnswerRow) -> Iterator[str]:
    lead = f"{row.number:>3}. "
    indent = " " * len(lead)
    yield from wrap(plain(row.ask), lead)
    yield from wrap(plain(row.answer), f"{indent}Answer: ", f"{indent}  ")
    for detail in row.details:
        yield from wrap(_safe(detail), f"{indent}  ", f"{indent}    ")


def _safe(row: Row) -> str:
    return typed(row.text) if row.typed else plain(row.text)
