"""Whether each question, fork and door is whole in itself: its answers suit its kind, its texts are there."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from itertools import pairwise
from typing import TYPE_CHECKING

from switchleg.errors import SwitchlegError
from switchleg.knowledge.problems import Problem
from switchleg.schema.questions import Again, Answer, Door, Fork, Question
from switchleg.spelling import nearest_of
from switchleg.tree.conditions import same
from switchleg.tree.graph import Node, answer_key, node_key
from switchleg.tree.values import MOST, check_value

if TYPE_CHECKING:
    from switchleg.schema.tables import Table

LABEL = 80
"""The longest answer that still reads at a glance on two lines of a phone."""
DOOR_LINE = 240
KEYS = 9
"""Answers are chosen with the keys 1 to 9."""


def check_node(file: str, node: Node, tables: Mapping[str, Table], pictures: Collection[str]) -> list[Problem]:
    """Every problem of one node that can be seen without the rest of the tree."""
    key = node_key(node)
    if isinstance(node, Question):
        found = [*_texts(node), *_answers(node), *_measure(node, tables), *_picture(node, pictures)]
    elif isinstance(node, Door):
        found = [*_door(node), *_picture(node, pictures)]
    elif isinstance(node, Again):
        found = list(_filled("look", node.look))
    else:
        found = list(_fork(node))
    return [Problem(file, f"{key}.{inner}".rstrip("."), message, near) for inner, message, near in found]


Found = Iterator[tuple[str, str, str]]
"""Key below the node, message, nearest spelling."""


def _filled(key: str, text: str, most: int | None = None) -> Found:
    if not text.strip():
        yield key, "is empty", ""
    elif most is not None and len(text) > most:
        yield key, f"is too long: {len(text)} characters, at most {most}", ""


def _texts(question: Question) -> Found:
    for key in ("ask", "why", "look", "settles"):
        yield from _filled(key, getattr(question, key))
    for answer in question.answers:
        yield from _filled(f"answers.{answer_key(answer.value, answer.at_least)}.label", answer.label, LABEL)


def _answers(question: Question) -> Found:
    if not question.answers:
        yield "answers", "has no answer: a dead end", ""
        return
    if len(question.answers) > KEYS:
        yield "answers", f"has {len(question.answers)} answers; there are keys for {KEYS}", ""
    for index, answer in enumerate(question.answers):
        key = f"answers.{answer_key(answer.value, answer.at_least)}"
        given = (answer.value is not None) + (answer.at_least is not None) + answer.typed
        if given != 1:
            yield f"answers.{index + 1}", "needs exactly one of value, at_least and typed", ""
        elif not _suits(question, answer):
            yield key, f"does not suit a {question.kind} question", ""
        if any(_alike(answer, earlier) for earlier in question.answers[:index]):
            yield key, "stands twice", ""
    if question.kind == "yes_no":
        for wanted in (True, False):
            if not any(answer.value is wanted for answer in question.answers):
                yield f"answers.{str(wanted).lower()}", "is missing: a yes/no question needs both answers", ""
    if question.kind == "count":
        yield from _gaps(question)
    if question.kind == "measure" and sum(answer.typed for answer in question.answers) != 1:
        yield "answers", "needs one answer with typed = true: no list holds every measure", ""


def _suits(question: Question, answer: Answer) -> bool:
    if answer.typed:
        return question.kind == "measure"
    if answer.at_least is not None:
        return question.kind == "count" and 0 <= answer.at_least <= MOST
    if question.kind == "count":
        return type(answer.value) is int and 0 <= answer.value <= MOST
    if question.kind == "yes_no":
        return isinstance(answer.value, bool)
    return isinstance(answer.value, str) and bool(answer.value)


def _alike(one: Answer, other: Answer) -> bool:
    if one.value is not None and other.value is not None:
        return same(one.value, other.value)
    return one.value is None and other.value is None and one.typed == other.typed


def _gaps(question: Question) -> Found:
    exact = sorted(a.value for a in question.answers if type(a.value) is int)
    for answer in question.answers:
        if answer.at_least is not None and exact:
            exact += [answer.at_least] if answer.at_least not in exact else []
            if answer.at_least < max(exact):
                yield f"answers.{answer.at_least}+", f"covers {max(exact)}, which has its own answer", ""
    for low, high in pairwise(exact):
        if high > low + 1:
            yield "answers", f"leave out {low + 1}", ""


def _measure(question: Question, tables: Mapping[str, Table]) -> Found:
    if question.kind != "measure":
        for key in ("dimension", "sizes_from"):
            if getattr(question, key):
                yield key, f"means nothing for a {question.kind} question", ""
        return
    if question.dimension is None:
        yield "dimension", "is missing: a measure needs one", ""
        return
    if strange := [name for name in question.sizes_from if name not in tables]:
        yield "sizes_from", f'there is no table called "{strange[0]}"', nearest_of(strange[0], tables)
        return
    for answer in question.answers:
        if isinstance(answer.value, str):
            yield from _canonical(question, answer.value, tables)


def _canonical(question: Question, value: str, tables: Mapping[str, Table]) -> Found:
    try:
        right = check_value(question, value, tables)
    except SwitchlegError as error:
        yield f"answers.{value}.value", error.line(), ""
        return
    if right != value:
        yield f"answers.{value}.value", f'"{value}" is kept as "{right}"; write it so', str(right)


def _picture(node: Question | Door, pictures: Collection[str]) -> Found:
    if node.picture is not None and node.picture not in pictures:
        near = nearest_of(node.picture, pictures)
        yield "picture", f'there is no picture called "{node.picture}"', near


def _door(door: Door) -> Found:
    yield from _filled("ask", door.ask)
    for key in ("cautions", "checks"):
        lines: tuple[str, ...] = getattr(door, key)
        if not lines:
            yield key, "is empty: a gate without it keeps nobody safe", ""
        for index, line in enumerate(lines, 1):
            yield from _filled(f"{key}.{index}", line, DOOR_LINE)


def _fork(fork: Fork) -> Found:
    if not fork.branch:
        yield "branch", "has no branch: lead straight on instead", ""
    for index, branch in enumerate(fork.branch, 1):
        if not branch.when:
            yield f"branch.{index}.when", "is empty, so this branch is always taken", ""
