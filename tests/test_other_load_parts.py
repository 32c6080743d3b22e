"""What hangs on a leg beside the fan is added to what the new part in that leg must bear, and to no other part."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from switchleg.advice.advise import advise
from switchleg.advice.card.build import build_card, parts_lines
from switchleg.advice.model import Advice, SchemeVerdict
from switchleg.advice.numbers.loads import load_sheets
from switchleg.advice.work.shopping import parts_to_buy
from switchleg.home.shopping import home_parts
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load

SETS: dict[str, dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "stories" / "fact_sets.toml").read_text(encoding="utf-8")
)
LAMPS = {"acts_on_other_loads": True, "other_load_kind": "lamps", "other_load_amps": "1.5 A", "wall_cables": 3}
FIGURES = {"fan_amps": "0.6 A", "light_kit": "lamps", "lamp_kind": "led", "light_watts": "27 W"}
ON_OFF = ("sound", "wiring_b", "fan_ac_chain", "wish_on_off")


def house(*sets: str, **but: Any) -> tuple[dict[str, Any], Advice]:
    raw: dict[str, Any] = {}
    for name in sets:
        raw |= SETS[name]
    facts = dict(parse_facts(load(), {**raw, **FIGURES, **but}, "test"))
    return facts, advise(load(), facts)


def lines(facts: dict[str, Any], advice: Advice) -> list[str]:
    return list(parts_to_buy(load(), facts, chosen_of(advice)))


def chosen_of(advice: Advice) -> SchemeVerdict:
    assert advice.recommendation is not None
    return next(scheme for scheme in advice.schemes if scheme.id == advice.recommendation.scheme)


def test_other_lamps_are_added_to_the_part_on_their_wire() -> None:
    """0.6 A of fan, 27 W of lamps at 120 V, which is 0.225 A, and 1.5 A: 2.325 A, rounded up as loads are."""
    facts, advice = house(*ON_OFF, **LAMPS)
    line = next(text for text in lines(facts, advice) if text.startswith("One on/off wall control"))
    assert "marked for LED lamps, 27 W or more, and 1.5 A of the other lamps on the same wire, 2.33 A in all." in line
    told = [text.text for text in parts_lines(load(), facts, chosen_of(advice))]
    assert any("and 1.5 A of the other lamps on the same wire" in text for text in told)


def test_without_another_load_nothing_is_added() -> None:
    """The same house with nothing else on its leg."""
    facts, advice = house(*ON_OFF)
    assert not any("same wire" in text or "in all" in text for text in lines(facts, advice))


def test_the_part_on_the_other_leg_bears_nothing_of_it() -> None:
    """Lamps on the light's leg: its control bears them, 0.225 A and 1.5 A; the fan's control does not."""
    facts, advice = house(
        "sound", "wiring_a", "fan_ac_chain", "wish_everything", **LAMPS, other_load_works_with="light",
        want_light_dimming="no",
    )  # fmt: skip
    told = {text.split(":")[0]: text for text in lines(facts, advice)}
    assert "and 1.5 A of the other lamps on the same wire, 1.73 A in all." in told["One on/off light control"]
    assert "same wire" not in told["One fan-speed control"]


def test_what_was_not_told_is_to_be_found_out() -> None:
    """A part that works something else names it as open as long as kind or amperes are."""
    facts, advice = house(*ON_OFF, **LAMPS)
    chosen = chosen_of(advice)
    kind_only = {fact: value for fact, value in facts.items() if fact != "other_load_amps"}
    text = " ".join(parts_to_buy(load(), kind_only, chosen))
    assert "strong enough for the other lamps on the same wire (find out first" in text
    neither = {fact: value for fact, value in kind_only.items() if fact != "other_load_kind"}
    text = " ".join(parts_to_buy(load(), neither, chosen))
    assert "strong enough for what else hangs on the same wire (find out first" in text
    assert "in all" not in text


def test_a_sum_is_told_only_when_all_of_it_is_known() -> None:
    """With the lamps' watts unknown the other load is said and no sum."""
    facts, advice = house(*ON_OFF, **LAMPS)
    del facts["light_watts"]
    text = " ".join(lines(facts, advice))
    assert "and 1.5 A of the other lamps on the same wire." in text
    assert "in all" not in text


def test_two_fans_of_a_home_are_not_bought_the_same_part() -> None:
    """A control that bears other lamps too is an article of its own."""
    plain, loaded = house(*ON_OFF), house(*ON_OFF, **LAMPS)
    bought = home_parts(load(), [("Attic", *plain), ("Parlour", *loaded)]).buy
    controls = [article for article in bought if "on/off wall control" in article.text]
    assert [(article.count, article.fans) for article in controls] == [(1, ("Attic",)), (1, ("Parlour",))]


def test_the_numbers_reckon_with_it() -> None:
    """NEC 210.20(A), a long load: 0.6 + 0.225 + 1.5 = 2.33 A against 80 % of 15 A; the marks' sheet names it too."""
    facts, advice = house(*ON_OFF, **LAMPS)
    region = load().regions["us"]
    sheets = {one.id: one for one in load_sheets(load(), facts, region, chosen_of(advice), "ac")}
    assert any(
        "2.33 A against 80 % of 15 A" in line
        for line in (*sheets["whole-circuit"].lines, sheets["whole-circuit"].verdict)
    )
    assert "It also bears 1.5 A of the other lamps on the same wire." in sheets["marks-on-off-control"].verdict


def test_what_goes_without_saying_is_known_on_the_card() -> None:
    """Amperes told of something that the cables leave no room for: the card names what disagrees."""
    raw = {fact: value for name in ON_OFF for fact, value in SETS[name].items() if fact != "acts_on_other_loads"}
    facts = dict(parse_facts(load(), {**raw, "other_load_amps": "0.5 A"}, "test"))
    advice = advise(load(), facts)
    assert advice.contradictions
    assert any(
        "work something else" in line.text
        for section in build_card(load(), facts, advice).sections
        for line in section.lines
    )
