"""How clues weigh: which are seen, how likely all that is seen is under each kind, which kinds it excludes. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import log

from switchleg.schema.clues import Clue
from switchleg.schema.questions import Value
from switchleg.tree.conditions import holds


def matches(clue: Clue, facts: Mapping[str, Value], numbers: Mapping[str, float]) -> bool:
    """Whether a clue is seen. `numbers` are derived figures (watts, airflow per watt, power factor)."""
    if clue.above is not None or clue.below is not None:
        number = numbers.get(clue.fact)
        if number is None:
            return False
        return (clue.above is None or number >= clue.above) and (clue.below is None or number <= clue.below)
    value = facts.get(clue.fact)
    if value is None:
        return False
    if clue.at_least is not None:
        return isinstance(value, int) and not isinstance(value, bool) and value >= clue.at_least
    return value == clue.value and isinstance(value, bool) == isinstance(clue.value, bool)


def weights(
    clues: Iterable[Clue],
    kinds: Iterable[str],
    facts: Mapping[str, Value],
    numbers: Mapping[str, float],
    *,
    receiver: bool = False,
) -> dict[str, float]:
    """The likelihood of all that is seen, by kind: hard zeros always count, else each family's strongest clue.

    `receiver`: the likelihood in fans that electronics drive, where it is another.
    """
    kinds = tuple(kinds)
    seen = [clue for clue in clues if matches(clue, facts, numbers)]
    excluded = {k for c in seen if is_hard(c, facts) for k in kinds if c.p[k] == 0}
    total = {k: 0.0 if k in excluded else 1.0 for k in kinds}
    families: dict[str, list[dict[str, float]]] = {}
    for clue in seen:
        families.setdefault(clue.family, []).append(clue.shares(receiver=receiver))
    for family in families.values():
        strongest = max(family, key=_strength)
        total = {k: p * max(strongest[k], 1e-4) for k, p in total.items()}
    return total


def _strength(by_kind: Mapping[str, float]) -> float:
    shares = [max(p, 1e-4) for p in by_kind.values()]
    return log(max(shares) / min(shares))


def excluding(clues: Iterable[Clue], kind: str, facts: Mapping[str, Value]) -> frozenset[str]:
    """The facts whose hard clues rule this kind out."""
    return frozenset(c.fact for c in clues if c.p[kind] == 0 and is_hard(c, facts) and matches(c, facts, {}))


def is_hard(clue: Clue, facts: Mapping[str, Value]) -> bool:
    """Whether a clue excludes on these facts."""
    return clue.hard and not any(holds(condition, facts) for condition in clue.unless)
