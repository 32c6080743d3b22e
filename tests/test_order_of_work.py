"""In which order a card, a paper and the ladder have somebody work: nothing in a box before the breaker is off."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache

import pytest
from test_stories import STORIES, told

from switchleg.advice.advise import advise
from switchleg.advice.card.build import build_card
from switchleg.advice.model import SchemeVerdict
from switchleg.advice.wording.regional_terms import in_words_of
from switchleg.advice.work import beforehand
from switchleg.advice.work.steps import BREAKER_OFF
from switchleg.command.saved.card_text import card_text
from switchleg.errors import SwitchlegError
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load
from switchleg.paper import html, markdown
from switchleg.paper import text as as_text
from switchleg.paper.document import fan_document
from switchleg.record.model import Record
from switchleg.session import work_plan

RECOMMENDED = [story.name for story in STORIES if told(story.name).recommendation]
HANDS = "(?:Part|Join|Cap|Uncap|Take|Tug|Tag|Fold|Undo|Put|Connect|Disconnect|Mark|Measure|Test every conductor in)"
OPENS = re.compile(rf"(?:^|[.:;] |\d\. |>){HANDS}\b|\bIn the (?:canopy|wall box|ceiling box), ", re.MULTILINE)
"""Sentences that have somebody open a box or handle a conductor."""


def facts_of(name: str) -> dict[str, object]:
    story = next(s for s in STORIES if s.name == name)
    return dict(parse_facts(load(), story.facts(), f"the story {name}"))


def chosen_of(name: str) -> SchemeVerdict:
    advice = told(name)
    assert advice.recommendation is not None
    wanted = advice.recommendation.scheme
    return next(scheme for scheme in advice.schemes if scheme.id == wanted)


@cache
def renderings(name: str) -> dict[str, str]:
    """Everything that is shown or printed of a story's advice, as text from top to bottom."""
    knowledge, advice, facts = load(), told(name), parse_facts(load(), facts_of(name), name)
    card = build_card(knowledge, facts, advice, title="A fan")
    now = datetime(2026, 1, 2, tzinfo=UTC)
    record = Record(id="a-fan", name="A fan", home="A guesthouse", created=now, changed=now)
    say = in_words_of(knowledge.regions.get(str(facts.get("region"))))
    short = tuple(map(say, beforehand.in_short(knowledge, chosen_of(name))))
    paper = fan_document(record, (), card)
    return {
        "card": card_text(card),
        "text": as_text.render(paper),
        "markdown": markdown.render(paper),
        "html": html.render(paper),
        "page": as_text.render_page(fan_document(record, (), card, in_short=short), "more"),
        "ladder": "\n".join(ladder(name)),
    }


def ladder(name: str) -> Iterator[str]:
    """The work as the ladder and `ask` tell it; nothing where there is none to begin."""
    try:
        plan = work_plan.plan_of(load(), told(name))
    except SwitchlegError:
        return
    for step in plan.steps:
        yield from (step.text, *step.lines, *step.cautions)
    yield from plan.after


def breaker_off(name: str) -> str:
    say = in_words_of(load().regions.get(str(facts_of(name).get("region"))))
    return say(BREAKER_OFF).partition(",")[0] + ", marked"


@pytest.mark.parametrize("name", RECOMMENDED)
def test_nothing_is_opened_above_breaker_off(name: str) -> None:
    """In no rendering stands a sentence that opens a box or handles a conductor above the step that says breaker off
    (NFPA 70E 120.5: the circuit is made dead and proved so before anything else)."""
    for where, text in renderings(name).items():
        above, off, _ = text.partition(breaker_off(name))
        found = OPENS.search(above if off else text)
        assert not found, f"{where}: {text[max(0, found.start() - 60) : found.end() + 80]!r}"


def test_before_the_work_stands_only_what_somebody_else_does_or_what_opens_nothing() -> None:
    """A preparation that comes first is an electrician's, with the power off too, or handles no wire; a task is in a
    box, and none is told before the work."""
    for one in load().preparations.preparation:
        if one.when == "before" and one.electrician:
            assert one.step.startswith("Have a licensed electrician")
            assert ", power off," in one.step
        elif one.when != "during":
            assert not OPENS.search(one.step), one.step
        assert one.when == "during" or not one.electrician or one.when == "before"
        assert not OPENS.search(one.untouched), one.untouched


@pytest.mark.parametrize("name", RECOMMENDED)
def test_what_a_plan_takes_is_told_once(name: str) -> None:
    """No step of a box is told twice, and what is said before the work is not a step as well."""
    chosen = chosen_of(name)
    said = [(step.box, step.text) for step in chosen.steps]
    assert len(said) == len(set(said))
    assert sum("take the receiver out" in step.text.lower() for step in chosen.steps) == (
        "bypass_receiver" in chosen.preparations and bool(chosen.steps)
    )
    before = " ".join(beforehand.before(load(), chosen))
    kept = "keep_receiver" in chosen.preparations and chosen.plan is not None
    stays = any("receiver stays" in step.text for step in chosen.steps), "receiver stays" in before
    assert sum(stays) == kept


