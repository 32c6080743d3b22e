"""Whether the data files agree with each other: every id that one names stands in another."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from pydantic import BaseModel

from switchleg.checking.condition_rules import check_condition, impossible_value, unknown_fact
from switchleg.knowledge.model_walk import models_in
from switchleg.knowledge.problems import Problem
from switchleg.schema.clues import Clue, CluesFile, Unusual
from switchleg.schema.parts import Control, ControlsFile, WiringFile
from switchleg.schema.questions import Condition, StationFile, Strict
from switchleg.schema.regions import Region
from switchleg.schema.schemes import PreparationsFile, RulesFile, SchemesFile
from switchleg.schema.sources import SourceFile
from switchleg.schema.tables import Table
from switchleg.spelling import nearest_of
from switchleg.tree.graph import Tree

Models = Mapping[str, Strict]


def check_sources(models: Models, lost: Collection[str]) -> Iterator[Problem]:
    """Every field `source`, `…_source` or `sources` names sources that exist; a list of them is not empty."""
    listed = models.get("sources.toml")
    known = {source.id for source in listed.source} if isinstance(listed, SourceFile) else set()
    if not known:
        return
    for file, model in models.items():
        if isinstance(model, SourceFile):
            continue
        for key, part in models_in(model):
            for name in type(part).model_fields:
                value = getattr(part, name)
                place = f"{key}.{name}".lstrip(".")
                if name == "sources" and value == ():
                    yield Problem(file, place, 'names no source; a habit of the trade names "practice"')
                for source in _source_ids(name, value):
                    if source not in known and source not in lost:
                        yield _missing(file, place, "source", source, known)


def _source_ids(name: str, value: object) -> tuple[str, ...]:
    if name == "sources" and isinstance(value, tuple):
        return tuple(item for item in value if isinstance(item, str))
    if (name == "source" or name.endswith("_source")) and isinstance(value, str):
        return (value,)
    return ()


def check_ids(models: Models) -> Iterator[Problem]:
    """No two items of one list share an id; a table's and a region's id is its file's name."""
    for file, model in models.items():
        if isinstance(model, StationFile):
            continue
        if isinstance(model, Table | Region) and model.id != (stem := _stem(file)):
            yield Problem(file, "id", f'is "{model.id}"; expected "{stem}", as the file is called')
        for key, part in models_in(model):
            for name in type(part).model_fields:
                value = getattr(part, name)
                seen: set[str] = set()
                for index, item in enumerate(value if isinstance(value, tuple) else (), 1):
                    own = getattr(item, "id", None) if isinstance(item, BaseModel) else None
                    if isinstance(own, str) and own in seen:
                        yield Problem(file, f"{key}.{name}.{index}.id".lstrip("."), f'"{own}" stands twice')
                    seen |= {own} if isinstance(own, str) else set()


def check_facts(models: Models, tree: Tree, derived: Collection[str], lost: frozenset[str]) -> Iterator[Problem]:
    """Conditions and clues outside the tree name facts that are asked, and values that they can have."""
    tables = tables_in(models)
    for file, model in models.items():
        if isinstance(model, StationFile):
            continue
        for key, part in models_in(model):
            if isinstance(part, Condition):
                yield from check_condition(file, key, part, tree.questions, tables, lost)
            elif isinstance(part, Clue | Unusual) and part.fact not in derived:
                question = tree.questions.get(part.fact)
                if question is None and part.fact not in lost:
                    yield unknown_fact(file, key, part.fact, {*tree.questions, *derived})
                elif question is not None and part.value is not None:
                    yield from impossible_value(file, f"{key}.value", question, part.value, tables)
    yield from _other_loads(models.get("wiring.toml"), tree, lost)
    clues = models.get("clues.toml")
    if isinstance(clues, CluesFile):
        for fact in clues.trouble.fact:
            if fact not in tree.questions and fact not in lost:
                yield unknown_fact("clues.toml", f"trouble.fact.{fact}", fact, tree.questions)
        for number, chance in enumerate(clues.chance, 1):
            asked = tree.questions.get(chance.fact)
            if asked is not None:
                for share in chance.shares:
                    yield from impossible_value("clues.toml", f"chance.{number}.shares", asked, share.value, tables)
            elif chance.fact not in lost:
                yield unknown_fact("clues.toml", f"chance.{number}", chance.fact, tree.questions)


