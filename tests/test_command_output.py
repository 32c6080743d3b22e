"""What the commands print stays readable on every output."""

from __future__ import annotations

import io

import pytest

from switchleg.advice.card.build import Card, Line, Section
from switchleg.command.saved.card_text import card_text
from switchleg.command.shell import output


@pytest.mark.parametrize(
    ("dirty", "tidy"),
    [
        ("a\x1b[31mred", "a[31mred"),
        ("bell\x07 and\x00 nul", "bell and nul"),
        ("one\ttab", "one tab"),
        ("c1\x9b31m", "c131m"),
        ("right\u202eto left", "rightto left"),
        ("lone \udcff surrogate", "lone ? surrogate"),
        ("para\u2029graph", "para graph"),
        ("kept\nline", "kept\nline"),
    ],
)
def test_control_characters_never_come_out(dirty: str, tidy: str) -> None:
    """Whatever was typed, no control character, direction mark or lone surrogate is printed."""
    assert output.clean(dirty) == tidy


def test_signs_have_plain_stand_ins() -> None:
    """An output that knows only ASCII gets stand-ins that mean the same, and never a crash."""
    assert output.plain("2 × 14 AWG – 0.5 Ω, 75 °C, café, 漢…") == "2 x 14 AWG - 0.5 ohm, 75 degC, cafe, ?..."


def test_fitted_keeps_signs_where_they_can_be_shown() -> None:
    """A UTF-8 output keeps the trade's signs; an ASCII one gets stand-ins of the same text."""
    utf8 = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    ascii_ = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    assert output.fitted("14 AWG × 2", utf8) == "14 AWG × 2"
    assert output.fitted("14 AWG × 2", ascii_) == "14 AWG x 2"


@pytest.mark.parametrize(
    ("told", "used"), [(None, 80), ("200", 80), ("40", 40), ("3", 20), ("0", 80), ("-7", 80), ("wide", 80)]
)
def test_width_is_80_or_narrower(told: str | None, used: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Text is set in 80 columns, or in COLUMNS where that is narrower; a senseless COLUMNS is passed over."""
    monkeypatch.delenv("COLUMNS", raising=False)
    if told is not None:
        monkeypatch.setenv("COLUMNS", told)
    assert output.columns() == used


@pytest.mark.parametrize("width", [80, 40, 24])
def test_card_text_fits_the_width(width: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every line of a card in text fits the width, its steps are numbered, and no colour is used."""
    monkeypatch.setenv("COLUMNS", str(width))
    long = "Turn the breaker off and prove that the circuit is dead before the plate comes off. " * 3
    kinds = ("text", "step", "step", "item", "warning", "good", "bad", "sum")
    card = Card(
        title="garden room\x1b[2J",
        status="recommended",
        headline=long,
        sections=(Section(id="all", title="In order", lines=tuple(Line(text=long, kind=k) for k in kinds)),),
    )
    text = card_text(card)
    assert max(len(line) for line in text.splitlines()) <= width
    assert "\x1b" not in text
    assert "\n1. Turn" in text
    assert "\n2. Turn" in text
    assert "\nCaution: Turn" in text
