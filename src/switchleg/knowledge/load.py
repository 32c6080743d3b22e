"""Everything the tool knows, read once from decision_tree/; each part is built when it is first asked for."""

from __future__ import annotations

import functools
import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError

from switchleg.errors import SwitchlegError
from switchleg.knowledge.problems import Problem, model_problems, toml_problem
from switchleg.knowledge.registry import FILES, FOLDERS, MAY_BE_EMPTY, OTHER_READERS, model_for
from switchleg.knowledge.salvage import salvage
from switchleg.schema.questions import StationFile, Strict
from switchleg.schema.sources import Source, SourceFile
from switchleg.spelling import nearest_of
from switchleg.tree.graph import Tree, build_tree

if TYPE_CHECKING:
    from switchleg.schema.clues import CluesFile
    from switchleg.schema.parts import ControlsFile, WiringFile
    from switchleg.schema.pictures import Picture
    from switchleg.schema.regions import Region
    from switchleg.schema.schemes import PreparationsFile, RulesFile, SchemesFile
    from switchleg.schema.tables import Table

    Root = Traversable | Path

MANY_BYTES = 1_000_000
"""A knowledge file is written by hand; one larger than this is a mistake."""


@dataclass(frozen=True, eq=False)
class Knowledge:
    """All parts of the knowledge. Never changes once built; `load` builds each part when it is first read."""

    tree: Tree
    sources: Mapping[str, Source]
    tables: Mapping[str, Table]
    regions: Mapping[str, Region]
    wiring: WiringFile
    controls: ControlsFile
    schemes: SchemesFile
    rules: RulesFile
    preparations: PreparationsFile
    clues: CluesFile
    pictures: Mapping[str, Picture]
    version: str
    """A short hash of every data file, so that a record can say which knowledge gave its verdict."""

    if not TYPE_CHECKING:

        def __getattr__(self, name: str) -> Any:
            raw = self.__dict__.get("raw")
            if raw is None or name not in PARTS:
                raise AttributeError(name)
            value = _part(name, raw)
            object.__setattr__(self, name, value)
            return value


PARTS = frozenset(field.name for field in fields(Knowledge))


def load(root: Root | None = None) -> Knowledge:
    """The knowledge under `root` (a decision_tree folder), or the installed one, which is read once.

    A folder given by hand is read whole at once. Raises SwitchlegError with the first problem and the count.
    """
    if root is None:
        return _installed()
    found = read_models(root)
    if found.problems:
        raise _refusal(list(found.problems))
    return whole(found)


@dataclass(frozen=True)
class Models:
    """All files as far as they could be read: for checking."""

    raw: Mapping[str, bytes]
    models: Mapping[str, Strict]
    problems: tuple[Problem, ...]
    lost: Mapping[str, frozenset[str]]
    """For each file that could be read in part only: names in what is missing. Nobody who points at them
    is to blame."""

    @functools.cached_property
    def tree(self) -> Tree:
        """The tree of the station files that could be read."""
        return build_tree(model for model in self.models.values() if isinstance(model, StationFile))


def read_models(root: Root) -> Models:
    """Read every file strictly; what is unsound becomes problems, and what is left of such a file is kept."""
    raw, problems = read_bytes(root)
    models: dict[str, Strict] = {}
    lost: dict[str, frozenset[str]] = {}
    for file in sorted(FILES.keys() - raw.keys()):
        problems.append(Problem(file, "", "is missing"))
        lost[file] = frozenset()
    for folder in sorted(FOLDERS.keys() - MAY_BE_EMPTY):
        if not any(file.startswith(folder + "/") for file in raw):
            problems.append(Problem(folder, "", "is missing or has no .toml file"))
    for file, content in raw.items():
        model = model_for(file)
        if model is None:
            near = nearest_of(file, FILES.keys() - raw.keys())
            problems.append(Problem(file, "", "nothing reads this file", near))
            continue
        try:
            data = tomllib.loads(content.decode())
        except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
            problems.append(toml_problem(file, error))
            lost[file] = frozenset()
            continue
        try:
            models[file] = model.model_validate(data)
        except ValidationError as error:
            problems += model_problems(file, data, model, error)
            kept = salvage(data, model)
            if isinstance(kept.model, Strict):
                models[file] = kept.model
            if kept.lost or kept.model is None:
                lost[file] = kept.lost
    return Models(raw, models, tuple(problems), lost)


