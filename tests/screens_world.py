"""What the screens' tests share: a small tree, an app over a throw-away folder, and reading the screen."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, cast

import pytest
from switchleg.screens.app import Start, SwitchlegApp
from switchleg.screens.asking import question
from switchleg.screens.parts.widgets import KeyBar, Pick
from textual.pilot import Pilot

from switchleg.record.store import Store
from switchleg.schema.questions import StationFile
from switchleg.tree.graph import build_tree

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

SIZES = ((40, 20), (80, 24), (120, 40))
question.ECHO_S = 0.0
"""A pilot is quicker than any person; one test sets the guard against an echo again."""

FLOOR = """
station = "floor"
title = "In the room"
intro = "Nothing is opened here. Look around and answer what you can."
first = "light_kit"

[[question]]
fact = "light_kit"
serves = ["houses"]
kind = "choice"
ask = "Does the fan have a light?"
why = "A light wants a leg of its own."
look = "Look under the motor for bulbs or a panel."
settles = "Whether a light matters."
answers = [
    { value = "none", label = "No light", leads_to = "handheld_remote" },
    { value = "lamps", label = "Lamps that can be changed", leads_to = "handheld_remote" },
]
cant_tell = "handheld_remote"

[[question]]
fact = "handheld_remote"
serves = ["houses"]
kind = "yes_no"
ask = "Does a handheld remote work the fan?"
why = "A remote means that there is a receiver."
look = "Look on the bedside table."
settles = "Whether there is a receiver."
answers = [
    { value = true, label = "Yes", leads_to = "wall_boxes" },
    { value = false, label = "No", leads_to = "wall_boxes" },
]
cant_tell = "wall_boxes"

[[question]]
fact = "wall_boxes"
serves = ["houses"]
kind = "count"
ask = "How many places on the wall act on it?"
why = "Each place has a box."
look = "Walk round the room."
settles = "How many boxes there are."
answers = [
    { value = 0, label = "None", leads_to = "breaker" },
    { value = 1, label = "One", leads_to = "breaker" },
    { at_least = 2, label = "Two or more", leads_to = "breaker" },
]
cant_tell = "breaker"

[[question]]
fact = "breaker"
serves = ["houses"]
kind = "measure"
dimension = "current"
ask = "What does the breaker say?"
why = "The wire must suit it."
look = "Look at the number on the lever."
settles = "The circuit's current."
answers = [
    { value = "15 A", label = "15 A", leads_to = "wall_door" },
    { typed = true, label = "Another one", leads_to = "wall_door" },
]
cant_tell = "wall_door"
"""

WALL = """
station = "wall"
title = "Behind the plate"
intro = "The plate comes off now."

[[door]]
id = "wall_door"
opens = "wall"
ask = "Ready to turn the power off?"
cautions = ["A switch is never isolation. Only the breaker is, and only after a test."]
checks = ["The breaker is off.", "The tester shows live on a live source.", "The box is tested dead."]
open = "neutral_bundle"
later = "card"
decline = "card"

