"""How what is seen of a fan is weighed: held against plain sums over the shares of the knowledge."""

from __future__ import annotations

import pytest

from switchleg.diagnosis.fans import possible_fans
from switchleg.knowledge.load import load
from switchleg.tree.model import Value


def electronics_with_ac(facts: dict[str, Value]) -> float:
    """Odds of electronics on an AC motor whose speeds they do not hold."""
    shares = possible_fans(load().clues, facts, {}).shares
    without = sum(p for fan, p in shares.items() if fan.motor == "ac" and not fan.receiver)
    return sum(p for fan, p in shares.items() if fan.motor == "ac" and fan.receiver) / without


def test_a_chain_is_weighed_for_motor_and_electronics_together() -> None:
    """That there is no chain speaks for electronics on an AC motor, by just the shares of the knowledge."""
    data = load().clues
    chain = next(c for c in data.motor if c.fact == "pull_chain_fan" and c.value is False)
    before, after = electronics_with_ac({}), electronics_with_ac({"pull_chain_fan": False})
    assert before == pytest.approx(data.prior.receiver_with_ac / (1 - data.prior.receiver_with_ac))
    assert after / before == pytest.approx(chain.shares(receiver=True)["ac"] / chain.shares(receiver=False)["ac"])
    assert after > 2 * before
