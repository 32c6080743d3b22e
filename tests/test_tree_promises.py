"""Promises about who is asked what: walked over the real tree with somebody who can tell nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime

import pytest

from switchleg.knowledge.load import load
from switchleg.schema.questions import CARD, Again, Door, Reply, Value
from switchleg.tree.walk import walk

NOW = datetime(2026, 1, 1, tzinfo=UTC)


def asked(knows: Mapping[str, Value]) -> list[str]:
    """Facts asked on the way to the card, every door opened, everything else "can't tell"."""
    tree = load().tree
    replies: dict[str, Reply] = {}
    while (at := walk(tree, replies).at) != CARD:
        node, station = tree.nodes[at], tree.station_of[at]
        if isinstance(node, Door):
            replies[at] = Reply(kind="open", at=NOW, station=station)
        elif node.fact in knows and not isinstance(node, Again):
            replies[at] = Reply(kind="value", value=knows[node.fact], at=NOW, station=station)
        else:
            replies[at] = Reply(kind="cant_tell", at=NOW, station=station)
    nodes = (tree.nodes[step.node_id] for step in walk(tree, replies).steps)
    return [node.fact for node in nodes if not isinstance(node, Door) and hasattr(node, "fact")]


NOBODY = [
    ({"wall_boxes": 0}, {"wall_gangs", "wall_controls", "control_1_does", "wall_cables", "neutral_bundle"}),
    ({"motor_label": "dc"}, {"pull_chain_fan", "reverse_slide", "start_behaviour", "capacitor_in"}),
    ({"light_kit": "none"}, {"only_room_light", "pull_chain_light", "want_light_dimming", "receiver_light_lead"}),
    ({"handheld_remote": False}, {"remote_speeds", "remote_reverses", "remote_kind"}),
    ({"wall_controls": 1}, {"control_2_does", "control_2_kind"}),
    ({"fan_installed": False}, {"motor_label", "receiver", "pull_chain_fan", "handheld_remote", "fan_watts_high"}),
    ({"receiver": False}, {"receiver_motor_leads", "receiver_motor_plug", "receiver_label", "receiver_light_lead"}),
    ({"able_to_test_live": False}, {"hot_at_wall_always", "neutral_reading", "hot_at_ceiling_switch_off"}),
    ({"wire_metal": "aluminum"}, {"run_conductors", "neutral_bundle", "receiver", "ceiling_cables"}),
    ({"light_kit": "none"}, {"lamp_kind", "light_watts"}),
    ({"light_kit": "led_built_in"}, {"lamp_kind"}),
    ({"place_rating_needed": "dry"}, {"bath_near", "bath_across", "bath_up"}),
    ({"region": "uk"}, {"wall_box_volume", "wall_box_clamps", "ceiling_box_volume", "bath_near"}),
    ({"region": "us"}, {"wall_box_depth"}),
    ({"region": "ca"}, {"wall_box_depth", "wall_box_clamps", "bath_near"}),
    ({"damage_seen": True}, {"wire_metal", "run_conductors", "receiver"}),
]


@pytest.mark.parametrize(("knows", "never"), NOBODY, ids=lambda value: "+".join(sorted(map(str, value))))
def test_nobody_is_asked_what_cannot_matter(knows: dict[str, Value], never: set[str]) -> None:
    """Whoever has given this answer is never asked these questions, before or after."""
    told = asked(knows)
    assert set(knows) <= set(told)
    assert not never & set(told)


def test_damage_at_the_ceiling_is_always_looked_for() -> None:
    """That the wall could not be judged is not mended by a sound ceiling: each is asked for itself."""
    told = asked({})
    assert told.count("damage_seen") == 1
    assert "ceiling_damage_seen" in told
