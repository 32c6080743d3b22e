"""A fan and a whole home on paper, from the screens: the kind, the place, and the yes before writing over."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_paths import room
from screens_world import SIZES, card_shown, make_app, press, tap, type_text, use_small_card, words_of
from switchleg.screens.showing.export import default_name, free_path
from textual.pilot import Pilot

from switchleg.command.demo.script import play
from switchleg.knowledge.load import load
from switchleg.paper import fan


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the program stands."""
    place = tmp_path / "here"
    place.mkdir()
    monkeypatch.chdir(place)
    return place


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """A card and a paper that take no time."""
    use_small_card(monkeypatch)
    monkeypatch.setattr(fan, "fan_paper", lambda session, kind: f"{kind} of {session.record.name}\n")


async def at_export(pilot: Pilot[int]) -> None:
    await press(pilot, "o", "2", "k")
    await card_shown(pilot)
    await press(pilot, "e")


@pytest.mark.usefixtures("small")
@pytest.mark.parametrize(
    ("keys", "file"), [((), "garden-room.html"), (("2",), "garden-room.txt"), (("3",), "garden-room.md")]
)
@pytest.mark.parametrize("size", SIZES[:1])
async def test_each_kind_is_one_key_and_enter(
    tmp_path: Path, here: Path, keys: tuple[str, ...], file: str, size: tuple[int, int]
) -> None:
    """A number chooses the kind, Enter writes it, and the whole path is told on the smallest screen."""
    app = make_app(tmp_path / "records")
    async with app.run_test(size=size) as pilot:
        await at_export(pilot)
        await press(pilot, *keys, "enter")
        await card_shown(pilot)
        assert (here / file).read_text(encoding="utf-8") == f"{file.rpartition('.')[2]} of Garden room\n"
        assert "✓ Written:" in words_of(app)
        assert str(here / file) in words_of(app).replace(" ", "")


@pytest.mark.usefixtures("small")
async def test_a_file_is_written_over_only_after_a_yes(tmp_path: Path, here: Path) -> None:
    """A file that is there is asked about; "n" writes beside it, "y" and a tap write over it, Esc does neither."""
    (here / "garden-room.html").write_text("mine")
    app = make_app(tmp_path / "records")
    async with app.run_test(size=(40, 20)) as pilot:
        await at_export(pilot)
        await press(pilot, "enter")
        assert "garden-room.html is there already" in words_of(app)
        assert (here / "garden-room.html").read_text() == "mine"
        await press(pilot, "n")
        await card_shown(pilot)
        assert (here / "garden-room-2.html").read_text() == "html of Garden room\n"
        assert (here / "garden-room.html").read_text() == "mine"
        await press(pilot, "w")
        await tap(pilot, "y")
        await card_shown(pilot)
        assert sorted(path.name for path in here.iterdir()) == ["garden-room-2.html", "garden-room.html"]
        assert "✓ Written:" in words_of(app)


@pytest.mark.usefixtures("small")
@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("/nowhere/x.txt", "There is no folder '/nowhere'"),
        ("plan.pdf", "A .pdf file cannot be made"),
        ("", "Type a file name"),
    ],
)
async def test_a_fault_stays_on_the_screen_until_the_next_try(tmp_path: Path, typed: str, said: str) -> None:
    """What was wrong and what to do stays in sight; nothing is written, and Esc leads back to the card."""
    app = make_app(tmp_path / "records")
    async with app.run_test(size=(40, 20)) as pilot:
        await at_export(pilot)
        await press(pilot, "t", "ctrl+u")
        await type_text(pilot, typed)
        await press(pilot, "enter")
        await card_shown(pilot)
        await pilot.pause()
        assert said in words_of(app)
        assert "✓" not in words_of(app)
        await press(pilot, "escape", "escape")
        assert "THIS CAN WORK" in words_of(app)


async def test_the_whole_home_is_one_file_with_its_drawings(tmp_path: Path, here: Path) -> None:
    """From the home screen one page holds every fan of the home, drawn, and nothing from outside."""
    for name in ("front parlour", "porch"):
        app = make_app(tmp_path / "records", name=name, knowledge=load())
        assert app.session is not None
        play(app.session, room(name))
        app.close_record()
    app = make_app(tmp_path / "records", start="records", name=None, knowledge=load())
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "h")
        await card_shown(pilot)
        await press(pilot, "e", "enter")
        await card_shown(pilot)
        page = (here / "guesthouse.html").read_text(encoding="utf-8")
    assert page.count("<svg") >= 2
    assert all(name in page for name in ("front parlour", "porch", "Breaker "))
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "").replace("http-equiv", "")


@pytest.mark.parametrize(
    ("name", "file"),
    [("Garden Room", "garden-room.txt"), ("../etc", "etc.txt"), ("風", "fan.txt"), ("a\x1b[2J", "a-2j.txt")],
)
def test_the_default_file_name_is_plain(name: str, file: str) -> None:
    """Whatever a record is called, its default file name is letters, digits and hyphens."""
    assert default_name(name, "txt") == file


def test_a_free_path_is_one_that_does_not_exist(tmp_path: Path) -> None:
    """Names that are taken are counted past."""
    for name in ("fan.txt", "fan-2.txt"):
        (tmp_path / name).touch()
    assert free_path(tmp_path / "fan.txt") == tmp_path / "fan-3.txt"
