"""The tables as data: strict, exact, with sources that exist; and how rows are found by name."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from fractions import Fraction
from importlib.resources import files
from typing import Any

import pytest
from figures_world import REGIONS, TABLES
from pydantic import ValidationError

from switchleg.errors import SwitchlegError
from switchleg.schema.tables import Table, number_of, tables_for

SOUND: dict[str, Any] = {
    "id": "sizes",
    "title": "Sizes",
    "edition": "invented for this test",
    "source": "practice",
    "standing": "practice",
    "columns": [{"id": "in3", "unit": "in3", "means": "volume"}],
    "row": [{"name": "3 x 2 x 2-1/2 device", "also": ["3 x 2 x 2-1/2"], "values": {"in3": "12.5"}}],
}


def test_every_table_bears_the_name_of_its_file_and_known_sources() -> None:
    """Each table's id is its file's name and each source that it or a region names is in sources.toml."""
    text = files("switchleg.decision_tree").joinpath("sources.toml").read_text(encoding="utf-8")
    known = {source["id"] for source in tomllib.loads(text)["source"]}
    for name, table in TABLES.items():
        assert table.id == name
        assert table.source_ids() <= known, name
        assert set(table.regions) <= set(REGIONS), name
    for name, region in REGIONS.items():
        assert region.source_ids() <= known, name


@pytest.mark.parametrize("raw", ["12.1", Decimal("12.1"), 12.1])
def test_numbers_are_kept_exactly_as_written(raw: object) -> None:
    """A number written 12.1 is 121/10, however the file's reader hands it over."""
    data = SOUND | {"row": [{"name": "a", "values": {"in3": raw}}]}
    assert Table.model_validate(data).row[0].number("in3") == Fraction(121, 10)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"colour": "red"}, "Extra inputs"),
        ({"source": None}, "valid string"),
        ({"standing": "surely"}, "Input should be"),
        ({"row": []}, "at least 1"),
        ({"row": [{"name": "a", "values": {"cm3": 5}}]}, "no column of this table"),
        ({"row": [{"name": "a", "values": {"in3": "twelve"}}]}, "is not a number"),
        ({"row": [{"name": "a", "values": {"in3": True}}]}, "a number is expected"),
        ({"row": [{"name": "a"}, {"name": "A "}]}, "share the name"),
    ],
)
def test_an_unsound_table_is_refused(change: dict[str, Any], why: str) -> None:
    """Unknown keys, missing sources, foreign columns, bad numbers and twin rows stop the load."""
    with pytest.raises(ValidationError, match=why):
        Table.model_validate(SOUND | change)


@pytest.mark.parametrize(
    "name",
    [
        "3 x 2 x 2-1/2 device",
        "3x2x2-1/2",
        "3 X 2 X 2 1/2",
        "3×2×2½",
        '3" x 2" x 2-1/2"',
        "3 in x 2 in x 2-1/2 in",
    ],
)
def test_a_trade_size_is_found_however_it_is_written(name: str) -> None:
    """Blanks, case, × and inch signs do not keep a box from being found."""
    row = TABLES["box_volumes_us"].find(name)
    assert row is not None
    assert row.number("in3") == Fraction("12.5")


def test_a_missing_row_is_named_with_the_nearest() -> None:
    """A row that is not there is an error that offers the nearest spelling."""
    with pytest.raises(SwitchlegError) as caught:
        TABLES["box_volumes_us"].named("3 x 2 x 2-1/8")
    assert "did you mean" in caught.value.line()


def test_a_missing_number_or_table_says_where() -> None:
    """A number that is not in the data is an error naming the file, never a zero."""
    with pytest.raises(SwitchlegError, match="no 'aluminum'"):
        number_of(TABLES, "small_conductor_us", "14 AWG", "aluminum")
    with pytest.raises(SwitchlegError, match="is missing"):
        number_of(TABLES, "box_volumes_fr", "14 AWG", "copper")


def test_a_region_without_a_table_gets_none() -> None:
    """Nobody gets another region's table."""
    assert tables_for(TABLES, "small_conductor_", "us") is TABLES["small_conductor_us"]
    assert tables_for(TABLES, "small_conductor_", "uk") is None


# 10 CFR 430.32(s) by 82 FR 6826, check values as listed in IEA policy record 7678: span in inches, cfm/W.
EFFICIENCY = [
    ("very small, 12 in and under", 12, "21"),
    ("very small, over 12 in", 14, "27.20"),
    ("very small, over 12 in", 18, "39.84"),
    ("standard", 42, "65.33"),
    ("standard", 52, "71.83"),
    ("standard", 72, "84.83"),
    ("hugger", 52, "49.54"),
    ("high-speed small", 52, "216.34"),
]


@pytest.mark.parametrize(("name", "span", "least"), EFFICIENCY)
def test_the_least_efficiency_is_the_published_line(name: str, span: int, least: str) -> None:
    """10 CFR 430.32(s): slope and intercept give the published least airflow per watt."""
    row = TABLES["minimum_efficiency_us"].named(name)
    assert row.values["slope"] * span + row.values["intercept"] == Fraction(least)
