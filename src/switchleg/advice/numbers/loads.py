"""Breaker, wire, loads and the marks that the chosen parts must bear, as calculations. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, get_args

from switchleg.advice.numbers.part_kinds import part_kind, part_kinds
from switchleg.advice.numbers.safety import measure
from switchleg.figures.circuit.part_marks import Duty, Lamp, Marks, Motor, judge_part
from switchleg.figures.circuit.ratings import ratings
from switchleg.figures.sheet import GUESSED, Sheet, distinct, fit_sheet, shown_given
from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from switchleg.advice.model import SchemeVerdict
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region

LIMITED = (
    "if the kit's sockets are neither medium screw nor pin, its limiter makes them blink or go out; "
    "else its own mark decides"
)
MARKS = ("fan", "several fans", "light", "least load", "temperature")
"""Aspects of a part for which a mark is to be looked for in the shop."""


def duty_of(facts: Mapping[str, Value], region: Region | None, motor: str | None) -> Duty:
    """The loads of this fan as far as the answers tell. `motor`: the settled kind, if any."""
    return Duty(
        region=region,
        motor=motor if motor in get_args(Motor) else None,  # type: ignore[arg-type]
        fan_amps=measure(facts, "fan_amps", "current"),
        fan_watts=measure(facts, "fan_watts_high", "power"),
        light_watts=measure(facts, "light_watts", "power"),
        lamp=lamp_of(facts),
    )


def lamp_of(facts: Mapping[str, Value]) -> Lamp | None:
    """The kind of lamp that marks tell apart; None for others and unknown ones."""
    if facts.get("light_kit") == "led_built_in":
        return "led"
    kind = facts.get("lamp_kind")
    return "led" if kind == "led" else "tungsten" if kind == "tungsten" else None


def load_sheets(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    region: Region,
    chosen: SchemeVerdict | None,
    motor: str | None,
) -> Iterator[Sheet]:
    """Breaker and wire, the whole circuit, inrush, light; then the marks for each part that is bought."""
    duty = duty_of(facts, region, motor)
    metal = facts.get("wire_metal")
    wire, breaker = measure(facts, "wire_size", "wire"), measure(facts, "breaker", "current")
    light, other = duty.light_watts, measure(facts, "other_load_amps", "current")
    judged = ratings(
        region,
        knowledge.tables,
        wire=wire,
        metal=str(metal) if metal else None,
        breaker=breaker,
        fan=duty.fan_amps,
        fan_watts=duty.fan_watts,
        motor=duty.motor,
        light=light,
        lamp=duty.lamp,
        limited=facts.get("light_kit") == "lamps",
        other=other,
    )
    fan = ("fan", duty.fan_amps or duty.fan_watts)
    about = {
        "breaker and wire": [("wire", wire), ("breaker", breaker)],
        "whole circuit": [("breaker", breaker), fan, ("lamps", light), ("other load", other)],
        "light kit": [("lamps", light)],
    }
    for one in judged:
        fit, given = one.fit, shown_given(about.get(one.aspect, ()))
        if one.aspect == "light kit" and fit.fits is False:
            fit = replace(fit, fits=None, text=f"{fit.text.split(':')[0]}: {LIMITED}.")
        yield fit_sheet(one.aspect.replace(", ", "-").replace(" ", "-"), one.aspect.capitalize(), fit, given)
    if chosen is not None:
        for name in dict.fromkeys(chosen.parts):
            beside = other if name in chosen.beside_other else None
            told = knowledge.wiring.hangs(facts.get("other_load_kind"))
            besides = f" It also bears {beside} of {told.says}." if told and beside else ""
            yield from _marks(knowledge, name, duty, besides)


def _marks(knowledge: Knowledge, name: str, duty: Duty, besides: str) -> Iterator[Sheet]:
    """What must stand on a part of this class; its lines are what to look for. `besides`: what else it has to bear."""
    if name not in part_kinds(knowledge):
        return
    kind = part_kind(knowledge, name)
    bought = next(c for c in knowledge.controls.control if c.id == name).specification
    if not bought:
        return
    if not kind.feeds_light:
        duty = replace(duty, light_watts=None)
    judged = judge_part(kind, Marks(), duty, knowledge.tables)
    told = [one for one in judged if one.aspect in MARKS and one.fit.fits is None and not one.note]
    if not told:
        return
    yield Sheet(
        f"marks-{kind.id.replace('_', '-')}",
        f"Marks on the {kind.title}",
        lines=(),
        verdict=f"Marks on the {kind.title}: " + " ".join(one.fit.text for one in told) + besides,
        editions=distinct(one.fit.rule for one in told),
        sources=distinct(source for one in told for source in one.fit.sources),
        doubts=(GUESSED,) if any(one.fit.doubtful for one in told) else (),
    )
