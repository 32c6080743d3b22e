"""A small fixed sample of simulated people, and the figures that scoring rests on. The whole: tests/simulate.py."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from simulation.hearing import Heard, heard_from
from simulation.houses import draw, lay
from simulation.judge import Truth
from simulation.outcome import judged, misread, rests_on
from simulation.people import Case, draw_case, plain_answers
from simulation.score import Tally, bounds, people
from wiring_world import bench, feed_ends, houses, referee

from switchleg.diagnosis.houses.agreement import COMPARED, agrees, disagreeing
from switchleg.diagnosis.houses.comparison import Columns
from switchleg.knowledge.load import load
from switchleg.schema.questions import CARD
from switchleg.tree.walk import walk

SAMPLE = 40


@cache
def sample(slip: float, cant_tell: float, many: int = SAMPLE) -> Tally:
    return people(load(), 11, 0, many, slip, cant_tell)


def told(tally: Tally, kind: str) -> str:
    return "\n".join(text for of, text in tally.notes if of == kind)


def test_nothing_unsafe_for_people_who_answer_right() -> None:
    """Who answers every question rightly gets no recommendation that his own house forbids."""
    tally = sample(0.0, 0.0)
    assert tally.count["unsafe"] == tally.count["danger unlooked"] == 0, told(tally, "unsafe")


def test_nothing_wrong_for_people_who_answer_right() -> None:
    """Who answers every question rightly gets what is best in his house, or is told what is open; seldom less."""
    tally = sample(0.0, 0.0)
    assert tally.count["wrong"] == 0, told(tally, "wrong")
    assert tally.count["right"] + tally.count["right but for a preparation"] >= 0.75 * SAMPLE, tally.count


def test_the_true_motor_is_never_lost() -> None:
    """Right answers never strike out the motor that truly hangs there."""
    assert sample(0.0, 0.0).count["motor lost"] == 0


def test_slips_and_blind_looks_make_people_wait_rather_than_go_wrong() -> None:
    """With one look in twenty wrong and one in five untold, far more people are told to look again than go unsafe."""
    tally = sample(0.05, 0.2, SAMPLE // 2)
    held = tally.count["abstained"] + tally.count["contradiction"]
    assert held > 5 * tally.count["unsafe"], told(tally, "unsafe")


def test_an_unsafe_advice_names_the_misread_answer_it_rests_on() -> None:
    """Of two misread answers the one is named that, put right alone, makes the advice safe."""
    drawn = (draw_case(random.Random(seed)) for seed in range(400))
    told = (case for case in drawn if case.facts["circuits_in_box"] == 2 and case.facts["wall_boxes"])
    case = next(case for case in told if Truth(load(), case).stops == ["other_circuits_in_box"] and _decided(case))
    said = {"circuits_in_box": 1, "wall_ground": not case.facts["wall_ground"]}
    tree = load().tree
    replies = {
        at: reply.model_copy(update={"value": said[tree.nodes[at].fact]})  # type: ignore[union-attr]
        if getattr(tree.nodes[at], "fact", "") in said
        else reply
        for at, reply in plain_answers(load(), case).items()
    }
    heard = heard_from(load(), replies, lambda *_: None)
    assert judged(load(), heard.walk, heard.decision, Truth(load(), case))[1] == ("stop missed: other_circuits_in_box",)
    assert set(misread(load(), case, heard.walk)) == set(said)
    assert rests_on(load(), case, heard) == ("circuits_in_box",)


def _decided(case: Case) -> bool:
    """Whether all but the danger is settled by true answers, so that denying it leads to a recommendation."""
    replies = plain_answers(load(), Case(case.recipe, case.fan, {**case.facts, "circuits_in_box": 1}))
    return heard_from(load(), replies, lambda *_: None).decision.status == "recommended"


def test_a_part_that_bears_too_little_is_unsafe() -> None:
    """Told the truth about the lamps on the leg it is safe; where an outlet or more lamps hang there, it is not."""

    def unsafe(case: Case, heard: Heard, **true: str) -> str:
        there = replace(case, facts={**case.facts, **true})
        return " ".join(judged(load(), heard.walk, heard.decision, Truth(load(), there))[1])

    drawn = (draw_case(random.Random(seed)) for seed in range(250, 900))
    lit = (case for case in drawn if case.facts.get("other_load_kind") == "lamps")
    told = ((case, heard_from(load(), plain_answers(load(), case), lambda *_: None, everything=True)) for case in lit)
    sound = ((case, heard) for case, heard in told if heard.decision.status == "recommended")
    case, heard = next(one for one in sound if unsafe(*one, other_load_kind="outlet"))
    assert not unsafe(case, heard)
    assert "not marked for the other load" in unsafe(case, heard, other_load_kind="outlet")
    assert "too weak for the other lamps" in unsafe(case, heard, other_load_amps="9 A")


def test_drawn_houses_work_as_said() -> None:
    """In every drawn house nothing is shorted in any position, and every load can be fed."""
    rng = random.Random(3)
    for _ in range(60):
        wired = lay(draw(rng, light=rng.random() < 0.8))
        assert wired is not None
        assert set(feed_ends(wired)) == {"HOT", "NEUTRAL"}
        switches = [p for p in wired.parts if p.control in ("plain_switch", "plain_two_way")]
        keys = [(p.id, "throw" if p.control == "plain_two_way" else "on") for p in switches]
        on: Counter[str] = Counter()
        for number in range(2 ** len(keys)):
            short, loads = referee(wired, {key: number >> place & 1 for place, key in enumerate(keys)})
            assert not short
            on.update(load for load, reached in loads.items() if all(reached))
        assert set(on) == {p.id for p in wired.parts if p.id in ("fan", "light")}


def test_comparing_all_at_once_is_comparing_one_by_one() -> None:
    """The columns strike out and blame just what each candidate by itself would."""
    stock, knowledge = houses(), load()
    columns = Columns(stock, bench())
    for number in range(6):
        facts = walk(knowledge.tree, plain_answers(knowledge, draw_case(random.Random(number)))).facts
        used = {f: v for f, v in facts.items() if f in COMPARED}
        assert list(map(id, columns.left(used))) == [id(h) for h in stock if agrees(h, used, bench())]
        slow: Counter[frozenset[str]] = Counter()
        for house in stock:
            slow[disagreeing(house, used, bench())] += house.p  # type: ignore[assignment]
        assert columns.against(used) == pytest.approx(dict(slow))


def test_everybody_reaches_the_card() -> None:
    """Replies made beforehand lead everybody through the real tree to its end."""
    knowledge = load()
    for number in range(40):
        case = draw_case(random.Random(number))
        assert walk(knowledge.tree, plain_answers(knowledge, case)).at == CARD


@pytest.mark.parametrize(("hits", "of", "low", "high"), [(0, 300, 0.0, 0.01222), (1, 10, 0.0025, 0.4450)])
def test_exact_bounds(hits: int, of: int, low: float, high: float) -> None:
    """Exact binomial bounds: none of 300 is 1 - 0.025^(1/300); 1 of 10 stands in tables (from memory)."""
    assert bounds(hits, of) == (pytest.approx(low, abs=1e-4), pytest.approx(high, abs=1e-4))
