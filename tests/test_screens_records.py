"""The list of records and the way to a new one."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens_world import make_app, press, tap, tap_key, text_of, type_text, words_of
from switchleg.screens.app import latest
from switchleg.screens.asking.labels import meant
from switchleg.screens.parts.words.standing import standing_words

from switchleg.errors import SwitchlegError
from switchleg.record.store import Store
from switchleg.record.summary import Summary


async def test_an_empty_list_says_how_to_begin(tmp_path: Path) -> None:
    """Without a record the list names the key that begins one."""
    app = make_app(tmp_path, start="records")
    async with app.run_test(size=(40, 20)) as pilot:
        await pilot.pause()
        assert "Press n to begin" in words_of(app)


async def test_a_new_record_gets_its_name_and_home(tmp_path: Path) -> None:
    """Name and home are typed, Enter goes through, and the first station introduces itself."""
    app = make_app(tmp_path, start="records")
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "n", "ctrl+u")
        await type_text(pilot, "Attic")
        await press(pilot, "enter")
        await type_text(pilot, "Inn")
        await press(pilot, "enter")
        assert "Nothing is opened here." in words_of(app)
        assert app.session is not None
        assert (app.session.record.name, app.session.record.home) == ("Attic", "Inn")


async def test_a_record_without_a_name_is_asked_for_one(tmp_path: Path) -> None:
    """An empty name is one calm line and the cursor stays there."""
    app = make_app(tmp_path, start="new", name=None)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "ctrl+u", "enter", "enter")
        assert "Give the fan a name first" in words_of(app)
        assert Store(tmp_path).list() == []


async def test_the_list_shows_home_name_and_where_each_stands(tmp_path: Path) -> None:
    """Each record has its line with its standing in words, under its home, after coming back too."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2", "n", "escape")
        shown = words_of(app)
        assert "Guesthouse" in shown
        assert "Garden room" in shown
        assert "in the room, 2 answered" in shown


async def test_opening_the_marked_record_goes_on_where_it_stopped(tmp_path: Path) -> None:
    """Enter or a tap on a line opens it at the question where it stopped."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2", "escape", "enter")
        assert "Does a handheld remote" in words_of(app)
        await press(pilot, "escape")
        await pilot.click("#records", offset=(5, 1))
        await pilot.pause()
        assert "Does a handheld remote" in words_of(app)


async def test_a_deletion_can_be_undone(tmp_path: Path) -> None:
    """ "d" takes the marked record away, "u" brings it back with its answers."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2", "escape", "d")
        assert "Deleted: Garden room. Press u" in words_of(app)
        assert Store(tmp_path).list() == []
        await tap_key(pilot, "undo")
        assert "Back again: Garden room." in words_of(app)
        with Store(tmp_path).open("Garden room", write=False) as opened:
            assert opened.record.replies["light_kit"].value == "lamps"


async def test_a_damaged_record_is_named_and_the_others_work(tmp_path: Path) -> None:
    """Opening a damaged file says what was done with it in one line; the list stays usable."""
    app = make_app(tmp_path)
    app.close_record()
    (tmp_path / "porch.json").write_text('{"format": 1, "name": "Porch', encoding="utf-8")
    async with app.run_test(size=(80, 24)) as pilot:
        app.show_list()
        await pilot.pause()
        place = app.screen.query_one("#records").get_option_index("porch")  # type: ignore[attr-defined]
        app.screen.query_one("#records").highlighted = place  # type: ignore[attr-defined]
        await press(pilot, "enter")
        assert "damaged" in words_of(app)
        assert list(tmp_path.glob("porch.damaged-*.json"))
        assert "Garden room" in text_of(app)


async def test_a_record_open_elsewhere_is_read_only_and_says_so(tmp_path: Path) -> None:
    """The second program shows a banner with the reason, and refuses answers in one line."""
    first = make_app(tmp_path)
    second = make_app(tmp_path, start="resume", name="Garden room")
    async with second.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o")
        assert "Read only:" in text_of(second)
        await press(pilot, "2")
        assert "Does the fan have a light?" in words_of(second)
        assert "!" in text_of(second)
        assert second.session is not None
        assert second.session.record.replies == {}
    first.close_record()
    second.close_record()


async def test_a_throw_away_store_says_so(tmp_path: Path) -> None:
    """In a demo every screen says that nothing is kept."""
    app = make_app(tmp_path, start="records")
    app.store.throw_away = True  # type: ignore[attr-defined]
    async with app.run_test(size=(40, 20)) as pilot:
        await pilot.pause()
        assert "nothing here is kept" in words_of(app)
        await press(pilot, "n")
        await tap(pilot, "enter")
        assert "nothing here is kept" in words_of(app)


