"""Room, ceiling and canopy: spans, rods and whether a module goes in."""

from __future__ import annotations

import pytest
from figures_world import TABLES, measure

from switchleg.figures.fan.motor_clues import RESTS_ON, derived_numbers
from switchleg.figures.fan.placing import canopy_holds_module, placing, rod_for_ceiling, span_for_room

# homesteady.com ceiling-fan size table (older) and engineerfix.com (newer), as one range in inches.
SPANS = [
    ("75 ft2", "29 to 36 in"),
    ("76 ft2", "36 to 48 in"),
    ("144 ft2", "36 to 48 in"),
    ("20 m2", "44 to 54 in"),
    ("400 ft2", "50 to 54 in"),
]


@pytest.mark.parametrize(("area", "span"), SPANS)
def test_the_span_is_given_as_the_range_of_both_guides(area: str, span: str) -> None:
    """Two published guides differ, so both ends are shown."""
    assert span in span_for_room(measure(area, "area"), TABLES).text


def test_a_very_large_room_wants_more_than_one_fan() -> None:
    """Beyond the largest row no span is made up."""
    assert "two or more" in span_for_room(measure("401 ft2", "area"), TABLES).text


# homesidekick.com and hvac-buzz.com, downrod ladders: ceiling -> rod in inches.
RODS = [
    ("8 ft", "up to 6 in"),
    ("9 ft", "6 to 12 in"),
    ("10 ft", "12 to 18 in"),
    ("12 ft", "36 in"),
    ("11 ft 6 in", "24 to 36 in"),
]


@pytest.mark.parametrize(("ceiling", "rod"), RODS)
def test_the_rod_is_given_as_the_range_of_both_ladders(ceiling: str, rod: str) -> None:
    """Two published ladders differ, so both ends are shown; between rows the range covers both."""
    fit = rod_for_ceiling(measure(ceiling, "length"), TABLES)
    assert rod in fit.text
    assert fit.fits is None


def test_a_low_ceiling_is_said() -> None:
    """energy.gov fans-cooling: ceilings of at least 8 ft."""
    assert rod_for_ceiling(measure("7 ft 11 in", "length"), TABLES).fits is False


@pytest.mark.parametrize(
    ("space", "fits"),
    [
        ("120 x 60 x 40 mm", True),
        ("120 x 60 x 24 mm", False),
        ("40 x 120 x 60 mm", True),
        ("400 x 40 x 40 mm", False),
        ("61 x 51 x 26 mm", False),
        ("100 mL", False),
        ("300 mL", None),
    ],
)
def test_a_canopy_is_judged_by_lengths_and_volume(space: str, fits: bool | None) -> None:
    """A side too short fails whatever the volume; a volume alone never passes; all are estimates."""
    fit = canopy_holds_module(measure(space, "space"), TABLES)
    assert fit.fits is fits
    assert fit.doubtful


def test_only_what_is_known_is_spoken_of() -> None:
    """Unknown facts give no line."""
    assert placing({}, TABLES) == ()
    assert len(placing({"room_area": "12 m2", "canopy_space": "300 mL"}, TABLES)) == 2


def test_the_derived_numbers_bear_the_names_that_clues_use() -> None:
    """Every number that can be worked out is announced, and the other way round."""
    facts = {"fan_watts_high": "30 W", "fan_amps": "0.4 A", "fan_airflow_high": "5000 cfm"}
    assert {number.id for number in derived_numbers(facts, 120)} == set(RESTS_ON)
