"""What goes on paper about one fan or one home, before it is text, Markdown or HTML: parts of plain rows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from switchleg import __version__
from switchleg.record.model import GateEntry, Record, Work
from switchleg.schema.questions import STATIONS, Reply, Station

if TYPE_CHECKING:
    from switchleg.advice.card.build import Card, Line
    from switchleg.session.views.model import ReviewRow, WorkView

PLACES: dict[Station, str] = {
    "floor": "From the floor, nothing opened",
    "wall": "At the wall, cover plate off",
    "canopy": "At the ceiling, canopy lowered",
}
OUTCOMES = {"open": "opened", "later": "not opened yet", "decline": "not to be opened by this person"}
STATUS = {
    "recommended": "A recommendation can be given.",
    "needs_checks": "Further checks are needed.",
    "stop": "STOP: a licensed electrician is needed.",
}
ABOUT = (
    "This page sums up what was seen and answered about one ceiling fan, and what a questionnaire program "
    "concluded from it. It is no inspection. Local code and the judgment of a licensed electrician come "
    "first. Test every conductor dead before touching it; a switch that is off does not make a box dead."
)
HAZARDS = "hazards"
VERDICT = "Verdict"
FIRST_PAGE = (HAZARDS, "stops", "verdict", "next", "preparations", "cautions", "keeps", "parts", "not_to_buy")
"""Sections of the card for whoever reads no further: do this, don't do that, what it keeps, what to buy."""

WHOLE = frozenset({HAZARDS, "stops", "verdict", "cautions"})
"""Sections of which the one page never leaves a line out: half a warning is worse than a second sheet."""

IN_SHORT = "In the boxes (each step: see the whole summary)"


@dataclass(frozen=True)
class Row:
    """One line of a part; `kind` as in a card, "check" for a confirmed check, "detail" for what hangs below a row.
    `typed`: a person wrote it."""

    text: str
    kind: str = "text"
    typed: bool = False


@dataclass(frozen=True)
class AnswerRow:
    """One question with its answer; `details` are what was before, where it came from and notes."""

    number: int
    ask: str
    answer: str
    details: tuple[Row, ...] = ()


@dataclass(frozen=True)
class Drawing:
    """A drawing as an SVG document and as lines of text."""

    title: str
    svg: str
    lines: str


@dataclass(frozen=True)
class Part:
    """A heading and what stands under it. `first_page`: it belongs on the one page; `whole`: and is never cut."""

    title: str
    rows: tuple[Row | AnswerRow, ...] = ()
    drawings: tuple[Drawing, ...] = ()
    first_page: bool = False
    whole: bool = False


@dataclass(frozen=True)
class Document:
    """A whole paper; `fields` stand under its title. A home's has a chapter for each of its fans."""

    title: str
    kind: str
    fields: tuple[tuple[str, str], ...]
    about: str
    parts: tuple[Part, ...]
    chapters: tuple[Document, ...] = ()


def fan_document(
    record: Record,
    rows: Sequence[ReviewRow],
    card: Card | None,
    drawings: Sequence[Drawing] = (),
    work: WorkView | None = None,
    in_short: Sequence[str] = (),
) -> Document:
    """Everything about one fan. `card` None: the verdict kept in the record, when there is one, stands for it.

    `in_short`: the work in the boxes by its titles, for the one page, which has no room for the steps.
    """
    parts: list[Part] = []
    verdict = Part(VERDICT, tuple(_verdict(record, card)), first_page=True, whole=True)
    sections = list(card.sections) if card is not None else []
    first = [section for name in FIRST_PAGE for section in sections if section.id == name]
    others = [section for section in sections if section not in first]
    if not any(section.id == HAZARDS for section in first):
        parts.append(verdict)
    for section in first + others:
        told = tuple(row for line in section.lines for row in _line(line))
        parts.append(Part(section.title, told, first_page=section in first, whole=section.id in WHOLE))
        if section.id == HAZARDS:
            parts.append(verdict)
        if section.id == "cautions" and in_short:
            parts.append(Part(IN_SHORT, tuple(Row(text, "step") for text in in_short), first_page=True, whole=True))
    if drawings:
        parts.append(Part("Drawings", (), tuple(drawings)))
    if work is not None or record.past_work:
        parts.append(Part("The work so far", tuple(_work(record, work))))
    parts.append(Part("Still open", tuple(_open(record, rows))))
    asked = list(enumerate((row for row in rows if row.kind != "door"), 1))
    for station in STATIONS:
        here = tuple(_answer(record, number, row) for number, row in asked if row.station == station)
        if here:
            parts.append(Part(f"Answers - {PLACES[station]}", here))
    parts.append(Part("Safety gates", tuple(_gates(record))))
    shown = {row.node for row in rows} | {gate.door for gate in record.gates}
    notes = tuple(Row(note, "item", typed=True) for node, note in record.notes.items() if node not in shown)
    if notes:
        parts.append(Part("Other notes", notes))
    fields = (
        ("Home", record.home or "(not named)"),
        ("Fan", record.name or "(not named)"),
        *((("Breaker", record.breaker_label),) if record.breaker_label else ()),
        ("Started", when(record.created)),
        ("Last change", when(record.changed)),
        ("Made with", f"switchleg {__version__}, knowledge {record.knowledge_version or '-'}"),
    )
    return Document(record.name or "unnamed fan", "Ceiling fan summary", fields, ABOUT, tuple(parts))


