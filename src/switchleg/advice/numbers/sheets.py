"""Every number that the facts allow, as calculations with sum, edition and sources; and as lines of the card. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Literal, NamedTuple

from switchleg.advice.numbers.boxes import Added, added_by, ceiling_sheets, wall_sheets
from switchleg.advice.numbers.energy import energy_sheets
from switchleg.advice.numbers.loads import load_sheets
from switchleg.advice.numbers.motor import motor_hints, motor_sheet
from switchleg.advice.numbers.place import place_sheets, room_sheets
from switchleg.figures.fan import motor_clues
from switchleg.figures.fan.placing import canopy_fit
from switchleg.figures.sheet import GUESSED, Sheet, fit_sheet
from switchleg.schema.questions import Value
from switchleg.schema.sources import source_words

if TYPE_CHECKING:
    from switchleg.advice.model import SchemeVerdict
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region
    from switchleg.schema.sources import Source

__all__ = ["Added", "Said", "added_by", "number_lines", "number_sheets", "under"]

SaidKind = Literal["text", "item", "warning", "good", "bad", "sum"]
KIND_OF: dict[bool | None, SaidKind] = {True: "good", False: "bad", None: "text"}


class Said(NamedTuple):
    """A line for the card. `under`: what stands beneath it for who asks: the sum, its edition, its sources.

    `brief` is the same for paper, sources by their ids.
    """

    text: str
    kind: SaidKind = "text"
    under: tuple[str, ...] = ()
    brief: tuple[str, ...] = ()


def number_sheets(
    knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict | None, motor: str | None = None
) -> Iterator[Sheet]:
    """Every calculation in the order of the card. `motor`: the settled kind. Without a region there is none."""
    said = facts.get("region")
    region = knowledge.regions.get(str(said)) if said else None
    if region is None:
        return
    for sheet in _sheets(knowledge, facts, region, chosen, motor):
        yield replace(sheet, sources=region.local(sheet.sources))


def _sheets(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    region: Region,
    chosen: SchemeVerdict | None,
    motor: str | None,
) -> Iterator[Sheet]:
    added = added_by(knowledge, chosen) if chosen else None
    hung = facts.get("fan_installed") is not False
    yield from wall_sheets(knowledge, facts, region, added, chosen.new_cables if chosen else ())
    if hung:
        yield from ceiling_sheets(knowledge, facts, region, chosen)
    yield from load_sheets(knowledge, facts, region, chosen, motor)
    yield from place_sheets(knowledge, facts, region, added)
    yield from room_sheets(knowledge, facts, size=True)
    space = canopy_fit(facts, knowledge.tables)
    if space is not None:
        yield fit_sheet("canopy-space", "Room in the canopy", space)
    yield from energy_sheets(knowledge, facts, region, chosen)
    label = {name: value for name, value in facts.items() if name in motor_clues.ON_THE_LABEL}
    if motor is None and any(motor_hints(knowledge, label, region.voltage_v)):
        yield motor_sheet(knowledge, label, region.voltage_v)


ELSEWHERE_ON_THE_CARD = frozenset({"blade-span", "downrod", "canopy-space"})
"""Told in the card's section on the room."""


def number_lines(
    knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict | None, motor: str | None = None
) -> Iterator[Said]:
    """The same as lines: each verdict in a sentence; what cannot be judged says what is missing.

    What no rule is known for here is told in one line at the end, by the region's own list.
    """
    said = facts.get("region")
    region: Region | None = knowledge.regions.get(str(said)) if said else None
    if region is None:
        return
    before: Sheet | None = None
    for sheet in number_sheets(knowledge, facts, chosen, motor):
        if sheet.id in ELSEWHERE_ON_THE_CARD or not sheet.covered:
            continue
        beneath = under(sheet, knowledge.sources, region.id), brief(sheet)
        if sheet.id == "motor-clues":
            *hints, last = sheet.lines
            yield from (Said(hint) for hint in hints)
            yield Said(last, "text", *beneath)
        elif before is not None and sheet.id.endswith("-after") and _alike(before, sheet):
            yield Said(f"{sheet.title}: the same.", KIND_OF[sheet.fits])
        else:
            yield Said(_told(sheet), KIND_OF[sheet.fits], *beneath)
            yield from (Said(way, "item") for way in sheet.ways)
        before = sheet
    if region.not_covered:
        yield Said(f"Not covered here for {region.name}: {'; '.join(region.not_covered)}.")


def _alike(one: Sheet, other: Sheet) -> bool:
    return one.numbers == other.numbers and one.fits == other.fits


def _told(sheet: Sheet) -> str:
    guess = " (A figure that is not sure: check it.)" if GUESSED in sheet.doubts and sheet.fits is not None else ""
    return sheet.verdict + guess


def under(sheet: Sheet, sources: Mapping[str, Source], region: str) -> tuple[str, ...]:
    """The sum, what it rests on, its edition and its sources, a line each."""
    told = [*(f"{name}: {value}" for name, value in sheet.given), *sheet.lines, *sheet.doubts]
    told += [f"Edition: {edition}." for edition in sheet.editions]
    told += [f"Source: {source_words(name, sources, region)}." for name in sheet.sources]
    return tuple(told)


def brief(sheet: Sheet) -> tuple[str, ...]:
    """The sum, then edition and the ids of the sources in brackets; the wall box has a section of its own."""
    told = () if sheet.id.startswith("wall-box") or sheet.id == "motor-clues" else sheet.lines
    basis = "; ".join((*sheet.editions, *sheet.sources))
    return (*told, f"[{basis}]") if basis else told
