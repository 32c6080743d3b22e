"""Review, card and export: what was answered, what follows from it, and the text to take along."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

import pytest
from screens_world import (
    SIZES,
    card_shown,
    make_app,
    press,
    replies,
    small_advice,
    tap,
    text_of,
    use_small_card,
    words_of,
)
from switchleg.screens.showing.card import CardScreen

from switchleg.advice.model import NextCheck
from switchleg.session.session import Session
from switchleg.session.views.model import CardView

TO_THE_CARD = ("o", "2", "n", "1", "a", "1", "2", "3", "o", "y")


@pytest.fixture(autouse=True)
def _card(monkeypatch: pytest.MonkeyPatch) -> None:
    use_small_card(monkeypatch)


async def test_review_shows_every_answer_and_changes_one(tmp_path: Path) -> None:
    """Picking a row asks it again; the new answer is kept, the others stay, and one is back at the card."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, *TO_THE_CARD, "r")
        shown = words_of(app)
        assert "Does a handheld remote work the fan? = No" in shown
        await press(pilot, "home", "down", "enter")
        assert "Does a handheld remote" in words_of(app)
        assert "Your answer so far: No" in words_of(app)
        await press(pilot, "y")
        await card_shown(pilot)
        assert "Now: No │ Then: Yes" in words_of(app)
        assert "The card now" in words_of(app)
        assert replies(app)["handheld_remote"] is False
        await press(pilot, "y")
        await card_shown(pilot)
        assert "A control at the wall fits here." in words_of(app)
        assert replies(app)["handheld_remote"] is True
        assert replies(app)["neutral_bundle"] is True
        await press(pilot, "r")
        assert "= Yes (changed)" in words_of(app)


async def test_review_left_without_a_choice_changes_nothing(tmp_path: Path) -> None:
    """ "b" goes back to the question where one was."""
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o", "2", "r", "b")
        assert "Does a handheld remote" in words_of(app)
        assert replies(app) == {"light_kit": "lamps"}


@pytest.mark.parametrize("size", SIZES)
async def test_one_key_leads_from_the_card_to_each_look_that_needs_no_gate(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    """What could not be told, and what is best checked again, is a key away in the order of the card; the key is
    shown only where there is such a look, and answering comes back to the card."""
    facts = ("handheld_remote", "neutral_bundle", "motor_label", "light_kit")
    checks = tuple(NextCheck(fact=fact, station="floor", text="") for fact in facts)
    app = make_app(tmp_path)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "o", "2", "c", "1", "a", "n")
        await card_shown(pilot)
        assert "a Answer" not in words_of(app)
        advice = small_advice()
        advice.next_checks = checks
        monkeypatch.setattr(Session, "advice", lambda _: advice)
        cast(CardScreen, app.screen).paint()
        await card_shown(pilot)
        assert "a Answer" in words_of(app)
        assert "a Look now: Does a handheld remote work the fan?" in words_of(app)
        await press(pilot, "a")
        assert "Does a handheld remote work the fan?" in words_of(app)
        await press(pilot, "c")
        await card_shown(pilot)
        assert "Check again: light kit" in words_of(app)
        await press(pilot, "a")
        assert "Does the fan have a light?" in words_of(app)
        await press(pilot, "1")
        await card_shown(pilot)
        assert replies(app)["light_kit"] == "none"
        await tap(pilot, "a")
        assert "Does a handheld remote work the fan?" in words_of(app)


@pytest.mark.parametrize("stopped", [True, False])
async def test_what_was_left_out_is_offered_as_a_way_on_only_where_nothing_stops(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stopped: bool
) -> None:
    """No answer left takes a stop away, so a stopped card sends nobody to answer more; the key stays."""
    left = CardView(declined=False, waiting=(), left_out=5, stopped=stopped)
    monkeypatch.setattr(Session, "view", property(lambda _: left))
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await card_shown(pilot)
        assert ("5 more questions" in words_of(app)) is not stopped
        assert "f Further" in words_of(app)


@pytest.mark.parametrize("size", SIZES)
async def test_the_card_is_read_from_the_top_and_never_by_colour_alone(tmp_path: Path, size: tuple[int, int]) -> None:
    """Status and verdict stand first, every kind of line has a sign or word, and all can be scrolled to."""
    app = make_app(tmp_path)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "o", "2", "k")
        await card_shown(pilot)
        shown = words_of(app)
        assert "✓ THIS CAN WORK A control at the wall fits here. Do this" in shown
        for words in ("1. Turn the breaker off", "2. Join the neutrals", "yes: The wall control works", "✗ no:"):
            assert words in shown
        await press(pilot, "end")
        assert "= Box fill: 14 of 18 in3." in words_of(app)
        await press(pilot, "tab", "tab", "shift+tab", "shift+tab", "end")
        assert "more below" not in text_of(app)
        await press(pilot, "b")
        assert "Does a handheld remote" in words_of(app)


async def test_the_tabs_beside_the_reasons_keep_their_width(tmp_path: Path) -> None:
    """Coming from the reasons, a tab is laid out over the whole window, as it was before."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2", "k")
        await card_shown(pilot)
        before = text_of(app)
        await press(pilot, "w", "c")
        assert text_of(app) == before


async def test_a_card_that_cannot_be_worked_out_is_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever goes wrong in the working out, the screen says so and the answers can be gone back to."""

    def broken(_: Session) -> Any:
        raise KeyError("no such scheme")

    monkeypatch.setattr(Session, "card", broken)
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2", "k")
        await card_shown(pilot)
        assert "could not be worked out" in words_of(app)
        assert "Your answers are kept" in words_of(app)
        await press(pilot, "b")
        assert "Does a handheld remote" in words_of(app)
