"""What holds for a whole house: its age, its hub and who works there are used, and settle nothing alone."""

from __future__ import annotations

import pytest
from command_paths import room

from switchleg.advice.advise import advise
from switchleg.advice.work.shopping import NO_HUB, SPOKEN, parts_to_buy
from switchleg.home.shopping import home_parts
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value

FLOOR: dict[str, Value] = {
    "region": "us",
    "fan_installed": True,
    "wall_boxes": 1,
    "wall_controls": 1,
    "light_kit": "none",
    "control_1_does": "fan",
    "control_1_kind": "on_off",
    "handheld_remote": False,
    "acts_on_other_loads": False,
    "may_open_canopy": True,
    "may_pull_cable": False,
    "may_replace_fan": False,
}
AGES = ("before_1950", "1950_1964", "1965_1973", "1974_2010", "2011_on")
BEFORE_2010, ALL_HOMES = 113.46, 123.55
"""Millions of US homes (EIA, 2020 Residential Energy Consumption Survey, table HC2.1)."""


def known(name: str) -> dict[str, Value]:
    """Everything that is seen in a room of the demo but what holds for its house."""
    told = room(name)
    return {
        fact: value
        for fact, value in {**told.floor, **told.wall, **told.canopy}.items()
        if fact not in ("hub", "house_age", "who_works")
    }


def neutral_share(facts: dict[str, Value]) -> float:
    return sum(wiring.p for wiring in advise(load(), facts).wirings if "neutral_at_wall" in wiring.id)


def test_the_age_of_the_house_leans_and_strikes_nothing_out() -> None:
    """Of a new house in the US a neutral at the wall is likelier (404.2(C), since 2011), of an old one less; the same
    wirings stay possible, and where that rule does not hold the age changes nothing."""
    share = {age: neutral_share({**FLOOR, "house_age": age}) for age in AGES}
    assert share["2011_on"] > neutral_share(FLOOR) > share["1974_2010"] >= share["before_1950"]
    plain = {wiring.id for wiring in advise(load(), FLOOR).wirings}
    for age in ("2011_on", "before_1950"):
        assert {wiring.id for wiring in advise(load(), {**FLOOR, "house_age": age}).wirings} == plain
    abroad = {**FLOOR, "region": "uk"}
    assert neutral_share({**abroad, "house_age": "2011_on"}) == neutral_share(abroad)


def test_the_shares_by_age_add_up_to_the_usual_one() -> None:
    """Weighed by how many US homes are of each age (EIA, 2020 Residential Energy Consumption Survey, table HC2.1),
    the shares by age come to the share taken when the age is unknown, within a tenth."""
    new = 1 - BEFORE_2010 / ALL_HOMES
    by_age = load().wiring.neutral_sent_down_by_age.yes
    mixed = new * by_age["2011_on"] + (1 - new) * by_age["1974_2010"]
    assert abs(mixed - load().wiring.neutral_sent_down.p["yes"]) < 0.1


@pytest.mark.parametrize(
    ("age", "words"),
    [
        ("before_1950", "from before 1950 may still hold single wires on knobs"),
        ("1950_1964", "before 1965 often have a covering of cloth"),
        ("1965_1973", "1965 to 1973 often have aluminum wire"),
    ],
)
def test_each_age_has_its_caution(age: str, words: str) -> None:
    """What is to be looked for in a house of that age stands among the cautions, and only there."""
    warned = " ".join(advise(load(), {**FLOOR, "house_age": age}).warnings)
    assert words in warned
    newer = " ".join(advise(load(), {**FLOOR, "house_age": "2011_on"}).warnings)
    assert words not in newer


def test_aluminum_years_are_told_of_where_they_were() -> None:
    """CPSC publication 516 speaks of homes wired about 1965 to 1973 in North America; no word of it elsewhere."""
    for region, told in (("us", True), ("ca", True), ("uk", False), ("in", False)):
        warned = " ".join(advise(load(), {**FLOOR, "region": region, "house_age": "1965_1973"}).warnings)
        assert ("dull silver" in warned) is told


@pytest.mark.parametrize("hub", sorted(SPOKEN))
def test_parts_name_the_radio_of_the_hub(hub: str) -> None:
    """Every networked part bears the mark of the hub that is there, and no other hub's."""
    facts = {**known("front parlour"), "hub": hub}
    advice = advise(load(), facts)
    assert advice.recommendation is not None
    chosen = next(one for one in advice.schemes if one.id == advice.recommendation.scheme)
    text = " ".join(parts_to_buy(load(), facts, chosen))
    assert f"({SPOKEN[hub]})" in text
    assert not any(f"({other})" in text for name, other in SPOKEN.items() if name != hub)
    assert NO_HUB not in text


def test_without_a_hub_one_is_bought_for_the_whole_house() -> None:
    """Two fans and no hub: one hub on the list, once."""
    facts = {**known("front parlour"), "hub": "none"}
    advice = advise(load(), facts)
    bought = home_parts(load(), [("front parlour", facts, advice), ("porch", facts, advice)]).buy
    assert [article.text for article in bought].count(NO_HUB) == 1


def test_the_card_speaks_to_the_electrician_who_works() -> None:
    """When an electrician does the work the card says whose steps they are; the verdict stays the same."""
    facts = known("front parlour")
    mine, theirs = (advise(load(), {**facts, "who_works": who}) for who in ("myself", "electrician"))
    assert mine.recommendation == theirs.recommendation
    assert [text for text in theirs.warnings if text not in mine.warnings and "are theirs" in text]