@pytest.mark.parametrize(
    ("summary", "words"),
    [
        (Summary("a", "A", stage="new"), "not begun"),
        (Summary("a", "A", stage="asking", station="wall", answered=7), "at the wall box, 7 answered"),
        (Summary("a", "A", stage="waiting", station="wall"), "waiting for the canopy"),
        (Summary("a", "A", stage="declined"), "for an electrician"),
        (Summary("a", "A", stage="done", status="recommended"), "finished"),
        (Summary("a", "A", stage="done", status="stop"), "stop"),
        (Summary("a", "A", problem="damaged: it is empty"), "damaged: it is empty"),
    ],
)
def test_each_standing_has_its_own_words(summary: Summary, words: str) -> None:
    """Where a record stands can be told from the words alone."""
    assert words in standing_words(summary)


def test_resume_without_a_record_says_how_to_begin(tmp_path: Path) -> None:
    """ "resume" on an empty store is one clear line."""
    with pytest.raises(SwitchlegError, match="no record to resume"):
        latest(Store(tmp_path))


async def test_what_was_deleted_comes_back_after_a_restart_too(tmp_path: Path) -> None:
    """In a new run "u" lists what was deleted, the latest first, and Enter or a tap brings it back."""
    store = Store(tmp_path)
    for name in ("Attic", "Porch"):
        store.create(name, "Guesthouse")
    for name in ("Porch", "Attic"):
        store.delete(name)
    app = make_app(tmp_path, start="records", name=None)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "u")
        shown = words_of(app)
        assert shown.index("Attic") < shown.index("Porch")
        await press(pilot, "enter")
        assert "Back again: Attic." in words_of(app)
        await press(pilot, "b")
        assert [line.name for line in store.list()] == ["Attic"]
        assert "Attic" in text_of(app)


@pytest.mark.parametrize(
    ("typed", "marked", "said"),
    [
        ("porch", "porch", ""),
        ("gard", "garden-room", ""),
        ("gardn rom", "garden-room", "nearest"),
        ("inn", "porch", ""),
    ],
)
async def test_a_fan_is_found_by_its_name_or_home(tmp_path: Path, typed: str, marked: str, said: str) -> None:
    """ "/" and some letters mark the fan; a slip finds the nearest spelling and says so."""
    store = Store(tmp_path)
    store.create("Garden room", "Guesthouse")
    store.create("Attic", "Guesthouse")
    store.create("Porch", "Inn")
    app = make_app(tmp_path, start="records", name=None)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "slash")
        await type_text(pilot, typed)
        await press(pilot, "enter")
        assert app.screen.marked() == marked  # type: ignore[attr-defined]
        assert said in words_of(app)


async def test_name_home_and_breaker_can_be_changed(tmp_path: Path) -> None:
    """ "e" shows all three lines on the smallest screen; what is typed is kept, answers stay."""
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o", "2", "escape", "e")
        await press(pilot, "enter", "enter", "1", "2", "enter")
        line = Store(tmp_path).list()[0]
        assert (line.name, line.home, line.breaker_label, line.answered) == ("Garden room", "Guesthouse", "12", 1)
        assert "1 answered" in words_of(app)


async def test_a_home_is_completed_and_a_slip_of_it_asked_about(tmp_path: Path) -> None:
    """The first letters of a home are completed by the right arrow; a near miss is put right, unless typed again."""
    Store(tmp_path).create("Attic", "Guesthouse")
    app = make_app(tmp_path, start="new", name=None)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "enter")
        await type_text(pilot, "gue")
        await press(pilot, "right", "enter")
        assert app.session is not None
        assert app.session.record.home == "Guesthouse"
    for again, home in ((False, "Guesthouse"), (True, "Guesthose")):
        app = make_app(tmp_path, start="new", name=None)
        async with app.run_test(size=(40, 20)) as pilot:
            await press(pilot, "enter")
            await type_text(pilot, "Guesthose")
            await press(pilot, "enter")
            assert "There is a home called 'Guesthouse'" in words_of(app)
            if again:
                await press(pilot, "ctrl+u")
                await type_text(pilot, "Guesthose")
            await press(pilot, "enter")
            assert app.session is not None
            assert app.session.record.home == home
        app.close_record()


def test_homes_that_differ_in_a_number_are_two() -> None:
    """House 11 is no slip of House 12; another letter case is the home that is there."""
    assert meant("House 11", ["House 12", "House 10"]) == ""
    assert meant("house 12", ["House 12"]) == "House 12"


def test_the_beginning_of_a_home_is_taken_for_that_home() -> None:
    """A home shown in full behind its first letters is asked about before a second one of that beginning is made."""
    assert meant("hil", ["Mill", "Hill house"]) == "Hill house"
    assert meant("House 1", ["House 12"]) == ""
    assert meant("House 12", ["House 12"]) == ""
