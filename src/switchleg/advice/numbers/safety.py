"""The figures an advice rests on: box fill, breaker against wire, what carries the fan. Values in, findings out."""

from __future__ import annotations

from collections.abc import Callable, Collection, Container, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from switchleg.advice.model import BoxFill, NewCable
from switchleg.figures.boxes.wall_box import LINK, WallFill, wall_box_fill
from switchleg.figures.circuit.wire import breaker_suits_wire, circuit_too_large
from switchleg.figures.fan.bath_zone import bath_zone
from switchleg.figures.fan.support import blades_high_enough, box_carries_fan
from switchleg.figures.fit import Fit
from switchleg.schema.questions import Value
from switchleg.units.names import Dimension
from switchleg.units.reading import Measure, parse_measure

if TYPE_CHECKING:
    from switchleg.schema.regions import Region
    from switchleg.schema.tables import Tables


@dataclass(frozen=True)
class NumberStop:
    """A figure that stops the work."""

    rule: str
    finding: str
    facts: tuple[str, ...]
    sources: tuple[str, ...]


def measure(facts: Mapping[str, Value], fact: str, dimension: Dimension) -> Measure | None:
    """A fact as a measure; zero is one where the question offered it."""
    value = facts.get(fact)
    return parse_measure(value, dimension, fact, zero=True) if isinstance(value, str) else None


def stops(facts: Mapping[str, Value], tables: Tables) -> tuple[NumberStop, ...]:
    """Breaker too large for the wire; a box that must not carry the fan's weight; a fan over the bath."""
    found = []
    for rule, judged in FIGURES.items():
        fit = judged.fit(facts, _place(facts), tables)
        if fit.fits is False:
            used = tuple(fact for fact in judged.used if fact in facts)
            found.append(NumberStop(rule, f"{judged.opening}{fit.text}", used, fit.sources))
    return tuple(found)


def still_open(rule: str, facts: Mapping[str, Value], tables: Tables, untold: Collection[str] = ()) -> Fit | None:
    """What is missing to say whether this figure stops the work; None where that is told, or no rule is known.

    What could not be told (`untold`) is missing too, also where nobody would have to ask for it.
    """
    fit = FIGURES[rule].fit(facts, _place(facts), tables)
    if fit.fits is not None:
        return None
    blind = (fact for fact in FIGURES[rule].facts if fit.covered and fact in untold and fact not in facts)
    missing = tuple(dict.fromkeys((*fit.missing, *blind)))
    return replace(fit, missing=missing) if missing else None


def _place(facts: Mapping[str, Value]) -> str | None:
    region = facts.get("region")
    return region if isinstance(region, str) else None


def _wire_fit(facts: Mapping[str, Value], place: str | None, tables: Tables) -> Fit:
    wire, breaker = measure(facts, "wire_size", "wire"), measure(facts, "breaker", "current")
    metal = facts.get("wire_metal")
    return breaker_suits_wire(wire, breaker, str(metal) if metal else None, place, tables)


def _support_fit(facts: Mapping[str, Value], place: str | None, tables: Tables) -> Fit:
    weight = measure(facts, "fan_weight", "mass")
    fit = carries(facts, place, tables, weight)
    if weight is None and facts.get("fan_installed") is False:  # it is still to be chosen, by the box's mark
        return replace(fit, missing=tuple(fact for fact in fit.missing if fact == "fan_box_marked"))
    return fit


def _bath_fit(facts: Mapping[str, Value], place: str | None, tables: Tables) -> Fit:
    said = facts.get("bath_near")
    across, up = measure(facts, "bath_across", "length"), measure(facts, "bath_up", "length")
    light = None if "light_kit" not in facts else facts["light_kit"] != "none"
    return bath_zone(across, up, place, tables, near=said if isinstance(said, bool) else None, light=light)


@dataclass(frozen=True)
class Figure:
    """A stop that is worked out: how, the answers that its sentence names, and how that begins.

    `parent`: the answer that says whether there is anything to measure.
    """

    fit: Callable[[Mapping[str, Value], str | None, Tables], Fit]
    used: tuple[str, ...]
    parent: str = ""
    opening: str = ""

    @property
    def facts(self) -> tuple[str, ...]:
        return (*self.used, self.parent) if self.parent else self.used


FIGURES: Mapping[str, Figure] = {
    "breaker_and_wire": Figure(_wire_fit, ("breaker", "wire_size")),
    "fan_support": Figure(_support_fit, ("fan_weight", "fan_box_rating")),
    "bath_zone": Figure(_bath_fit, ("bath_across", "bath_up"), "bath_near", "Bath or shower: "),
}
"""By the id of their sentence in rules.toml."""


def bath_fit(facts: Mapping[str, Value], tables: Tables) -> Fit | None:
    """The zone over a tub or shower; None without one. While a distance is missing it stays open, and says so."""
    return _bath_fit(facts, _place(facts), tables) if facts.get("bath_near") is True else None


