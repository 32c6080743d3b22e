"""Every screen by its name, in one place: a new one is a line here. It is read when it is first wanted.

The frame's own list of named screens keeps each one that was ever shown; here it is made anew every time.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

from .pages.page import Page

SCREENS = {
    "gate": ("switchleg.screens.asking.gate", "GateScreen"),
    "question": ("switchleg.screens.asking.question", "QuestionScreen"),
    "change": ("switchleg.screens.asking.change", "ChangeScreen"),
    "review": ("switchleg.screens.asking.review", "ReviewScreen"),
    "borrowed answers": ("switchleg.screens.asking.borrowed_answers", "BorrowedAnswersScreen"),
    "new": ("switchleg.screens.asking.labels", "NewScreen"),
    "labels": ("switchleg.screens.asking.labels", "EditScreen"),
    "records": ("switchleg.screens.showing.records", "RecordsScreen"),
    "deleted": ("switchleg.screens.showing.deleted", "DeletedScreen"),
    "home": ("switchleg.screens.showing.home", "HomeScreen"),
    "card": ("switchleg.screens.showing.card", "CardScreen"),
    "compare": ("switchleg.screens.showing.compare", "CompareScreen"),
    "export": ("switchleg.screens.showing.export", "ExportScreen"),
    "work": ("switchleg.screens.working.work", "WorkScreen"),
    "work gate": ("switchleg.screens.working.work_gate", "WorkGateScreen"),
}
"""Name: (module, class)."""


def screen(name: str) -> type[Page[Any]]:
    """The class of the screen called so."""
    module, kind = SCREENS[name]
    found: type[Page[Any]] = getattr(import_module(module), kind)
    return found
