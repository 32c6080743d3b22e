"""A file's facts: each checked against its question, with what they imply."""

from __future__ import annotations

from collections.abc import Mapping

from switchleg.errors import SwitchlegError
from switchleg.knowledge.load import Knowledge
from switchleg.schema.questions import Value
from switchleg.spelling import nearest_of
from switchleg.tree.conditions import holds
from switchleg.tree.values import check_value, short

UNKNOWN = frozenset({"unknown", "can't tell", "cant tell", "cannot tell", "can't tell from here"})


def untold_in(mapping: Mapping[str, object]) -> frozenset[str]:
    """The facts of an answers file that were looked for and could not be told."""
    return frozenset(n for n, raw in mapping.items() if isinstance(raw, str) and _plain_word(raw) in UNKNOWN)


def _plain_word(raw: str) -> str:
    return raw.strip().casefold().replace("’", "'")


def parse_facts(knowledge: Knowledge, mapping: Mapping[str, object], where: str = "") -> dict[str, Value]:
    """The known facts of an answers file, and what they imply. "unknown" or "can't tell" leaves a fact out.

    Raises SwitchlegError at the first fact whose name or value is not understood; `where` names the file.
    """
    questions = knowledge.tree.questions
    facts: dict[str, Value] = {}
    for name, raw in mapping.items():
        place = f"{where}: {name}" if where else name
        if name not in questions:
            near = nearest_of(name, questions)
            raise SwitchlegError(
                f'no question settles a fact called "{short(name)}"',
                where=where,
                mend=f'did you mean "{near}"?'
                if near
                else "`switchleg check` and decision_tree/questions name the facts",
            )
        if isinstance(raw, str) and _plain_word(raw) in UNKNOWN:
            continue
        facts[name] = check_value(questions[name], raw, knowledge.tables, place)
    for one in knowledge.rules.implied:
        told = any(holds(condition, facts) for condition in one.when_any)
        if told and one.then.fact not in facts and one.then.is_ is not None:
            facts[one.then.fact] = one.then.is_
    return facts
