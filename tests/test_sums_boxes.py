"""Boxes before and after the work, and what would make it fit: against the published examples' own choices."""

from __future__ import annotations

from typing import Any

import pytest
from figures_world import REGIONS, TABLES, measure
from test_figures_box_fill import CANADA, PUBLISHED

from switchleg.advice.model import SchemeVerdict
from switchleg.advice.numbers.boxes import ceiling_sheets
from switchleg.advice.numbers.sheets import added_by, number_lines
from switchleg.figures.boxes.ceiling_box import ceiling_box_fill
from switchleg.figures.boxes.remedies import depth_fit, next_boxes, ways_to_fit
from switchleg.figures.boxes.typed import cables_typed, module_typed, wires_typed, yoke_typed
from switchleg.figures.boxes.wall_box import Contents, Module, Yoke
from switchleg.knowledge.load import load

# The box that each published author chose (sources beside the examples); the smallest of its shape in the table.
CHOSEN = {
    "W1": "4 x 2-1/8 octagon",
    "W2": "4 x 2-1/8 octagon",
    "W3": "4-11/16 x 2-1/8 square",
    "W4": "3 x 2 x 3-1/2 device",
    "W5": "4 x 2-1/8 square",
}


@pytest.mark.parametrize("name", CHOSEN)
def test_the_next_box_is_the_one_that_the_author_chose(name: str) -> None:
    """For a published sum, the smallest box of that shape in the table is the author's."""
    contents, edition, _, _ = PUBLISHED[name]
    assert CHOSEN[name] in [row.name for row, _, _ in next_boxes(contents, "us", TABLES, edition=edition)]


def test_a_box_that_fits_needs_no_way_out() -> None:
    """Nothing is offered where nothing is wrong."""
    contents, edition, _, box = PUBLISHED["W10"]
    assert ways_to_fit(contents, box, "us", TABLES, edition=edition) == ()


def test_every_box_that_is_offered_holds_what_it_is_offered_for() -> None:
    """No box is offered that would be too small, and none larger than a smaller one of its shape that would do."""
    for contents, edition, required, _ in PUBLISHED.values():
        for row, sections, fill in next_boxes(contents, "us", TABLES, edition=edition):
            assert fill.fits
            assert fill.available is not None
            shape = row.words["shape"]
            smaller = [
                r.values["in3"] * sections
                for r in TABLES["box_volumes_us"].row
                if r.words["shape"] == shape and r.values["in3"] * sections < fill.available
            ]
            assert all(volume < float(required) for volume in smaller)


def test_ways_out_of_a_canadian_box_name_the_depth() -> None:
    """K4 (CSA C22.1:21 12-3034): 4.0 cm deep is too much; 2.54 cm would do, and so would a blank plate."""
    contents, box, _, _ = CANADA["K4"]
    ways = " ".join(ways_to_fit(contents, box, "ca", TABLES))
    assert "slimmer device: up to 2.54 cm" in ways
    assert "parts in the canopy" in ways
    assert "from memory" in ways


def test_a_loose_module_is_named_as_the_thing_to_leave_out() -> None:
    """A box that is full only with the module behind the switch: without it, it fits."""
    full = Contents(conductors=(("14 AWG", 5),), yokes=(Yoke("14 AWG"),), modules=(Module("14 AWG"),))
    ways = " ".join(ways_to_fit(full, measure("15 in3", "volume"), "us", TABLES))
    assert "Without the loose module it fits" in ways
    assert "An extension ring, only if it is marked with at least 3 in3" in ways


def test_two_devices_are_never_offered_a_box_for_one() -> None:
    """Device boxes are joined, one a device; a box for a single device is not offered for two."""
    two = Contents(conductors=(("14 AWG", 5),), yokes=(Yoke("14 AWG"), Yoke("14 AWG")))
    for row, sections, _ in next_boxes(two, "us", TABLES):
        assert row.words.get("gangs") != "one"
        assert sections == (2 if row.words.get("gangs") == "joined" else 1)


def test_depth_is_compared_only_where_depth_is_the_rule() -> None:
    """Depth regions get a verdict, the others "not covered here"."""
    device = measure("28 mm", "length")
    assert depth_fit(device, measure("25 mm", "length"), REGIONS["uk"], TABLES)[0].fits is False
    assert depth_fit(device, None, REGIONS["eu"], TABLES)[0].fits is None
    assert not depth_fit(device, None, REGIONS["us"], TABLES)[0].covered


