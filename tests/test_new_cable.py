"""A plan with a new cable: nothing of the old cable is in it, and the old one comes out."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from test_stories import SETS

from switchleg.advice.advise import advise
from switchleg.advice.card.drawings import pictures
from switchleg.advice.model import SchemeVerdict
from switchleg.advice.numbers.sheets import number_sheets
from switchleg.command.main import main as switchleg
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load
from switchleg.wiring.drawing.model import Group
from switchleg.wiring.drawing.text import draw_text

ONE_DROP = ("sound", "metric", "wiring_b", "fan_ac_chain", "wish_everything")
"""Feed at the wall, a drop of two conductors: one leg for fan and light."""
LOOP = ("sound", "metric", "wiring_c", "fan_ac_chain", "wish_everything")
"""Feed at the ceiling, a loop of two conductors."""
PULLED = "wall_combined"
REGIONS = ("us", "ca", "uk", "eu", "au_nz", "in")
AMERICAN = {"wire_size": "14 AWG", "breaker": "15 A"}


@cache
def said(region: str, sets: tuple[str, ...]) -> dict[str, Any]:
    facts: dict[str, Any] = {}
    for name in sets:
        facts |= SETS[name]
    facts |= {"region": region, "may_pull_cable": True} | (AMERICAN if region in ("us", "ca") else {})
    if sets == LOOP and region not in ("us", "ca"):
        facts.pop("white_on_control")
    return dict(parse_facts(load(), facts, region))


@cache
def pulled(region: str, sets: tuple[str, ...]) -> SchemeVerdict:
    advice = advise(load(), said(region, sets))
    found = next(one for one in advice.schemes if one.id == PULLED)
    assert "pull_new_cable" in found.preparations
    return found


EACH = pytest.mark.parametrize(("region", "sets"), [(r, s) for r in REGIONS for s in (ONE_DROP, LOOP)])


@EACH
def test_the_old_cable_comes_out_of_both_boxes(region: str, sets: tuple[str, ...]) -> None:
    """Every wire that is parted from it is called the old cable's, and in each box it is drawn out or capped."""
    parted = [s for s in pulled(region, sets).steps if s.kind == "take_apart"]
    assert {s.box for s in parted if s.text.startswith("Draw the old cable")} == {"wall", "ceiling"}
    between = [s.text for s in parted if "cable to the" in s.text]
    assert len(between) > 4
    assert all(text.count("cable to the") == text.count("old cable to the") for text in between)


@EACH
def test_nothing_of_the_old_cable_is_joined_again(region: str, sets: tuple[str, ...]) -> None:
    """What is joined or left joined names the new cable; none of its wires was live, spare or left over today."""
    chosen = pulled(region, sets)
    made = [s.text for s in chosen.steps if s.kind in ("join", "leave")]
    assert any("new cable to the" in text for text in made)
    assert not any("old cable" in text for text in made)
    assert not any("cable to the" in s.text and "was live until today" in s.text for s in chosen.steps)
    assert not {"use_spare_conductor", "cap_unused"} & set(chosen.preparations)
    told = [end for box in chosen.plan or () for splice in box.splices for end in splice.ends]
    assert any("new cable" in end for end in told)
    assert all("new cable" in end for end in told if "cable to the" in end)


@EACH
def test_the_drawing_shows_which_cable_is_new(region: str, sets: tuple[str, ...]) -> None:
    """The new cable is titled and all its ends are marked new; the old one stands among what is taken out."""
    drawn = pictures(load(), said(region, sets), PULLED)
    assert drawn.new is not None
    assert not any("old cable" in t for box in drawn.today.boxes for t in box.taken_out)
    for box in drawn.new.boxes:
        assert any("old cable" in title for title in box.taken_out)
        new = [group for group in box.groups if "new cable" in group.title]
        assert len(new) == 1
        assert _all_new(new[0])
    assert "Taken out: the old cable" in draw_text(drawn.new)


def _all_new(group: Group) -> bool:
    return bool(group.rows) and all(row.change == "new" for row in group.rows)


def test_the_wall_box_is_reckoned_with_the_new_cable() -> None:
    """Two 14/2 before, one of them 14/3 after: (4 or 5 wires + ground + clamps + device 2) x 2 in3 (NEC 314.16(B))."""
    facts = {**said("us", ONE_DROP), "wall_box_clamps": True, "wall_box_volume": "18 in3"}
    chosen = pulled("us", ONE_DROP)
    assert [(c.replaces, c.conductors) for c in chosen.new_cables] == [("run", 3)]
    needed = {s.id: s.numbers[0].amount for s in number_sheets(load(), facts, chosen) if s.id.startswith("wall-box")}
    assert needed == {"wall-box-today": 16, "wall-box-after": 18}
    fuller = {**facts, "wall_box_volume": "16 in3"}
    combined = next(one for one in advise(load(), fuller).schemes if one.id == PULLED)
    assert "larger_box" in combined.preparations


@pytest.mark.parametrize("region", ["uk", "eu"])
def test_the_command_tells_a_plan_with_a_new_cable(
    region: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file of facts in, the same verdict as JSON out, and a card; no fault is caught on the way."""
    path = tmp_path / "facts.toml"
    path.write_text("".join(f"{fact} = {json.dumps(value)}\n" for fact, value in said(region, ONE_DROP).items()))
    assert switchleg(["advise", str(path), "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    schemes = {one["id"]: one for one in printed["schemes"]}
    assert schemes[PULLED]["new_cables"] == [{"replaces": "run", "conductors": 3}]
    assert switchleg(["advise", str(path)]) == 0
    assert "Recommended" in capsys.readouterr().out
