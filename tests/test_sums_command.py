"""`switchleg figures`: units in, the sum, its edition and its sources out; everything else is one line."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from switchleg.command.figures.arguments import CALCULATIONS
from switchleg.command.main import main as switchleg


def told(capsys: pytest.CaptureFixture[str], *argv: str) -> str:
    """What the calculation prints, in one line of words."""
    assert switchleg(["figures", *argv]) == 0
    return " ".join(capsys.readouterr().out.split())


def sheet(capsys: pytest.CaptureFixture[str], *argv: str) -> dict[str, Any]:
    """The calculation as JSON."""
    assert switchleg(["figures", *argv, "--json"]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


@pytest.mark.parametrize("name", CALCULATIONS)
def test_every_calculation_has_help_with_examples(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """--help explains each calculation in 80 columns and shows commands to type."""
    assert switchleg(["figures", name, "--help"]) == 0
    out = capsys.readouterr().out
    assert "examples:" in out
    assert f"switchleg figures {name}" in out.partition("examples:")[2]
    assert max(len(line) for line in out.splitlines()) <= 80


# Our own retrofit sum: one-gang 18.0 in3, 14/2 feed and 14/3 to the fan, one device, no clamps: 16.0 in3.
ONE_GANG = ("box-fill", "--region", "us", "--cable", "14/2", "--cable", "14/3", "--device", "14 AWG")


def test_box_fill_shows_the_sum_both_ways_with_edition_and_source(capsys: pytest.CaptureFixture[str]) -> None:
    """A sum that fits: each line, the total in both units, the edition and the table's source."""
    out = told(capsys, *ONE_GANG, "--box", "18 in3")
    for words in (
        "Fits: 16 in3 (262 cm3) needed, 18 in3 (295 cm3) in the box.",
        "5 wires 14 AWG: 5 x 2 in3 = 10 in3 (NEC 314.16(B)(1))",
        "fits, 2 in3 to spare",
        "NFPA 70, 2020 and later",
        "Tables 314.16(A) and 314.16(B)",
    ):
        assert words in out


def test_box_fill_names_ways_out_of_a_full_box(capsys: pytest.CaptureFixture[str]) -> None:
    """A box that is too small: the next one in the table, and what a mark would have to say."""
    found = sheet(capsys, *ONE_GANG, "--box", "3 x 2 x 2-3/4")
    assert found["fits"] is False
    assert any("3 x 2 x 3-1/2" in way for way in found["ways"])
    assert any("marked with at least 16 in3" in way for way in found["ways"])


def test_the_same_box_by_two_editions(capsys: pytest.CaptureFixture[str]) -> None:
    """Five 14/2 and two devices in a 30.3 in3 box: 30.0 by 2017, 30.5 by 2020, and both are exact."""
    argv = ("box-fill", "--region", "us", "--cable", "5 x 14/2", "--device", "14 AWG", "--device", "14 AWG")
    older = sheet(capsys, *argv, "--box", "4 x 2-1/8 square", "--edition", "2017")
    newer = sheet(capsys, *argv, "--box", "4 x 2-1/8 square", "--edition", "2020")
    assert (older["fits"], older["numbers"][0]["exact"]) == (True, "30")
    assert (newer["fits"], newer["numbers"][0]["exact"]) == (False, "61/2")


def test_canada_counts_depth_and_names_a_slimmer_device(capsys: pytest.CaptureFixture[str]) -> None:
    """A 4 cm deep control in a 204 cm3 box is too much by CEC 12-3034; a flat one would do."""
    argv = ("box-fill", "--region", "ca", "--cable", "14/2", "--cable", "14/3", "--connectors", "2")
    found = sheet(capsys, *argv, "--device", "14 AWG, 4 cm deep", "--box", "3 x 2 x 2-1/2")
    assert found["numbers"][0]["value"] == 275.6
    assert any("slimmer device: up to 2.54 cm" in way for way in found["ways"])
    assert any("from memory" in doubt for doubt in found["doubts"])
    assert any("a reading in doubt" in doubt for doubt in found["doubts"]), "depth in place of the two conductors"
    unsaid = sheet(capsys, *argv, "--device", "14 AWG", "--box", "3 x 2 x 2-1/2")
    assert unsaid["verdict"].startswith("Fits if no device is deep:")


