"""What works from the wall with phone, hub and network down: promised where it is so, and nowhere else."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator

import pytest
from test_stories import STORIES, told
from wiring_world import FANS, bench, houses

from switchleg.advice.card.build import build_card
from switchleg.advice.compare import compare
from switchleg.advice.model import Advice, SchemeVerdict
from switchleg.advice.plans.keeps import keeps
from switchleg.advice.plans.plan import Obstacle, Plan, setting, wirings
from switchleg.advice.plans.wall_control import GRADES, grade, reaches
from switchleg.advice.work import beforehand
from switchleg.advice.work.shopping import parts_to_buy
from switchleg.command.saved.card_text import card_text
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load
from switchleg.wiring.netlist import Terminal
from switchleg.wiring.positions import positions
from switchleg.wiring.solve import solve

PROMISE = "phone or no phone"


def plans(count: int) -> Iterator[tuple[str, Plan]]:
    """So many plans, of every way in turn, in houses and with fans drawn by lot."""
    draw = random.Random(5)
    ways = [(scheme.id, way) for scheme in load().schemes.scheme for way in scheme.way]
    stock = (*houses(), *houses(has_light=False))
    found = 0
    while found < count:
        scheme, way = ways[found % len(ways)]
        house, fan = draw.choice(stock), draw.choice(FANS)
        fed = setting(way, house, fan)
        if isinstance(fed, Obstacle) or (fan.light == "none") == house.has_light:
            continue
        made, _ = wirings(way, house, fed, bench(), may_pull=True)
        if made:
            found += 1
            wired, new = draw.choice(made)
            yield scheme, Plan(way, fan, wired, house, new, fed.light_moved, fed.receiver_kept)


def hand_works(plan: Plan, load_id: str) -> bool:
    """Whether somebody at the wall, everything networked left as it is, gives a load its voltage and takes it away."""
    fed = load_id if any(part.id == load_id for part in plan.wired.parts) else "fan"
    by_rest: dict[object, set[bool]] = {}
    by_hand = {key for state in positions(plan.wired, bench(), by="hand") for key in state}
    for state in positions(plan.wired, bench()):
        solution = solve(plan.wired, bench(), state)
        live = solution.across(Terminal(fed, "hot"), Terminal(fed, "neutral")) > bench().volts / 4
        rest = frozenset((key, value) for key, value in state.items() if key not in by_hand)
        by_rest.setdefault(rest, set()).add(live)
    return any(len(seen) == 2 for seen in by_rest.values())


def test_wired_is_what_a_hand_at_the_wall_does() -> None:
    """Over every way: what is called wired is switched by hands alone in the solved circuit, and nothing else is."""
    seen: Counter[str] = Counter()
    for scheme, plan in plans(160):
        for name, reach in reaches(plan, bench()).items():
            assert (reach == "wired") == hand_works(plan, name), (scheme, plan.way.id, name, plan.fan)
            seen[reach] += 1
    assert set(seen) == set(GRADES)


def test_the_wish_is_met_where_the_wall_works_something() -> None:
    """`want_wall_control` stays what it was: true wherever the grade is above 0."""
    for _, plan in plans(160):
        reached = reaches(plan, bench())
        assert keeps(plan, bench())["want_wall_control"] is ((grade(reached) or 0) > 0)
    assert grade({}) is None
    assert grade({"fan": "none", "light": "none"}) == 0
    assert grade({"fan": "none", "light": "wired"}) == 3
    assert grade({"fan": "hub", "light": "wired"}) == 1


def of(scheme: str, *, grade: int) -> tuple[str, Advice, SchemeVerdict]:
    """The first story in which a scheme is recommended with this grade."""
    for story in STORIES:
        advice = told(story.name)
        if advice.recommendation and advice.recommendation.scheme == scheme:
            chosen = next(one for one in advice.schemes if one.id == scheme)
            if chosen.wall_control_grade == grade:
                return story.name, advice, chosen
    raise AssertionError(scheme)


@pytest.mark.parametrize(
    ("scheme", "graded", "says", "says_not"),
    [
        ("signal_bridge", 1, "a button at the wall works it only while the hub runs", ""),
        ("smart_fan", 2, "a battery button does only if it pairs with the fan itself", "while the hub runs"),
        ("canopy_relay", 2, "a wall control works for everybody, phone or no phone", "while the hub runs"),
        ("canopy_speed", 2, "a wall control works for everybody, phone or no phone", "while the hub runs"),
        ("wall_speed_and_light", 3, "a wall control works for everybody, phone or no phone", "while the hub runs"),
        ("wall_switch_all", 3, "a wall control works for everybody, phone or no phone", "while the hub runs"),
    ],
)
def test_the_card_promises_what_the_wall_does(scheme: str, graded: int, says: str, says_not: str) -> None:
    """Card, comparison and JSON of every kind of scheme say for whom the wall control works."""
    name, advice, chosen = of(scheme, grade=graded)
    facts = parse_facts(load(), next(one for one in STORIES if one.name == name).facts(), name)
    card = " ".join(card_text(build_card(load(), facts, advice)).split())
    kept = next(one for one in compare(load(), facts, advice) if one.id == scheme).kept
    assert advice.model_dump(mode="json")["recommendation"]["wall_control_grade"] == graded
    assert chosen.keeps["want_wall_control"] is True
    for told_there in (card, " ".join(kept)):
        assert says in told_there
        assert not says_not or says_not not in told_there
    if graded == 1 and "wired" not in chosen.wall_control.values():
        assert PROMISE not in card


def test_a_light_on_its_switch_beside_a_bridge_is_told_apart() -> None:
    """The light's wired switch works for everybody; the fan's button only while the hub runs."""
    advice = told("fan always live, light on the switch, DC fan: the bridge, and the light keeps its switch")
    chosen = next(one for one in advice.schemes if one.id == "signal_bridge")
    assert chosen.wall_control == {"fan": "hub", "light": "wired"}
    want = next(one for one in load().schemes.want if one.id == "want_wall_control")
    assert want.kept_words(chosen.wall_control) == (
        "for the fan, a button at the wall works it only while the hub runs; "
        "for the light, a wall control works for everybody, phone or no phone"
    )


@pytest.mark.parametrize(
    ("scheme", "graded", "step", "part"),
    [
        ("signal_bridge", 1, "While the hub is down it does nothing", "works the bridge"),
        ("canopy_relay", 2, "unplug the hub and try it", "pairs with the fan's module itself"),
        ("smart_fan", 2, "Fix the fan's own remote", "The new fan's own remote"),
    ],
)
def test_the_button_is_bought_and_paired_for_what_it_must_do(scheme: str, graded: int, step: str, part: str) -> None:
    """The step that pairs it and the line that buys it ask for a direct pairing where one is promised."""
    name, advice, chosen = of(scheme, grade=graded)
    facts = parse_facts(load(), next(one for one in STORIES if one.name == name).facts(), name)
    steps = [one for one in beforehand.after(load(), chosen) if one.startswith("Battery wall button")]
    assert len(steps) == 1
    assert step in steps[0]
    assert steps[0] in " ".join(card_text(build_card(load(), facts, advice)).split())
    assert sum(part in line for line in parts_to_buy(load(), facts, chosen)) == 1
