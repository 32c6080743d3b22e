"""Heights, slopes, rods, support and water: against the published limits, at them and just beyond them."""

from __future__ import annotations

import math
from typing import Any

import pytest
from figures_world import TABLES, measure

from switchleg.advice.advise import advise
from switchleg.advice.numbers.safety import bath_fit
from switchleg.command.main import main as switchleg
from switchleg.figures.fan.bath_zone import bath_zone
from switchleg.figures.fan.height import blade_height_sheet, blades_from_ceiling, rod_for_slope, tips_from_wall
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value


def length(text: str) -> Any:
    return measure(text, "length")


# Energy ministry of the United States: never nearer than 8 in to the ceiling or 18 in to a wall.
@pytest.mark.parametrize(("gap", "fits"), [("8 in", True), ("7.9 in", False), ("11 in", True), ("3 ft", True)])
def test_blades_keep_off_the_ceiling(gap: str, fits: bool) -> None:
    """8 in are enough, less is not."""
    assert blades_from_ceiling(length(gap), TABLES).fits is fits


@pytest.mark.parametrize(("gap", "fits"), [("18 in", True), ("45 cm", False), ("46 cm", True)])
def test_tips_keep_off_the_wall(gap: str, fits: bool) -> None:
    """18 in are enough, 45 cm (17.7 in) are not."""
    assert tips_from_wall(length(gap), TABLES).fits is fits


# Bracket limits read on makers' sheets and public pages: 15 to 34 degrees, 45 with an adapter.
@pytest.mark.parametrize(("angle", "fits"), [("10 deg", True), ("25 deg", None), ("40 deg", None), ("50 deg", False)])
def test_a_bracket_is_promised_only_where_every_one_takes_the_slope(angle: str, fits: bool | None) -> None:
    """Between the smallest and the largest limit seen the fan's own sheet decides."""
    assert rod_for_slope(measure(angle, "angle"), length("52 in"), TABLES)[0].fits is fits


def test_the_rod_keeps_the_upper_tip_off_the_slope() -> None:
    """The tip rises by radius x tan(slope) (trigonometry); 8 to 12 in come on top (common practice)."""
    _, rod = rod_for_slope(measure("30 deg", "angle"), length("52 in"), TABLES)
    rise = 26 * math.tan(math.radians(30))
    assert f"= {rise:.1f} in to the tip" in rod.text
    assert f"{rise + 8:.0f} to {rise + 12:.0f} in" in rod.text


def test_the_height_is_worked_out_in_the_units_of_the_ceiling() -> None:
    """2.7 m less 40 cm is 2.3 m exactly: not yet more than 2.3 m; a centimetre less of rod is."""
    sheet = blade_height_sheet("eu", TABLES, ceiling=length("2.7 m"), rod=length("14 cm"), motor_drop=length("25 cm"))
    assert sheet.fits is True
    assert "rod 14 cm + canopy and motor 25 cm = 39 cm" in sheet.lines[0]
    low = blade_height_sheet("eu", TABLES, ceiling=length("2.7 m"), rod=length("15 cm"), motor_drop=length("25 cm"))
    assert low.fits is False


def test_a_missing_length_is_named() -> None:
    """Without a way to the blades' height the verdict stays open and says what to give."""
    sheet = blade_height_sheet("us", TABLES, ceiling=length("9 ft"))
    assert sheet.fits is None
    assert "--blades" in sheet.verdict
    assert any("rod of 6 to 12 in" in way for way in sheet.ways), "both published ladders as one range"


def test_blades_under_the_floor_are_a_slip() -> None:
    """A drop longer than the room is never high enough."""
    sheet = blade_height_sheet("us", TABLES, ceiling=length("8 ft"), drop=length("9 ft"))
    assert sheet.fits is False
    assert any("look at the lengths again" in line for line in sheet.lines)


def test_an_unknown_region_has_no_least_height() -> None:
    """No region's least height is used for another place."""
    assert not blade_height_sheet("moon", TABLES, blades=length("3 m")).covered


# NFPA 70, 410.10(D)(1): 3 ft across and 8 ft up from rim or threshold (read in the trade press).
@pytest.mark.parametrize(
    ("across", "up", "fits"),
    [
        ("0 ft", "7 ft", False),
        ("3 ft", "8 ft", False),
        ("3 ft 1 in", "6 ft", True),
        ("1 ft", "8 ft 1 in", True),
        ("0.9 m", "2 m", False),
        ("0.91 m", "2 m", True),
    ],
)
def test_the_bath_zone(across: str, up: str, fits: bool) -> None:
    """Inside the zone, its edge included, no part may hang; beyond either limit it may."""
    near = measure("1 ft", "length")
    level = type(near)(near.amount * 0, "ft", "length") if across == "0 ft" else length(across)
    assert bath_zone(level, length(up), "us", TABLES).fits is fits


def test_an_unmeasured_bath_stays_open_and_is_warned_of() -> None:
    """A bath is told and a distance is not: no verdict, and a caution until it is measured; 9 ft up is enough alone."""
    told: dict[str, Value] = {"region": "us", "bath_near": True}
    assert any("measure how far across and how far up" in text for text in advise(load(), told).warnings)
    near = bath_fit({**told, "bath_across": "1 ft"}, TABLES)
    assert near is not None
    assert near.fits is None
    high = bath_fit({**told, "bath_up": "9 ft"}, TABLES)
    assert high is not None
    assert high.fits


def test_the_2023_edition_looks_at_metal_of_a_fan_without_light() -> None:
    """2023, 422.18(B): without a light no metal part, with one no part at all; elsewhere not covered."""
    inside = (length("1 ft"), length("7 ft"))
    assert bath_zone(*inside, "us", TABLES, light=False, edition="2023").fits is None
    assert bath_zone(*inside, "us", TABLES, light=True, edition="2023").fits is False
    assert bath_zone(*inside, "us", TABLES, light=False).fits is False
    assert not bath_zone(*inside, "uk", TABLES).covered


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (["support", "--region", "us", "--weight", "38 lb", "--marked", "yes"], "A mark or a fact is missing"),
        (["support", "--region", "us", "--weight", "71 lb", "--marked", "yes"], "Does not fit"),
        (["support", "--region", "us", "--weight", "34.8 lb", "--added", "0.5 lb", "--marked", "yes"], "missing"),
        (["support", "--region", "uk", "--weight", "8 kg", "--marked", "yes"], "Not covered here"),
        (["bath-zone", "--region", "us", "--across", "0 ft", "--up", "7 ft"], "Does not fit: zone."),
        (["bath-zone", "--region", "eu", "--across", "1 m", "--up", "2 m"], "Not covered here"),
    ],
)
def test_support_and_water_on_their_own(argv: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The weight classes of 314.27(C) with added parts, and the bath zone, from the command line."""
    assert switchleg(["figures", *argv]) == 0
    assert words in " ".join(capsys.readouterr().out.split())