def test_what_lies_in_a_box_is_typed_as_people_write_it() -> None:
    """Cables, wires, devices and modules in their usual spellings."""
    assert cables_typed(["2 x 14/2", "12/3"], "") == (
        (("14 AWG", 4), ("12 AWG", 3)),
        (("14 AWG", 2), ("12 AWG", 1)),
    )
    assert wires_typed(["5 x 14 AWG", "#14", "2 × 12 AWG"], "") == (("14 AWG", 6), ("12 AWG", 2))
    assert yoke_typed("14 AWG, 2 gangs, 4 cm deep", "") == Yoke("14 AWG", 2, measure("4 cm", "length"))
    assert module_typed("14 AWG, 45 x 40 x 20 mm", "").volume == measure("36 cm3", "volume")


CEILING: dict[str, Any] = {
    "region": "us",
    "wall_boxes": 1,
    "ceiling_cables": 2,
    "run_conductors": 3,
    "wire_size": "14 AWG",
    "ceiling_ground": True,
    "light_kit": "lamps",
    "receiver": False,
}


def test_the_ceiling_box_leaves_out_four_canopy_leads() -> None:
    """C4, by NEC 314.16(B): 14/2 + 14/3 and four thin leads are 12.0 in3; in 12.5 in3 clamps inside decide."""
    found = ceiling_box_fill(CEILING, REGIONS["us"], TABLES, leads=["module"])
    assert found.needed is not None
    assert found.needed.required == 12
    assert found.boxes[0].startswith("4 x 1-1/2 octagon, 15.5 in3")  # clamps inside would come to 14.0
    for size, fits in (("4 x 1-1/2 octagon", True), ("12.5 in3", None), ("10 in3", False)):
        against = ceiling_box_fill({**CEILING, "ceiling_box_volume": size}, REGIONS["us"], TABLES, leads=["module"])
        assert against.fill is not None
        assert against.fill.fits is fits


ONE_LEG: dict[str, Any] = {**CEILING, "run_conductors": 2}
"""Two 14/2 and a ground: (4 + 1) x 2.0 in3 = 10 in3, NEC 314.16(B)(1) and (5)."""
FAN_AND_MODULE = ["fan with light lead", "module"]


def test_a_module_adds_its_leads_to_the_fans() -> None:
    """Fan 3 + module 4 = 7 leads of 18 AWG, 1.5 in3 each: 14.5 in3 with four of them left out, 20.5 with none.

    NEC 314.16(B)(1) exception, "not over four fixture wires" from a canopy (from memory): it does not say what holds
    for more than four. Box volumes: NEC Table 314.16(A).
    """
    today = ceiling_box_fill(ONE_LEG, REGIONS["us"], TABLES)
    assert today.needed is not None
    assert (today.needed.required, today.lenient) == (10, None)
    after = ceiling_box_fill(ONE_LEG, REGIONS["us"], TABLES, leads=FAN_AND_MODULE)
    assert after.needed is not None
    assert after.lenient is not None
    assert after.careful is not None
    assert float(after.lenient.required) == 10 + 3 * 1.5
    assert float(after.needed.required) == 10 + 7 * 1.5
    assert float(after.careful.required) == 22.5  # with clamps: what a box to be bought must hold
    assert [box.split(",")[0] for box in after.boxes] == ["4-11/16 x 1-1/4 square"]


@pytest.mark.parametrize(
    ("size", "fits", "told"),
    [
        ("12.5 in3", False, "20.5 in3"),
        ("15.5 in3", None, "clamps inside make it too full in any case (16.5 in3"),
        ("18 in3", None, "ask the inspector"),
        ("21 in3", None, "clamps inside would make it too full (22.5 in3"),
        ("22.5 in3", True, ""),
    ],
)
def test_the_two_readings_are_told_where_they_decide(size: str, fits: bool | None, told: str) -> None:
    """14.5 or 20.5 in3, 2.0 more with clamps: too full by every reading, enough by every reading, or open and why."""
    facts = {**ONE_LEG, "ceiling_box_volume": size}
    fill = ceiling_box_fill(facts, REGIONS["us"], TABLES, leads=FAN_AND_MODULE).fill
    assert fill is not None
    assert fill.fits is fits
    assert told in fill.remarks[-1]
    assert ("inspector" in fill.remarks[-1]) == (size in ("15.5 in3", "18 in3"))


def test_canada_counts_the_modules_connectors() -> None:
    """CEC 12-3034: 18 AWG leads do not count, five connectors are two pairs: (4 + 2) x 24.6 cm3, today (4 + 1)."""
    facts = {**ONE_LEG, "region": "ca"}
    each = TABLES["conductor_allowance_ca"].named("14 AWG").number("cm3")
    found = [ceiling_box_fill(facts, REGIONS["ca"], TABLES, leads=leads) for leads in ([], FAN_AND_MODULE)]
    needed = [one.needed.required for one in found if one.needed]
    assert each is not None
    assert needed == [5 * each, 6 * each]
    assert all(one.lenient is None for one in found)


