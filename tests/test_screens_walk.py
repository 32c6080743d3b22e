"""From the first question to the card, by keys and by taps, with every way to answer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from screens_world import (
    card_shown,
    make_app,
    press,
    replies,
    tap,
    tap_key,
    text_of,
    type_text,
    use_small_card,
    words_of,
)

from switchleg.record.store import Store

ALL = {
    "light_kit": "lamps",
    "handheld_remote": False,
    "wall_boxes": 1,
    "breaker": "15 A",
    "wall_door": "open",
    "neutral_bundle": True,
}


@pytest.fixture(autouse=True)
def _card(monkeypatch: pytest.MonkeyPatch) -> None:
    use_small_card(monkeypatch)


async def test_from_start_to_card_with_one_key_for_each_answer(tmp_path: Path) -> None:
    """Every answer takes one key, and the last one brings the card."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2", "n", "1", "a")
        assert "safety gate" in text_of(app)
        await press(pilot, "1", "2", "3", "o", "y")
        await card_shown(pilot)
        assert "A control at the wall fits here." in words_of(app)
        assert replies(app) == ALL


async def test_from_start_to_card_with_taps_only(tmp_path: Path) -> None:
    """A mouse or a finger is enough: no key is needed from the list to the card."""
    app = make_app(tmp_path, start="records")
    async with app.run_test(size=(40, 20)) as pilot:
        await tap_key(pilot, "new")
        await tap(pilot, "enter")
        for key in ("o", "2", "n", "1", "a", "1", "2", "3", "o", "y"):
            await tap(pilot, key)
        await card_shown(pilot)
        assert "THIS CAN WORK" in words_of(app)
        assert replies(app) == ALL


async def test_enter_gives_the_marked_answer(tmp_path: Path) -> None:
    """The arrows move the mark, and Enter answers with the marked line."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", "down", "enter")
        assert replies(app) == {"light_kit": "lamps"}


async def test_every_answer_is_on_disk_before_the_next_question_shows(tmp_path: Path) -> None:
    """What a second program reads after each key is what was answered so far."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2")
        with Store(tmp_path).open("garden-room", write=False) as opened:
            assert opened.record.replies["light_kit"].value == "lamps"
        await press(pilot, "y")
        with Store(tmp_path).open("garden-room", write=False) as opened:
            assert opened.record.replies["handheld_remote"].value is True


async def test_what_is_settled_is_in_sight(tmp_path: Path) -> None:
    """The answers given so far stand beside or above the next question."""
    for size in ((40, 20), (120, 40)):
        app = make_app(tmp_path, name=f"Room {size[0]}")
        async with app.run_test(size=size) as pilot:
            await press(pilot, "o", "2", "n")
            shown = words_of(app)
            assert "handheld remote: No" in shown
            assert ("light kit: Lamps" in shown) == (size[0] > 72)
            assert ("2 settled" in shown) == (size[0] <= 72)
            assert "How many places" in shown


async def test_back_shows_the_question_before_and_changes_nothing(tmp_path: Path) -> None:
    """Back goes one question up with the answer marked; going on leaves it as it was."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2", "n", "b")
        assert "Does a handheld remote" in words_of(app)
        assert "Your answer so far: No" in words_of(app)
        await press(pilot, "g")
        assert "How many places" in words_of(app)
        assert replies(app) == {"light_kit": "lamps", "handheld_remote": False}


async def test_back_from_the_first_question_says_so(tmp_path: Path) -> None:
    """There is nothing before the first question, and the line says so."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "b")
        assert "This is the first question." in words_of(app)


async def test_cant_tell_leads_on(tmp_path: Path) -> None:
    """ "Can't tell" is an answer with its own key and is kept as such."""
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o", "c")
        assert "Does a handheld remote" in words_of(app)
        assert replies(app) == {"light_kit": "cant_tell"}


async def test_a_note_is_kept_with_its_question(tmp_path: Path) -> None:
    """A note is written without leaving the question, and shows there."""
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o", "o")
        await type_text(pilot, "two bulbs")
        await press(pilot, "enter")
        assert "Note: two bulbs" in words_of(app)
        assert app.session is not None
        assert app.session.record.notes == {"light_kit": "two bulbs"}
        await press(pilot, "o")
        await type_text(pilot, " and more")
        await press(pilot, "escape")
        assert app.session.record.notes == {"light_kit": "two bulbs"}


async def test_why_and_look_are_one_key_away(tmp_path: Path) -> None:
    """ "w" and "l" show their texts at any size, and any key goes back to the question."""
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o", "w")
        assert "A light wants a leg of its own." in words_of(app)
        assert "Whether a light matters." in words_of(app)
        await press(pilot, "2", "l")
        assert "Look under the motor" in words_of(app)
        await press(pilot, "enter")
        assert replies(app) == {}


async def test_a_measure_that_makes_no_sense_is_explained_and_stays_to_be_mended(tmp_path: Path) -> None:
    """Digits are typed and pick nothing; a bare number is told what is missing, and mending it answers."""
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o", "2", "n", "1", "2")
        await type_text(pilot, "0")
        await press(pilot, "enter")
        assert "!" in text_of(app)
        assert "with its unit" in words_of(app)
        assert "breaker" not in replies(app)
        await type_text(pilot, " a")
        await press(pilot, "enter")
        assert replies(app)["breaker"] == "20 A"


async def test_an_open_ended_count_is_typed_after_its_digit(tmp_path: Path) -> None:
    """The digit of "two or more" opens the line with it: Enter keeps it, another digit takes its place."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2", "n", "2", "enter")
        assert replies(app)["wall_boxes"] == 2
        await press(pilot, "b", "2")
        await type_text(pilot, "3")
        await press(pilot, "enter")
        assert replies(app)["wall_boxes"] == 3


async def test_escape_closes_the_typed_line_and_then_the_record(tmp_path: Path) -> None:
    """Esc first takes back the typing, then goes to the list; the answers stay."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2", "n", "1", "t", "escape")
        assert "Type a" not in words_of(app)
        await press(pilot, "escape")
        assert "1 fan" in text_of(app)
        assert app.opened is None


async def test_resume_lands_on_the_question_where_it_stopped(tmp_path: Path) -> None:
    """Opening a record again shows the first question without an answer."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2", "n")
    app.close_record()
    again = make_app(tmp_path, start="resume")
    async with again.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "How many places" in words_of(again)


async def test_a_failing_disk_is_one_line_and_nothing_is_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When saving fails the line says so, the walk goes on, and the next save writes everything."""
    from switchleg.errors import COULD_NOT, SwitchlegError

    app = make_app(tmp_path)
    session: Any = app.session
    good = session._save

    def full(_: object) -> None:
        raise SwitchlegError("not saved: the disk is full", mend="make room", exit_code=COULD_NOT)

    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o")
        monkeypatch.setattr(session, "_save", full)
        await press(pilot, "2")
        assert "the disk is full" in words_of(app)
        assert "Does a handheld remote" in words_of(app)
        monkeypatch.setattr(session, "_save", good)
        await press(pilot, "n")
        with Store(tmp_path).open("garden-room", write=False) as opened:
            assert set(opened.record.replies) == {"light_kit", "handheld_remote"}
