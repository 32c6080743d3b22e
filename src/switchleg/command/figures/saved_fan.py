"""What a saved fan brings to the judgement of a person's own part: its loads, its place, the room there is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from switchleg.errors import SwitchlegError

if TYPE_CHECKING:
    from switchleg.figures.circuit.part_marks import Duty, Judged, Marks
    from switchleg.knowledge.load import Knowledge
    from switchleg.session.session import Session
    from switchleg.units.reading import Measure


def fan_named(name: str) -> Session:
    """The session of a saved fan, to read only. SwitchlegError for an unknown name or an unknown region."""
    from switchleg.command.saved.records import session_of
    from switchleg.record.store import Store

    with Store.default().open(name, write=False) as opened:
        session = session_of(opened)
    if "region" not in session.facts:
        raise SwitchlegError(
            "its region has not been answered yet", where=opened.record.name, mend="answer it, or give --region"
        )
    return session


def duty_of_fan(session: Session, knowledge: Knowledge, typed: Duty) -> Duty:
    """What was typed, and for the rest what the fan's answers tell."""
    from switchleg.advice.numbers.loads import duty_of
    from switchleg.advice.numbers.safety import measure

    facts = session.facts
    region = typed.region or knowledge.regions[str(facts["region"])]
    known = duty_of(facts, region, session.advice().motor_settled)
    neutral, place = facts.get("neutral_reading"), facts.get("place_rating_needed")
    known = replace(
        known,
        neutral_at_wall=neutral if isinstance(neutral, bool) else None,
        place=str(place) if place else None,
        box_depth=measure(facts, "wall_box_depth", "length"),
        box_space=_left_in_box(session, knowledge),
        canopy_space=measure(facts, "canopy_space", "space"),
    )
    told = {name: value for name, value in vars(typed).items() if value is not None and name != "fans"}
    return replace(known, fans=typed.fans, **told)


def _left_in_box(session: Session, knowledge: Knowledge) -> Measure | None:
    """The volume that the wall box has to spare today; None when it is not known or none is left."""
    from switchleg.advice.numbers.safety import wall_fill
    from switchleg.units.reading import Measure

    fill = wall_fill(session.facts, knowledge.regions.get(str(session.facts["region"])), knowledge.tables).fill
    if fill is None or fill.available is None or fill.available <= fill.required:
        return None
    return Measure(fill.available - fill.required, fill.unit, "volume")


def in_the_box(session: Session, knowledge: Knowledge, marks: Marks) -> Judged | None:
    """In Canada the depth of a device enters the volume sum: that sum with this one in every gang."""
    from switchleg.figures.boxes.wall_box import wall_box_fill
    from switchleg.figures.circuit.part_marks import Judged
    from switchleg.figures.fit import Fit
    from switchleg.units.display import both_ways
    from switchleg.units.reading import Measure

    region = knowledge.regions.get(str(session.facts["region"]))
    if marks.depth is None or region is None or region.box_rule != "ca":
        return None
    fill = wall_box_fill(session.facts, region, knowledge.tables, device_depth=marks.depth).fill
    if fill is None or fill.available is None:
        return None
    needed, have = (both_ways(Measure(amount, fill.unit, "volume")) for amount in (fill.required, fill.available))
    text = f"With devices {both_ways(marks.depth)} deep: {needed} needed, {have} in the box."
    return Judged("box sum", Fit(fill.fits, text, fill.edition, fill.sources, doubtful=fill.doubtful))
