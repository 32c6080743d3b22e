"""Random keys, clicks and resizes: no crash, and the record on disk is sound at the end."""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest
from command_paths import room
from screens_world import make_app, use_small_card
from switchleg.screens.app import SwitchlegApp
from switchleg.screens.working import work as work_screen
from textual import events
from textual.geometry import Size

from switchleg.command.demo.script import play
from switchleg.knowledge.load import load
from switchleg.record.store import Store

ANSWERS = [*"123ync", "enter", "space"]
"""Given more often than the rest, so that the walk gets somewhere."""
KEYS = [*"bgklodruwxt?mepvhcfz", "n", "escape", "escape", "tab", "shift+tab", "up", "down", "pagedown", "home"]
LARGE = [(40, 20), (80, 24), (120, 40), (30, 10)]
SMALL = [(29, 9), (12, 4), (1, 1)]
"""Nothing can be done in these, so the monkey soon has a larger window again."""
STEPS = int(os.environ.get("MONKEY_STEPS", "200"))
"""For each seed; a long run sets the variable."""


SEEDS = range(1, 1 + int(os.environ.get("MONKEY_SEEDS", "2")))


@pytest.mark.parametrize("seed", SEEDS)
async def test_a_monkey_at_the_keys_leaves_a_sound_record(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    """After random keys, clicks and resizes every record opens, and no gate stands open unconfirmed."""
    use_small_card(monkeypatch)
    monkeypatch.chdir(tmp_path)
    await let_loose(make_app(tmp_path / "records"), monkeypatch, random.Random(seed), STEPS)
    assert_sound(tmp_path / "records")


@pytest.mark.parametrize("seed", SEEDS)
async def test_a_monkey_at_a_finished_card_leaves_a_sound_record(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    """The same from a real card on: its tabs, the ladder, the comparison, changes, the home and its offers."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(work_screen, "PAUSE_S", 0.0)
    app = make_app(tmp_path / "records", name="front parlour", knowledge=load())
    assert app.session is not None
    play(app.session, room("front parlour"))
    await let_loose(app, monkeypatch, random.Random(100 + seed), STEPS // 4)
    assert_sound(tmp_path / "records")


async def let_loose(app: SwitchlegApp, monkeypatch: pytest.MonkeyPatch, chance: random.Random, steps: int) -> None:
    """Random keys, clicks and resizes; leaving the program is the one thing that is kept from it."""
    async with app.run_test(size=(80, 24)) as pilot:
        monkeypatch.setattr(app, "exit", lambda *_, **__: None)
        for _ in range(steps):
            kind = chance.random()
            cramped = app.size.width < 30 and chance.random() < 0.3
            if kind < 0.85 and not cramped:
                key = chance.choice(ANSWERS if chance.random() < 0.7 else KEYS)
                app.post_message(events.Key(key, key if len(key) == 1 else None))
            elif kind < 0.97 and not cramped:
                x, y = chance.randrange(max(1, app.size.width)), chance.randrange(max(1, app.size.height))
                for made in (events.MouseDown, events.MouseUp):
                    app.screen._forward_event(made(None, x, y, 0, 0, 1, False, False, False, screen_x=x, screen_y=y))
            else:
                small = app.size.width >= 30 and chance.random() < 0.3
                size = Size(*chance.choice(SMALL if small else LARGE))
                app.post_message(events.Resize(size, size))
            if chance.random() < 0.4:
                await pilot.pause()
        await app.workers.wait_for_complete()
        await pilot.pause()
    app.close_record()


def assert_sound(folder: Path) -> None:
    """Every record opens and says something, and each gate that stands open was confirmed."""
    store = Store(folder)
    answered = 0
    for summary in store.list():
        assert summary.problem == ""
        with store.open(summary.id, write=False) as opened:
            record = opened.record
        answered += len(record.replies) + len(record.history)
        confirmed = {gate.door for gate in record.gates if gate.outcome == "open"}
        assert {node for node, reply in record.replies.items() if reply.kind == "open"} <= confirmed
    assert answered > 0
