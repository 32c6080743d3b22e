"""A home at one look, answers offered to its next fan, and a building of thousands that opens at once."""

from __future__ import annotations

from pathlib import Path
from threading import Event
from time import process_time, sleep

import pytest
from command_paths import NOON, room
from screens_world import SIZES, card_shown, make_app, press, replies, tap, text_of, words_of
from switchleg.screens.app import SwitchlegApp

from switchleg.command.demo.script import play
from switchleg.knowledge.load import load
from switchleg.record.codec import to_bytes
from switchleg.record.model import Record, Standing
from switchleg.record.store import Store

MANY = 5000
HEADLINE = "Recommended: fan-speed control and light control at the wall, with the receiver taken out."


def house(folder: Path) -> SwitchlegApp:
    """A store with one finished and one begun fan of the same home; the app stands on its list."""
    for name in ("front parlour", "porch"):
        app = make_app(folder, name=name, knowledge=load())
        assert app.session is not None
        play(app.session, room(name))
        app.session.card()
        app.close_record()
    return make_app(folder, start="records", name=None, knowledge=load())


@pytest.mark.parametrize("size", SIZES)
async def test_the_home_shows_every_fan_one_trip_and_one_list_of_parts(tmp_path: Path, size: tuple[int, int]) -> None:
    """ "h" on the list opens the home; every part is there to be scrolled to, and "b" goes back."""
    app = house(tmp_path)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "h")
        await card_shown(pilot)
        text = str(app.screen.query_one("#home").render())
        for words in ("The fans", "front parlour", "porch", "off once: do", "Parts for all of them"):
            assert words in text
        assert "The fans" in text_of(app)
        await press(pilot, "b")
        assert "2 fans" in text_of(app)


async def test_a_new_fan_of_the_home_is_offered_what_was_answered(tmp_path: Path) -> None:
    """Nothing is marked at first; only what was marked is taken, with where it came from, and the rest is asked."""
    house(tmp_path)
    app = make_app(tmp_path, start="records", name=None, knowledge=load())
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "n", "enter", "enter")
        assert "Other fans of this home" in words_of(app)
        assert "[x]" not in text_of(app)
        await press(pilot, "1")
        assert text_of(app).count("[x]") == 1
        await tap(pilot, "t")
        assert replies(app) == {"region": "us"}
        assert app.session is not None
        assert app.session.record.origins["region"].name in ("front parlour", "porch")
        await press(pilot, "o", "f", "x", "n")
        assert replies(app) == {"region": "us"}


async def test_without_another_fan_nothing_is_offered(tmp_path: Path) -> None:
    """The first fan of a home goes straight to its questions, and "f" says that there is nothing."""
    app = make_app(tmp_path, start="records", name=None, knowledge=load())
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "n", "enter", "enter", "o", "f")
        assert "No other fan of this home" in words_of(app)


@pytest.fixture(scope="module")
def building(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """5 000 finished fans on disk, a hundred to a home."""
    folder = tmp_path_factory.mktemp("building")
    standing = Standing(stage="done", station="canopy", answered=40, status="recommended", headline=HEADLINE)
    for number in range(MANY):
        record = Record(
            id=f"fan-{number}",
            name=f"Fan {number}",
            home=f"House {number % 50}",
            created=NOON,
            changed=NOON,
            standing=standing,
        )
        (folder / f"fan-{number}.json").write_bytes(to_bytes(record))
    return folder


@pytest.mark.parametrize("size", SIZES[:2])
async def test_thousands_of_fans_are_on_the_screen_within_a_second(building: Path, size: tuple[int, int]) -> None:
    """5 000 records on disk stand in the list, by homes, after less than a second of work: this program's own time,
    the best of three, so that what else the machine does cannot count."""
    took = []
    for _ in range(3):
        begun = process_time()
        app = SwitchlegApp(Store(building))
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            took.append(process_time() - begun)
            assert "5000 fans" in text_of(app)
            assert "House" in text_of(app)
            await press(pilot, "down", "end")
            assert "Fan" in text_of(app)
    assert min(took) < 1.0


async def test_a_home_of_hundreds_shows_its_fans_at_once(building: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every fan of a home stands there with its state before the trip is worked out, and leaving ends that work."""
    begun, reached = Event(), []

    def slow(*_: object) -> object:
        begun.set()
        told = _[-1]
        for number in range(1000):
            reached.append(number)
            told(number)  # type: ignore[operator]
            sleep(0.01)
        raise AssertionError("nobody stopped it")

    monkeypatch.setattr("switchleg.home.overview.home_view", slow)
    app = SwitchlegApp(Store(building), knowledge=load())
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "h")
        assert begun.wait(5)
        text = str(app.screen.query_one("#home").render())
        assert text.count("Fan ") == MANY // 50
        assert "Recommended" in text
        await press(pilot, "b")
        assert "5000 fans" in text_of(app)
        await app.workers.wait_for_complete()
    assert 0 < len(reached) < 900
