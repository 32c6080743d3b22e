"""Drawings that help to recognise a thing: one key away, beside the question where there is room, and in words."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_paths import room
from rich.cells import cell_len
from screens_world import SIZES, make_app, press, text_of, words_of
from switchleg.screens.app import SwitchlegApp
from switchleg.screens.parts import ascii_filter

from switchleg.command.demo.script import play
from switchleg.knowledge.load import load
from switchleg.session.views.model import DoorView, QuestionView

ASKED = "neutral_bundle"


def at_a_picture(folder: Path) -> tuple[SwitchlegApp, QuestionView]:
    """The app on a question of the real tree that has a drawing."""
    app = make_app(folder, knowledge=load())
    assert app.session is not None
    play(app.session, room("garden room"), until=ASKED)
    view = app.session.view
    assert isinstance(view, QuestionView)
    assert view.picture
    return app, view


def whole(drawing: str, shown: str) -> bool:
    """Whether every row of a drawing stands on the screen, one below the other."""
    rows = drawing.split("\n")
    lines = shown.split("\n")
    return any(
        all(row.rstrip() in line for row, line in zip(rows, lines[start:], strict=False))
        for start in range(len(lines) - len(rows) + 1)
    )


@pytest.mark.parametrize("size", SIZES)
async def test_one_key_shows_the_drawing_and_says_it_in_words(tmp_path: Path, size: tuple[int, int]) -> None:
    """ "p" shows title, drawing and words at every size, and any key goes back to the same question."""
    app, view = at_a_picture(tmp_path)
    async with app.run_test(size=size) as pilot:
        assert "p Picture" in words_of(app)
        await press(pilot, "p")
        assert whole(view.picture, text_of(app))
        await press(pilot, "pagedown")
        bare = words_of(app).replace("│", " ").replace("  ", " ")
        assert view.picture_says.split()[-1] in bare
        assert "Any key or tap closes this." in bare
        await press(pilot, "y")
        assert app.session is not None
        assert app.session.view == view


@pytest.mark.parametrize("size", SIZES)
async def test_a_gate_shows_how_the_tester_is_proved(tmp_path: Path, size: tuple[int, int]) -> None:
    """At every gate "p" shows the three steps of the test, and confirms nothing; a wide window shows them anyway."""
    app = make_app(tmp_path, knowledge=load())
    session = app.session
    assert session is not None
    while not isinstance(view := session.view, DoorView):
        assert isinstance(view, QuestionView)
        value = room("garden room").told(view.station).get(view.fact)
        session.cant_tell() if value is None else session.answer(value)
    assert view.picture == load().pictures["tester_proved"].drawing
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        assert whole(view.picture, text_of(app)) == (size[0] >= 110)
        await press(pilot, "p")
        assert whole(view.picture, text_of(app))
        await press(pilot, "o")
        assert "[x]" not in text_of(app)
        assert session.view == view


async def test_a_wide_window_shows_the_drawing_beside_the_question(tmp_path: Path) -> None:
    """At 120 columns the drawing stands there without a key; on a phone it does not push an answer away."""
    app, view = at_a_picture(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        assert whole(view.picture, text_of(app))
        await pilot.resize_terminal(40, 20)
        await pilot.pause()
        assert not whole(view.picture, text_of(app))
        assert "Can't tell from here" in words_of(app)


async def test_plain_signs_leave_nothing_but_ascii(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With SWITCHLEG_ASCII every sign on the screen is ASCII, borders and drawing too, and a key turns it over."""
    monkeypatch.setenv(ascii_filter.VARIABLE, "1")
    app, view = at_a_picture(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        assert text_of(app).isascii()
        assert whole(view.picture_ascii, text_of(app))
        await press(pilot, "p")
        assert text_of(app).isascii()
        await press(pilot, "p", "f3")
        assert whole(view.picture, text_of(app))


@pytest.mark.parametrize("text", ["▸ 風 é ┏━┓ ✓ yes…", "²½µΩ", "\N{COMBINING ACUTE ACCENT}a"])
def test_plain_signs_keep_the_width(text: str) -> None:
    """Whatever is shown takes as many cells in ASCII as before, so that nothing moves."""
    assert ascii_filter.plain(text).isascii()
    assert cell_len(ascii_filter.plain(text)) == cell_len(text)


@pytest.mark.parametrize(
    ("environ", "plain"),
    [({"TERM": "xterm-256color"}, False), ({"TERM": "vt100"}, True), ({ascii_filter.VARIABLE: "1"}, True),
     ({ascii_filter.VARIABLE: "0", "TERM": "vt100"}, False)],
)  # fmt: skip
def test_the_terminal_or_the_person_asks_for_plain_signs(environ: dict[str, str], *, plain: bool) -> None:
    """An old terminal's name or the variable turns them on; the variable has the last word."""
    assert ascii_filter.wanted(environ) is plain
