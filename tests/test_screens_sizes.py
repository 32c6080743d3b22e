"""Every size of window: what is essential stands on the screen, and nothing falls over."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens_world import SIZES, in_view, make_app, press, tap_key, text_of, words_of
from switchleg.screens.parts.answers import Answer
from switchleg.screens.parts.words.fit_text import rows, shorten, wrap
from switchleg.screens.parts.words.settled_facts import one_line
from textual.color import Color

from switchleg.knowledge.load import load
from switchleg.session.views.model import OpenLine, QuestionView, SettledLine

KEYS = ("Back", "Why?", "Look", "Note", "Review", "Card", "List", "Help", "Menu")


@pytest.mark.parametrize("size", SIZES)
async def test_the_question_screen_shows_all_that_is_essential(tmp_path: Path, size: tuple[int, int]) -> None:
    """Fan, station, how far, what is settled, the question, every answer and every key stand in sight."""
    app = make_app(tmp_path)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "o", "2")
        essential = ("Garden room", "1 ", "left", "light kit: Lamps", "Does a handheld remote work the fan?",
                     "y Yes", "n No", "c Can't tell from here", *KEYS)  # fmt: skip
        assert in_view(app, essential) == []
        assert "▸" in text_of(app)


@pytest.mark.parametrize("size", SIZES)
async def test_no_question_of_the_real_tree_hides_an_answer_without_saying_so(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    """Along the way of "can't tell", each question stands whole on the screen or shows "more below"."""
    knowledge = load()
    app = make_app(tmp_path, knowledge=knowledge)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "o", "1", "y")
        for _ in range(12):
            assert app.session is not None
            view = app.session.view
            if not isinstance(view, QuestionView):
                break
            if "more below" not in text_of(app):
                body = app.screen.query_one("#body").region
                assert body.contains_region(app.screen.query_one("#ask").region)
                picks = list(app.screen.query(Answer))
                assert len([pick for pick in picks if pick.display]) == len(view.choices) + 1
                for pick in picks:
                    assert not pick.display or body.contains_region(pick.region)
                    assert not pick.display or pick.size.height >= len(pick.lines(pick.content_size.width))
            await press(pilot, "c")


@pytest.mark.parametrize("size", SIZES)
async def test_answers_are_targets_of_three_rows(tmp_path: Path, size: tuple[int, int]) -> None:
    """At every size each answer is three rows high; in a low window it is one row rather than out of sight."""
    app = make_app(tmp_path)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "o")
        assert {pick.outer_size.height for pick in app.screen.query("#answers Pick")} == {3}
        await pilot.resize_terminal(40, 12)
        await pilot.pause()
        assert {pick.outer_size.height for pick in app.screen.query("#answers Pick")} == {1}


async def test_a_window_that_is_too_small_says_so_and_takes_no_answer(tmp_path: Path) -> None:
    """Under 30 by 10 nothing can be answered; when it grows again the question is there."""
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o")
        for small in ((29, 20), (40, 9), (5, 3), (1, 1)):
            await pilot.resize_terminal(*small)
            await press(pilot, "2", "enter", "c")
        await pilot.resize_terminal(29, 9)
        await pilot.pause()
        assert "make the window larger" in words_of(app)
        assert app.session is not None
        assert app.session.record.replies == {}
        await pilot.resize_terminal(40, 20)
        await press(pilot, "2")
        assert "Does a handheld remote" in words_of(app)


async def test_light_and_dark_change_with_one_key(tmp_path: Path) -> None:
    """The theme turns over and back; the texts stay."""
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o")
        before = app.screen.styles.background
        await press(pilot, "f2")
        assert app.screen.styles.background.brightness > before.brightness
        assert "Does the fan have a light?" in words_of(app)
        await press(pilot, "ctrl+t")
        assert app.screen.styles.background == before


@pytest.mark.parametrize("theme", ["dusk", "day"])
async def test_texts_stand_out_from_their_ground(tmp_path: Path, theme: str) -> None:
    """Plain text has a contrast of 7 to 1, signals 4.5 to 1 (WCAG 2.2, 1.4.3 and 1.4.6)."""
    app = make_app(tmp_path)

    def luminance(color: Color) -> float:
        parts = [part / 255 for part in (color.r, color.g, color.b)]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    found = app.available_themes[theme]
    ground = luminance(Color.parse(found.background or ""))
    for name, least in (("foreground", 7), ("warning", 4.5), ("error", 4.5), ("success", 4.5), ("primary", 4.5)):
        text = luminance(Color.parse(getattr(found, name)))
        high, low = max(ground, text), min(ground, text)
        assert (high + 0.05) / (low + 0.05) >= least, name


@pytest.mark.parametrize("theme", ["dusk", "day"])
def test_sixteen_colours_keep_text_and_ground_apart(theme: str) -> None:
    """Brought down to the sixteen colours of ECMA-48 terminals, no text colour falls together with its ground."""
    from rich.color import Color as Sixteen
    from rich.color import ColorSystem
    from switchleg.screens.parts.themes import DARK, LIGHT

    found = {look.name: look for look in (DARK, LIGHT)}[theme]

    def brought_down(color: str | None) -> int | None:
        return Sixteen.parse(color or "").downgrade(ColorSystem.STANDARD).number

    grounds = {brought_down(color) for color in (found.background, found.surface, found.panel)}
    for name in ("foreground", "primary", "secondary", "warning", "error", "success"):
        assert brought_down(getattr(found, name)) not in grounds, name


async def test_without_colours_the_mark_and_the_signs_remain(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With NO_COLOR the marked answer keeps its pointer, and nothing needs a hue."""
    monkeypatch.setenv("NO_COLOR", "1")
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o", "down")
        assert app.no_color
        assert "▸ 2 Lamps that can be changed" in words_of(app)


async def test_help_and_menu_name_every_action_of_the_screen(tmp_path: Path) -> None:
    """ "?" lists the keys with what they do, and the menu offers the same actions."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 40)) as pilot:
        await press(pilot, "o")
        offered = {command.title for command in app.get_system_commands(app.screen)}
        assert {"Why?", "Look", "Note", "Review", "Card", "List", "Help", "Light or dark", "Quit"} <= offered
        await tap_key(pilot, "app.help")
        assert "Why this is asked and what it settles" in words_of(app)


def test_wrapping_keeps_every_word_and_the_width() -> None:
    """No line is wider than asked, in cells, and no letter is lost; a long word is cut."""
    text = "Turn the 風扇 breaker off and a" + "b" * 50
    for width in (1, 2, 7, 40):
        lines = wrap(text, width)
        assert "".join("".join(lines).split()) == "".join(text.split())
        assert rows(text, width) == len(lines)
        assert width < 2 or all(len(line.encode("utf-16-le")) // 2 <= 2 * width for line in lines)
    assert shorten("a long name", 6) == "a lon…"


def test_what_is_settled_and_open_takes_one_line() -> None:
    """However much there is, one line of the window's width holds the newest fact and both counts."""
    facts = [SettledLine(f"f{n}", f"label {n}", "some words here", "floor", f"f{n}") for n in range(12)]
    untold = [OpenLine(f"o{n}", f"open {n}", "floor", "wall") for n in range(12)]
    for count in range(12):
        for width in (28, 38, 70):
            line = one_line(facts[:count], untold[:count], width)
            assert len(line) <= width
            assert count == 0 or line.startswith(f"= {count} settled, ")
            assert count == 0 or width == 28 or f"label {count - 1}" in line
            assert count == 0 or line.endswith(f"? {count} open")
