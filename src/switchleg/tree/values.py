"""Values from outside, a keyboard or a file, turned into what the tree understands; and back into words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from switchleg.errors import SwitchlegError
from switchleg.schema.questions import Answer, Question, Value
from switchleg.spelling import nearest_of
from switchleg.tree.conditions import same

if TYPE_CHECKING:
    from switchleg.schema.tables import Table

MOST = 99
"""Nobody counts more wires or boxes than this; a larger number is a slip of the finger."""

YES = frozenset({"yes", "y", "true"})
NO = frozenset({"no", "n", "false"})
WORDS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def parse_typed(question: Question, text: str, tables: Mapping[str, Table], where: str = "") -> Value:
    """The value that somebody typed: "y", "Yes", "3", "two", "1.2a", "18 cu in", a choice or its label.

    Raises SwitchlegError, which says what is understood here.
    """
    typed = " ".join(text.split())
    plain = _plain(typed)
    if not plain:
        raise _refusal("nothing was typed", question, where)
    for answer in question.answers:
        if answer.value is not None and plain in (_plain(answer.label), _plain(str(answer.value))):
            return check_value(question, answer.value, tables, where)
    if question.kind == "yes_no":
        if plain in YES or plain in NO:
            return check_value(question, plain in YES, tables, where)
        raise _refusal(f'"{short(typed)}" is neither yes nor no', question, where)
    if question.kind == "count":
        return check_value(question, _whole(question, typed, where), tables, where)
    return check_value(question, typed, tables, where)


def check_value(question: Question, raw: object, tables: Mapping[str, Table], where: str = "") -> Value:
    """The value that a file gave, as TOML or JSON read it; measures come back in canonical words.

    Raises SwitchlegError when the kind is wrong or no answer of the question covers the value.
    """
    if question.kind == "measure":
        return _measure(question, raw, tables, where)
    if question.kind == "count":
        number = _counted(question, raw, where)
        if any(_covers(answer, number) for answer in question.answers):
            return number
        raise _refusal(f"{number} is not among the answers", question, where)
    if question.kind == "yes_no":
        if isinstance(raw, bool) and any(_covers(answer, raw) for answer in question.answers):
            return raw
        mend = "write true or false without quotes" if isinstance(raw, str) else ""
        raise _refusal(f"{_shown(raw)} is not true or false", question, where, mend)
    if isinstance(raw, str) and any(_covers(answer, raw) for answer in question.answers):
        return raw
    near = nearest_of(raw, [answer.value for answer in question.answers])
    mend = f'did you mean "{near}"?' if near else ""
    raise _refusal(f"{_shown(raw)} is not among the answers", question, where, mend)


def suits(question: Question, value: Value, tables: Mapping[str, Table]) -> bool:
    """Whether `value`, as it stands, is a value of this question."""
    try:
        return same(check_value(question, value, tables), value)
    except SwitchlegError:
        return False


def answer_for(question: Question, value: Value) -> Answer | None:
    """The answer that covers a value, the exact one before an open-ended or typed one; None: none does."""
    exact = next((a for a in question.answers if a.value is not None and same(a.value, value)), None)
    if exact is not None:
        return exact
    return next((answer for answer in question.answers if _covers(answer, value)), None)


def _covers(answer: Answer, value: Value) -> bool:
    if answer.value is not None:
        return same(answer.value, value)
    if answer.at_least is not None:
        return type(value) is int and answer.at_least <= value <= MOST
    return answer.typed and isinstance(value, str) and bool(value)


def show(question: Question, value: Value) -> str:
    """A value in words: the label of its own answer, else the number or the measure itself."""
    answer = answer_for(question, value)
    if answer is not None and answer.value is not None:
        return answer.label
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def understood(question: Question) -> str:
    """What can be said here, in a few words: for errors and hints."""
    if question.kind == "yes_no":
        return "yes or no"
    if question.kind == "measure":
        from switchleg.units.reading import UNITS

        units = ", ".join(UNITS[question.dimension]) if question.dimension else ""
        return f"an amount with its unit ({units})"
    given = [answer for answer in question.answers if answer.value is not None]
    if question.kind == "count":
        exact = [str(answer.value) for answer in given]
        more = [f"{a.at_least} or more" for a in question.answers if a.at_least is not None]
        return "one of " + ", ".join(exact + more)
    return "one of " + ", ".join(str(answer.value) for answer in given)


def _whole(question: Question, typed: str, where: str) -> int:
    if typed.casefold() in WORDS:
        return WORDS.index(typed.casefold())
    if re.fullmatch(r"[0-9]+", typed):
        return int(typed) if len(typed) < 9 else MOST + 1
    if re.fullmatch(r"[-−–][0-9.,]+", typed):
        raise _refusal(f"{short(typed)} is below zero", question, where)
    raise _refusal(f'"{short(typed)}" is not a whole number', question, where)


def _counted(question: Question, raw: object, where: str) -> int:
    if isinstance(raw, bool) or not isinstance(raw, int):
        quoted = isinstance(raw, str) and raw.strip().isdecimal()
        mend = "write it without quotes" if quoted else ""
        raise _refusal(f"{_shown(raw)} is not a whole number", question, where, mend)
    if raw < 0:
        raise _refusal(f"{raw} is below zero", question, where)
    if raw > MOST:
        raise _refusal(f"a number above {MOST} cannot be meant", question, where)
    return raw


def _measure(question: Question, raw: object, tables: Mapping[str, Table], where: str) -> str:
    """Canonical text: a trade size of the question's table as the table writes it, else amount and unit."""
    from switchleg.units.reading import parse_measure

    if question.dimension is None:
        raise _refusal(f'"{question.fact}" has no dimension', question, where)
    if isinstance(raw, bool) or not isinstance(raw, str | int | float):
        raise _refusal(f"{_shown(raw)} is not an amount with its unit", question, where)
    zero = offers_zero(question)
    if not isinstance(raw, str):
        return str(parse_measure(str(raw), question.dimension, where, zero=zero))
    sizes = [tables[name] for name in question.sizes_from if name in tables]
    row = next((row for table in sizes if (row := table.find(raw)) is not None), None)
    if row is not None:
        return row.name
    try:
        return str(parse_measure(raw, question.dimension, where, zero=zero))
    except SwitchlegError as error:
        near = nearest_of(raw, [name for table in sizes for name in table.names]) if sizes else ""
        if not near:
            raise
        hint = f'did you mean "{near}"?'
        raise SwitchlegError(error.what, where=where, expected=error.expected, mend=hint) from None


def offers_zero(question: Question) -> bool:
    """Whether nothing at all is an amount here ("0 deg" for level): only where an answer says so."""
    return any(isinstance(answer.value, str) and answer.value.startswith("0 ") for answer in question.answers)


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("_", " ").replace("’", "'").rstrip(".").split())


def short(text: str) -> str:
    clean = "".join(sign if sign.isprintable() else "?" for sign in text)
    return clean if len(clean) <= 40 else clean[:37] + "..."


def _shown(raw: object) -> str:
    if isinstance(raw, str):
        return f'"{short(raw)}"'
    return str(raw).lower() if isinstance(raw, bool) else short(str(raw))


def _refusal(what: str, question: Question, where: str, mend: str = "") -> SwitchlegError:
    return SwitchlegError(what, where=where, expected=understood(question), mend=mend)