def read_bytes(root: Root) -> tuple[dict[str, bytes], list[Problem]]:
    """The bytes of every .toml file below `root`, by path; other folders are passed over."""
    raw: dict[str, bytes] = {}
    problems: list[Problem] = []
    try:
        entries = [("", entry) for entry in root.iterdir()]
        for folder in FOLDERS:
            inner = root.joinpath(folder)
            if inner.is_dir():
                entries += [(folder + "/", entry) for entry in inner.iterdir()]
    except OSError as error:
        return {}, [Problem(str(root), "", f"cannot be read: {error.strerror or error}")]
    for prefix, entry in sorted(entries, key=lambda pair: pair[0] + pair[1].name):
        file = prefix + entry.name
        if not entry.name.endswith(".toml") or file in OTHER_READERS:
            continue
        try:
            content = entry.read_bytes()
        except OSError as error:
            problems.append(Problem(file, "", f"cannot be read: {error.strerror or error}"))
            continue
        if len(content) > MANY_BYTES:
            problems.append(Problem(file, "", f"is too large: {len(content)} bytes, at most {MANY_BYTES}"))
            continue
        raw[file] = content
    return raw, problems


@functools.cache
def _installed() -> Knowledge:
    raw, problems = read_bytes(files("switchleg.decision_tree"))
    if problems:
        raise _refusal(problems)
    return _lazy(raw)


def whole(found: Models) -> Knowledge:
    knowledge = _lazy(found.raw)
    object.__setattr__(knowledge, "tree", found.tree)
    for part in sorted(PARTS - {"tree"}):
        object.__setattr__(knowledge, part, _part(part, found.raw, found.models))
    return knowledge


def _lazy(raw: Mapping[str, bytes]) -> Knowledge:
    knowledge = object.__new__(Knowledge)
    object.__setattr__(knowledge, "raw", raw)
    return knowledge


def _part(name: str, raw: Mapping[str, bytes], read: Mapping[str, Strict] = MappingProxyType({})) -> Any:
    """One part of the knowledge, from the files as bytes and those that have been read already."""
    if name == "version":
        digest = hashlib.sha256()
        for file, content in raw.items():
            digest.update(f"{file}\0{len(content)}\0".encode() + content)
        return digest.hexdigest()[:12]
    if name == "tree":
        stations = _folder("questions", raw, read).values()
        return build_tree(station for station in stations if isinstance(station, StationFile))
    if name == "sources":
        sources = _strict("sources.toml", raw, read)
        return {source.id: source for source in sources.source} if isinstance(sources, SourceFile) else {}
    if name in FOLDERS:
        return _folder(name, raw, read)
    return _strict(f"{name}.toml", raw, read)


def names_in(folder: str, raw: Mapping[str, bytes]) -> frozenset[str]:
    """The names of the files in a folder, sound or not."""
    return frozenset(_stem(file) for file in raw if file.startswith(folder + "/"))


def _folder(folder: str, raw: Mapping[str, bytes], read: Mapping[str, Strict]) -> dict[str, Strict]:
    return {_stem(file): _strict(file, raw, read) for file in raw if file.startswith(folder + "/")}


def _strict(file: str, raw: Mapping[str, bytes], read: Mapping[str, Strict]) -> Strict:
    """The model of one file, or SwitchlegError: for use, not for checking."""
    if file in read:
        return read[file]
    model = model_for(file)
    if model is None or file not in raw:
        raise _refusal([Problem(file, "", "is missing")])
    try:
        data = tomllib.loads(raw[file].decode())
        return model.model_validate(data)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise _refusal([toml_problem(file, error)]) from None
    except ValidationError as error:
        raise _refusal(model_problems(file, data, model, error)) from None


def _stem(file: str) -> str:
    return file.rpartition("/")[2].rpartition(".")[0]


def _refusal(problems: list[Problem]) -> SwitchlegError:
    more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
    return SwitchlegError(
        f"the knowledge cannot be used: {problems[0].line()}{more}",
        mend="run `switchleg check` to see everything",
    )