def when(at: datetime) -> str:
    """A time as it stands on paper."""
    return f"{at:%Y-%m-%d %H:%M}"


def _line(line: Line) -> Iterator[Row]:
    """A line of the card, and beneath it in brief what a screen shows on a key."""
    yield Row(line.text, line.kind)
    yield from (Row(text, "detail") for text in line.brief)


def _verdict(record: Record, card: Card | None) -> Iterator[Row]:
    if card is not None:
        if card.status in STATUS:
            yield Row(STATUS[card.status])
        yield Row(card.headline)
        return
    kept = record.verdict or {}
    headline = str(kept.get("headline", ""))
    if not headline:
        yield Row("None yet.")
        return
    yield Row(headline)
    yield Row(f"Given {str(kept.get('at', ''))[:16]}, knowledge {kept.get('knowledge_version', '')}.")


def _answer(record: Record, number: int, row: ReviewRow) -> AnswerRow:
    again = " (second look)" if row.kind == "again" else ""
    answer = "Can't tell from here" if row.cant_tell else row.answer_text
    details = [Row(f"Taken over from: {row.from_fan}", "detail", typed=True)] if row.from_fan else []
    for event in record.history:
        if event.node == row.node and event.reply is not None:
            details.append(Row(f"Before: {_said(event.reply)} [{when(event.reply.at)}]", "detail"))
    if row.note:
        details.append(Row(f"Note: {row.note}", "detail", typed=True))
    return AnswerRow(number, row.ask + again, f"{answer} [{when(row.at)}]", tuple(details))


def _said(reply: Reply) -> str:
    """An earlier reply in words; its question may have changed, so its own value is shown."""
    if reply.kind == "cant_tell" or reply.value is None:
        return "can't tell"
    if isinstance(reply.value, bool):
        return "yes" if reply.value else "no"
    return str(reply.value).replace("_", " ")


def _open(record: Record, rows: Sequence[ReviewRow]) -> Iterator[Row]:
    settled = {row.ask for row in rows if row.kind != "door" and not row.cant_tell}
    seen: set[str] = set()
    for row in rows:
        if row.kind == "door":
            reply = record.replies.get(row.node)
            if reply is not None and reply.kind in ("later", "decline"):
                yield Row(f"{PLACES[row.station]}: {OUTCOMES[reply.kind]}.", "dash")
        elif row.cant_tell and row.ask not in settled and row.ask not in seen:
            seen.add(row.ask)
            yield Row(f"Could not be told: {row.ask}", "dash")


def _gates(record: Record) -> Iterator[Row]:
    for gate in record.gates:
        yield Row(f"{when(gate.at)}  {_gate_words(gate)}")
        yield from (Row(check, "check") for check in gate.checks)
    for door in dict.fromkeys(gate.door for gate in record.gates):
        if door in record.notes:
            yield Row(f"Note: {record.notes[door]}", "detail", typed=True)
    if not record.gates:
        yield Row("No gate was reached.")


def _gate_words(gate: GateEntry) -> str:
    many = ", each check confirmed:" if gate.outcome == "open" else ""
    return f"{PLACES[gate.opens]}: {OUTCOMES[gate.outcome]}{many}"


def _work(record: Record, view: WorkView | None) -> Iterator[Row]:
    if view is not None and record.progress is not None:
        done = min(record.progress.next, record.progress.steps)
        yield Row(f"{view.title}: begun {when(record.progress.begun)}, {done} of {record.progress.steps} steps done.")
        if view.phase == "changed":
            yield Row(view.says, "warning")
        for step in view.steps:
            if step.note:
                yield Row(f"Step {step.index + 1}, {step.box or 'before the work'}: {step.note}", "item", typed=True)
        for row in view.rows:
            yield Row(row.text, "check" if row.checked else "unchecked")
    for past in record.past_work:
        yield from _past(past)


def _past(work: Work) -> Iterable[Row]:
    scheme = work.scheme.replace("_", " ")
    yield Row(f"Left: {scheme}, begun {when(work.begun)}, {min(work.next, work.steps)} of {work.steps} steps done.")
    for index, note in work.notes.items():
        yield Row(f"Step {index + 1}: {note}", "item", typed=True)
