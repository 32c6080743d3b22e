"""Schemes whose wiring does not work, added to the data: the tool finds each of them out, and says by which rule."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from switchleg.advice.advise import advise
from switchleg.advice.model import Advice
from switchleg.checking.references import check_parts
from switchleg.checking.scheme_trial import barren_ways
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import Knowledge, load
from switchleg.schema.schemes import Scheme

SETS = tomllib.loads((Path(__file__).parent / "stories" / "fact_sets.toml").read_text(encoding="utf-8"))
ONE_LEG_AND_A_SPARE = {**SETS["sound"], **SETS["wiring_g"], **SETS["fan_ac_chain"], **SETS["wish_on_off"]}
NO_LIGHT = {**ONE_LEG_AND_A_SPARE, **SETS["fan_ac_no_light"], "control_1_does": "fan"}
del NO_LIGHT["pull_chain_light"]

FED = {"line": "HOT", "neutral": "NEUTRAL"}
Parts = list[tuple[str, str, dict[str, str]]]

BAD: dict[str, tuple[str, str, str, Parts]] = {
    "hot_for_neutral": (
        "load_never_on",
        "FAN",
        "LIGHT",
        [
            ("fan_speed_control", "wall", {"line": "NEUTRAL", "neutral": "HOT", "load": "FAN"}),
            ("light_on_off", "wall", {**FED, "load": "LIGHT"}),
        ],
    ),
    "a_switch_onto_the_neutral": (
        "short",
        "FAN",
        "LIGHT",
        [
            ("on_off_control", "wall", {**FED, "load": "FAN"}),
            ("plain_switch", "wall", {"line": "FAN", "load": "NEUTRAL"}),
            ("light_on_off", "wall", {**FED, "load": "LIGHT"}),
        ],
    ),
    "a_module_behind_a_switch": (
        "electronics_lose_power",
        "MODULE_FAN",
        "MODULE_LIGHT",
        [
            ("plain_switch", "wall", {"line": "HOT", "load": "BOTH"}),
            (
                "canopy_speed_module",
                "ceiling",
                {"line": "BOTH", "neutral": "NEUTRAL", "fan": "MODULE_FAN", "light": "MODULE_LIGHT"},
            ),
        ],
    ),
    "electronics_without_a_neutral": (
        "electronics_lose_power",
        "BOTH",
        "BOTH",
        [("on_off_control", "wall", {"line": "HOT", "load": "BOTH"})],
    ),
    "the_ground_for_a_neutral": (
        "ground_carries",
        "BOTH",
        "BOTH",
        [("on_off_control", "wall", {"line": "HOT", "neutral": "GROUND", "load": "BOTH"})],
    ),
    "a_switched_neutral": (
        "electronics_lose_power",
        "BOTH",
        "BOTH",
        [
            ("plain_switch", "wall", {"line": "NEUTRAL", "load": "N2"}),
            ("on_off_control", "wall", {"line": "HOT", "neutral": "N2", "load": "BOTH"}),
        ],
    ),
    "a_leg_misspelt": (
        "load_never_on",
        "FAN",
        "LIGTH",
        [
            ("on_off_control", "wall", {**FED, "load": "FAN"}),
            ("light_on_off", "wall", {**FED, "load": "LIGHT"}),
        ],
    ),
    "an_input_on_the_hot": (
        "input_not_switched",
        "BOTH",
        "BOTH",
        [("relay_module", "wall", {**FED, "load": "BOTH", "sense": "HOT"})],
    ),
    "a_switch_that_nothing_hears": (
        "control_without_effect",
        "BOTH",
        "BOTH",
        [
            ("plain_switch", "wall", {"line": "HOT", "load": "SENSE"}),
            ("relay_module", "wall", {**FED, "load": "BOTH"}),
        ],
    ),
    "a_control_with_a_joint_round_it": (
        "control_without_effect",
        "BOTH",
        "BOTH",
        [
            ("on_off_control", "wall", {**FED, "load": "BOTH"}),
            ("wall_joint", "wall", {"one": "HOT", "other": "BOTH"}),
        ],
    ),
    "outputs_exchanged": (
        "output_feeds_wrong_load",
        "FAN",
        "LIGHT",
        [("combined_control", "wall", {**FED, "fan": "LIGHT", "light": "FAN"})],
    ),
    "a_two_wire_control_behind_another": (
        "line_load_reversed",
        "BOTH",
        "BOTH",
        [
            ("on_off_control_two_wire", "wall", {"line": "HOT", "load": "X"}),
            ("on_off_control_two_wire", "wall", {"line": "X", "load": "BOTH"}),
        ],
    ),
}
"""Name -> the rule that finds it out, what feeds fan and light, the parts with their nets."""

SIDE_BY_SIDE: Parts = [("fan_speed_control", "wall", {**FED, "load": "BOTH"})] * 2


def scheme(name: str, fan_from: str, light_from: str, parts: Parts) -> Scheme:
    """A scheme with one way, so little trouble that it would be liked best."""
    made = [{"control": control, "place": place, "nets": nets} for control, place, nets in parts]
    way = {"id": "way", "says": "x", "receiver": "either", "fan_from": fan_from, "light_from": light_from}
    return Scheme.model_validate(
        {"id": name, "title": "x", "says": "x", "work": 0, "sources": ["practice"], "way": [way | {"part": made}]}
    )


def knowing(*schemes: Scheme, beside: bool = True) -> Knowledge:
    known = load()
    file = known.schemes.model_copy(update={"scheme": (*(known.schemes.scheme if beside else ()), *schemes)})
    return replace(known, schemes=file)


@cache
def verdicts() -> tuple[Advice, Advice]:
    """With every bad scheme among the others: one leg and a spare; the same without a light."""
    added = [scheme(name, fan, light, parts) for name, (_, fan, light, parts) in BAD.items()]
    good = scheme("new_names", "FAN_LEAD", "LIGHT_LEAD", _new_names())
    known = knowing(*added, scheme("side_by_side", "BOTH", "NONE", SIDE_BY_SIDE), good)
    told = [advise(known, parse_facts(known, facts, "story")) for facts in (ONE_LEG_AND_A_SPARE, NO_LIGHT)]
    return told[0], told[1]


def _new_names() -> Parts:
    return [
        ("on_off_control", "wall", {**FED, "load": "FAN_LEAD"}),
        ("light_on_off", "wall", {**FED, "load": "LIGHT_LEAD"}),
    ]


@pytest.mark.parametrize("name", BAD)
def test_a_scheme_that_does_not_work_is_ruled_out(name: str) -> None:
    """A scheme whose wiring does not work is ruled out by the electrical rule it breaks, however little work it is."""
    told = next(s for s in verdicts()[0].schemes if s.id == name)
    assert told.verdict == "ruled_out"
    assert BAD[name][0] in {reason.rule for reason in told.reasons}


def test_two_speed_controls_on_one_motor_are_ruled_out() -> None:
    """Two outputs that step the power never meet on one leg (control sheets: one control works one fan alone)."""
    told = next(s for s in verdicts()[1].schemes if s.id == "side_by_side")
    assert (told.verdict, {reason.rule for reason in told.reasons}) == ("ruled_out", {"outputs_meet"})


def test_bad_schemes_change_nothing_for_the_others() -> None:
    """Beside bad schemes the recommendation is the one that stands without them."""
    for told, facts in zip(verdicts(), (ONE_LEG_AND_A_SPARE, NO_LIGHT), strict=True):
        alone = advise(load(), parse_facts(load(), facts, "story"))
        assert told.recommendation == alone.recommendation is not None


def test_a_scheme_may_name_its_own_legs() -> None:
    """A sound scheme with legs of its own naming is planned, and told of in words."""
    told = next(s for s in verdicts()[0].schemes if s.id == "new_names")
    assert told.verdict == "fits_with_preparation"
    assert "the fan lead leg" in {splice.net for box in told.plan or () for splice in box.splices}


def test_a_part_stands_where_it_may() -> None:
    """`check` finds a wall control that a scheme puts into the canopy."""
    up_there = scheme("up", "FAN", "FAN", [("on_off_control", "ceiling", {**FED, "load": "FAN"})])
    known = knowing(up_there)
    models = {"schemes.toml": known.schemes, "controls.toml": known.controls}
    assert [p.key for p in check_parts(models, ())] == ["scheme.up.way.way.part.1.place"]


def test_check_names_every_way_that_works_nowhere() -> None:
    """Tried in every candidate house with every kind of fan, exactly the bad schemes work nowhere, and why is said."""
    bad = {"a_switch_onto_the_neutral": "hot and neutral would meet", "an_input_on_the_hot": "follow the wall switch"}
    added = [scheme(name, *BAD[name][1:]) for name in bad]
    known = knowing(*added, scheme("new_names", "FAN_LEAD", "LIGHT_LEAD", _new_names()), beside=False)
    barren = {one.scheme: one.reason for one in barren_ways(known, known.regions["us"])}
    assert set(barren) == set(bad)
    for name, reason in barren.items():
        assert bad[name] in reason.lower()
