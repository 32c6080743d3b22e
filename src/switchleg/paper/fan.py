"""A fan or a home on paper: text, Markdown, HTML or JSON, by the file's ending or by --as."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING, Literal

from switchleg.errors import SwitchlegError
from switchleg.paper.document import Document, Drawing, fan_document
from switchleg.record.store import local_now

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.record.model import Record
    from switchleg.session.session import Session

Kind = Literal["txt", "md", "html", "json"]
ENDINGS: dict[str, Kind] = {
    "txt": "txt",
    "text": "txt",
    "md": "md",
    "markdown": "md",
    "html": "html",
    "htm": "html",
    "json": "json",
}
OTHERS = frozenset({"pdf", "doc", "docx", "odt", "rtf", "png", "jpg", "svg", "csv", "xlsx"})
"""Endings that would promise another kind of file."""


def kind_of(asked: str | None, file: str | None) -> Kind:
    """The kind that was asked for, else that of the file's ending, else text. SwitchlegError for no such kind."""
    if asked is not None:
        kind = ENDINGS.get(asked.casefold().lstrip("."))
        if kind is not None:
            return kind
        from switchleg.record.index import nearest

        close = nearest(asked, ENDINGS)
        raise SwitchlegError(
            f"there is no kind {asked!r}",
            where="--as",
            expected="txt, md, html or json",
            mend=f"did you mean {close}?" if close else "name one of them",
        )
    ending = PurePath(file).suffix.casefold().lstrip(".") if file not in (None, "-") else ""
    if ending in OTHERS:
        raise SwitchlegError(
            f"a .{ending} file cannot be made",
            where=file or "",
            expected="txt, md, html or json",
            mend="make a .html file; a browser shows and prints it",
        )
    return ENDINGS.get(ending, "txt")


def fan_paper(session: Session, kind: Kind) -> str:
    """One fan on paper."""
    if kind == "json":
        from switchleg.record.codec import to_bytes

        return to_bytes(session.record).decode()
    return rendered(document_of(session, drawn=kind != "txt"), kind)


def home_paper(home: str, records: Sequence[Record], kind: Kind, knowledge: Knowledge | None = None) -> str:
    """A whole home on paper, each of its fans as a chapter; on the installed knowledge unless told otherwise."""
    from switchleg.home.overview import home_view
    from switchleg.paper.home import home_document
    from switchleg.session.session import Session

    now = local_now
    if kind == "json":
        fans = [record.model_dump(mode="json") for record in records]
        return json.dumps({"format": 1, "home": home, "fans": fans}, indent=1) + "\n"
    if knowledge is None:
        from switchleg.knowledge.load import load

        knowledge = load()
    sessions = (Session(knowledge, record, None, now) for record in records)
    chapters = [document_of(session, drawn=kind != "txt") for session in sessions]
    return rendered(home_document(home_view(knowledge, home, records, now), now(), chapters), kind)


def page_text(session: Session) -> str:
    """The one page: verdict, do this, don't do that, what to buy."""
    from switchleg.paper.text import render_page

    more = f"More than fits here, joints and answers too: switchleg export {session.record.id}"
    return render_page(document_of(session, drawn=False, in_short=True), more)


def document_of(session: Session, *, drawn: bool, in_short: bool = False) -> Document:
    """The fan's paper before it is rendered; with `drawn`, with the drawings that are safe to make; `in_short`: for a
    page without the steps."""
    drawings = tuple(_drawings(session)) if drawn else ()
    work = session.work if session.record.progress is not None else None
    short = _in_short(session) if in_short else ()
    return fan_document(session.record, session.review, session.card(), drawings, work, short)


def _in_short(session: Session) -> tuple[str, ...]:
    from switchleg.advice.wording.regional_terms import in_words_of
    from switchleg.advice.work.beforehand import in_short

    advice = session.advice()
    wanted = advice.recommendation.scheme if advice.recommendation else ""
    chosen = next((one for one in advice.schemes if one.id == wanted), None)
    say = in_words_of(session.knowledge.regions.get(str(session.facts.get("region", ""))))
    return tuple(map(say, in_short(session.knowledge, chosen))) if chosen else ()


def rendered(document: Document, kind: Kind) -> str:
    """The document in a kind of its own; not for json."""
    from switchleg.paper import html, markdown, text

    return {"md": markdown.render, "html": html.render}.get(kind, text.render)(document)


def _drawings(session: Session) -> list[Drawing]:
    from switchleg.advice.card.drawings import pictures
    from switchleg.wiring.drawing.svg import draw_svg
    from switchleg.wiring.drawing.text import draw_text

    try:
        found = pictures(session.knowledge, session.facts)
    except SwitchlegError:
        return []
    shown = [("Today's wiring", found.today)]
    if found.new is not None:
        title = next((one.title for one in session.advice().schemes if one.id == found.scheme), "the plan")
        shown.append((f"The new wiring: {title}", found.new))
    return [
        Drawing(title, draw_svg(picture, title=title), draw_text(picture, ascii_only=True)) for title, picture in shown
    ]
