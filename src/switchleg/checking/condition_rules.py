"""Whether a condition can ever be met: its fact is asked, and its values are among the answers."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from switchleg.errors import SwitchlegError
from switchleg.knowledge.problems import Problem
from switchleg.schema.questions import Condition, Question, Value, tests_of
from switchleg.spelling import nearest_of
from switchleg.tree.conditions import same, values_named
from switchleg.tree.values import MOST, check_value

if TYPE_CHECKING:
    from switchleg.schema.tables import Table


def check_condition(
    file: str,
    key: str,
    condition: Condition,
    questions: Mapping[str, Question],
    tables: Mapping[str, Table],
    lost: frozenset[str] = frozenset(),
) -> list[Problem]:
    """Problems of one condition; `lost` are names that could not be read and are not complained of."""
    question = questions.get(condition.fact)
    if question is None:
        return [] if condition.fact in lost else [unknown_fact(file, key, condition.fact, questions)]
    problems: list[Problem] = []
    tests = tests_of(condition)
    if not tests:
        tested = "is, is_not, any_of, at_least, at_most or known"
        problems.append(Problem(file, key, f"tests nothing; expected one of {tested}"))
    elif len(tests) > 1 and set(tests) != {"at_least", "at_most"}:
        several = f"has several tests ({', '.join(tests)}); write a condition for each"
        problems.append(Problem(file, key, several))
    if condition.any_of is not None and not condition.any_of:
        problems.append(Problem(file, f"{key}.any_of", "is empty, so it is never met"))
    for value in values_named(condition):
        problems += impossible_value(file, key, question, value, tables)
    for name, bound in (("at_least", condition.at_least), ("at_most", condition.at_most)):
        if bound is None:
            continue
        if question.kind != "count":
            problems.append(Problem(file, f"{key}.{name}", f'"{question.fact}" is no number to be bounded'))
        elif not _bound_parts(question, name, bound):
            problems.append(Problem(file, f"{key}.{name}", f"{bound} tells no answers of it apart"))
    low, high = condition.at_least, condition.at_most
    if low is not None and high is not None and low > high:
        problems.append(Problem(file, key, f"no number is at least {low} and at most {high}"))
    return problems


def unknown_fact(file: str, key: str, fact: str, questions: Collection[str]) -> Problem:
    """A name that no question settles."""
    near = nearest_of(fact, questions)
    return Problem(file, f"{key}.fact", f'no question settles a fact called "{fact}"', near)


def impossible_value(
    file: str, key: str, question: Question, value: Value, tables: Mapping[str, Table]
) -> list[Problem]:
    """A value that can never be a fact's, or a measure that is not written the canonical way."""
    shown = f'"{value}"' if isinstance(value, str) else str(value).lower()
    try:
        right = check_value(question, value, tables)
    except SwitchlegError as error:
        choices = [a.value for a in question.answers if isinstance(a.value, str)]
        near = nearest_of(value, choices) if isinstance(value, str) else ""
        message = f'{shown} is no value of "{question.fact}"; expected {error.expected}'
        return [Problem(file, key, message, near)]
    if not same(right, value):
        message = f'{shown} is never met: "{question.fact}" is kept as "{right}"'
        return [Problem(file, key, message, str(right))]
    return []


def _bound_parts(question: Question, test: str, bound: int) -> bool:
    """Whether a bound is met by some possible number and not by all."""
    exact = [a.value for a in question.answers if type(a.value) is int]
    numbers = exact + [n for a in question.answers if a.at_least is not None for n in (a.at_least, MOST)]
    if not numbers:
        return True
    low, high = min(numbers), max(numbers)
    return low < bound <= high if test == "at_least" else low <= bound < high
