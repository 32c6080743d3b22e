"""A fan over one switch, as the tests of the card and of the walk tell it, and the walk through the real tree."""

from __future__ import annotations

from collections.abc import Mapping

from switchleg.schema.questions import Value
from switchleg.session.session import Session
from switchleg.session.views.model import CardView, DoorView

ONE_SWITCH: dict[str, Value] = {
    "region": "us",
    "fan_installed": True,
    "want_wall_control": "must",
    "may_open_canopy": True,
    "may_pull_cable": False,
    "may_replace_fan": False,
    "wall_boxes": 1,
    "wall_controls": 1,
    "wall_gangs": 1,
    "control_1_does": "both",
    "control_1_kind": "on_off",
    "acts_on_other_loads": False,
    "only_room_light": False,
}
"""One switch for fan and light in one box; whose fan it is and what is behind the plate is not told."""

FROM_THE_FLOOR: dict[str, Value] = {
    **ONE_SWITCH,
    "light_kit": "lamps",
    "handheld_remote": False,
    "want_speed_from_app": "nice",
    "want_light_apart": "nice",
}
"""The same with lamps and no remote: what is known before wall and canopy are opened."""

CHOICES: dict[str, Value] = {
    **FROM_THE_FLOOR,
    "want_light_dimming": "no",
    "want_keep_wall_look": "no",
    "breaker": "15 A",
    "place_rating_needed": "dry",
    "motor_label": "unmarked",
    "pull_chain_light": False,
}
"""All that is asked in the room, answered or chosen."""

SOUND: dict[str, Value] = {
    "damage_seen": False,
    "wire_metal": "copper",
    "wire_age": "plastic",
    "circuits_in_box": 1,
    "wire_size": "14 AWG",
    "wall_ground": True,
    "wall_box_volume": "22.5 in3",
    "ceiling_damage_seen": False,
    "ceiling_wire": "sound",
    "receiver": False,
    "capacitor_in": "fan",
    "ceiling_cables": 1,
    "ceiling_ground": True,
    "fan_box_marked": True,
}
"""What is seen behind plate and canopy when nothing there is amiss."""


def go(one: Session, knows: Mapping[str, Value], *, until: str = "") -> list[str]:
    """Answer up to the card, or to the gate `until`; every other gate is opened. The facts that were asked."""
    asked: list[str] = []
    while not isinstance(view := one.view, CardView):
        if isinstance(view, DoorView):
            if view.opens == until:
                break
            one.open_door([True] * len(view.checks))
            continue
        asked.append(view.fact)
        if view.fact in knows:
            one.answer(knows[view.fact])
        else:
            one.cant_tell()
    return asked
