"""A change weighed before it is taken, and schemes side by side: neither touches the record until that is said."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_paths import room
from screens_world import SIZES, card_shown, make_app, press, replies, tap, type_text, use_small_card, words_of
from switchleg.screens.app import SwitchlegApp
from switchleg.screens.asking.change import ChangeScreen

from switchleg.command.demo.script import play
from switchleg.knowledge.load import load

TO_THE_CARD = ("o", "2", "n", "1", "a", "1", "2", "3", "o", "y")


def finished(folder: Path) -> SwitchlegApp:
    app = make_app(folder, knowledge=load())
    assert app.session is not None
    play(app.session, room("front parlour"))
    return app


async def test_a_weighed_change_can_be_dropped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """ "n" and a tap keep the old answer, and the card is back as it was."""
    use_small_card(monkeypatch)
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, *TO_THE_CARD)
        before = app.session.record.replies if app.session else {}
        for drop in (False, True):
            await press(pilot, "r", "home", "down", "enter", "y")
            await card_shown(pilot)
            assert "Keep the old one" in words_of(app)
            await (tap(pilot, "n") if drop else press(pilot, "n"))
            await card_shown(pilot)
            assert "THIS CAN WORK" in words_of(app)
            assert app.session is not None
            assert app.session.record.replies == before


async def test_a_typed_change_is_weighed_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A typed value is checked first, then shown beside the old one, then taken."""
    use_small_card(monkeypatch)
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, *TO_THE_CARD, "r", "home", "down", "down", "down", "enter", "t")
        await type_text(pilot, "20")
        await press(pilot, "enter")
        assert "with its unit" in words_of(app)
        await type_text(pilot, " a")
        await press(pilot, "enter")
        await card_shown(pilot)
        assert "Then: 20 A" in words_of(app)
        assert replies(app)["breaker"] == "15 A"
        await press(pilot, "y")
        assert replies(app)["breaker"] == "20 A"


async def test_back_is_no_review_and_answers_at_once(tmp_path: Path) -> None:
    """An answer changed after "b" is taken without being weighed: one is still in the middle of it."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "o", "2", "n", "b", "y")
        assert replies(app)["handheld_remote"] is True


@pytest.mark.parametrize("size", SIZES)
async def test_what_if_shows_what_follows_and_keeps_nothing(tmp_path: Path, size: tuple[int, int]) -> None:
    """Every scheme stands with its verdict; a supposition is marked, said in the banner, and never saved."""
    app = finished(tmp_path)
    async with app.run_test(size=size) as pilot:
        await card_shown(pilot)
        assert app.session is not None
        kept = app.session.record
        await press(pilot, "v")
        await card_shown(pilot)
        assert "What if another fan" in words_of(app)
        await press(pilot, "1")
        await card_shown(pilot)
        assert "[x] What if another fan" in words_of(app)
        assert "What if: nothing is kept." in words_of(app)
        await press(pilot, "b")
        assert "Card]" in words_of(app)
        assert app.session.record == kept


@pytest.mark.parametrize("size", SIZES)
async def test_both_cards_stand_beside_each_other(tmp_path: Path, size: tuple[int, int]) -> None:
    """The card of today and the new one: in two columns where there is room, with a sign at each line that goes or
    comes; one below the other on a phone. Every line of both is there."""
    app = finished(tmp_path)
    async with app.run_test(size=size) as pilot:
        await card_shown(pilot)
        assert app.session is not None
        app.session.go_to("want_speed_from_app")
        change = app.session.preview("no")
        app.push_screen(ChangeScreen(lambda: change, lambda: None))
        await card_shown(pilot)
        text = str(app.screen.query_one("#change").render())
        rows = text.split("\n")
        flat = "".join("".join(rows).split())
        assert not change.same
        assert all("".join(line.split()) in flat for line in (*change.lost, *change.gained)) or size[0] > 70
        if size[0] > 70:
            assert any("The card now" in row and "The card then" in row for row in rows)
            columns = [row.partition("│") for row in rows if "│" in row]
            left, right = (
                "".join("".join(part.split()) for part in side)
                for side in zip(*((c[0], c[2]) for c in columns), strict=True)
            )
            for part in change.parts:
                if part.before != part.after:
                    assert all(
                        "".join(f"{'' if line in part.after else '-'}{line}".split()) in left for line in part.before
                    )
                    assert all(
                        "".join(f"{'' if line in part.before else '+'}{line}".split()) in right for line in part.after
                    )
        assert max(len(row.rstrip()) for row in rows) <= size[0] or size[0] < 70
