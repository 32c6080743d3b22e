"""The installed tables and regions, read once for the tests of the figures."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from importlib.resources import files

from switchleg.schema.regions import Region
from switchleg.schema.tables import Table
from switchleg.units.reading import Measure, Quantity, parse_measure


def _read(folder: str) -> dict[str, dict[str, object]]:
    place = files("switchleg.decision_tree").joinpath(folder)
    return {
        entry.name.removesuffix(".toml"): tomllib.loads(entry.read_text(encoding="utf-8"))
        for entry in sorted(place.iterdir(), key=lambda entry: entry.name)
        if entry.name.endswith(".toml")
    }


TABLES = {name: Table.model_validate(data) for name, data in _read("tables").items()}
REGIONS = {name: Region.model_validate(data) for name, data in _read("regions").items()}


def measure(text: str, dimension: Quantity) -> Measure:
    return parse_measure(text, dimension)


def exact(text: str) -> Fraction:
    return Fraction(text)
