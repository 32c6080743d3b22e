"""A wire size on its own: what it measures, its metric neighbours, its breaker, and the drop along it."""

from __future__ import annotations

from fractions import Fraction

from switchleg.figures.circuit.wire import breaker_suits_wire, gauge_area_mm2, gauge_diameter_mm, nearest_metric
from switchleg.figures.fit import Fit
from switchleg.figures.sheet import Number, Sheet, distinct, shown_given
from switchleg.schema.regions import Region
from switchleg.schema.tables import Tables, number_of, tables_for
from switchleg.units.display import both_ways, rounded
from switchleg.units.reading import Measure, show_number


def resistance_ohm_per_km(area_mm2: float, tables: Tables, celsius: float = 20.0) -> float:
    """DC resistance of a solid copper wire in ohm per km."""
    at_20 = float(number_of(tables, "copper", "annealed", "resistivity")) * 1000 / area_mm2
    return at_20 * (1 + float(number_of(tables, "copper", "annealed", "alpha")) * (celsius - 20))


def wire_sheet(
    wire: Measure,
    region: Region | None,
    tables: Tables,
    *,
    breaker: Measure | None = None,
    metal: str | None = None,
    length: Measure | None = None,
    load: Measure | None = None,
) -> Sheet:
    """Everything known about a size; with a breaker whether it protects the wire under the region's rule.

    `length` is one way; the current goes there and back.
    """
    lines, sources, editions, area = _size(wire, tables)
    numbers = [Number("cross-section", Fraction(round(area * 1000), 1000), "mm2")]
    ohm = resistance_ohm_per_km(area, tables)
    copper = metal != "aluminum"
    if copper:
        rho = number_of(tables, "copper", "annealed", "resistivity")
        per_kft = ohm * 0.3048
        lines.append(
            f"copper at 20 C: {show_number(rho * 1000)} / {area:.3f} = {ohm:.2f} ohm/km ({per_kft:.2f} ohm per 1000 ft)"
        )
        numbers.append(Number("resistance", Fraction(round(ohm * 100), 100), "ohm/km"))
    if copper and length and load:
        drop = float(load.to("A")) * 2 * float(length.to("m")) / 1000 * ohm
        lines.append(f"drop: {load} x 2 x {both_ways(length)} x {ohm:.2f} ohm/km = {drop:.2f} V, there and back")
        numbers.append(Number("drop", Fraction(round(drop * 1000), 1000), "V"))
    fit = _breaker(wire, breaker, metal, region, tables)
    if fit is not None:
        lines.append(fit.text)
    return Sheet(
        "wire",
        f"Wire {wire}",
        shown_given(
            [("wire", wire), ("metal", metal), ("breaker", breaker), ("length, one way", length), ("load", load)]
        ),
        tuple(lines),
        _verdict(fit, wire),
        fit.fits if fit else None,
        numbers=tuple(numbers),
        editions=distinct((*editions, fit.rule if fit else "")),
        sources=distinct((*sources, *(fit.sources if fit else ()))),
        doubts=("The metal was not given; copper is taken.",) if metal is None else (),
        covered=fit is None or fit.covered,
    )


def _size(wire: Measure, tables: Tables) -> tuple[list[str], list[str], list[str], float]:
    """Lines on the size, their sources and editions, and the cross-section in mm2."""
    table = tables["wire_gauges"]
    if wire.unit == "mm2":
        below, above = _between(wire.amount, tables)
        near = " and ".join(part for part in (below, above) if part)
        return (
            [f"{wire} lies by {near}; it is the equal of no gauge"],
            [table.source],
            [table.edition],
            float(wire.amount),
        )
    gauge = int(wire.amount)
    diameter, area = gauge_diameter_mm(gauge), gauge_area_mm2(gauge)
    lines = [
        f"diameter: 0.127 mm x 92^((36 - {gauge})/39) = {diameter:.3f} mm ({diameter / 25.4:.4f} in)",
        f"cross-section: pi/4 x {diameter:.3f}^2 = {area:.3f} mm2",
    ]
    nearest = nearest_metric(gauge, tables)
    if nearest:
        low, high = nearest
        lines.append(
            f"metric neighbours: {show_number(low)} mm2 thinner, {show_number(high)} mm2 thicker; neither is equal"
        )
    return lines, [table.source, "S51"], [table.edition], area


def _between(area: Fraction, tables: Tables) -> tuple[str, str]:
    """The next thinner and the next thicker gauge beside a metric size."""
    rows = sorted(tables["wire_gauges"].row, key=lambda row: row.values["mm2"])
    thinner = [row for row in rows if row.values["mm2"] < area]
    thicker = [row for row in rows if row.values["mm2"] > area]

    def told(name: str, mm2: Fraction, word: str) -> str:
        return f"{name} ({rounded(mm2)} mm2, {word})"

    return (
        told(thinner[-1].name, thinner[-1].values["mm2"], "thinner") if thinner else "",
        told(thicker[0].name, thicker[0].values["mm2"], "thicker") if thicker else "",
    )


def _breaker(
    wire: Measure, breaker: Measure | None, metal: str | None, region: Region | None, tables: Tables
) -> Fit | None:
    place = region.id if region else None
    if breaker is not None:
        return breaker_suits_wire(wire, breaker, metal, place, tables)
    table = tables_for(tables, "small_conductor_", place) if place else None
    row = table.find(str(wire)) if table else None
    if table is None or row is None:
        return None
    limit = row.number(metal or "copper")
    if limit is None:
        return None
    use = f", {row.words['use']}" if "use" in row.words else ""
    text = f"Largest breaker for {wire} {metal or 'copper'}: {show_number(limit)} A{use}."
    return Fit(None, text, table.edition, (table.source_of(row),))


def _verdict(fit: Fit | None, wire: Measure) -> str:
    if fit is None:
        return f"{wire}: measured only; give --breaker and --region to compare them."
    if fit.fits is False:
        return "Stop: the breaker does not protect this wire. Call a licensed electrician."
    return fit.text
