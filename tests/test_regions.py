"""The regions' data: supply, colours, cables and who may work, against published figures."""

from __future__ import annotations

from typing import Any

import pytest
from figures_world import REGIONS, TABLES
from pydantic import ValidationError

from switchleg.knowledge.load import load
from switchleg.schema.regions import Region
from switchleg.schema.sources import ELSEWHERE, source_words
from switchleg.schema.tables import tables_for
from switchleg.units.reading import parse_measure

ALL = ("us", "ca", "uk", "eu", "au_nz", "in")

# IEC 60038, standard voltages: 120/240 V at 60 Hz single-phase three-wire; 230/400 V at 50 Hz.
SUPPLY = {
    "us": (120, 60),
    "ca": (120, 60),
    "uk": (230, 50),
    "eu": (230, 50),
    "au_nz": (230, 50),
    "in": (230, 50),
}


def test_the_six_regions_are_there_under_their_own_names() -> None:
    """Every value of the fact region has a file that bears its name."""
    assert set(REGIONS) == set(ALL)
    assert all(region.id == name for name, region in REGIONS.items())


@pytest.mark.parametrize("name", ALL)
def test_supply_is_the_standard_voltage(name: str) -> None:
    """IEC 60038: voltage and frequency of each region."""
    assert (REGIONS[name].voltage_v, REGIONS[name].frequency_hz) == SUPPLY[name]


# NFPA 70, 200.6 and 250.119; IEC 60445; BS 7671; the rest by trade pages, doubtful.
COLOURS = [
    ("us", 2, ("black", "white"), "white"),
    ("us", 3, ("black", "red", "white"), "white"),
    ("us", 4, ("black", "red", "blue", "white"), "white"),
    ("ca", 3, ("black", "red", "white"), "white"),
    ("uk", 2, ("brown", "blue"), "blue"),
    ("uk", 3, ("brown", "black", "grey"), "grey"),
    ("eu", 2, ("brown", "blue"), "blue"),
    ("au_nz", 2, ("red", "black"), "black"),
    ("in", 2, ("red", "black"), "black"),
]


@pytest.mark.parametrize(("name", "count", "colours", "neutral"), COLOURS)
def test_cables_wear_their_usual_colours(name: str, count: int, colours: tuple[str, ...], neutral: str) -> None:
    """A cable of each kind has the conductors that one sees there, and the right one is neutral."""
    assert REGIONS[name].cable_colours[count] == colours
    assert REGIONS[name].neutral_of(count) == neutral


@pytest.mark.parametrize("name", ALL)
def test_a_conductor_that_is_no_neutral_colour_needs_a_mark_to_be_one(name: str) -> None:
    """In every cable the neutral is a neutral colour, or named as standing in for it."""
    region = REGIONS[name]
    for count in region.cable_colours:
        neutral = region.neutral_of(count)
        assert neutral in region.neutral_colours or region.neutral_stand_in[count] == neutral


@pytest.mark.parametrize("name", ALL)
def test_no_ground_colour_carries_current(name: str) -> None:
    """Green, green-yellow and bare are ground everywhere and nothing else."""
    region = REGIONS[name]
    live = {*region.hot_colours, *region.leg_colours, *region.neutral_colours}
    assert live.isdisjoint(region.ground_colours)
    assert "green-yellow" in region.ground_colours


@pytest.mark.parametrize("name", [name for name in ALL if name != "us"])
def test_american_sources_are_local_or_marked(name: str) -> None:
    """Outside the United States a source of its rules is replaced by the local one, or says that it holds elsewhere."""
    sources = load().sources
    for one in (source for source in sources.values() if source.id.startswith(("nec_", "nfpa", "osha", "cfr_"))):
        for here in REGIONS[name].local((one.id,)):
            local = here != one.id and "(not a rule of this region" not in source_words(here, sources, name)
            assert local or ELSEWHERE in source_words(here, sources, name)


def test_black_means_different_things() -> None:
    """Black is hot in America and neutral in Australia, India and old British cable."""
    assert "black" in REGIONS["us"].hot_colours
    assert "black" in REGIONS["au_nz"].neutral_colours
    assert "black" in REGIONS["in"].neutral_colours
    old = REGIONS["uk"].old_colours
    assert old is not None
    assert "black" in old.neutral
    assert "black" in REGIONS["uk"].hot_colours


