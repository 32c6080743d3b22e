"""The card's tabs: each within reach of a key and a tap, the plan with its drawings, the reasons that unfold."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_paths import room
from screens_world import SIZES, card_shown, make_app, press, text_of, use_small_card, words_of
from switchleg.screens.app import SwitchlegApp
from switchleg.screens.parts.tab_bar import TabBar
from switchleg.screens.showing.card import TABS
from textual.pilot import Pilot

from switchleg.command.demo.script import play
from switchleg.knowledge.load import load

FINISHED = "front parlour"


def finished(folder: Path) -> SwitchlegApp:
    """The app on the card of a finished room of the invented house."""
    app = make_app(folder, knowledge=load())
    assert app.session is not None
    play(app.session, room(FINISHED))
    return app


async def tap_tab(pilot: Pilot[int], tab: str) -> None:
    bar = pilot.app.screen.query_one(TabBar)
    x = next(x for x, _, name in bar.placed(bar.content_size.width) if name == tab)
    await pilot.click(bar, offset=(x + 2, bar.content_region.y - bar.region.y))
    await pilot.pause()


@pytest.mark.parametrize("size", SIZES)
async def test_every_tab_is_one_key_and_one_tap_away(tmp_path: Path, size: tuple[int, int]) -> None:
    """All six names stand on the screen, the open one in brackets; a letter, Tab or a tap opens another."""
    app = finished(tmp_path)
    async with app.run_test(size=size) as pilot:
        await card_shown(pilot)
        for tab, key, title in TABS:
            await press(pilot, key)
            assert f"{title}]" in text_of(app)
            assert all(other in text_of(app) for _, _, other in TABS)
            assert app.screen.tab == tab  # type: ignore[attr-defined]
        await press(pilot, "tab")
        assert "Card]" in text_of(app)
        await tap_tab(pilot, "parts")
        assert "Parts to buy" in words_of(app)


async def test_the_plan_draws_today_beside_new_and_can_be_moved_over(tmp_path: Path) -> None:
    """Wide, both drawings stand side by side; on a phone one is below the other, and no row of them is cut off."""
    app = finished(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await card_shown(pilot)
        await press(pilot, "p")
        row = next(line for line in text_of(app).splitlines() if "TODAY" in line)
        assert "NEW: Fan-speed control" in row
        await pilot.resize_terminal(40, 20)
        await pilot.pause()
        body = app.screen.query_one("#body")
        drawn = next(part for part in app.screen.query(".section") if "TODAY" in str(part.render()))
        assert drawn.size.width >= max(map(len, str(drawn.render()).splitlines()))
        body.scroll_to(y=drawn.virtual_region.y, animate=False)
        await pilot.pause()
        assert "TODAY" in text_of(app)
        assert "NEW:" not in next(line for line in text_of(app).splitlines() if "TODAY" in line)


async def test_reasons_unfold_step_by_step(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Enter opens a step and folds it again; a sign tells which is open, and a fact and its source stand with it."""
    use_small_card(monkeypatch)
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o", "2", "k")
        await card_shown(pilot)
        await press(pilot, "w")
        assert "-] A control at the wall: fits." in words_of(app)
        assert "[+] The motor is AC." in words_of(app)
        await press(pilot, "down", "right")
        shown = words_of(app)
        assert "The label says AC. [seen: motor label] [source: A data sheet]" in shown
        await press(pilot, "left", "left", "enter")
        assert "The motor is AC." not in words_of(app)
        await press(pilot, "b")
        assert "Does a handheld remote" in words_of(app)


async def test_without_a_plan_the_tabs_say_what_is_missing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An empty tab is a sentence, never a blank."""
    use_small_card(monkeypatch)
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o", "2", "k")
        await card_shown(pilot)
        for key, words in (("p", "There is no plan yet"), ("u", "No sum can be made yet"), ("t", "Nothing to buy yet")):
            await press(pilot, key)
            assert words in words_of(app)


async def test_the_sums_are_one_key_away(tmp_path: Path) -> None:
    """On the tab Numbers one key shows each number's edition and sources, and takes them away again; elsewhere not."""
    app = finished(tmp_path)
    async with app.run_test(size=(80, 48)) as pilot:
        await card_shown(pilot)
        await press(pilot, "s")
        assert not app.screen.sums  # type: ignore[attr-defined]
        await press(pilot, "u")
        assert "Edition:" not in words_of(app)
        await press(pilot, "s")
        assert "Edition: NFPA 70" in words_of(app)
        assert "Source: " in words_of(app)
        await press(pilot, "s")
        assert "Edition:" not in words_of(app)