def _after(facts: dict[str, Any], *preparations: str, parts: tuple[str, ...] = ("canopy_relay_module",)) -> float:
    chosen = SchemeVerdict(id="x", title="x", verdict="fits", parts=parts, preparations=preparations)
    sheets = {sheet.id: sheet for sheet in ceiling_sheets(load(), facts, REGIONS["us"], chosen)}
    return float(sheets["ceiling-box-after"].numbers[0].amount)


def test_the_leads_after_the_work_are_those_of_the_plan() -> None:
    """A receiver that stays has 2 leads (a light that leaves it 1 more), a fan without one 3, the module 4."""
    remote = {**ONE_LEG, "receiver": True}
    assert _after(ONE_LEG) == 10 + 7 * 1.5
    assert _after(remote, "keep_receiver") == 10 + 6 * 1.5
    assert _after(remote, "keep_receiver", "move_light_to_own_leg") == 10 + 7 * 1.5
    assert _after(remote, "bypass_receiver") == 10 + 7 * 1.5
    assert _after(remote, "replace_fan_ac") == 10 + 7 * 1.5
    assert _after(ONE_LEG, parts=("on_off_control",)) == 10


def test_the_card_does_not_call_a_fuller_ceiling_box_the_same() -> None:
    """Both sums stand in the sentence, and the smallest box is one that holds the larger."""
    chosen = SchemeVerdict(id="x", title="x", verdict="fits", parts=("canopy_relay_module",))
    texts = [line.text for line in number_lines(load(), ONE_LEG, chosen)]
    assert not any("Ceiling box after the work: the same" in text for text in texts)
    told = next(text for text in texts if text.startswith("Ceiling box after"))
    assert "14.5 in3 (238 cm3), or 20.5 in3 (336 cm3) where all canopy leads are counted" in told
    assert "4-11/16 x 1-1/4 square, 25.5 in3" in told


def test_the_ceiling_box_elsewhere_gets_no_number() -> None:
    """Where no volume rule is known, nothing is summed; what is missing is named."""
    assert ceiling_box_fill(CEILING, REGIONS["uk"], TABLES).needed is None
    assert "not covered here" in ceiling_box_fill(CEILING, REGIONS["uk"], TABLES).note
    without = {k: v for k, v in CEILING.items() if k != "ceiling_cables"}
    assert ceiling_box_fill(without, REGIONS["us"], TABLES).missing == ("ceiling_cables",)


def _chosen(*parts: str) -> SchemeVerdict:
    return SchemeVerdict(id="x", title="x", verdict="fits", parts=parts)


WALL: dict[str, Any] = {
    **CEILING,
    "wall_gangs": 1,
    "wall_cables": 2,
    "wall_ground": True,
    "wall_box_clamps": False,
    "wall_box_volume": "18 in3",
}


def test_the_card_tells_the_wall_box_before_and_after() -> None:
    """One switch today (C1: 16.0 in3) and two controls after it: too full, with ways out."""
    said = list(number_lines(load(), WALL, _chosen("fan_speed_control", "light_on_off")))
    texts = [line.text for line in said]
    assert "Wall box today: 16 in3 (262 cm3) needed, 18 in3 (295 cm3) there: enough." in texts
    assert "Wall box after the work: 20 in3 (328 cm3) needed, 18 in3 (295 cm3) there: too full." in texts
    assert any(text.startswith("Next box in the table") for text in texts)
    assert any("canopy" in text for text in texts)


def test_a_scheme_adds_devices_modules_or_a_canopy_module() -> None:
    """What a scheme takes up is read off its parts: buttons on batteries take no room."""
    assert added_by(load(), _chosen("plain_switch", "relay_module")) == (1, 1, False)
    assert added_by(load(), _chosen("canopy_relay_module", "wall_button")) == (0, 0, True)


@pytest.mark.parametrize("region", ["uk", "eu", "au_nz", "in"])
def test_no_american_number_on_a_card_from_elsewhere(region: str) -> None:
    """The numbers of a card elsewhere hold no cubic inch and no NFPA."""
    facts = {**WALL, "region": region, "wire_size": "1.5 mm2", "breaker": "10 A", "fan_weight": "8 kg"}
    texts = " ".join(line.text for line in number_lines(load(), facts, _chosen("on_off_control")))
    assert "in3" not in texts
    assert "NFPA" not in texts
    assert "Not covered here" in texts
