"""The summary on paper: complete, 80 columns, and harmless whatever was typed."""

from __future__ import annotations

import unicodedata
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from session_world import Kept, confirm, empty_record, ticking

from switchleg import __version__
from switchleg.advice.card.build import Line
from switchleg.paper.export import export_text
from switchleg.paper.safe_text import columns, plain, typed, wrap
from switchleg.session.session import Session

CARD: Any = SimpleNamespace(
    title="Blue room",
    status="stop",
    headline="Stop – the wires are aluminum…",
    sections=(
        SimpleNamespace(
            id="steps",
            title="Order of work",
            lines=(
                Line(kind="warning", text="Test “dead” first, at 12 cm² and 5 Ω."),
                Line(kind="step", text="Turn the breaker off."),
                Line(kind="step", text="Take the plate off. " * 12),
                Line(kind="item", text="Connector 2½ mm²"),
                Line(kind="sum", text="3 × 2.0 in³ = 6.0 in³"),
            ),
        ),
        SimpleNamespace(id="open", title="Nothing here", lines=()),
    ),
)
NASTY = (
    "\x1b[31mred\x1b]0;title\x07 \x00\x08\x7f\x9b2J\r\nVERDICT\u2028\u2029\u202eevil"
    "\u2066\u200b\u200d\ufeff\u00ad\u3164\U000e0041"
)


def session(*, name: str = "Blue room", note: str = "by the window") -> Session:
    kept = Kept(record=empty_record(name=name, home=name))
    one = kept.say("lamps", True, 1, None)
    one.note("light_kit", note)
    one.note("run_spare", note)
    confirm(one)
    one.note("wall_door", note)
    kept.say(2, None)
    one.later()
    one.go_to("chain")
    one.answer(False)
    return one


def text_of(one: Session, card: Any = CARD) -> str:
    return export_text(one.record, one.review, card)


def test_an_electrician_finds_everything() -> None:
    """Header, verdict, card, answers with station, time and notes, what was before, gates, what is open."""
    text = text_of(session())
    for wanted in (
        "Home:        Blue room",
        "Fan:         Blue room",
        "Started:     2026-05-03 14:05",
        f"switchleg {__version__}, knowledge v1",
        "STOP: a licensed electrician is needed.",
        "Stop - the wires are aluminum...",
        'CAUTION: Test "dead" first, at 12 cm2 and 5 ohm.',
        "1. Turn the breaker off.",
        "2. Take the plate off.",
        "* Connector 2 1/2 mm2",
        "    3 x 2.0 in3 = 6.0 in3",
        "NOTHING HERE\n" + "-" * 80 + "\nNothing.",
        "ANSWERS - FROM THE FLOOR, NOTHING OPENED",
        "ANSWERS - AT THE WALL, COVER PLATE OFF",
        "  1. Does the fan have a light?\n     Answer: Lamps - to change [2026-05-03 14:05]\n"
        "       Note: by the window",
        "     Answer: No [2026-05-03 14:16]\n       Before: yes [2026-05-03 14:06]",
        "Answer: Can't tell from here [2026-05-03 14:08]",
        "- Could not be told: How many amperes?",
        "- At the ceiling, canopy lowered: not opened yet.",
        "2026-05-03 14:11 At the wall, cover plate off: opened, each check confirmed:\n  [x] Breaker off.",
        "2026-05-03 14:15 At the ceiling, canopy lowered: not opened yet",
        "Local code",
    ):
        assert wanted in text, wanted
    assert text.endswith("End of the summary.\n")
    assert text.isascii()
    assert text.count("by the window") == 3


def test_without_a_card_the_kept_verdict_stands() -> None:
    """Without a card the verdict in the record is printed with its date; without that, none yet."""
    one = session()
    assert "None yet." in text_of(one, None)
    verdict = {"at": "2026-05-03T14:05:00Z", "knowledge_version": "v1", "headline": "It fits."}
    told = export_text(one.record.model_copy(update={"verdict": verdict}), one.review, None)
    assert "It fits.\nGiven 2026-05-03T14:05, knowledge v1." in told


def test_an_empty_record_prints() -> None:
    """A record with nothing in it gives a summary that says so."""
    one = Session(Kept().knowledge, empty_record(home=""), None, ticking())
    text = text_of(one, None)
    assert "Home:        (not named)" in text
    assert "No gate was reached." in text


def harmless(text: str) -> bool:
    categories = {unicodedata.category(sign) for sign in text if sign != "\n"}
    return not categories & {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def test_nothing_typed_can_command_the_terminal() -> None:
    """Escape sequences, direction marks, invisible signs and line breaks are gone; the letters stay."""
    text = text_of(session(name=NASTY + "Ünï 客房", note=NASTY))
    assert harmless(text)
    assert "Ünï 客房" in text
    assert "Note: [31mred ]0;title 2J VERDICT evil" in text
    assert text.count("\nVERDICT\n") == 1


@given(st.text(max_size=300), st.text(max_size=300))
@settings(max_examples=60, deadline=None)
def test_any_name_and_note_keep_the_page(name: str, note: str) -> None:
    """Whatever was typed: no control sign, no line wider than 80 columns, the same sections."""
    text = text_of(session(name=name.encode("utf-8", "replace").decode(), note=note))
    assert harmless(text)
    assert all(columns(line) <= 80 for line in text.split("\n"))
    assert [line for line in text.split("\n") if set(line) == {"="}] == ["=" * 80] * 2
    text.encode()


@given(st.text(max_size=300), st.integers(12, 80))
@settings(max_examples=200, deadline=None)
def test_wrapping_loses_no_letter(text: str, width: int) -> None:
    """Wrapped lines hold the same letters in the same order and no line is too wide."""
    clean = typed(text)
    lines = wrap(clean, "* ", width=width)
    assert all(columns(line) <= width for line in lines)
    assert "".join("".join(lines).split()) == "*" + "".join(clean.split())


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("e\u0301", "é"),
        ("a" + "\u0301" * 9, "á" + "\u0301" * 4),
        ("\u0301x", "x"),
        (" a\t b\n", "a b"),
        ("👩\u200d🔧", "👩🔧"),
        ("हिन्दी", "हिन्दी"),
        ("\ud800", ""),
    ],
)
def test_typed_text_keeps_letters_only(before: str, after: str) -> None:
    """Letters of every script stay; piles of marks, joiners and breaks do not."""
    assert typed(before) == after


def test_plain_writes_signs_in_ascii() -> None:
    """The signs that texts of the tool use come out in ASCII."""
    signs = "2½ mm² – 5 Ω × 3 → ≤ 40 °C … “so” it’s 10 µF"
    assert plain(signs) == '2 1/2 mm2 - 5 ohm x 3 -> <= 40 deg C ... "so" it\'s 10 uF'