def carries(
    facts: Mapping[str, Value], region: str | None, tables: Tables, weight: Measure | None, added: Measure | None = None
) -> Fit:
    """Whether a box marked for fans may carry this one. An unmarked box is changed first, so it counts as marked.

    The box that takes its place is bought for this weight: what the old one is marked for need not be read.
    """
    marked = True if "fan_box_marked" in facts else None
    fit = box_carries_fan(marked, weight, measure(facts, "fan_box_rating", "mass"), region, tables, added=added)
    if facts.get("fan_box_marked") is False and fit.missing == ("fan_box_rating",):
        text = "The box that takes the place of this one must be marked for fans and for the weight of this fan."
        return replace(fit, fits=True, text=text, missing=())
    if facts.get("fan_box_marked") is False:
        return replace(fit, missing=tuple(fact for fact in fit.missing if fact != "fan_box_rating"))
    return fit


def support_warning(facts: Mapping[str, Value], tables: Tables) -> str | None:
    """What is still to be read about the weight, when the weight is known and the mark is not enough."""
    weight = measure(facts, "fan_weight", "mass")
    if weight is None:
        return None
    fit = carries(facts, _place(facts), tables, weight)
    return fit.text if fit.fits is None and fit.covered else None


def figure_warnings(facts: Mapping[str, Value], tables: Tables) -> tuple[str, ...]:
    """What stops no work and still is a danger: low blades, an odd circuit, wire or bath without a rule here."""
    place = _place(facts)
    height, breaker = measure(facts, "blade_height", "length"), measure(facts, "breaker", "current")
    wire, metal = measure(facts, "wire_size", "wire"), facts.get("wire_metal")
    found = [
        blades_high_enough(height, place, tables) if height else None,
        circuit_too_large(breaker, place) if breaker else None,
    ]
    texts = [fit.text for fit in found if fit is not None and fit.covered and not fit.fits]
    if place and wire and breaker:
        compared = breaker_suits_wire(wire, breaker, str(metal) if metal else None, place, tables)
        texts += [] if compared.covered else [compared.text]
    bath = bath_fit(facts, tables)
    if bath is not None and not bath.covered:
        texts.append(f"A bath or shower is near. {bath.text}")
    return tuple(texts)


def wall_fill(
    facts: Mapping[str, Value],
    region: Region | None,
    tables: Tables,
    *,
    devices: int | None = None,
    modules: int = 0,
    new: Iterable[NewCable] = (),
) -> WallFill:
    """The wall box with so many devices and modules, and with the cables that are pulled in place of today's."""
    link = next((cable.conductors for cable in new if cable.replaces == "link"), LINK)
    return wall_box_fill(with_run(facts, new), region, tables, devices=devices, modules=modules, link=link)


def with_run(facts: Mapping[str, Value], new: Iterable[NewCable]) -> Mapping[str, Value]:
    """The facts with the conductors of a new cable to the fan, where one is pulled."""
    run = next((cable.conductors for cable in new if cable.replaces == "run"), None)
    return facts if run is None else {**facts, "run_conductors": run}


class FullBoxes(Container[tuple[int, int, tuple[NewCable, ...]]]):
    """(devices, loose modules, new cables) with which the wall box would be over its volume, as far as can be told."""

    def __init__(self, facts: Mapping[str, Value], region: Region | None, tables: Tables) -> None:
        self._asked = facts, region, tables
        self._known: dict[object, bool] = {}

    def __contains__(self, contents: object) -> bool:
        assert isinstance(contents, tuple)
        if contents not in self._known:
            devices, modules, new = contents
            fill = wall_fill(*self._asked, devices=devices, modules=modules, new=new).fill
            self._known[contents] = fill is not None and fill.fits is False
        return self._known[contents]


def fill_warning(result: WallFill) -> str | None:
    """What the sum says when it cannot be judged yet."""
    fill = result.fill
    if fill is None or fill.fits is not None or not fill.covered:
        return None
    remarks = [remark for remark in fill.remarks if not remark.startswith("counted by")]
    taken = f" Taken for granted: {'; '.join(result.assumed)}." if result.assumed else ""
    return f"Room in the wall box cannot be judged yet: {'; '.join(remarks)}.{taken}"


def shown(result: WallFill) -> BoxFill | None:
    """The sum as the card shows it; None when it cannot be made."""
    fill = result.fill
    if fill is None or fill.available is None or fill.fits is None:
        return None
    assumed = (f"Taken for granted: {what}." for what in result.assumed)
    return BoxFill(
        required_cm3=round(fill.required_cm3, 2),
        available_cm3=round(fill.available_cm3 or 0.0, 2),
        fits=fill.fits,
        lines=(*fill.printable(), *assumed),
    )
