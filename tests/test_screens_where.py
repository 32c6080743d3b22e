"""Where one is: fan, station, what is settled, what is open and how much is left; and answers met by a thumb."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens_world import SIZES, make_app, press, tap, text_of, words_of
from switchleg.screens.parts.answers import Answer
from switchleg.screens.parts.words.settled_facts import open_panel

from switchleg.knowledge.load import load
from switchleg.session.views.model import OpenLine, QuestionView


def test_every_question_has_a_short_name_of_its_own() -> None:
    """The list of settled facts calls each by up to 20 letters, and no two by the same."""
    shorts = {fact: question.short for fact, question in load().tree.questions.items()}
    assert [fact for fact, short in shorts.items() if not short or "_" in short or short != short.strip()] == []
    assert len(set(shorts.values())) == len(shorts)


@pytest.mark.parametrize("size", SIZES)
async def test_fan_station_settled_open_and_left_stand_on_every_screen(tmp_path: Path, size: tuple[int, int]) -> None:
    """Two lines say it on a phone; a wide window names what is open, and where it is asked again."""
    app = make_app(tmp_path, knowledge=load())
    async with app.run_test(size=size) as pilot:
        await press(pilot, "o", "1")
        assert app.session is not None
        while isinstance(view := app.session.view, QuestionView) and view.fact != "pull_chain_fan":
            await press(pilot, "y" if view.fact in ("fan_installed", "may_open_canopy") else "c")
        assert "motor_label" in {line.fact for line in app.session.still_open}
        least, most = app.session.progress.least_left, app.session.progress.most_left
        lines = text_of(app).split("\n")
        top = " ".join(lines[0].split())
        assert top.startswith("Garden room · ")
        assert top.endswith(f"{least}–{most} left")
        settled, untold = len(app.session.settled), len(app.session.still_open)
        if size[0] < 72:
            assert "· floor" in top
            assert f"= {settled} settled, may open" in lines[1]
            assert lines[1].rstrip().endswith(f"? {untold} open")
        else:
            assert "From the floor" in top
            assert f"Settled so far: {settled}" in words_of(app)
            assert f"Still open: {untold}" in words_of(app)
            assert "? again at the canopy: " in text_of(app)


def test_what_is_open_keeps_to_its_room() -> None:
    """However many facts are open, the panel's part takes its rows and says how many more there are."""
    facts = [OpenLine(f"o{n}", f"open thing {n}", "floor", "wall" if n % 3 else "") for n in range(30)]
    for most in (4, 7, 12):
        lines = open_panel(facts, 26, most).plain.split("\n")
        assert len(lines) <= most
        assert lines[0] == "Still open: 30"
        assert lines[-1].endswith(" more")
        assert max(map(len, lines)) <= 26
    assert open_panel((), 26, 4).plain == ""
    assert "more" not in open_panel(facts[:2], 26, 6).plain


async def test_tiles_are_met_by_arrows_and_by_a_tap(tmp_path: Path) -> None:
    """On a phone the arrows move as the tiles stand, and a tap on any of a tile's three rows answers."""
    app = make_app(tmp_path, knowledge=load())
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o")

        def marked() -> str:
            return app.focused.key if isinstance(app.focused, Answer) else ""

        seen = [marked()]
        for key in ("right", "down", "left", "up", "up"):
            await press(pilot, key)
            seen.append(marked())
        assert seen == ["1", "2", "4", "3", "1", "6"]
        tile = next(pick for pick in app.screen.query(Answer) if pick.key == "2")
        await pilot.click(tile, offset=(9, 2))
        await pilot.pause()
        assert app.session is not None
        assert app.session.facts == {"region": "ca"}
        await tap(pilot, "c")
        assert len(app.session.still_open) == 1
