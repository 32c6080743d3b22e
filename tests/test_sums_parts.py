"""Shopping lists: marks for one fan, quantities over a home, and what not to buy."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from switchleg.advice.advise import advise
from switchleg.advice.model import Advice, SchemeVerdict
from switchleg.advice.work.shopping import not_to_buy, parts_to_buy, purchases
from switchleg.advice.work.small_parts import joints
from switchleg.home.shopping import home_parts
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load

SETS: dict[str, dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "stories" / "fact_sets.toml").read_text(encoding="utf-8")
)


@cache
def room(*sets: str) -> tuple[dict[str, Any], Advice]:
    """Facts and advice of a house in the stories' own words."""
    raw: dict[str, Any] = {}
    for name in sets:
        raw |= SETS[name]
    facts = dict(parse_facts(load(), raw, "story"))
    return facts, advise(load(), facts)


def parlour() -> tuple[dict[str, Any], Advice]:
    return room("sound", "wiring_a", "fan_ac_chain", "wish_some")


def attic() -> tuple[dict[str, Any], Advice]:
    return room("sound", "wiring_b", "fan_ac_chain", "wish_on_off")


def chosen_of(advice: Advice) -> SchemeVerdict:
    assert advice.recommendation is not None
    return next(scheme for scheme in advice.schemes if scheme.id == advice.recommendation.scheme)


def made_of(*parts: str, preparations: tuple[str, ...] = ()) -> SchemeVerdict:
    return SchemeVerdict(id="x", title="x", verdict="fits", parts=parts, preparations=preparations)


US: dict[str, Any] = {"region": "us", "fan_amps": "0.6 A", "light_kit": "lamps", "place_rating_needed": "dry"}


def lines(facts: dict[str, Any], scheme: SchemeVerdict) -> str:
    return " ".join(parts_to_buy(load(), facts, scheme))


def test_a_specification_holds_the_marks_of_this_fan() -> None:
    """Volts, amperes, lamps, depth and hub: what a package in a shop can be held against."""
    told = lines({**US, "wall_box_volume": "3 x 2 x 2-1/2"}, made_of("on_off_control"))
    for words in (
        "neutral required",
        "relay output",
        "for 120 V",
        "motor or fan mark of 0.6 A or more",
        "no deeper behind the plate than 53 mm",
        "local radio standard of your hub",
    ):
        assert words in told


def test_an_unread_label_is_read_first() -> None:
    """Without amperes the list does not guess; from watts it says that it did."""
    bare = {key: value for key, value in US.items() if key != "fan_amps"}
    assert "not below the fan's label (read it first)" in lines(bare, made_of("fan_speed_control"))
    told = lines({**bare, "fan_watts_high": "60 W"}, made_of("fan_speed_control"))
    # 60 W / 120 V / 0.5, the careful power factor of an unknown motor: 1 A.
    assert "motor or fan mark of 1 A or more (worked out from watts: read the label first)" in told


def test_a_canopy_part_bears_warmth_and_room() -> None:
    """A module for the canopy: its temperature mark and the free lengths."""
    told = lines({**US, "canopy_space": "130 x 120 x 50 mm"}, made_of("canopy_relay_module", "wall_button"))
    assert "temperature mark of 50 C (122 F) or more" in told
    assert "going into 130 x 120 x 50 mm" in told


def test_lamps_and_depth_of_the_box_are_marks_too() -> None:
    """The lamps' kind and watts are named, and 35 mm of box less 10 mm for cores (common practice) leave 25 mm."""
    told = {**US, "region": "uk", "light_kit": "lamps", "lamp_kind": "led", "light_watts": "27 W"}
    found = lines({**told, "wall_box_depth": "35 mm"}, made_of("light_on_off"))
    assert "marked for LED lamps, 27 W or more" in found
    assert "no deeper behind the plate than 25 mm" in found


def test_a_full_ceiling_box_is_warned_of_and_bought() -> None:
    """4 wires and 2 grounds of 14 AWG (10 in3 by NEC 314.16(B)) in 6 in3: a caution, and a box for 12 with clamps."""
    facts, _ = room("sound", "wiring_c", "fan_ac_chain", "wish_on_off")
    tight = {**facts, "ceiling_box_volume": "6 in3"}
    advice = advise(load(), tight)
    assert any("too full" in text and "Ceiling box" in text for text in advice.warnings)
    told = lines(tight, chosen_of(advice))
    assert "A ceiling box marked for fan support" in told
    assert "volume 12 in3 (197 cm3) or more" in told
    roomy = advise(load(), {**facts, "ceiling_box_volume": "15.5 in3"})
    assert not any("Ceiling box" in text for text in roomy.warnings)


def test_in_canada_the_volume_of_the_box_limits_the_depth() -> None:
    """CSA 12-3034: 5 wires and 2 pairs of connectors take 172.2 of 300 cm3; 127.8 / 32 leave 3.9 cm for the device."""
    box = {"wall_boxes": 1, "wall_gangs": 1, "wall_cables": 2, "run_conductors": 3, "wire_size": "14 AWG"}
    told = lines({**US, **box, "region": "ca", "wall_box_volume": "300 cm3"}, made_of("on_off_control"))
    assert "no deeper behind the plate than 39 mm" in told


def test_volts_follow_the_region() -> None:
    """A part for the United Kingdom is one for 230 V."""
    assert "for 230 V" in lines({**US, "region": "uk"}, made_of("on_off_control"))


