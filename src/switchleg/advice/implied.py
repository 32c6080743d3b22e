"""Answers that go without saying: whoever tells what hangs on a control has told that something does."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from switchleg.tree.conditions import all_hold
from switchleg.tree.model import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge


def with_implied(knowledge: Knowledge, facts: Mapping[str, Value]) -> dict[str, Value]:
    """The facts, and what rules.toml says that they imply; nothing that was told is changed."""
    found = dict(facts)
    for rule in knowledge.rules.implied:
        if rule.then.is_ is not None and all_hold(rule.when, facts):
            found.setdefault(rule.then.fact, rule.then.is_)
    return found
