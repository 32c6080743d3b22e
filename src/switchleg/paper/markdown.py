"""A document as Markdown (CommonMark): nothing that was typed can become markup, a link or HTML."""

from __future__ import annotations

import re
from collections.abc import Iterator

from switchleg.paper.document import AnswerRow, Document, Part, Row
from switchleg.paper.safe_text import typed

_MARKUP = re.compile(r"([\\`*_\[\]<>|~&#$@])|(?<=[A-Za-z]):(?=//)|(?<=[wW]{3})\.")
_AT_START = re.compile(r"^(\s*)([-+=]|\d+(?=[.)]))")


def render(document: Document, level: int = 1) -> str:
    """The whole document, ending in a line break."""
    lines = ["#" * level + " " + escaped(document.title), ""]
    lines += [f"- **{escaped(label)}:** {escaped(text)}" for label, text in document.fields]
    first = [part for part in document.parts if part.first_page]
    others = [part for part in document.parts if not part.first_page]
    for part in first:
        lines += _part(part, level + 1)
    lines += ["", f"> {escaped(document.about)}"]
    for part in others:
        lines += _part(part, level + 1)
    for chapter in document.chapters:
        lines += ["", "---", "", render(chapter, level + 1).rstrip("\n")]
    return "\n".join(lines) + "\n"


def escaped(text: str) -> str:
    """`text` on one line, so that Markdown shows just its letters."""
    line = _MARKUP.sub(lambda found: "\\" + found[0], typed(text))
    return _AT_START.sub(lambda found: f"{found[1]}\\{found[2]}" if not found[2].isdigit() else _digit(found), line)


def _digit(found: re.Match[str]) -> str:
    """A number at the start, parted from the sign that would make it a list."""
    return f"{found[1]}{found[2]}\u2060"


def _part(part: Part, level: int) -> Iterator[str]:
    yield ""
    yield "#" * level + " " + escaped(part.title)
    yield ""
    before = ""
    step = 0
    for row in part.rows:
        kind = "answer" if isinstance(row, AnswerRow) else row.kind
        if kind == "detail" and before:
            pass
        elif before and _listed(kind) != _listed(before):
            yield ""
        if isinstance(row, AnswerRow):
            yield f"{row.number}. {escaped(row.ask)}  "
            yield f"    **{escaped(row.answer)}**"
            yield from (f"    - {escaped(detail.text)}" for detail in row.details)
        else:
            step = step + 1 if kind == "step" else step
            yield _row(row, step)
        before = kind
    if not part.rows and not part.drawings:
        yield "Nothing."
    for drawing in part.drawings:
        fence = "`" * max(3, 1 + max((len(run) for run in re.findall("`+", drawing.lines)), default=0))
        yield from ("", escaped(drawing.title), "", f"{fence}text", drawing.lines, fence)


def _row(row: Row, step: int) -> str:
    text = escaped(row.text)
    return {
        "step": f"{step}. {text}",
        "item": f"- {text}",
        "dash": f"- {text}",
        "sum": f"- {text}",
        "good": f"- ✓ {text}",
        "bad": f"- ✗ {text}",
        "warning": f"- **CAUTION:** {text}",
        "check": f"- [x] {text}",
        "unchecked": f"- [ ] {text}",
        "detail": f"    - {text}",
    }.get(row.kind, f"{text}  ")


def _listed(kind: str) -> str:
    if kind in ("text",):
        return "text"
    return "numbers" if kind in ("step", "answer") else "list"
