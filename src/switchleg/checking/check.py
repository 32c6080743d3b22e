"""Every problem of the knowledge at once: the files, what they say of each other, every path of the tree."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import TYPE_CHECKING

from switchleg.checking import references
from switchleg.checking.fact_uses import DATA_ALONE, LOOKS, check_uses
from switchleg.checking.picture_rules import check_pictures, check_shown
from switchleg.checking.promised_names import FIXED, PREPARATIONS, SCHEMES, Vocabulary
from switchleg.checking.tree_rules import Around, check_tree
from switchleg.checking.unused_answers import unused_answers
from switchleg.figures.fan.motor_clues import RESTS_ON
from switchleg.knowledge.load import Knowledge, Models, names_in, read_models, whole
from switchleg.knowledge.model_walk import models_in
from switchleg.knowledge.problems import Problem
from switchleg.schema.clues import Clue
from switchleg.schema.pictures import Picture
from switchleg.schema.questions import STATIONS, Condition, StationFile
from switchleg.schema.regions import Region
from switchleg.spelling import nearest_of

if TYPE_CHECKING:
    from switchleg.knowledge.load import Root


@dataclass(frozen=True)
class Promised:
    """Names that must be there, whatever else is: others outside this project rely on them."""

    facts: Vocabulary
    schemes: Collection[str]
    preparations: Collection[str]
    looks: Collection[str] = LOOKS
    """Facts of which every candidate house says what it would show."""


ALL = Promised(FIXED, SCHEMES, PREPARATIONS)


def examine(root: Root | None = None) -> tuple[Knowledge | None, list[Problem]]:
    """Every problem of `root` (else of the installed knowledge), and the knowledge when there is none.

    Looks at everything: the files, what they say of each other, and every path of the tree. Never raises.
    """
    found = read_models(files("switchleg.decision_tree") if root is None else root)
    problems = check_models(found)
    return (None if problems else whole(found)), problems


def check_all(root: Root | None = None, promised: Promised = ALL) -> list[Problem]:
    """Every problem under `root` (else in the installed knowledge), in the order of file and key."""
    return check_models(read_models(files("switchleg.decision_tree") if root is None else root), promised)


def check_models(found: Models, promised: Promised = ALL) -> list[Problem]:
    """As `check_all`, on files that have been read."""
    models = found.models
    stations = {file: model for file, model in models.items() if isinstance(model, StationFile)}
    pictures = {file: model for file, model in models.items() if isinstance(model, Picture)}
    lost = frozenset[str]().union(*found.lost.values())
    around = Around(
        tables=references.tables_in(models),
        pictures=names_in("pictures", found.raw),
        vocabulary=promised.facts,
        lost=lost,
        whole=not any(file.startswith("questions/") for file in found.lost),
    )
    whole = around.whole and all(name in found.tree.stations for name in STATIONS)
    facts = list(references.check_facts(models, found.tree, RESTS_ON, lost)) if whole else []
    problems = [
        *found.problems,
        *check_tree(stations, around, found.tree),
        *facts,
        *check_pictures(pictures),
        *references.check_sources(models, lost),
        *references.check_ids(models),
        *references.check_parts(models, lost),
        *references.check_promised(models, promised.schemes, promised.preparations, lost),
    ]
    if whole:
        problems += check_shown(pictures, stations)
        problems += [*_regions(found, lost), *_shown_but_never_asked(found, promised)]
    doubtful = _doubtful([*facts, *(problem for problem in problems if ".when." in problem.key)])
    if whole:
        uses = check_uses(models, found.tree, promised.looks, whole=not found.lost)
        problems += [problem for fact, problem in uses if fact not in doubtful]
    if whole and not found.lost:
        problems += _unused(found, stations, doubtful)
    return sorted(set(problems), key=lambda problem: (problem.file, problem.key, problem.message))


def _doubtful(problems: list[Problem]) -> set[str]:
    """Facts that these faulty conditions name or may have meant: whether they are used is not known yet."""
    names: set[str] = set()
    for problem in problems:
        names |= {problem.nearest, *problem.key.split(".")}
    return names - {""}


def _unused(found: Models, stations: Mapping[str, StationFile], doubtful: Collection[str]) -> Iterator[Problem]:
    questions = found.tree.questions.items()
    read = {fact for fact, question in questions if not DATA_ALONE.issuperset(question.serves)}
    elsewhere = [condition for model in found.models.values() for condition in _conditions(model)]
    file_of = {question.fact: file for file, station in stations.items() for question in station.question}
    for fact, key, message in unused_answers(found.tree, elsewhere, read):
        if fact not in doubtful:
            yield Problem(file_of[fact], f"question.{fact}.{key}".rstrip("."), message)


def _shown_but_never_asked(found: Models, promised: Promised) -> Iterator[Problem]:
    asked = found.tree.questions
    for fact in promised.looks:
        if fact not in asked and fact not in promised.facts:
            message = "is never asked, though every candidate house says what it would show"
            yield Problem("questions", f"question.{fact}", message, nearest_of(fact, asked))


def _conditions(model: object) -> list[Condition]:
    """The conditions of a file outside the tree; a clue counts as one on its fact."""
    if isinstance(model, StationFile):
        return []
    found: list[Condition] = []
    for _, part in models_in(model):  # type: ignore[arg-type]
        if isinstance(part, Condition):
            found.append(part)
        elif isinstance(part, Clue):
            tests = {"is": part.value, "at_least": part.at_least}
            given = {name: value for name, value in tests.items() if value is not None}
            found.append(Condition.model_validate({"fact": part.fact, **(given or {"known": True})}))
    return found


def _regions(found: Models, lost: Collection[str]) -> Iterator[Problem]:
    """Each region that can be answered has its file, and each file can be answered."""
    question = found.tree.questions.get("region")
    if question is None:
        return
    asked = {str(answer.value) for answer in question.answers}
    there = {model.id for model in found.models.values() if isinstance(model, Region)}
    for name in sorted(asked - there - {_stem(file) for file in found.lost}):
        near = nearest_of(name, there - asked)
        yield Problem(f"regions/{name}.toml", "", "is missing; the question region offers it", near)
    for name in sorted(there - asked - set(lost)):
        near = nearest_of(name, asked - there)
        yield Problem(f"regions/{name}.toml", "id", "is no answer of the question region", near)


def _stem(file: str) -> str:
    return file.rpartition("/")[2].rpartition(".")[0]
