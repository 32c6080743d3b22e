"""Choosing a fan: the motor that the scheme needs and why, size, rod, efficiency, cost, standby, what to ask."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from switchleg.advice.numbers.sheets import Said, brief, under
from switchleg.figures.fan.energy import kwh_per_year, label_hours, label_price, least_efficiency, yearly_cost
from switchleg.figures.fan.placing import rod_for_ceiling, span_for_room, span_range
from switchleg.figures.fit import Fit
from switchleg.figures.sheet import Sheet, distinct, fit_sheet, shown_given
from switchleg.schema.questions import Value
from switchleg.schema.tables import tables_for
from switchleg.units.display import rounded
from switchleg.units.reading import Measure, parse_measure, show_number

if TYPE_CHECKING:
    from switchleg.advice.model import SchemeVerdict
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.parts import Control

REPLACES = "replace_fan_ac"


def choosing_lines(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict | None) -> Iterator[Said]:
    """Lines for somebody who buys a fan: only where none hangs yet, or this one may go."""
    if not is_choosing(facts, chosen):
        return
    controls = _controls(knowledge, chosen)
    kind = motor_needed(controls, facts, chosen)
    yield Said(kind[1])
    for sheet in choosing_sheets(knowledge, facts):
        yield Said(sheet.verdict, "text", under(sheet, knowledge.sources, _region(facts)), brief(sheet))
    yield Said("Ask the seller:")
    for ask, why in seller_questions(knowledge, facts, controls, kind[0]):
        yield Said(f"{ask} {why}", "item")


def choosing_sheets(knowledge: Knowledge, facts: Mapping[str, Value]) -> Iterator[Sheet]:
    """Size, law, rod and the year of a fan to be bought, each with its sum, its edition and its sources."""
    region = knowledge.regions.get(_region(facts))
    for sheet in (*_size(knowledge, facts), _cost(knowledge, facts)):
        yield replace(sheet, sources=region.local(sheet.sources)) if region else sheet


def _region(facts: Mapping[str, Value]) -> str:
    return str(facts.get("region", ""))


def is_choosing(facts: Mapping[str, Value], chosen: SchemeVerdict | None) -> bool:
    """No fan hangs yet, this one goes, or it may go while nothing is settled."""
    if facts.get("fan_installed") is False:
        return True
    if chosen is None:
        return facts.get("may_replace_fan") is True
    return REPLACES in chosen.preparations or "radio_fan" in chosen.parts


def _controls(knowledge: Knowledge, chosen: SchemeVerdict | None) -> tuple[Control, ...]:
    named = set(chosen.parts) if chosen else set()
    return tuple(c for c in knowledge.controls.control if c.id in named)


def motor_needed(
    controls: tuple[Control, ...], facts: Mapping[str, Value], chosen: SchemeVerdict | None
) -> tuple[str, str]:
    """The kind of fan (ac, radio, remote, any, open) and a sentence with the reason."""
    names = {c.id for c in controls}
    shapes = any(ch.does == "speed" and "ac_motor" in ch.feeds for c in controls for ch in c.channel)
    if "radio_fan" in names:
        return (
            "radio",
            "A fan with built-in radio, AC or DC: it sets its own speeds, so nothing else may shape its power.",
        )
    if shapes or any(c.lives_on_load for c in controls):
        reason = (
            "the control sets the speed by shaping the motor's power, and a DC fan's driver must get full, steady power"
            if shapes
            else "the control lives on current through the motor, and electronics do not bear that"
        )
        return "ac", f"A plain AC fan without a receiver, with leads of its own for fan and light: {reason}."
    if "signal_bridge_unit" in names:
        return "remote", (
            "A fan with a handheld remote whose signals a bridge can repeat, AC or DC: "
            "the bridge sends what the remote sends, so the remote decides what the app can do."
        )
    if chosen is not None:
        return "any", (
            "AC or DC: the control only switches power on and off. A DC fan draws about half; "
            "it must run again by itself after a power cut."
        )
    if facts.get("want_speed_from_app") in ("must", "nice"):
        return "open", (
            "For speeds from the app two kinds serve: a plain AC fan without a receiver, its control bought apart, "
            "or a fan with built-in radio. A DC fan with a remote of its own leaves only a bridge for its speeds."
        )
    return "open", "AC or DC: without speeds from the app either serves. A DC fan draws about half."


def _size(knowledge: Knowledge, facts: Mapping[str, Value]) -> Iterator[Sheet]:
    tables = knowledge.tables
    area, height = facts.get("room_area"), facts.get("ceiling_height")
    ceiling = parse_measure(height, "length", "ceiling_height") if isinstance(height, str) else None
    if isinstance(area, str):
        floor = parse_measure(area, "area", "room_area")
        yield fit_sheet("blade-span", "Blade span", span_for_room(floor, tables), shown_given([("room", floor)]))
        spans = span_range(floor, tables)
        if spans is not None:
            yield from _efficiency(knowledge, facts, *spans)
    if ceiling is not None:
        yield fit_sheet("downrod", "Rod", rod_for_ceiling(ceiling, tables), shown_given([("ceiling", ceiling)]))


def _efficiency(knowledge: Knowledge, facts: Mapping[str, Value], low: Fraction, high: Fraction) -> Iterator[Sheet]:
    """The legal minimum for the smallest and the largest span of the range, where a law is known."""
    told: list[str] = []
    fits: list[Fit] = []
    for kind in ("standard", "hugger"):
        ends = [
            least_efficiency(kind, Measure(inch, "in", "length"), _region(facts), knowledge.tables)
            for inch in dict.fromkeys((low, high))
        ]
        values = [rounded(end[0]) for end in ends if end is not None]
        fits += [end[1] for end in ends if end is not None]
        if values:
            told.append(f"{kind} {' to '.join(values)} cfm/W")
    if told:
        yield Sheet(
            "least-efficiency",
            "Least efficiency",
            lines=tuple(fit.text for fit in fits),
            verdict=f"Least efficiency by law for that size: {', '.join(told)}, weighted over speeds "
            "(fans made since 2020-01-21).",
            editions=distinct(fit.rule for fit in fits),
            sources=distinct(source for fit in fits for source in fit.sources),
        )


def _cost(knowledge: Knowledge, facts: Mapping[str, Value]) -> Sheet:
    """The year of a typical fan of each kind by the label's rule; elsewhere only what it draws."""
    tables = knowledge.tables
    fans = tables["typical_fans"]
    rows = fans.row
    if tables_for(tables, "energy_label_", _region(facts)) is None:
        drawn = "; ".join(
            f"{row.name} {show_number(row.values['high'])} W at high speed, {show_number(row.values['low'])} W at low"
            for row in rows
        )
        return Sheet(
            "typical-fans",
            "What fans draw",
            verdict=f"What fans draw: {drawn} (one published sheet each). A label rule for the year is not covered "
            "here: switchleg figures yearly-cost takes your own hours and price.",
            editions=(fans.edition,),
            sources=(fans.source,),
        )
    hours, price = label_hours(tables), label_price(tables)
    told, lines = [], []
    sums: list[Sheet] = []
    for row in rows:
        high, low, standby = (row.values[name] for name in ("high", "low", "standby"))
        kwh = kwh_per_year(high, low, standby, hours)
        told.append(f"{row.name} {rounded(kwh)} kWh, {price.cost(kwh)}")
        fast, slow, off = (Measure(one, "W", "power") for one in (high, low, standby))
        sums.append(yearly_cost(fast, slow, off, tables))
        lines += [f"{row.name}: {line}" for line in sums[-1].lines]
    return Sheet(
        "typical-fans",
        "The year of a fan",
        lines=tuple(lines),
        verdict=f"In a year by the label's hours at {price}: {'; '.join(told)} (one published sheet each, DC standby "
        "estimated). For your own hours, watts and price: switchleg figures yearly-cost.",
        editions=distinct((*(one for sheet in sums for one in sheet.editions), fans.edition)),
        sources=distinct((*(one for sheet in sums for one in sheet.sources), fans.source)),
        doubts=distinct(one for sheet in sums for one in sheet.doubts),
    )


def seller_questions(
    knowledge: Knowledge, facts: Mapping[str, Value], controls: tuple[Control, ...], kind: str
) -> Iterator[tuple[str, str]]:
    """The questions that matter for this kind of fan, each with its reason."""
    matter = {"all"}
    if facts.get("light_kit") != "none":
        matter.add("light")
    matter |= {"ac": {"ac"}, "radio": {"radio"}, "remote": {"remote"}, "any": set(), "open": {"ac", "remote", "radio"}}[
        kind
    ]
    if any(c.place == "ceiling" for c in controls):
        matter.add("canopy")
    if facts.get("place_rating_needed") in ("damp", "wet"):
        matter.add("damp")
    for row in knowledge.tables["seller_questions"].row:
        if row.words["for"] in matter:
            yield row.words["ask"], row.words["why"]
