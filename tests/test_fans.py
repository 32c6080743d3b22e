"""How what is seen of a fan is weighed: held against plain sums over the shares of the knowledge."""

from __future__ import annotations

import pytest

from switchleg.diagnosis.fans import possible_fans
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value


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


def test_where_the_capacitor_sits_and_how_the_motor_is_wired_may_go_together_in_every_built_manner() -> None:
    """A plug, tapped windings with their capacitor in the fan, a stepping receiver on two wires: none disagrees, and
    where nobody saw two wires the capacitor alone settles no motor behind a plug."""
    behind: dict[str, Value] = {"receiver": True, "handheld_remote": True, "pull_chain_fan": False}
    built: tuple[tuple[dict[str, Value], str | None], ...] = (
        ({"capacitor_in": "receiver", "receiver_motor_plug": True}, "ac_tapped"),
        ({"capacitor_in": "receiver", "receiver_motor_leads": 0}, "ac_tapped"),
        ({"capacitor_in": "fan", "receiver_motor_leads": 3, "motor_leads_alike": False}, "ac_tapped"),
        ({"capacitor_in": "fan", "receiver_motor_leads": 0, "receiver_label": "ac_out"}, None),
        ({"capacitor_in": "receiver", "receiver_motor_leads": 2}, "ac"),
        ({"capacitor_in": "receiver"}, "ac_tapped"),
        ({"capacitor_in": "fan"}, "ac"),
        ({"receiver_motor_plug": True}, "dc"),
        ({"capacitor_in": "fan", "receiver_motor_leads": 3, "motor_leads_alike": True}, None),
    )
    for looks, motor in built:
        assert possible_fans(load().clues, {**behind, **looks}, {}).settled == motor, looks
