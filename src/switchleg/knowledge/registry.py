"""Which strict model reads which data file; a new file is one new line here."""

from __future__ import annotations

import importlib
from typing import Any

from switchleg.schema.questions import Strict

FILES: dict[str, str] = {
    "clues.toml": "switchleg.schema.clues:CluesFile",
    "preparations.toml": "switchleg.schema.schemes:PreparationsFile",
    "rules.toml": "switchleg.schema.schemes:RulesFile",
    "schemes.toml": "switchleg.schema.schemes:SchemesFile",
    "sources.toml": "switchleg.schema.sources:SourceFile",
    "controls.toml": "switchleg.schema.parts:ControlsFile",
    "wiring.toml": "switchleg.schema.parts:WiringFile",
}
"""Single files: path below decision_tree/ -> module:model. Every one must be there."""

FOLDERS: dict[str, str] = {
    "pictures": "switchleg.schema.pictures:Picture",
    "questions": "switchleg.schema.questions:StationFile",
    "regions": "switchleg.schema.regions:Region",
    "tables": "switchleg.schema.tables:Table",
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
