"""Answers that nothing uses: asking somebody to tell two things apart that are then treated alike."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from switchleg.checking.paths import OTHER, fork_conditions
from switchleg.schema.questions import Answer, Condition, Question
from switchleg.tree.conditions import holds
from switchleg.tree.graph import Tree, answer_key


def alike_answers(question: Question, conditions: Iterable[Condition]) -> list[tuple[str, ...]]:
    """Groups of two or more answers (by key) that lead the same way and that no condition tells apart.

    A measure's quick picks only save typing: its answers form a group only when nothing reads the fact.
    """
    on_fact = [condition for condition in conditions if condition.fact == question.fact]
    if question.kind == "measure" and on_fact:
        return []
    groups: dict[tuple[object, ...], list[str]] = {}
    for answer in question.answers:
        value = _typical(answer)
        tests = tuple(holds(condition, {question.fact: value}) is True for condition in on_fact)
        groups.setdefault((answer.leads_to, *tests), []).append(answer_key(answer.value, answer.at_least))
    if question.kind == "measure":
        everything = {answer.leads_to for answer in question.answers} | {question.cant_tell}
        return [tuple(key for keys in groups.values() for key in keys)] if len(everything) == 1 else []
    return [tuple(dict.fromkeys(keys)) for keys in groups.values() if len(set(keys)) > 1]


def _typical(answer: Answer) -> bool | int | str:
    if answer.value is not None:
        return answer.value
    return OTHER if answer.at_least is None else answer.at_least


def unused_answers(tree: Tree, elsewhere: Iterable[Condition], read: Collection[str]) -> list[tuple[str, str, str]]:
    """(fact, key below the question, message) for each answer alike to another one.

    `elsewhere` are conditions outside the tree; facts in `read` are looked up by name and so always used.
    """
    conditions = [*fork_conditions(tree.nodes.values()), *elsewhere]
    found: list[tuple[str, str, str]] = []
    for fact, question in tree.questions.items():
        if fact in read:
            continue
        for keys in alike_answers(question, conditions):
            if len(keys) == len(question.answers) or question.kind == "measure":
                found.append((fact, "", "nothing uses its answers: no branch, rule, clue or sum reads them"))
            else:
                told = f'nothing tells it from "{keys[0]}": no branch, rule, clue or sum uses the difference'
                found += [(fact, f"answers.{key}", told) for key in keys[1:]]
    return found