[[question]]
fact = "neutral_bundle"
serves = ["houses"]
kind = "yes_no"
ask = "Are whites joined together?"
why = "Some controls need a neutral."
look = "Look at the back of the box."
settles = "Whether a neutral is there."
caution = "Look only; undo nothing."
answers = [
    { value = true, label = "Yes", leads_to = "card" },
    { value = false, label = "No", leads_to = "card" },
]
cant_tell = "card"
"""


def small_knowledge() -> Knowledge:
    """Two stations, a gate of three checks, and one question of every kind."""
    files = [StationFile.model_validate(tomllib.loads(text)) for text in (FLOOR, WALL)]
    sources = {"data_sheet": SimpleNamespace(title="A data sheet", regions=())}
    found = SimpleNamespace(tree=build_tree(files), tables={}, pictures={}, sources=sources, version="test")
    return cast("Knowledge", found)


def small_card() -> Any:
    """A card with a line of every kind."""
    lines = [
        ("text", "The fan keeps its wall control."),
        ("step", "Turn the breaker off and test."),
        ("step", "Join the neutrals."),
        ("item", "One control with a neutral terminal."),
        ("good", "The wall control works."),
        ("bad", "The remote no longer works."),
        ("warning", "The leg stays live when the control is off."),
        ("sum", "Box fill: 14 of 18 in3."),
    ]
    shown = tuple(SimpleNamespace(kind=kind, text=text) for kind, text in lines)
    sections = tuple(
        SimpleNamespace(id=id, title=title, lines=shown) for id, title in (("do", "Do this"), ("why", "Why"))
    )
    return SimpleNamespace(
        title="Fan", status="recommended", headline="A control at the wall fits here.", sections=sections
    )


def small_advice() -> Any:
    """An advice with one tree of reasons, two steps deep."""
    from switchleg.advice.model import Why

    deep = Why(text="The label says AC.", facts=("motor_label",), sources=("data_sheet",))
    why = Why(text="A control at the wall: fits.", steps=(Why(text="The motor is AC.", steps=(deep,)),))
    scheme = SimpleNamespace(id="wall", title="A control at the wall", why=why, plan=None, steps=())
    nothing: dict[str, Any] = dict.fromkeys(("again", "contradictions", "next_checks", "stops"), ())
    return SimpleNamespace(recommendation=SimpleNamespace(scheme="wall"), schemes=(scheme,), doubtful={}, **nothing)


def use_small_card(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every session have the small card at once, and nothing to draw."""
    from switchleg.session import card_tabs
    from switchleg.session.session import Session

    monkeypatch.setattr(Session, "card", lambda _: small_card())
    monkeypatch.setattr(Session, "advice", lambda _: small_advice())
    monkeypatch.setattr(card_tabs, "_drawn", lambda *_: (None, "there is nothing safe to draw"))


def make_app(
    folder: Path, *, start: Start = "new", name: str | None = "Garden room", knowledge: Knowledge | None = None
) -> SwitchlegApp:
    """The app over a store in `folder`, on the small tree unless told otherwise."""
    app = SwitchlegApp(Store(folder), start=start, name=name, knowledge=knowledge or small_knowledge())
    if start == "new" and name is not None:
        app.create_record(name, "Guesthouse")
    elif start == "resume" and name is not None:
        app.open_record(name)
    return app


def text_of(app: SwitchlegApp) -> str:
    """What stands on the top screen, row by row."""
    return "\n".join(strip.text for strip in app.screen._compositor.render_strips())


def words_of(app: SwitchlegApp) -> str:
    """The same in one line with single blanks, so that a wrapped sentence is found."""
    return " ".join(text_of(app).split())


async def press(pilot: Pilot[int], *keys: str) -> None:
    """Press keys one by one, letting the screen settle after each."""
    for key in keys:
        await pilot.press(key)
        await pilot.pause()


async def type_text(pilot: Pilot[int], text: str) -> None:
    await pilot.press(*("space" if letter == " " else letter for letter in text))
    await pilot.pause()


async def tap(pilot: Pilot[int], key: str) -> None:
    """Click the line that has `key` in front."""
    app = cast(SwitchlegApp, pilot.app)
    pick = next(pick for pick in app.screen.query(Pick).results(Pick) if pick.key == key and pick.display)
    pick.scroll_visible(animate=False)
    await pilot.pause()
    await pilot.click(pick)
    await pilot.pause()


async def tap_key(pilot: Pilot[int], action: str) -> None:
    """Click the word in the bar of keys that does `action`."""
    bar = pilot.app.screen.query_one(KeyBar)
    await pilot.click(bar, offset=bar.find(action))
    await pilot.pause()


async def card_shown(pilot: Pilot[int]) -> None:
    """Wait until the card has been worked out."""
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()


def replies(app: SwitchlegApp) -> dict[str, object]:
    """What the record holds: node to value, or the kind of a reply without one."""
    assert app.session is not None
    found = app.session.record.replies
    return {node: reply.value if reply.kind == "value" else reply.kind for node, reply in found.items()}


def in_view(app: SwitchlegApp, wanted: Sequence[str]) -> list[str]:
    """Those of `wanted` that do not stand on the screen."""
    shown = words_of(app)
    return [words for words in wanted if words not in shown]
