"""A stop that nobody could tell is never passed over in silence: it is named, asked for, and not enough is known."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest
from command_paths import session
from fan_world import CHOICES, SOUND, go
from test_stories import SETS, STORIES, Story

from switchleg.advice.advise import advise
from switchleg.advice.card.build import build_card
from switchleg.advice.cases.dangers import open_dangers
from switchleg.advice.looks.worth_asking import looks_only
from switchleg.advice.model import Advice
from switchleg.advice.numbers import safety
from switchleg.advice.verdict.decide import decide
from switchleg.command.facts_file import read_facts
from switchleg.errors import SwitchlegError
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value
from switchleg.tree.conditions import all_hold
from switchleg.units.reading import parse_measure

Facts = Mapping[str, Value]

WHOLE: dict[str, Value] = {
    **SETS["sound"],
    **SETS["wiring_a"],
    **SETS["fan_ac_chain"],
    **SETS["wish_everything"],
    "wall_box_volume": "34 in3",
    "wall_box_clamps": False,
}
"""A house in which all is told that could stop the work or change what is recommended."""

FIVE = ("fan_weight", "fan_box_rating", "breaker", "wire_size", "bath_near")


def stops() -> dict[str, tuple[str, ...]]:
    """Every stop that answers bring about, with the facts it hangs on."""
    found = {stop.id: tuple(dict.fromkeys(c.fact for c in stop.when)) for stop in load().rules.stop}
    return found | {rule: figure.facts for rule, figure in safety.FIGURES.items()}


def stopped(facts: Facts) -> bool:
    """Whether these answers stop the work: asked of the rules and the sums, not of what they say is open."""
    return any(all_hold(stop.when, facts) for stop in load().rules.stop) or bool(safety.stops(facts, load().tables))


def card_of(facts: Facts, advice: Advice) -> str:
    return "\n".join(line.text for section in build_card(load(), facts, advice).sections for line in section.lines)


@cache
def recommended() -> tuple[tuple[Story, dict[str, Value]], ...]:
    """The stories that end in a recommendation, with their facts as they are read."""
    stories = (story for story in STORIES if story.status == "recommended")
    return tuple((story, parse_facts(load(), story.facts(), story.name)) for story in stories)


def test_a_whole_house_is_enough() -> None:
    """With every danger told and the box measured nothing is open: the tests below take something away from it."""
    advice = advise(load(), parse_facts(load(), WHOLE))
    assert advice.status == "recommended"
    assert advice.enough
    assert advice.next_checks == ()


def test_five_that_could_not_be_told(tmp_path: Path) -> None:
    """A file whose weights, breaker, wire and bath are "unknown" names each, on the card too, and is not enough."""
    file = tmp_path / "facts.toml"
    told = {**WHOLE, **dict.fromkeys(FIVE, "unknown")}
    file.write_text("\n".join(f"{k} = {str(v).lower() if isinstance(v, bool) else repr(v)}" for k, v in told.items()))
    assert tomllib.loads(file.read_text()) == told
    read = read_facts(str(file), load())
    advice = advise(load(), read.facts, read.untold)
    assert advice.status == "recommended"
    assert not advice.enough
    assert set(FIVE) <= {check.fact for check in advice.next_checks}
    shown = card_of(read.facts, advice)
    for fact in FIVE:
        assert load().tree.questions[fact].ask in shown
    for word in ("Breaker and wire", "Whether the box may bear the fan", "Bath or shower"):
        assert any(text.startswith(word) for text in advice.warnings), word
    for more in ({"bath_near": True, "bath_across": "2 ft", "bath_up": "6 ft"}, {"fan_weight": "90 lb"}):
        assert advise(load(), parse_facts(load(), {**told, **more})).status == "stop"


def houses() -> Iterator[dict[str, Value]]:
    yield parse_facts(load(), WHOLE)
    yield from (facts for _, facts in recommended())


@pytest.mark.parametrize("rule", stops())
@pytest.mark.parametrize("told", ["left out", "unknown"])
def test_no_stop_that_could_still_come_is_passed_over(rule: str, told: str) -> None:
    """What a stop hangs on is left out, or could not be told, in the first house where it matters: it stands among the
    next checks and on the card with a caution of its own, and not enough is known."""
    needs = stops()[rule]
    for facts in houses():
        left = {fact: value for fact, value in facts.items() if fact not in needs}
        untold = needs if told == "unknown" else ()
        hanging = [danger for danger in open_dangers(load(), left, untold) if danger.rule == rule]
        made = decide(load(), left, untold)
        if not hanging or made.status == "stop" or rule not in {danger.rule for danger in made.dangers}:
            continue
        advice = advise(load(), left, untold)
        named = {check.fact for check in advice.next_checks}
        assert not advice.enough
        assert set(hanging[0].open) <= named
        shown = card_of(left, advice)
        assert all(load().tree.questions[fact].ask in shown for fact in hanging[0].open)
        brought = set(advice.warnings) - set(advise(load(), facts).warnings)
        own = {c.text.partition("{finding}")[0] for c in load().rules.caution if c.open == rule}
        assert brought or any(text.startswith(tuple(own)) for text in advice.warnings if own), "no caution names it"
        return
    brought_by_another = rule == "brittle_insulation" and told == "left out"
    assert brought_by_another, "no house in which it is open"
    assert all_hold(next(s.arises for s in load().rules.stop if s.id == rule), {"wire_age": "cloth"})
    assert stopped({**WHOLE, "wire_age": "cloth"})  # cloth that nobody has touched stops by itself


def answers_to(fact: str) -> Iterator[Value]:
    """What may be answered: the answers offered, and for a measure that is typed both ends of what is met."""
    question = load().tree.questions[fact]
    yield from (answer.value for answer in question.answers if answer.value is not None)
    assert question.dimension or not any(answer.typed for answer in question.answers)
    for ends in ("0.1 ft", "40 ft", "1 lb", "200 lb", "60 A", "18 AWG") if question.dimension else ():
        try:
            parse_measure(ends, question.dimension or "length", fact)
        except SwitchlegError:
            continue
        if fact != "fan_box_rating":  # a box for fans that says no number bears 35 lb (NEC 314.27(C)): see below
            yield ends


def out_of_reach(facts: Facts, fact: str, *, looked: bool, climbs: bool) -> bool:
    """Where it would be seen nothing is there to open, or it stays shut."""
    at = load().tree.station_of[fact]
    if at == "wall":
        return facts.get("wall_boxes") == 0
    return at == "canopy" and (facts.get("may_open_canopy") is False or not (climbs or looked))


@pytest.mark.parametrize("story", [story.name for story, _ in recommended()])
def test_one_danger_taken_out_of_a_story(story: str) -> None:
    """In every recommended story one danger after the other is left out or could not be told. Where some answer to it
    would stop the work, not enough is known and the look is named."""
    blind, facts = next((one.untold, told) for one, told in recommended() if one.name == story)
    for fact in dict.fromkeys(f for needs in stops().values() for f in needs if f in facts):
        left = {name: value for name, value in facts.items() if name != fact}
        if not any(stopped({**left, fact: answer}) for answer in answers_to(fact)) or stopped(left):
            continue
        for untold in ((*blind,), (*blind, fact)):
            made = decide(load(), left, untold)
            if out_of_reach(left, fact, looked=fact in untold, climbs=made.survey.goes_up()):
                continue
            if (fact, facts.get("fan_installed"), fact in untold) == ("fan_weight", False, False):
                continue  # no fan was bought yet: it is chosen by the mark in the box
            named = {check.fact for check in made.checks}
            assert fact in named, (fact, untold, made.status, named)
            assert made.dangers


def test_a_mark_is_asked_for_only_where_it_matters() -> None:
    """A box for fans bears 35 lb without a number and must show what it bears above that (NEC 314.27(C)); in Canada the
    box's number settles nothing (CSA C22.1, 12-3000); an unmarked box is changed, so its number is nobody's look."""
    for told, open_ in (
        ({"fan_weight": "35 lb"}, ()),
        ({"fan_weight": "36 lb"}, ("fan_box_rating",)),
        ({"fan_weight": "36 lb", "fan_box_marked": False}, ()),
        ({"fan_weight": "15 kg", "region": "ca"}, ()),
        ({"region": "ca"}, ("fan_weight",)),
        ({}, ("fan_weight", "fan_box_rating")),
        ({"region": "uk"}, ()),
    ):
        facts = {fact: value for fact, value in WHOLE.items() if fact not in ("fan_weight", "fan_box_rating")}
        hanging = open_dangers(load(), parse_facts(load(), {**facts, **told}))
        assert tuple(f for d in hanging if d.rule == "fan_support" for f in d.open) == open_, told


def test_breaker_and_wire_only_where_a_table_tells() -> None:
    """Breaker and wire are compared in North America alone: nobody else is asked for them as a danger."""
    left = {fact: value for fact, value in WHOLE.items() if fact not in ("breaker", "wire_size")}
    for region, open_ in (("us", True), ("ca", True), ("uk", False), ("eu", False), ("au_nz", False), ("in", False)):
        hanging = {danger.rule for danger in open_dangers(load(), {**left, "region": region})}
        assert ("breaker_and_wire" in hanging) is open_, region


def test_a_distance_says_that_there_is_a_bath() -> None:
    """A distance to a tub is held against the zone though nobody spoke of a tub; "none" beside it denies it."""
    near = parse_facts(load(), {**WHOLE, "place_rating_needed": "damp", "bath_across": "2 ft", "bath_up": "6 ft"})
    assert near["bath_near"] is True
    assert [stop.rule for stop in advise(load(), near).stops] == ["bath_zone"]
    half = parse_facts(load(), {**WHOLE, "bath_across": "2 ft", "bath_near": "unknown"})
    assert "bath_up" in {check.fact for check in advise(load(), half).next_checks}
    denied = advise(load(), parse_facts(load(), {**WHOLE, "bath_near": False, "bath_up": "6 ft"}))
    assert ("bath_near", "bath_up") in denied.contradictions


def test_a_bath_is_asked_for_in_a_damp_place() -> None:
    """In a dry room nobody looks for a tub; in a damp one the look is open until it is answered."""
    damp: dict[str, Value] = {**WHOLE, "place_rating_needed": "damp"}
    assert "bath_near" in {check.fact for check in advise(load(), damp).next_checks}
    assert advise(load(), {**damp, "bath_near": False}).enough
    assert "bath_across" in {check.fact for check in advise(load(), {**damp, "bath_near": True}).next_checks}
    far = advise(load(), {**damp, "bath_near": True, "bath_across": "4 ft"})
    assert far.enough


@pytest.mark.parametrize("told", ["left out", "unknown"])
def test_an_unmeasured_box_that_could_change_the_advice_is_not_enough(told: str) -> None:
    """The wall box decides scheme and preparations here; while its size is not told it is asked for."""
    left = {fact: value for fact, value in WHOLE.items() if fact != "wall_box_volume"}
    facts, untold = parse_facts(load(), left), ["wall_box_volume"] if told == "unknown" else []
    open_, roomy, small = (
        advise(load(), {**facts, **more}, untold)
        for more in ({}, {"wall_box_volume": "34 in3"}, {"wall_box_volume": "10 in3"})
    )
    assert roomy.recommendation != small.recommendation
    assert not open_.enough
    assert "wall_box_volume" in {check.fact for check in open_.next_checks}


def test_a_box_that_nothing_goes_into_is_not_measured() -> None:
    """A bridge for the remote puts nothing into the wall box: however small that is, the advice is the same."""
    story, facts = next((s, f) for s, f in recommended() if s.scheme == "signal_bridge" and f.get("wall_boxes") == 1)
    found = [advise(load(), {**facts, **more}) for more in ({}, {"wall_box_volume": "8 in3"})]
    assert found[0].recommendation == found[1].recommendation, story.name
    assert all("wall_box_volume" not in {check.fact for check in one.next_checks} for one in found)


def test_the_walk_asks_for_every_danger_though_the_advice_stands() -> None:
    """What a stop or the sum of the box hangs on is never left out as a look that only tells houses apart."""
    read = {fact for needs in stops().values() for fact in needs} | {"fan_box_marked", "wall_box_volume"}
    assert not read & looks_only(load())


def test_a_session_that_could_not_tell_goes_on_and_says_so() -> None:
    """Whoever cannot tell weight, breaker and wire is recommended what is right, with each of them named as open."""
    one = session()
    knows = {**CHOICES, **SOUND, "handheld_remote": False, "pull_chain_fan": True, "wall_cables": 1}
    knows |= {"run_conductors": 2, "neutral_bundle": False, "white_on_control": True, "ceiling_cables": 2}
    asked = go(one, {fact: value for fact, value in knows.items() if fact not in FIVE})
    assert {"fan_weight", "breaker", "wire_size"} <= set(asked)
    advice = one.advice()
    assert advice.status == "recommended"
    assert not advice.enough
    assert {"fan_weight", "breaker", "wire_size"} <= {check.fact for check in advice.next_checks}


@pytest.mark.parametrize("marked", [True, None])
def test_a_fan_that_nobody_goes_up_to_is_not_passed_over_in_silence(marked: bool | None) -> None:
    """Where the work stays at the wall nobody is sent up to read weights, and the card says what to watch for."""
    left = {fact: value for fact, value in WHOLE.items() if fact not in ("fan_weight", "fan_box_marked")}
    advice = advise(load(), left if marked is None else {**left, "fan_box_marked": marked})
    assert advice.status == "recommended"
    assert any("whether the box there may bear this fan" in text for text in advice.warnings)
    assert all("whether the box there" not in text for text in advise(load(), WHOLE).warnings)
