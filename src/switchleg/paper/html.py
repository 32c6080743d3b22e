"""A document as one HTML page that needs nothing else: no script, no link, no outside font or picture."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import escape
from itertools import groupby

from switchleg.paper.document import VERDICT, AnswerRow, Document, Drawing, Part, Row
from switchleg.paper.safe_text import typed

POLICY = "default-src 'none'; style-src 'unsafe-inline'"
STYLE = """
:root { color-scheme: light dark; }
body { font: 1rem/1.45 system-ui, sans-serif; margin: 0 auto; max-width: 46rem; padding: 0.75rem; }
h1 { font-size: 1.5rem; margin: 0.5rem 0; }
h2 { font-size: 1.15rem; border-bottom: 1px solid; margin: 1.4rem 0 0.4rem; }
h3 { font-size: 1rem; margin: 1rem 0 0.3rem; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: 0.1rem 0.8rem; margin: 0.5rem 0; }
dt { font-weight: 600; } dd { margin: 0; }
p { margin: 0.3rem 0; overflow-wrap: anywhere; }
ul, ol { margin: 0.3rem 0; padding-left: 1.5rem; } li { margin: 0.2rem 0; overflow-wrap: anywhere; }
ul.plain { list-style: none; padding-left: 0; }
.verdict > p { font-size: 1.2rem; font-weight: 600; }
.warning { border-left: 0.3rem solid #b00020; padding-left: 0.6rem; }
.sum { font-variant-numeric: tabular-nums; }
.detail { font-size: 0.9rem; }
.about { font-size: 0.9rem; border: 1px solid; padding: 0.5rem; margin: 1rem 0; }
figure { margin: 0.6rem 0; overflow-x: auto; background: #fff; color: #000; }
figure svg { max-width: 100%; height: auto; min-width: 20rem; }
@media print {
  @page { margin: 15mm; }
  body { font-size: 10pt; max-width: none; padding: 0; color: #000; background: #fff; }
  li, figure, .warning { break-inside: avoid; }
  h2, h3 { break-after: avoid; }
  .rest, .chapter { break-before: page; }
  figure { overflow: visible; } figure svg { min-width: 0; }
}
"""
_LISTS = {
    "step": "ol",
    "answer": "ol",
    "item": "ul",
    "dash": "ul",
    "good": "ul",
    "bad": "ul",
    "warning": "ul",
    "check": "ul",
    "unchecked": "ul",
}
_MARKS = {
    "good": "✓ ",
    "bad": "✗ ",
    "check": "☑ ",
    "unchecked": "☐ ",
    "warning": "<strong>Caution:</strong> ",
}


def render(document: Document) -> str:
    """The whole document as one page."""
    return "\n".join(
        [
            "<!DOCTYPE html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            f'<meta http-equiv="Content-Security-Policy" content="{escape(POLICY)}">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            '<meta name="referrer" content="no-referrer">',
            f"<title>{safe(document.title)}</title>",
            f"<style>{STYLE}</style>",
            "</head>",
            "<body>",
            *_body(document, 1, "d"),
            "</body>",
            "</html>",
            "",
        ]
    )


def safe(text: str) -> str:
    """`text` so that a browser shows just its letters."""
    return escape(typed(text), quote=True)


def _body(document: Document, level: int, mark: str) -> Iterator[str]:
    yield f"<h{level}>{safe(document.title)}</h{level}>"
    yield "<dl>"
    yield from (f"<dt>{safe(label)}</dt><dd>{safe(text)}</dd>" for label, text in document.fields)
    yield "</dl>"
    first = [part for part in document.parts if part.first_page]
    others = [part for part in document.parts if not part.first_page]
    for number, part in enumerate(first):
        yield from _part(part, level + 1, f"{mark}{number}", "verdict" if number == 0 or part.title == VERDICT else "")
    yield f'<p class="about">{safe(document.about)}</p>'
    if others:
        yield '<div class="rest">'
        for number, part in enumerate(others, len(first)):
            yield from _part(part, level + 1, f"{mark}{number}", "")
        yield "</div>"
    for number, chapter in enumerate(document.chapters):
        yield '<article class="chapter">'
        yield from _body(chapter, min(level + 1, 4), f"{mark}c{number}-")
        yield "</article>"


def _part(part: Part, level: int, mark: str, style: str) -> Iterator[str]:
    yield f'<section class="{style}">' if style else "<section>"
    yield f"<h{level}>{safe(part.title)}</h{level}>"
    for kind, group in groupby(part.rows, _kind):
        rows = list(group)
        tag = _LISTS.get(kind, "")
        if tag:
            plain_list = ' class="plain"' if kind in _MARKS else ""
            yield f"<{tag}{plain_list}>"
            yield from (_item(row, kind) for row in rows)
            yield f"</{tag}>"
        else:
            yield from (f'<p class="{kind}">{_text(row)}</p>' for row in rows)
    if not part.rows and not part.drawings:
        yield "<p>Nothing.</p>"
    for number, drawing in enumerate(part.drawings):
        yield f"<figure>{_drawing(drawing, f'{mark}-{number}-')}</figure>"
    yield "</section>"


def _kind(row: Row | AnswerRow) -> str:
    return "answer" if isinstance(row, AnswerRow) else row.kind


def _item(row: Row | AnswerRow, kind: str) -> str:
    if isinstance(row, AnswerRow):
        details = "".join(f'<p class="detail">{safe(detail.text)}</p>' for detail in row.details)
        return f'<li value="{row.number}">{safe(row.ask)}<p><strong>{safe(row.answer)}</strong></p>{details}</li>'
    style = ' class="warning"' if kind == "warning" else ""
    return f"<li{style}>{_MARKS.get(kind, '')}{safe(row.text)}</li>"


def _text(row: Row | AnswerRow) -> str:
    return safe(row.text) if isinstance(row, Row) else safe(row.ask)


def _drawing(drawing: Drawing, mark: str) -> str:
    """The SVG for use inside HTML: no namespace address, and ids of its own, as several stand on one page."""
    svg = re.sub(r'\sxmlns="[^"]*"', "", drawing.svg)
    svg = re.sub(r'(\sid=")([^"]*")', rf"\g<1>{mark}\g<2>", svg)
    named = re.compile(r'(\saria-labelledby=")([^"]*)"')
    return named.sub(lambda found: found[1] + " ".join(mark + name for name in found[2].split()) + '"', svg)
