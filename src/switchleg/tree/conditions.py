"""Whether a condition holds on what is known so far: yes, no, or it depends on something unknown."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from switchleg.schema.questions import Condition, Value, tests_of


def same(left: Value, right: Value) -> bool:
    """Equal in kind too: `True` is not the number 1."""
    return type(left) is type(right) and left == right


def values_named(condition: Condition) -> tuple[Value, ...]:
    """The values that a condition compares with, bounds not counted."""
    single = tuple(value for value in (condition.is_, condition.is_not) if value is not None)
    return single + (condition.any_of or ())


def holds(condition: Condition, facts: Mapping[str, Value]) -> bool | None:
    """True or False on a known fact; None when the fact is unknown and the test needs its value.

    Several tests in one condition must all hold. A bound on anything but a number does not hold.
    """
    value = facts.get(condition.fact)
    if condition.known is not None:
        if (value is not None) != condition.known:
            return False
        if len(tests_of(condition)) == 1:
            return True
    if value is None:
        return None
    if condition.is_ is not None and not same(value, condition.is_):
        return False
    if condition.is_not is not None and same(value, condition.is_not):
        return False
    if condition.any_of is not None and not any(same(value, other) for other in condition.any_of):
        return False
    if condition.at_least is None and condition.at_most is None:
        return True
    if type(value) is not int:
        return False
    return (condition.at_least is None or value >= condition.at_least) and (
        condition.at_most is None or value <= condition.at_most
    )


def all_hold(conditions: Iterable[Condition], facts: Mapping[str, Value]) -> bool | None:
    """False when one fails, else None when one depends on an unknown fact, else True."""
    verdicts = [holds(condition, facts) for condition in conditions]
    if False in verdicts:
        return False
    return None if None in verdicts else True