@pytest.mark.parametrize("name", [n for n in RECOMMENDED if "use_spare_conductor" in chosen_of(n).preparations])
def test_a_spare_is_proved_with_both_boxes_open_before_anything_is_parted(name: str) -> None:
    """Both its ends are tested dead, found to be one conductor, and the join for the test is taken away again before
    it meets anything else."""
    steps = chosen_of(name).steps
    texts = [step.text for step in steps]
    tested = [n for n, step in enumerate(steps) if step.kind == "test" and "dead once more" in step.text]
    joined, measured, away = (
        next(n for n, text in enumerate(texts) if piece in text)
        for piece in ("for the test, to", "measure continuity", "for the test alone")
    )
    assert {steps[n].box for n in tested} == {steps[joined].box, steps[measured].box} == {"wall", "ceiling"}
    assert max(tested) < measured
    assert joined < measured < away
    assert away <= min(n for n, step in enumerate(steps) if step.kind == "take_apart")
    assert measured < min(n for n, step in enumerate(steps) if step.kind == "fold")


LEGS = [n for n in RECOMMENDED if any("Tag" in step.text for step in chosen_of(n).steps)]


@pytest.mark.parametrize("name", LEGS)
def test_legs_are_tagged_dead_and_while_they_are_joined(name: str) -> None:
    """Breaker off, proved dead, photographed, tagged F and L, and only then parted; the joints go by the tags, and
    how to find out is told nowhere else (practice: tag before you disconnect)."""
    chosen = chosen_of(name)
    for box in {step.box for step in chosen.steps}:
        here = [(n, step) for n, step in enumerate(chosen.steps) if step.box == box and step.kind != "off"]
        parted = [n for n, step in here if step.kind == "take_apart"]
        tagged = [n for n, step in here if "Tag" in step.text]
        dead = [n for n, step in here if step.kind == "test" and "dead once more" in step.text]
        assert not tagged or (dead[0] < tagged[0] and all(tagged[0] < n for n in parted)), here
        assert len(tagged) <= 1
    tags = [step.text for step in chosen.steps if "Tag" in step.text]
    assert all(" F (" in text and " L (" in text for text in tags)
    for plan in chosen.plan or ():
        for splice in plan.splices:
            leg = {"the fan's leg": "tag F", "the light's leg": "tag L"}.get(splice.net)
            if leg and any("cable" in end for end in splice.ends):
                assert leg in splice.remark, splice
    assert not any("leg" in text and "follow" in text.lower() for text in told(name).warnings)
    assert "the two legs are exchanged" in chosen.steps[-1].text


TIED = "four wires, one unused, two on the switch: fan and light have one each, tied there"


def test_legs_tied_to_one_control_are_found_in_the_canopy_first() -> None:
    """With the power off the wires at the loads tell them apart; the wall is tagged by what was seen there."""
    steps = chosen_of(TIED).steps
    first = next(step for step in steps if "Tag" in step.text)
    assert first.box == "ceiling"
    assert "on the fan motor F" in first.text
    assert "on the light L" in first.text
    wall = next(step for step in steps if "Tag" in step.text and step.box == "wall")
    assert "by what was seen in the canopy" in wall.text
    assert "present switch" not in wall.text
    opened = {step.box for step in steps if step.kind == "test"}
    assert opened == {step.box for step in steps if step.kind == "fold"}, "a box stays open"


def test_tied_legs_behind_a_closed_canopy_are_found_by_an_electrician_before_the_work() -> None:
    """Nobody disconnects them first and guesses: the look stands before the steps, and is a licensed person's."""
    knowledge = load()
    told_so = parse_facts(knowledge, {**facts_of(TIED), "may_open_canopy": False}, "tied")
    advice = advise(knowledge, told_so)
    tied = [s for s in advice.schemes if s.plan and any("electrician's tags" in step.text for step in s.steps)]
    assert tied
    for scheme in tied:
        first = beforehand.before(knowledge, scheme)
        assert sum("Which leg is which (licensed electrician)" in text for text in first) == 1
        assert all(step.box != "ceiling" for step in scheme.steps)


def test_there_are_stories_of_every_kind_of_plan() -> None:
    """The tests above look at a receiver that comes out and one that stays, a light that moves, a spare, an always
    hot ceiling, a place left without its control, and at plans whose joints are not settled."""
    seen = {preparation for name in RECOMMENDED for preparation in chosen_of(name).preparations}
    assert {one.id for one in load().preparations.preparation if one.task} <= seen
    assert any(not chosen_of(name).steps for name in RECOMMENDED)
    assert len(LEGS) > 10
    assert TIED in LEGS
