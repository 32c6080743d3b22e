"""The wall box summed from the answers: what is assumed, what is missing, what is not covered."""

from __future__ import annotations

from typing import Any

import pytest
from figures_world import REGIONS, TABLES, exact, measure

from switchleg.figures.boxes.wall_box import wall_box_fill

WALL: dict[str, Any] = {
    "wall_boxes": 1,
    "wall_cables": 2,
    "run_conductors": 3,
    "wire_size": "14 AWG",
    "wall_ground": True,
    "wall_box_clamps": False,
    "wall_gangs": 1,
    "wall_box_volume": "18 in3",
}


def test_the_wall_box_is_built_from_the_answers() -> None:
    """Answers for C1 (14/2 feed, 14/3 to the fan, one device, 18 in3) give 16.0 in3 and the assumption."""
    wall = wall_box_fill(WALL, REGIONS["us"], TABLES)
    assert wall.fill is not None
    assert wall.fill.required == 16
    assert wall.fill.fits is True
    assert any("two insulated conductors" in text for text in wall.assumed)


def test_the_wall_box_with_two_devices_and_an_onward_cable() -> None:
    """Answers for C2 give its 26.0 in3; a second device is a parameter of the proposal."""
    facts = WALL | {"wall_cables": 3, "wall_box_clamps": True, "wall_box_volume": "25.5 in3"}
    wall = wall_box_fill(facts, REGIONS["us"], TABLES, devices=2)
    assert wall.fill is not None
    assert wall.fill.required == 26
    assert wall.fill.fits is False


@pytest.mark.parametrize("name", sorted(set(WALL) - {"wall_boxes", "wall_ground", "wall_box_clamps"}))
def test_a_missing_answer_is_named_instead_of_guessed(name: str) -> None:
    """Without a fact that the sum needs there is no verdict, and the fact is named."""
    facts = {key: value for key, value in WALL.items() if key != name}
    wall = wall_box_fill(facts, REGIONS["us"], TABLES)
    assert wall.fill is None
    assert wall.missing == (name,)


def test_without_the_box_the_needed_volume_is_still_said() -> None:
    """Somebody who cannot see the volume still learns how large the box must be."""
    facts = {key: value for key, value in WALL.items() if key != "wall_box_volume"}
    wall = wall_box_fill(facts, REGIONS["us"], TABLES)
    assert wall.needed is not None
    assert wall.needed.required == 16
    assert wall.needed.fits is None


def test_what_cannot_be_seen_is_counted_to_be_careful() -> None:
    """Unknown grounds and clamps are counted as if they were there, and the assumption is said."""
    facts = {key: value for key, value in WALL.items() if key not in ("wall_ground", "wall_box_clamps")}
    wall = wall_box_fill(facts, REGIONS["us"], TABLES)
    assert wall.fill is not None
    assert wall.fill.required == 18
    assert {"a ground in every cable", "clamps inside the box"} <= set(wall.assumed)


def test_trade_sizes_stand_for_their_printed_volume_and_join_into_gangs() -> None:
    """A device box by its trade size has its table volume; two gangs of it are two joined boxes."""
    one = wall_box_fill(WALL | {"wall_box_volume": "3x2x2 1/2"}, REGIONS["us"], TABLES)
    two = wall_box_fill(WALL | {"wall_box_volume": "3x2x2 1/2", "wall_gangs": 2}, REGIONS["us"], TABLES)
    assert one.fill is not None
    assert two.fill is not None
    assert (one.fill.available, one.fill.fits) == (exact("12.5"), False)
    assert (two.fill.available, two.fill.fits) == (25, True)
    assert any("joined" in text for text in two.assumed)


def test_a_one_device_box_with_two_devices_is_looked_at_again() -> None:
    """A size that cannot hold two devices gives no verdict but a request to look again."""
    facts = WALL | {"wall_gangs": 2, "wall_box_volume": "4 x 2-1/8 x 1-7/8"}
    wall = wall_box_fill(facts, REGIONS["us"], TABLES)
    assert wall.fill is None
    assert "look at its size again" in wall.note


def test_an_unknown_canadian_device_depth_is_not_passed_over() -> None:
    """In Canada the depth decides: a tight box is neither passed nor failed, the greatest depth is said."""
    facts = WALL | {"wall_box_volume": "245 mL"}
    wall = wall_box_fill(facts, REGIONS["ca"], TABLES)
    assert wall.fill is not None
    assert wall.fill.fits is None
    assert any("deeper than" in remark for remark in wall.fill.remarks)
    shallow = wall_box_fill(facts, REGIONS["ca"], TABLES, device_depth=measure("25 mm", "length"))
    deep = wall_box_fill(facts, REGIONS["ca"], TABLES, device_depth=measure("40 mm", "length"))
    assert shallow.fill is not None
    assert deep.fill is not None
    assert shallow.fill.fits is True
    assert deep.fill.fits is False


def test_a_canadian_box_that_fails_with_any_device_says_so() -> None:
    """A box too small even for a shallow device does not fit, whatever the depth."""
    wall = wall_box_fill(WALL | {"wall_box_volume": "150 mL"}, REGIONS["ca"], TABLES)
    assert wall.fill is not None
    assert wall.fill.fits is False


@pytest.mark.parametrize("region", ["uk", "eu", "au_nz", "in"])
def test_the_wall_box_elsewhere_gets_the_local_words(region: str) -> None:
    """Outside North America no sum is made; the region's own sentence on boxes is given."""
    wall = wall_box_fill(WALL | {"wire_size": "1.5 mm2"}, REGIONS[region], TABLES)
    assert wall.fill is None
    assert wall.note == REGIONS[region].box_rule_text


def test_metric_wire_in_an_american_box_is_not_covered() -> None:
    """The US allowance table goes by AWG: metric wire gets no number."""
    wall = wall_box_fill(WALL | {"wire_size": "1.5 mm2"}, REGIONS["us"], TABLES)
    assert wall.fill is None
    assert "not covered here" in wall.note


def test_no_wall_box_no_sum() -> None:
    """A fan without a wall box needs no wall box sum."""
    assert wall_box_fill(WALL | {"wall_boxes": 0}, REGIONS["us"], TABLES).note == "There is no wall box."
