"""The work on a ladder: nothing before the checks, one step at a time, the place kept, the proof at the end."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from command_paths import room
from screens_world import SIZES, card_shown, make_app, press, tap, text_of, type_text, words_of
from switchleg.screens.app import SwitchlegApp
from switchleg.screens.showing.card import CardScreen
from switchleg.screens.working import work as work_screen
from switchleg.screens.working.work import WorkScreen
from switchleg.screens.working.work_gate import WorkGateScreen
from textual.pilot import Pilot

from switchleg.command.demo.script import play
from switchleg.knowledge.load import load
from switchleg.session.session import Session
from switchleg.session.views.model import WorkView

ROOM = "front parlour"


@pytest.fixture(autouse=True)
def _no_pause(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work_screen, "PAUSE_S", 0.0)


def finished(folder: Path) -> SwitchlegApp:
    app = make_app(folder, name=ROOM, knowledge=load())
    assert app.session is not None
    play(app.session, room(ROOM))
    return app


def work(app: SwitchlegApp) -> WorkView:
    assert app.session is not None
    found = app.session.work
    assert found is not None
    return found


async def to_the_gate(pilot: Pilot[int], app: SwitchlegApp) -> None:
    """From the card to the safety checks of the work."""
    await card_shown(pilot)
    await press(pilot, "l")
    for _ in range(8):
        if work(app).phase == "gate":
            return
        await press(pilot, "z")
    raise AssertionError("no gate before the first box")


async def confirm_all(pilot: Pilot[int], app: SwitchlegApp) -> None:
    for _ in range(25):
        if not isinstance(app.screen, WorkGateScreen):
            return
        await press(pilot, "space")
    raise AssertionError("the gate does not open")


@pytest.mark.parametrize("size", SIZES)
async def test_from_the_first_step_to_the_last_line_of_the_proof(tmp_path: Path, size: tuple[int, int]) -> None:
    """Any key is "done"; every step shows its whole text; after the last one every line is checked off."""
    app = finished(tmp_path)
    async with app.run_test(size=size) as pilot:
        await to_the_gate(pilot, app)
        seen = set()
        for _ in range(60):
            now = work(app)
            if now.phase == "gate":
                assert isinstance(app.screen, WorkGateScreen)
                await confirm_all(pilot, app)
            elif now.phase == "step":
                assert now.step is not None
                seen.add(now.step.index)
                assert f"step {now.number} of {now.many}" in text_of(app)
                if "more below" not in text_of(app):
                    assert now.step.text.split()[-1] in words_of(app)
                await press(pilot, "z")
            elif now.phase == "proof":
                await press(pilot, "space")
            else:
                break
        assert work(app).phase == "done"
        assert seen >= set(range(1, work(app).many))
        assert "FINISHED" in words_of(app)
        assert app.session is not None
        assert len(app.session.record.progress.checked) == len(work(app).rows) > 1  # type: ignore[union-attr]


async def test_no_step_before_every_check_is_confirmed(tmp_path: Path) -> None:
    """At the gate keys for "done" do nothing, a missing check is named, and refusing is not offered twice."""
    app = finished(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_the_gate(pilot, app)
        at = work(app).number
        await press(pilot, "1", "z", "o")
        assert "Not yet: confirm checks 1 to 4." in words_of(app)
        assert (work(app).phase, work(app).number) == ("gate", at)
        await press(pilot, "n")
        await card_shown(pilot)
        assert "Card]" in text_of(app)
        assert work(app).phase == "gate"


async def test_the_place_is_kept_and_the_checks_come_again(tmp_path: Path) -> None:
    """After the program was closed the work goes on at the same step, behind its checks."""
    app = finished(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await to_the_gate(pilot, app)
        await confirm_all(pilot, app)
        await press(pilot, "z", "z")
        at = work(app).number
    app.close_record()
    again = make_app(tmp_path, start="resume", name=ROOM, knowledge=load())
    async with again.run_test(size=(40, 20)) as pilot:
        await card_shown(pilot)
        await press(pilot, "l")
        assert isinstance(again.screen, WorkGateScreen)
        assert work(again).number == at
        await confirm_all(pilot, again)
        assert f"step {at} of" in text_of(again)


async def test_a_note_stands_with_its_step_and_back_changes_nothing_else(tmp_path: Path) -> None:
    """ "o" writes a note to the step at hand; "b" shows the step before with its note."""
    app = finished(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_the_gate(pilot, app)
        await confirm_all(pilot, app)
        at = work(app).number
        await press(pilot, "o")
        await type_text(pilot, "taped")
        await press(pilot, "enter")
        assert "Note: taped" in words_of(app)
        await tap(pilot, "any key")
        assert work(app).number == at + 1
        await press(pilot, "b")
        assert "Note: taped" in words_of(app)


async def test_a_key_held_down_does_one_step(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys that follow each other faster than a hand are one press: no step is passed unread."""
    app = finished(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_the_gate(pilot, app)
        await confirm_all(pilot, app)
        at = work(app).number
        monkeypatch.setattr(work_screen, "PAUSE_S", 60.0)
        await press(pilot, *["z"] * 5)
        assert work(app).number == at


async def test_a_changed_plan_is_said_before_anything_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the answers lead to another plan the screen says so, and only a press begins the new one."""
    app = finished(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_the_gate(pilot, app)
        await press(pilot, "n")
        await card_shown(pilot)
        session = app.session
        assert session is not None
        begun = session.record.progress
        assert begun is not None
        session.record = session.record.model_copy(update={"progress": begun.model_copy(update={"plan": "other"})})
        await press(pilot, "l")
        assert isinstance(app.screen, WorkScreen)
        assert "THE PLAN HAS CHANGED" in words_of(app)
        started: list[bool] = []
        monkeypatch.setattr(Session, "start_work", lambda _: started.append(True))
        await press(pilot, "z")
        assert started == [True]


async def test_without_a_plan_there_is_no_ladder(tmp_path: Path) -> None:
    """While joints are not settled the card offers no work, and its key does nothing."""
    app = make_app(tmp_path, knowledge=load())
    assert app.session is not None
    play(app.session, room("breakfast room"))
    async with app.run_test(size=(80, 24)) as pilot:
        await card_shown(pilot)
        assert "Ladder" not in words_of(app)
        await press(pilot, "l")
        assert not isinstance(app.screen, WorkScreen | WorkGateScreen)


async def test_the_work_goes_back_to_the_card_it_was_begun_on(tmp_path: Path) -> None:
    """Who looked at the card from a question and went up the ladder comes back to the card, not to the question."""
    app = finished(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await card_shown(pilot)
        await press(pilot, "b", "k")
        await card_shown(pilot)
        await press(pilot, "l")
        assert isinstance(app.screen, WorkScreen)
        await press(pilot, "escape")
        assert isinstance(app.screen, CardScreen)
        app.close_record()


async def test_what_is_fitted_with_the_power_on_comes_before_the_proof(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A wall button that is fitted and paired with the power on stands above the lines that need it."""
    app = finished(tmp_path)
    async with app.run_test(size=(40, 20)) as pilot:
        await to_the_gate(pilot, app)
        proof = replace(work(app), phase="proof", step=None, gate=None, after=("Wall button: fix it by the door.",))
        monkeypatch.setattr(Session, "work", property(lambda _: proof))
        app.show_work()
        for _ in range(20):
            await pilot.pause(0.05)
            if isinstance(app.screen, WorkScreen) and "PROOF" in text_of(app):
                break
        assert "First: Wall button: fix it by the door." in words_of(app)
        app.close_record()
