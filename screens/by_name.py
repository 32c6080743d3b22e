"""Every screen by its name, in one place: a new one is a line here. It is read when it is first wanted.

The frame's own list of named screens keeps each one that was ever shown; here it is made anew every time.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

from .page import Page

SCREENS = {
    "gate": ("switchleg.screens.station", "GateScreen"),
    "question": ("switchleg.screens.question", "QuestionScreen"),
    "change": ("switchleg.screens.change", "ChangeScreen"),
    "review": ("switchleg.screens.review", "ReviewScreen"),
    "borrowed answers": ("switchleg.screens.offers", "OffersScreen"),
    "new": ("switchleg.screens.new", "NewScreen"),
    "labels": ("switchleg.screens.new", "EditScreen"),
    "records": ("switchleg.screens.records", "RecordsScreen"),
    "deleted": ("switchleg.screens.bin", "BinScreen"),
    "home": ("switchleg.screens.home", "HomeScreen"),
    "card": ("switchleg.screens.card", "CardScreen"),
    "compare": ("switchleg.screens.compare", "CompareScreen"),
    "export": ("switchleg.screens.export", "ExportScreen"),
    "work": ("switchleg.screens.ladder", "LadderScreen"),
    "work gate": ("switchleg.screens.work_gate", "WorkGateScreen"),
}
"""Name: (module, class)."""


def screen(name: str) -> type[Page[Any]]:
    """The class of the screen called so."""
    module, kind = SCREENS[name]
    found: type[Page[Any]] = getattr(import_module(module), kind)
    return found
