"""The function table on a card: its rows against what the words themselves say."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from switchleg.advice.advise import advise
from switchleg.advice.cases import open_cases
from switchleg.advice.model import FunctionRow
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load

SETS = tomllib.loads((Path(__file__).parent / "stories" / "fact_sets.toml").read_text(encoding="utf-8"))
CASES = [
    ("wiring_a", "fan_ac_chain", "wish_everything"),
    ("wiring_b", "fan_dc", "wish_on_off"),
    ("wiring_c", "fan_ac_chain", "wish_everything"),
    ("wiring_e", "fan_ac_receiver", "wish_on_off"),
    ("wiring_g", "fan_tapped", "wish_some"),
    ("wiring_h", "fan_ac_chain", "wish_everything"),
]


def rows(*sets: str) -> list[tuple[str, tuple[FunctionRow, ...]]]:
    facts = {key: value for name in ("sound", *sets) for key, value in SETS[name].items()}
    told = advise(load(), parse_facts(load(), facts, "story"))
    return [(scheme.id, scheme.functions) for scheme in told.schemes if scheme.functions]


@pytest.mark.parametrize("sets", CASES, ids=" ".join)
def test_no_row_says_two_things_of_one_position(sets: tuple[str, ...]) -> None:
    """No two rows tell of the same positions, and a load is slow or dim only where something is told to be low."""
    for scheme, table in rows(*sets):
        assert len({row.positions for row in table}) == len(table), scheme
        for row in table:
            low = any("low" in position for position in row.positions)
            assert (row.fan == "slow" or row.light == "dim") == low, (scheme, row)


def test_the_rows_of_a_module_beside_a_switch() -> None:
    """A module for the fan beside the light's present switch: four positions, a lower step, each chain at off."""
    table = dict(rows(*CASES[2]))["canopy_speed"]
    assert [(row.fan, row.light) for row in table] == [
        ("off", "off"),
        ("off", "on"),
        ("on", "off"),
        ("on", "on"),
        ("slow", "on"),
        ("off", "on"),
        ("on", "off"),
    ]
    assert all(row.online for row in table)


def test_what_was_judged_before_changes_no_row() -> None:
    """The same fan told of without its light's chain first, then with it, has the chain in its rows."""
    facts = {key: value for name in ("sound", *CASES[2]) for key, value in SETS[name].items()}
    with_chain = parse_facts(load(), facts, "story")
    _forget()
    alone = advise(load(), with_chain)
    _forget()
    advise(load(), {**with_chain, "pull_chain_light": False})
    assert advise(load(), with_chain) == alone


def _forget() -> None:
    open_cases._open_cases.cache_clear()
    open_cases._judge.cache_clear()
    open_cases._drawer.cache_clear()
