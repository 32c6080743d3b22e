"""Choosing a fan: the motor that a scheme needs, its size, the law, the year, and what to ask."""

from __future__ import annotations

from typing import Any

import pytest

from switchleg.advice.model import SchemeVerdict
from switchleg.advice.numbers.choosing import choosing_lines, is_choosing
from switchleg.figures.fan.placing import placing
from switchleg.knowledge.load import load

NEW: dict[str, Any] = {"region": "us", "fan_installed": False, "room_area": "160 ft2", "ceiling_height": "9 ft"}


def chosen(*parts: str, preparations: tuple[str, ...] = ()) -> SchemeVerdict:
    return SchemeVerdict(id="x", title="x", verdict="fits", parts=parts, preparations=preparations)


def texts(facts: dict[str, Any], scheme: SchemeVerdict | None) -> str:
    return " ".join(line.text for line in choosing_lines(load(), facts, scheme))


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        (("fan_speed_control", "light_on_off"), "A plain AC fan without a receiver"),
        (("combined_control",), "A plain AC fan without a receiver"),
        (("canopy_speed_module", "wall_button"), "a DC fan's driver must get full, steady power"),
        (("on_off_control_two_wire",), "lives on current through the motor"),
        (("radio_fan", "wall_button"), "A fan with built-in radio"),
        (("signal_bridge_unit", "wall_button"), "whose signals a bridge can repeat"),
        (("on_off_control",), "AC or DC: the control only switches power on and off"),
    ],
)
def test_the_scheme_says_which_motor_it_needs_and_why(parts: tuple[str, ...], words: str) -> None:
    """What shapes or borrows power wants a plain AC motor; a contact, a bridge or a fan's own radio does not."""
    assert words in texts(NEW, chosen(*parts))


def test_no_scheme_that_shapes_power_ever_lets_a_dc_fan_be_bought() -> None:
    """For every control class with a speed output, the sentence says plain AC."""
    for control in load().controls.control:
        if any(channel.does == "speed" for channel in control.channel):
            assert texts(NEW, chosen(control.id)).startswith("A plain AC fan")


def test_size_law_and_year_are_told_from_published_figures() -> None:
    """Span by both guides, 0.65 D + 38.03 at its ends (10 CFR 430.32), 84.8 kWh of a published AC sheet."""
    told = texts(NEW, None)
    assert "blade span 44 to 54 in" in told
    assert f"standard {0.65 * 44 + 38.03:.1f} to {0.65 * 54 + 38.03:.1f} cfm/W" in told
    assert "a rod of 6 to 12 in" in told
    assert "plain AC 84.8 kWh, 10.18 USD" in told


def test_every_figure_for_the_buyer_bears_its_edition_and_source() -> None:
    """Span, law, rod and year: each has its edition and its source beneath it; law and year their sums as well."""
    told = [line for line in choosing_lines(load(), NEW, None) if line.under]
    assert len(told) == 4
    assert all(any(one.startswith(word) for one in line.under) for line in told for word in ("Edition:", "Source:"))
    beneath = "\n".join(one for line in told for one in line.under)
    assert "0.65 x 44 + 38.03 = 66.63 cfm/W" in beneath
    assert "plain AC: together: 84.83 kWh a year" in beneath
    assert "10 CFR 430.32(s)" in beneath


@pytest.mark.parametrize("region", ["ca", "uk", "eu", "au_nz", "in"])
def test_no_american_law_or_price_elsewhere(region: str) -> None:
    """Elsewhere neither the federal minimum nor the label's dollars are told."""
    told = texts({**NEW, "region": region}, None)
    assert "by law" not in told
    assert "USD" not in told


def test_what_to_ask_follows_from_what_is_bought() -> None:
    """A bridge asks for the remote, a plain fan for its capacitor, a damp place for its listing."""
    assert "infrared" in texts(NEW, chosen("signal_bridge_unit"))
    assert "infrared" not in texts(NEW, chosen("fan_speed_control"))
    assert "capacitor" in texts(NEW, chosen("fan_speed_control"))
    assert "lead of its own at mains voltage" not in texts({**NEW, "light_kit": "none"}, None)
    assert "damp or wet" in texts({**NEW, "place_rating_needed": "damp"}, None)
    assert "power cut" in texts(NEW, None)


@pytest.mark.parametrize(
    ("facts", "scheme", "choosing"),
    [
        ({"fan_installed": True, "may_replace_fan": False}, None, False),
        ({"fan_installed": True, "may_replace_fan": True}, None, True),
        ({"fan_installed": True, "may_replace_fan": True}, chosen("combined_control"), False),
        ({"fan_installed": True}, chosen("combined_control", preparations=("replace_fan_ac",)), True),
        ({"fan_installed": False}, chosen("combined_control"), True),
    ],
)
def test_nobody_is_sold_a_fan_that_is_not_needed(
    facts: dict[str, Any], scheme: SchemeVerdict | None, choosing: bool
) -> None:
    """The section stands only where no fan hangs, this one goes, or may go while nothing is settled."""
    assert is_choosing(facts, scheme) is choosing
    assert bool(texts({**NEW, **facts}, scheme)) is choosing


def test_span_and_rod_are_told_once() -> None:
    """Whoever tells span and rod apart leaves them out of the room's own lines."""
    assert len(placing(NEW, load().tables)) == 2
    assert placing(NEW, load().tables, size=False) == ()