def test_connectors_are_counted_from_the_joints_of_the_plan() -> None:
    """As many connectors as the plan has joints of two ends and more, as many caps as it caps ends."""
    facts, advice = attic()
    chosen = chosen_of(advice)
    assert chosen.plan
    by_hand = [splice for box in chosen.plan for splice in box.splices if len(splice.ends) > 1]
    found, caps = joints(chosen)
    assert sum(found.values()) == len(by_hand) > 0
    assert caps == sum(len(box.capped) for box in chosen.plan)
    bought = {purchase.key: purchase for purchase in purchases(load(), facts, chosen)}
    assert bought["connectors"].count == len(by_hand)


def test_boxes_and_plates_are_bought_where_the_plan_needs_them() -> None:
    """A fan-rated box for the whole weight, a larger wall box by its sum, a blank plate for a control that goes."""
    facts = {**US, "fan_weight": "34.8 lb", "wall_gangs": 1, "wall_boxes": 1}
    told = lines(facts, made_of("canopy_relay_module", "wall_button", preparations=("fan_rated_box",)))
    assert "marked for fan support, for at least 35.3 lb" in told
    assert "A blank plate for one gang (unless the button's own plate covers it)." in told
    # NEC 314.16(B): 5 + ground 1 + two devices 4 = 10 allowances of 2.00 in3 for 14 AWG, no clamps.
    wall = {
        **facts,
        "wall_cables": 2,
        "run_conductors": 3,
        "wire_size": "14 AWG",
        "wall_ground": True,
        "wall_box_clamps": False,
    }
    told = lines(wall, made_of("fan_speed_control", "light_on_off", preparations=("add_wall_gang",)))
    assert "A wall box with room for two devices, marked with at least 20 in3" in told
    assert "blank" not in told


def test_a_home_adds_up_and_the_larger_mark_counts_for_all() -> None:
    """Two fans with the same control: two of them, marked for the larger amperes; one tester for the home."""
    facts, advice = parlour()
    small, large = {**facts, "fan_amps": "0.4 A"}, {**facts, "fan_amps": "0.8 A"}
    one = home_parts(load(), [("parlour", small, advice)])
    both = home_parts(load(), [("parlour", small, advice), ("dining room", large, advice)])
    first, other = one.buy[0], both.buy[0]
    assert other.count == 2 * first.count
    assert other.fans == ("parlour", "dining room")
    assert "0.8 A" in other.text
    assert "0.4 A" not in other.text
    assert sum("tester" in article.text for article in both.buy) == 1
    joined = [a.count for a in one.buy if a.text.startswith("Wire connectors,")]
    assert [a.count for a in both.buy if a.text.startswith("Wire connectors,")] == [2 * n for n in joined]


def test_a_fan_that_is_not_settled_is_named_and_nothing_is_bought_for_it() -> None:
    """An open verdict buys nothing; the fan is named instead."""
    facts, advice = parlour()
    undecided = advice.model_copy(update={"recommendation": None})
    found = home_parts(load(), [("attic", facts, undecided)])
    assert (found.buy, found.open_fans) == ((), ("attic",))


def test_different_places_are_different_articles() -> None:
    """A damp porch needs its own listed part: it is not added to the dry rooms'."""
    facts, advice = parlour()
    found = home_parts(
        load(), [("parlour", facts, advice), ("porch", {**facts, "place_rating_needed": "damp"}, advice)]
    )
    damp = [article for article in found.buy if "listed for a damp place" in article.text]
    assert damp
    assert all(article.fans == ("porch",) for article in damp)
    assert found.buy[0].fans == ("parlour",)


@pytest.mark.parametrize(
    ("facts", "scheme", "motor", "words"),
    [
        (US, made_of("on_off_control"), "dc", "Not a wall fan-speed control: a DC fan's driver"),
        (US, made_of("on_off_control"), None, "before the motor is settled"),
        ({**US, "neutral_bundle": False}, None, "ac", "a wall control that needs a neutral"),
        (US, made_of("on_off_control", preparations=("keep_receiver",)), "ac", "ahead of the receiver"),
        (US, made_of("canopy_relay_module"), "ac", "temperature mark"),
        (US, made_of("relay_module"), "ac", "no mark for motors"),
        (US, None, "ac", "a light dimmer for the fan"),
    ],
)
def test_what_would_be_wrong_is_named_with_its_reason(
    facts: dict[str, Any], scheme: SchemeVerdict | None, motor: str | None, words: str
) -> None:
    """What not to buy follows from motor, receiver, neutral and scheme."""
    assert words in " ".join(not_to_buy(load(), facts, scheme, motor))


def test_no_list_for_a_dc_fan_holds_what_it_warns_of() -> None:
    """In every house of the stories whose DC fan gets a recommendation, no fan-speed control is bought."""
    bought = 0
    for wiring in ("wiring_a", "wiring_b", "wiring_d", "wiring_h"):
        facts, advice = room("sound", wiring, "fan_dc", "wish_on_off")
        assert advice.motor_settled == "dc"
        if advice.recommendation is None:
            continue
        bought += 1
        chosen = chosen_of(advice)
        assert not {"fan_speed_control", "combined_control", "canopy_speed_module"} & set(chosen.parts)
        assert "Not a wall fan-speed control" in " ".join(not_to_buy(load(), facts, chosen, advice.motor_settled))
    assert bought
