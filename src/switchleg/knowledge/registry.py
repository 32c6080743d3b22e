"""Which strict model reads which data file; a new file is one new line here."""

from __future__ import annotations

import importlib
from typing import Any

from switchleg.tree.model import Strict

FILES: dict[str, str] = {
    "clues.toml": "switchleg.diagnosis.clues:CluesFile",
    "preparations.toml": "switchleg.advice.knowledge:PreparationsFile",
    "rules.toml": "switchleg.advice.knowledge:RulesFile",
    "schemes.toml": "switchleg.advice.knowledge:SchemesFile",
    "sources.toml": "switchleg.knowledge.sources:SourceFile",
    "controls.toml": "switchleg.wiring.parts:ControlsFile",
    "wiring.toml": "switchleg.wiring.parts:WiringFile",
}
"""Single files: path below decision_tree/ -> module:model. Every one must be there."""

FOLDERS: dict[str, str] = {
    "pictures": "switchleg.knowledge.pictures:Picture",
    "questions": "switchleg.tree.model:StationFile",
    "regions": "switchleg.knowledge.regions:Region",
    "tables": "switchleg.figures.tables:Table",
}
"""Folders whose every .toml file has the same model; the file's stem names its content."""

MAY_BE_EMPTY: frozenset[str] = frozenset({"pictures"})
"""Folders without which the knowledge is still whole."""

OTHER_READERS: frozenset[str] = frozenset({"demo.toml", "home.toml"})
"""Files that are no knowledge and are read elsewhere."""


def model_for(file: str) -> type[Strict] | None:
    """The model of a file given by its path, or None when nothing reads it."""
    folder, slash, name = file.rpartition("/")
    path = FILES.get(file) if not slash else FOLDERS.get(folder)
    return _model(path) if path and name.endswith(".toml") else None


def _model(path: str) -> type[Strict]:
    module, _, name = path.partition(":")
    model: Any = getattr(importlib.import_module(module), name)
    found: type[Strict] = model
    return found
