"""The safety gate on the screen: it opens only when every check was read and confirmed by itself."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from typing import Any

import pytest
from command_paths import room
from screens_world import card_shown, make_app, press, replies, tap, text_of, use_small_card, words_of
from switchleg.screens.app import SwitchlegApp
from switchleg.screens.asking import question
from textual.pilot import Pilot

from switchleg.knowledge.load import load
from switchleg.session.views.model import CardView, DoorView

TO_THE_GATE = ("o", "2", "n", "1", "a")


@pytest.fixture(autouse=True)
def _card(monkeypatch: pytest.MonkeyPatch) -> None:
    use_small_card(monkeypatch)


async def at_the_gate(pilot: Pilot[Any]) -> None:
    await press(pilot, *TO_THE_GATE)


@pytest.mark.parametrize("confirmed", [c for c in product((False, True), repeat=3) if not all(c)])
async def test_the_gate_stays_shut_while_a_check_is_missing(tmp_path: Path, confirmed: tuple[bool, ...]) -> None:
    """Whatever is confirmed, one missing check keeps the gate shut, by key and by tap, and is named."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_the_gate(pilot)
        await press(pilot, *(str(number) for number, yes in enumerate(confirmed, 1) if yes), "o")
        missing = [number for number, yes in enumerate(confirmed, 1) if not yes]
        words = {1: "check {}", 2: "checks {} and {}", 3: "checks 1 to 3"}[len(missing)]
        assert f"Not yet: confirm {words.format(*missing)}." in words_of(app)
        await tap(pilot, "o")
        assert "safety gate" in text_of(app)
        assert "wall_door" not in replies(app)


async def test_a_confirmed_check_can_be_taken_back(tmp_path: Path) -> None:
    """Pressing a check's number again takes the confirmation back, and the gate is shut again."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_the_gate(pilot)
        await press(pilot, "1", "2", "3", "2", "o")
        assert "Not yet: confirm check 2." in words_of(app)
        assert "wall_door" not in replies(app)


async def test_each_check_is_confirmed_by_itself_and_kept_with_its_time(tmp_path: Path) -> None:
    """Space confirms the marked check and moves on; the record keeps every check and when."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_the_gate(pilot)
        await press(pilot, "space", "space", "space")
        assert text_of(app).count("[x]") == 3
        await press(pilot, "enter")
        assert "Are whites joined together?" in words_of(app)
        assert app.session is not None
        gate = app.session.record.gates[-1]
        assert gate.door == "wall_door"
        assert gate.at.tzinfo is not None


async def test_a_check_that_cannot_be_read_is_not_confirmed_by_its_number(tmp_path: Path) -> None:
    """In a small window the number of a check below the fold first shows it; the next press confirms it."""
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 14)) as pilot:
        await at_the_gate(pilot)
        assert "more below" in text_of(app)
        await press(pilot, "3")
        assert "[x]" not in text_of(app)
        assert "press again" in words_of(app)
        await press(pilot, "3")
        assert "[x] The box is tested dead." in words_of(app)


async def test_reading_keys_scroll_down_to_the_checks(tmp_path: Path) -> None:
    """Space reads on until the first check stands in sight and is marked; it confirms nothing unread."""
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 14)) as pilot:
        await at_the_gate(pilot)
        for _ in range(6):
            if app.focused is not None:
                break
            assert "[x]" not in text_of(app)
            await press(pilot, "space")
        assert "▸ 1 [ ] The breaker is off." in words_of(app)


async def test_not_now_waits_and_goes_on_there_later(tmp_path: Path) -> None:
    """ "Not now" ends at the card, which offers to go on; then the gate must be confirmed as ever."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_the_gate(pilot)
        await press(pilot, "n")
        await card_shown(pilot)
        assert "1 The wall box can be opened now: go on there" in words_of(app)
        await press(pilot, "n")
        assert "safety gate" in text_of(app)
        await press(pilot, "o")
        assert replies(app)["wall_door"] == "later"
        await press(pilot, "1", "2", "3", "o")
        assert "Are whites joined together?" in words_of(app)


async def test_rather_not_ends_at_a_card(tmp_path: Path) -> None:
    """ "I'd rather not" is taken as it is: the card follows, nothing more is asked."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_the_gate(pilot)
        await tap(pilot, "x")
        await card_shown(pilot)
        assert replies(app)["wall_door"] == "decline"
        assert "A control at the wall fits here." in words_of(app)


async def test_nothing_is_confirmed_in_a_window_too_small_to_read(tmp_path: Path) -> None:
    """Under 30 by 10 the gate asks for more room and takes no confirmation; afterwards it works on."""
    app: SwitchlegApp = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_the_gate(pilot)
        await pilot.resize_terminal(29, 24)
        await press(pilot, "1", "2", "3", "o", "n", "x")
        assert "make the window larger" in words_of(app)
        assert "wall_door" not in replies(app)
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert text_of(app).count("[ ]") == 3


async def test_each_gate_that_waits_can_be_gone_on_at(tmp_path: Path) -> None:
    """With wall and canopy both put off, the card offers each; the canopy can be taken first."""
    app = make_app(tmp_path, knowledge=load())
    session = app.session
    assert session is not None
    while not isinstance(view := session.view, CardView):
        if isinstance(view, DoorView):
            session.later()
        elif (value := room("front parlour").floor.get(view.fact)) is not None:
            session.answer(value)
        else:
            session.cant_tell()
    async with app.run_test(size=(80, 24)) as pilot:
        await card_shown(pilot)
        assert "1 The wall box can be opened now" in words_of(app)
        assert "2 The canopy can be opened now" in words_of(app)
        await press(pilot, "n")
        assert "Which one is open now?" in words_of(app)
        await press(pilot, "2")
        assert "safety gate" in text_of(app)
        assert "canopy" in words_of(app).casefold()


async def test_one_press_too_many_at_a_gate_answers_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The press that comes right after the gate opened does not reach the first question; a later one does."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_the_gate(pilot)
        monkeypatch.setattr(question, "ECHO_S", 60.0)
        await press(pilot, "space", "space", "space", "space", "space", "enter")
        assert "Are whites joined together?" in words_of(app)
        assert "neutral_bundle" not in replies(app)
        monkeypatch.setattr(question, "ECHO_S", 0.0)
        await press(pilot, "enter")
        assert replies(app)["neutral_bundle"] is True
