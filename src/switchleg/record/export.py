"""The whole record as plain text for paper: for an electrician who has never seen this tool."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from switchleg import __version__
from switchleg.record.model import GateEntry, Record
from switchleg.record.paper import WIDTH, plain, typed, wrap
from switchleg.tree.model import STATIONS, Reply, Station

if TYPE_CHECKING:
    from switchleg.advice.card import Card, Line
    from switchleg.session.views import ReviewRow

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
_LEADS = {"item": "* ", "warning": "CAUTION: ", "good": "+ ", "bad": "- ", "sum": "    "}


def export_text(record: Record, rows: Sequence[ReviewRow], card: Card | None) -> str:
    """The summary, 80 columns wide, ending in a line break.

    Layout is ASCII; names and notes keep their letters, but no control, direction-turning or invisible
    sign. `card` None: the verdict kept in the record, when there is one, stands for it.
    """
    parts = [_header(record), wrap(ABOUT), _verdict(record, card)]
    if card is not None:
        parts += [_section(section.title, _card_lines(section.lines)) for section in card.sections]
    parts.append(_section("Still open", _open(record, rows)))
    asked = list(enumerate((row for row in rows if row.kind != "door"), 1))
    for station in STATIONS:
        here = [(number, row) for number, row in asked if row.station == station]
        if here:
            parts.append(_section(f"Answers - {PLACES[station]}", _answers(record, here)))
    parts.append(_section("Safety gates", _gates(record)))
    shown = {row.node for row in rows} | {gate.door for gate in record.gates}
    others = [note for node, note in record.notes.items() if node not in shown]
    if others:
        parts.append(_section("Other notes", [line for note in others for line in wrap(typed(note), "- ")]))
    parts.append(["End of the summary."])
    return "\n\n".join("\n".join(part) for part in parts) + "\n"


def _header(record: Record) -> list[str]:
    fields = [
        ("Home", typed(record.home) or "(not named)"),
        ("Fan", typed(record.name) or "(not named)"),
        ("Started", _when(record.created)),
        ("Last change", _when(record.changed)),
        ("Made with", f"switchleg {__version__}, knowledge {plain(record.knowledge_version) or '-'}"),
    ]
    lines = [line for label, text in fields for line in wrap(text, f"{label + ':':<13}")]
    return ["=" * WIDTH, "CEILING FAN SUMMARY", "=" * WIDTH, *lines]


def _verdict(record: Record, card: Card | None) -> list[str]:
    if card is not None:
        lines = wrap(STATUS.get(card.status, "")) if card.status in STATUS else []
        return _section("Verdict", [*lines, *wrap(plain(card.headline))])
    kept = record.verdict or {}
    headline = plain(str(kept.get("headline", "")))
    if not headline:
        return _section("Verdict", ["None yet."])
    made = plain(f"Given {str(kept.get('at', ''))[:16]}, knowledge {kept.get('knowledge_version', '')}.")
    return _section("Verdict", [*wrap(headline), *wrap(made)])


def _section(title: str, lines: list[str]) -> list[str]:
    heading = wrap(plain(title).upper())
    return [*heading, "-" * WIDTH, *(lines or ["Nothing."])]


def _card_lines(lines: Iterable[Line]) -> list[str]:
    out: list[str] = []
    step = 0
    for line in lines:
        lead = _LEADS.get(line.kind, "")
        if line.kind == "step":
            step += 1
            lead = f"{step}. "
        out += wrap(plain(line.text), lead, "  " if line.kind == "warning" else None)
    return out


def _answers(record: Record, rows: list[tuple[int, ReviewRow]]) -> list[str]:
    out: list[str] = []
    for number, row in rows:
        lead = f"{number:>3}. "
        indent = " " * len(lead)
        again = " (second look)" if row.kind == "again" else ""
        out += wrap(plain(row.ask) + again, lead)
        answer = "Can't tell from here" if row.cant_tell else plain(row.answer_text)
        out += wrap(f"{answer} [{_when(row.at)}]", f"{indent}Answer: ", f"{indent}  ")
        if row.from_fan:
            out += wrap(f"Taken over from: {typed(row.from_fan)}", f"{indent}  ", f"{indent}    ")
        for event in record.history:
            if event.node == row.node and event.reply is not None:
                before = f"Before: {_said(event.reply)} [{_when(event.reply.at)}]"
                out += wrap(before, f"{indent}  ", f"{indent}    ")
        if row.note:
            out += wrap(typed(row.note), f"{indent}  Note: ", f"{indent}    ")
    return out


def _said(reply: Reply) -> str:
    """An earlier reply in words; its question may have changed, so its own value is shown."""
    if reply.kind == "cant_tell" or reply.value is None:
        return "can't tell"
    if isinstance(reply.value, bool):
        return "yes" if reply.value else "no"
    return plain(str(reply.value).replace("_", " "))


def _open(record: Record, rows: Sequence[ReviewRow]) -> list[str]:
    out: list[str] = []
    settled = {row.ask for row in rows if row.kind != "door" and not row.cant_tell}
    seen: set[str] = set()
    for row in rows:
        if row.kind == "door":
            reply = record.replies.get(row.node)
            if reply is not None and reply.kind in ("later", "decline"):
                out += wrap(f"{PLACES[row.station]}: {OUTCOMES[reply.kind]}.", "- ")
        elif row.cant_tell and row.ask not in settled and row.ask not in seen:
            seen.add(row.ask)
            out += wrap(f"Could not be told: {plain(row.ask)}", "- ")
    return out


def _gates(record: Record) -> list[str]:
    out: list[str] = []
    for gate in record.gates:
        out += wrap(f"{_when(gate.at)}  {_gate_words(gate)}")
        for check in gate.checks:
            out += wrap(plain(check), "  [x] ")
    for door in dict.fromkeys(gate.door for gate in record.gates):
        if door in record.notes:
            out += wrap(typed(record.notes[door]), "  Note: ")
    return out or ["No gate was reached."]


def _gate_words(gate: GateEntry) -> str:
    many = "each check confirmed" if gate.outcome == "open" else ""
    return f"{PLACES[gate.opens]}: {OUTCOMES[gate.outcome]}" + (f", {many}:" if many else "")


def _when(at: datetime) -> str:
    return f"{at:%Y-%m-%d %H:%M}"