def _other_loads(wiring: Strict | None, tree: Tree, lost: Collection[str]) -> Iterator[Problem]:
    """Each answer that says what hangs on a leg is a kind of load: one that is none would be held against nothing."""
    asked = tree.questions.get("other_load_kind")
    if asked is None or not isinstance(wiring, WiringFile) or "other_load_kind" in lost:
        return
    answers = {answer.value for answer in asked.answers}
    rows = {row.is_ for row in wiring.other_load}
    for value in sorted(rows - answers):
        yield _missing("wiring.toml", "other_load", "answer to other_load_kind", value, {str(a) for a in answers})
    for value in sorted(str(a) for a in answers - rows):
        yield Problem("wiring.toml", "other_load", f'has no row for "{value}", an answer to other_load_kind')


def check_parts(models: Models, lost: Collection[str]) -> Iterator[Problem]:
    """Schemes and rules name control classes, terminals, schemes and preparations that exist."""
    controls = models.get("controls.toml")
    schemes = models.get("schemes.toml")
    preparations = models.get("preparations.toml")
    classes = {c.id: c for c in controls.control} if isinstance(controls, ControlsFile) else {}
    for control in classes.values():
        yield from _terminals(control)
    if isinstance(schemes, SchemesFile) and classes:
        yield from _scheme_parts(schemes, classes, lost)
    known: dict[str, Collection[str]] = {"controls": classes}
    if isinstance(schemes, SchemesFile):
        known["schemes"] = {scheme.id for scheme in schemes.scheme}
    if isinstance(preparations, PreparationsFile):
        known["preparations"] = {preparation.id for preparation in preparations.preparation}
    rules = models.get("rules.toml")
    if isinstance(rules, RulesFile):
        stops = {stop.id for stop in rules.stop} | {rule.id for rule in rules.tested if rule.severity == "stop"}
        for caution in rules.caution:
            if caution.open and caution.open not in stops and caution.open not in lost:
                yield _missing("rules.toml", f"caution.{caution.id}.open", "stop", caution.open, stops)
    for key, part in models_in(rules) if isinstance(rules, RulesFile) else ():
        for name, ids in known.items():
            for item in getattr(part, name, ()):
                if ids and item not in ids and item not in lost:
                    yield _missing("rules.toml", f"{key}.{name}", name.removesuffix("s"), item, ids)


def _terminals(control: Control) -> Iterator[Problem]:
    named = {"supply": control.supply or (), "throws": control.throws or ()}
    named |= {f"channel.{channel.id}.joins": channel.joins for channel in control.channel}
    for key, terminals in named.items():
        for terminal in terminals:
            if terminal not in control.terminals:
                place = f"control.{control.id}.{key}"
                yield _missing("controls.toml", place, "terminal", terminal, control.terminals)


def _scheme_parts(schemes: SchemesFile, classes: Mapping[str, Control], lost: Collection[str]) -> Iterator[Problem]:
    for scheme in schemes.scheme:
        for way in scheme.way:
            for index, part in enumerate(way.part, 1):
                key = f"scheme.{scheme.id}.way.{way.id}.part.{index}"
                control = classes.get(part.control)
                if control is None:
                    if part.control not in lost:
                        yield _missing("schemes.toml", f"{key}.control", "control", part.control, classes)
                    continue
                if part.place != control.place != "anywhere":
                    message = f'is "{part.place}", and {part.control} is made for the {control.place}'
                    yield Problem("schemes.toml", f"{key}.place", message)
                for terminal in part.nets:
                    if terminal not in control.terminals:
                        place = f"{key}.nets.{terminal}"
                        yield _missing("schemes.toml", place, "terminal", terminal, control.terminals)


def check_promised(
    models: Models, schemes: Collection[str], preparations: Collection[str], lost: Collection[str]
) -> Iterator[Problem]:
    """The schemes and preparations that readers of a verdict rely on are all there."""
    for file, name, wanted in (
        ("schemes.toml", "scheme", schemes),
        ("preparations.toml", "preparation", preparations),
    ):
        model = models.get(file)
        ids = {item.id for item in getattr(model, name)} if model is not None else set(wanted)
        for missing in sorted(set(wanted) - ids - set(lost)):
            near = nearest_of(missing, ids - set(wanted))
            yield Problem(file, f"{name}.{missing}", "is missing; readers of the verdict rely on it", near)


def tables_in(models: Models) -> dict[str, Table]:
    """The tables by their file's name."""
    return {_stem(file): model for file, model in models.items() if isinstance(model, Table)}


def _stem(file: str) -> str:
    return file.rpartition("/")[2].rpartition(".")[0]


def _missing(file: str, key: str, kind: str, name: str, known: Collection[str]) -> Problem:
    return Problem(file, key, f'there is no {kind} called "{name}"', nearest_of(name, known))
