"""A class of control from the knowledge, as the judge of a person's own part needs it."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING

from switchleg.errors import SwitchlegError
from switchleg.figures.circuit.part_marks import PartKind

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge


def part_kinds(knowledge: Knowledge) -> tuple[str, ...]:
    """Classes of control that have marks to judge: those with an output for a load."""
    return tuple(c.id for c in knowledge.controls.control if c.channel)


def part_kind(knowledge: Knowledge, name: str) -> PartKind:
    """What the knowledge says of a class of control. SwitchlegError with the nearest name if there is none."""
    wanted = name.strip().lower().replace("-", "_").replace(" ", "_")
    control = next((c for c in knowledge.controls.control if c.id == wanted and c.channel), None)
    if control is None:
        kinds = part_kinds(knowledge)
        near = difflib.get_close_matches(wanted, kinds, n=1)
        raise SwitchlegError(
            f"{name!r} is no kind of part that is judged here",
            where="--kind",
            expected="one of " + ", ".join(kinds),
            mend=f"did you mean {near[0]}?" if near else "",
        )
    fed = {load for channel in control.channel for load in channel.feeds}
    return PartKind(
        id=control.id,
        title=control.title,
        place=control.place,
        loose=control.loose,
        feeds_fan=bool(fed & {"ac_motor", "receiver", "driver"}),
        feeds_light="lamp" in fed,
        shapes_fan=any(c.does != "contact" and "ac_motor" in c.feeds for c in control.channel),
        dims=any(c.does == "phase_cut" for c in control.channel),
        needs_neutral=bool(control.supply and "neutral" in control.supply),
        lives_on_load=control.lives_on_load,
        plain_switch=control.supply is None and not control.lives_on_load,
        one_output=len(control.channel) == 1,
    )