def test_depths_that_the_volume_sum_does_not_read_are_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """A 3 in deep device for a 2 in box is never told "fits" because nobody looked at the depths."""
    assert switchleg(["figures", *ONE_GANG, "--box", "18 in3", "--device-depth", "3 in", "--box-depth", "2 in"]) == 2
    assert "figures part" in capsys.readouterr().err


def test_depth_regions_hold_device_against_box(capsys: pytest.CaptureFixture[str]) -> None:
    """Where no volume sum exists, depth is compared, with room for cores as common practice."""
    argv = ("box-fill", "--region", "uk", "--device-depth", "28 mm", "--box-depth")
    assert sheet(capsys, *argv, "47 mm")["fits"] is True
    assert sheet(capsys, *argv, "35 mm")["fits"] is None
    deep = sheet(capsys, *argv, "25 mm")
    assert deep["fits"] is False
    assert any("47 mm" in way for way in deep["ways"])


@pytest.mark.parametrize("region", ["uk", "eu", "au_nz", "in"])
def test_no_american_volume_reaches_another_region(region: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Elsewhere the same words give "not covered here" and not one number."""
    found = sheet(capsys, "box-fill", "--region", region, "--wires", "3 x 14 AWG")
    assert not found["covered"]
    assert found["numbers"] == []
    assert "ot covered here" in found["verdict"]
    wire = sheet(capsys, "wire", "--size", "14 AWG", "--breaker", "15 A", "--region", region)
    assert not wire["covered"]
    assert "NFPA" not in json.dumps(wire)


def test_blade_height_is_worked_out_and_judged(capsys: pytest.CaptureFixture[str]) -> None:
    """8 ft less 11 in is 7 ft 1 in: high enough where 7 ft is asked for, and 10 in more of rod is not."""
    assert sheet(capsys, "blade-height", "--region", "us", "--ceiling", "8 ft", "--drop", "11 in")["fits"] is True
    low = sheet(capsys, "blade-height", "--region", "us", "--ceiling", "8 ft", "--rod", "6 in", "--motor-drop", "10 in")
    assert low["fits"] is False
    near = sheet(capsys, "blade-height", "--region", "us", "--ceiling", "8 ft", "--drop", "6 in")
    assert near["fits"] is False, "the energy ministry: never nearer than 8 in to the ceiling"


def test_a_slope_asks_for_rod_beyond_the_tip(capsys: pytest.CaptureFixture[str]) -> None:
    """26 in x tan 30 deg = 15.0 in to the tip (trigonometry), and 8 to 12 in more."""
    out = told(capsys, "blade-height", "--region", "us", "--slope", "30 deg", "--span", "52 in")
    assert "26 in x tan 30 deg = 15.0 in" in out
    assert "23 to 27 in" in out


def test_the_label_cost_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    """56 W high and 14 W low cost about 10 dollars a year, as a published sheet prints."""
    assert "84.83 kWh and 10.18 USD a year." in told(capsys, "yearly-cost", "--high", "56 W", "--low", "14 W")


def test_no_american_label_prices_a_year_elsewhere(capsys: pytest.CaptureFixture[str]) -> None:
    """The label is not used in India; 56 W x 8 h x 365 days is 163.52 kWh, at one's own price."""
    words = ["yearly-cost", "--high", "56 W", "--region", "in"]
    assert "Not covered here for India" in told(capsys, *words)
    own = ["--high-hours", "8 h", "--low-hours", "0 h", "--price", "8 INR/kWh"]
    found = told(capsys, *words, *own)
    assert "163.52 kWh and 1308.16 INR" in found
    assert "CFR" not in found


def test_a_capacitor_and_a_wire_on_their_own(capsys: pytest.CaptureFixture[str]) -> None:
    """4.5 uF at 60 Hz is 589.5 ohm; a 20 A breaker before 14 AWG is a stop."""
    assert "= 589.5 ohm" in told(capsys, "capacitor", "--value", "4.5 uF", "--voltage", "120 V")
    out = told(capsys, "wire", "--size", "14 AWG", "--breaker", "20 A", "--region", "us")
    assert "Stop: the breaker does not protect this wire." in out
    # 0.5 A over 2 x 50 ft of 14 AWG (NEC Chapter 9 gives 0.15 V at 75 C; 0.13 V at 20 C by ASTM B258).
    out = told(capsys, "wire", "--size", "14 AWG", "--length", "50 ft", "--load", "0.5 A")
    assert "= 0.13 V" in out


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (["wire", "--size", "14"], "has no unit"),
        (["capacitor", "--value", "4.5"], "has no unit"),
        (["yearly-cost", "--high", "56"], "has no unit"),
        (["yearly-cost", "--high", "56 W", "--price", "0.12"], "no price of electricity"),
        (["blade-height", "--region", "us", "--blades", "7"], "has no unit"),
        (["box-fill", "--region", "us", "--wires", "5", "--box", "18 in3"], "has no unit"),
        (["box-fill", "--region", "us", "--cable", "14/2", "--box", "18"], "has no unit"),
        (["box-fill", "--region", "us", "--cable", "14-2"], "a cable as gauge / insulated wires"),
        (["box-fill", "--region", "us", "--cable", "14/2", "--box", "3 x 2 x 9"], "is not in the table"),
        (["box-fill", "--region", "us"], "nothing is in the box"),
        (["box-fill", "--region", "us", "--cable", "14/2", "--edition", "1999"], "no edition told apart here"),
        (["box-fill", "--region", "us", "--cable", "14/2", "--joined", "0"], "--joined"),
        (["box-fill", "--cable", "14/2"], "--region"),
        (["box-fill", "--region", "usa", "--cable", "14/2"], "did you mean us?"),
        (["box-fill", "--region", "us", "--wires", "0 x 14 AWG"], "one wire or more"),
        (["boxfill"], "did you mean `switchleg figures box-fill`?"),
        ([], "NAME"),
    ],
)
def test_unusable_input_is_one_line_and_exit_2(argv: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Bare numbers, unknown names and missing parts: one line that says how to mend it, nothing on stdout."""
    assert switchleg(["figures", *argv]) == 2
    caught = capsys.readouterr()
    assert caught.out == ""
    assert caught.err.count("\n") == 1
    assert words in caught.err


TYPED = st.one_of(
    st.text(max_size=20).filter(lambda text: not text.startswith("-")),
    st.from_regex(
        r"[0-9]{1,4}([.,/][0-9]{1,3})? ?(in3|cm3|ft|in|m|mm|W|A|V|uF|AWG|mm2|kg|lb|deg|h|cfm|C)?", fullmatch=True
    ),
)
OPTIONS = [
    ("box-fill", "--region=us", "--cable=14/2", "--box={}"),
    ("box-fill", "--region=ca", "--device={}", "--wires={}"),
    ("blade-height", "--region=eu", "--ceiling={}", "--drop={}", "--slope={}"),
    ("yearly-cost", "--high={}", "--low={}", "--price={}"),
    ("capacitor", "--value={}", "--voltage={}"),
    ("wire", "--size={}", "--breaker={}", "--region=us"),
    ("part", "--kind=relay_module", "--region=us", "--amps={}", "--size={}", "--voltage={}"),
    ("support", "--region=us", "--weight={}", "--rating={}"),
]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(option=st.sampled_from(OPTIONS), typed=TYPED)
def test_whatever_is_typed_gets_a_sheet_or_one_line(
    option: tuple[str, ...], typed: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Any words in any place: a sum with exit 0, or one line with exit 2; never a fault of the program."""
    code = switchleg(["figures", *(word.format(typed) if "{}" in word else word for word in option)])
    caught = capsys.readouterr()
    assert code in (0, 2), caught.err
    assert (caught.err.count("\n") == 1) == (code == 2)
