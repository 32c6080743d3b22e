"""Whatever a key of the screens does, a line reaches too: in `ask`, or as a command of its own."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Iterator

import pytest
import switchleg.screens
from switchleg.screens import by_name
from switchleg.screens.pages.page import Page
from textual.binding import Binding

from switchleg.command.parser import COMMANDS
from switchleg.command.talk import understand, work

LOOKS = {"app.help", "app.menu", "app.theme", "app.signs", "app.quit", "app.interrupt", "card.sums"}
"""How it looks and where one is: `help` and `quit` are words too, and the lines always tell the sums."""
MOVES = {
    *("up", "down", "left", "right", "top", "bottom", "space", "next", "previous", "above", "below", "before"),
    *("leave", "choose", "words", "parts", "trip", "card"),
}
"""Moving about on a screen: lines are heard one after the other."""
ASK = {
    **{f"question.{word}": word for word in ("back", "look", "note", "offers", "picture", "review", "why")},
    **{f"card.{word}": word for word in ("back", "compare", "export", "more", "review", "work")},
    **{f"card.{tab}": "card" for tab in ("plan", "numbers", "checks")},
    "card.why": "why",
    "card.open_now": "open",
    "card.look_now": "next",
    "question.card": "card",
    "question.onward": "keep",
    "review.change": "change",
    "change.accept": "change",
    "change.drop": "change",
    "offers.all": "offers",
    "offers.take": "offers",
    "compare.clear": "compare",
    **{f"export.{word}": "export" for word in ("write", "over", "beside", "place")},
    "home.export": "export",
    "records.home": "home",
    "records.edit": "circuit",
    "station.back": "back",
    "station.picture": "picture",
    "station.note": "note",
    "station.open": "open",
}
GATE = {"station.later": "not now", "station.decline": "rather not", "station.first": "other first"}
WORK = {"ladder.back": "back", "ladder.note": "note", "ladder.give_up": "give up"}
SHELL = {
    "records.new": "new",
    "records.open": "resume",
    "records.delete": "delete",
    "records.undo": "undelete",
    "bin.restore": "undelete",
    "records.find": "list",
    "records.quit": "list",
}


def classes() -> Iterator[type]:
    """Every class of the screens, in whatever room it stands."""
    for module in pkgutil.walk_packages(switchleg.screens.__path__, "switchleg.screens."):
        for kind in vars(importlib.import_module(module.name)).values():
            if inspect.isclass(kind) and kind.__module__ == module.name:
                yield kind


def bindings() -> Iterator[tuple[str, Binding]]:
    for kind in classes():
        for binding in kind.__dict__.get("BINDINGS", ()):
            if isinstance(binding, Binding) and binding.id:
                yield binding.id, binding


def test_a_line_reaches_what_a_key_does() -> None:
    """Every key with an action of its own has its word in the talk, at the gate, in the work or in the shell; a new
    key without one fails here."""
    known = {*LOOKS, *ASK, *GATE, *WORK, *SHELL}
    lost = {id for id, _ in bindings() if id not in known and id.partition(".")[2] not in MOVES}
    assert lost == set()
    gone = known - {id for id, _ in bindings()}
    assert gone == set()
    assert set(ASK.values()) <= set(understand.COMMANDS)
    assert all(understand.gate(word) for word in GATE.values())
    assert {"give up"} <= work.GIVE_UP
    assert set(SHELL.values()) <= set(COMMANDS)


@pytest.mark.parametrize("kind", sorted({binding.id.partition(".")[0] for _, binding in bindings() if binding.id}))
def test_every_action_is_in_the_menu_and_the_help(kind: str) -> None:
    """Each key that is not mere movement says in a sentence what it does: so it stands in the menu and behind "?"."""
    silent = [
        id
        for id, binding in bindings()
        if id.startswith(f"{kind}.") and not binding.tooltip and id not in ("app.interrupt", "app.menu")
    ]
    assert [id for id in silent if not id.endswith(".space")] == []


def test_every_screen_has_words_of_its_own_behind_the_question_mark() -> None:
    """No screen's help is only a list of keys."""
    pages = [kind for kind in classes() if issubclass(kind, Page) and kind.__name__.endswith("Screen")]
    assert len(pages) > 10
    assert [kind.__name__ for kind in pages if len(kind.HELP) < 40 and kind.__name__ != "LabelScreen"] == []


def test_every_screen_is_opened_by_its_name() -> None:
    """Each name leads to a screen that is there, and no screen that stands for itself is without a name."""
    named = {by_name.screen(name) for name in by_name.SCREENS}
    there = {kind for kind in classes() if issubclass(kind, Page) and kind.__name__.endswith("Screen")}
    assert {kind.__name__ for kind in there - named} == {"LabelScreen"}
    assert len(named) == len(by_name.SCREENS)