@pytest.mark.parametrize("name", ALL)
def test_usual_sizes_are_measures(name: str) -> None:
    """Usual wire sizes and breakers can be read as measures, gauges only in North America."""
    region = REGIONS[name]
    units = {parse_measure(size, "wire").unit for size in region.wire_sizes}
    assert units == ({"AWG"} if name in ("us", "ca") else {"mm2"})
    assert all(parse_measure(size, "current").unit == "A" for size in region.usual_breakers)


def test_box_rules_exist_only_where_they_were_read() -> None:
    """A volume sum is offered in the US and Canada alone."""
    assert {name: REGIONS[name].box_rule for name in ALL} == {
        "us": "us",
        "ca": "ca",
        "uk": "depth",
        "eu": "depth",
        "au_nz": "depth",
        "in": "depth",
    }
    assert all(region.not_covered for region in REGIONS.values())


def test_where_law_reserves_the_work_the_card_goes_to_the_licensed_person() -> None:
    """Australia reserves fixed wiring to licensed electricians; India is treated alike (doubtful)."""
    assert {name for name in ALL if REGIONS[name].who_may.licensed_only} == {"au_nz", "in"}


# Calculations that rest on a region's own table, and the words by which its file says that there is none.
COVERED_BY = {
    "small_conductor_": "breaker against",
    "fan_support_": "weight on",
    "bath_zone_": "zones over baths",
    "switch_loads_": "share of a switch or breaker",
    "continuous_load_": "share of a switch or breaker",
    "light_kit_": "limiter in light kits",
    "minimum_efficiency_": "minimum of airflow per watt",
}


@pytest.mark.parametrize("name", ALL)
def test_a_region_says_what_it_does_not_cover(name: str) -> None:
    """For each calculation without a table of its own the region's file says so, and for no other."""
    said = REGIONS[name].not_covered
    for family, words in COVERED_BY.items():
        assert (tables_for(TABLES, family, name) is None) == any(words in text for text in said), family
    if REGIONS[name].box_rule not in ("us", "ca"):
        assert any("box fill" in text for text in said)


@pytest.mark.parametrize("name", ALL)
def test_a_region_has_all_that_its_card_speaks_of(name: str) -> None:
    """Supply, colours old and new, cables, units, words, a box rule in words, and who may do the work."""
    region = REGIONS[name]
    assert region.old_colours is not None
    assert region.cable_types
    assert region.box_rule_text.endswith(".")
    assert region.who_may.text.endswith(".")
    assert {region.length_unit, region.weight_unit} <= {"ft", "m", "lb", "kg"}
    assert region.words.ground == ("ground" if name in ("us", "ca") else "earth")
    assert len({region.words.hot, region.words.ground, region.words.neutral_colour}) == 3


@pytest.mark.parametrize("name", ALL)
def test_no_region_is_given_a_rule_of_another(name: str) -> None:
    """A table that belongs to a region is never found for another one."""
    for family in COVERED_BY:
        table = tables_for(TABLES, family, name)
        assert table is None or name in table.regions


def test_a_battery_control_is_nowhere_promised_to_count() -> None:
    """Nothing read says that a battery control alone suffices for a room's only light."""
    assert REGIONS["us"].room_light_rule.wall_control_needed == "yes"
    assert all(region.room_light_rule.battery_control_counts != "yes" for region in REGIONS.values())


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"cable_colours": {2: ("black", "white"), 3: ("black", "red", "white")}}, "no cable of 4"),
        ({"ground_colours": ("white",)}, "both a neutral and a ground"),
        ({"neutral_stand_in": {2: "black"}}, "needs one neutral colour"),
        ({"box_rule": "guess"}, "Input should be"),
        ({"flag": "x"}, "Extra inputs"),
    ],
)
def test_an_unsound_region_is_refused(change: dict[str, Any], why: str) -> None:
    """Missing cables, colours at odds, unknown rules and unknown keys stop the load."""
    data = REGIONS["us"].model_dump() | change
    with pytest.raises(ValidationError, match=why):
        Region.model_validate(data)
