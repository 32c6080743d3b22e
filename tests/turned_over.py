"""Every story with its permissions, its wishes and its region turned over, and all that is made from its facts."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator, Mapping
from typing import Any, get_args

from session_world import empty_record
from test_stories import STORIES, Story

from switchleg.advice.advise import advise
from switchleg.advice.card.build import build_card
from switchleg.advice.card.drawings import pictures
from switchleg.advice.compare import compare
from switchleg.advice.compare_table import table
from switchleg.advice.model import SchemeVerdict
from switchleg.advice.numbers.sheets import number_sheets
from switchleg.advice.work.shopping import not_to_buy, parts_to_buy
from switchleg.command.saved.card_text import card_text
from switchleg.errors import SwitchlegError
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load
from switchleg.paper import html, text
from switchleg.paper.document import fan_document
from switchleg.schema.schemes import Want
from switchleg.wiring.drawing.svg import draw_svg, draw_svg_pair
from switchleg.wiring.drawing.text import draw_text

REGIONS: tuple[str | None, ...] = (*sorted(load().regions), None)
PERMISSIONS = ("may_open_canopy", "may_pull_cable", "may_replace_fan")
GIVEN = tuple(itertools.product((True, False), repeat=len(PERMISSIONS)))
WISHES = get_args(Want)

Facts = Mapping[str, Any]


def told_as(story: Story, region: str | None, given: tuple[bool, ...], wishes: Mapping[str, str]) -> Facts:
    """The story's facts somewhere else, with other permissions and wishes. Measures keep the units they were told in.

    Without a region the facts lack it.
    """
    facts = dict(parse_facts(load(), story.facts(), story.name))
    facts |= dict(zip(PERMISSIONS, given, strict=True)) | wishes | {"region": region}
    return {fact: value for fact, value in facts.items() if value is not None}


def every() -> Iterator[tuple[str, Facts]]:
    """Each story in each region with each set of permissions, its wishes as they are; then one other set of wishes."""
    draw = random.Random(7)
    for story, region, given in itertools.product(STORIES, REGIONS, GIVEN):
        name = f"{story.name}, {region}, {given}"
        yield name, told_as(story, region, given, {})
        wishes = {want: draw.choice(("must", "nice", "no")) for want in WISHES}
        yield f"{name}, {wishes}", told_as(story, region, given, wishes)


def some(count: int) -> Iterator[tuple[str, Facts]]:
    """So many of them, the same each time: in 28 each region meets every pair of permissions; stories drawn by lot."""
    draw = random.Random(11)
    pairs = itertools.cycle(itertools.product([one for one in GIVEN if sum(one) % 2], REGIONS))
    for number, (given, region) in enumerate(itertools.islice(pairs, count)):
        story = draw.choice(STORIES)
        wishes = {want: draw.choice(("must", "nice", "no")) for want in WISHES} if number % 2 else {}
        yield f"{story.name}, {region}, {given}, {wishes}", told_as(story, region, given, wishes)


def render(facts: Facts, *, compared: bool) -> None:
    """Everything that commands, screens and paper make from these facts; a fault comes through.

    `compared`: the schemes side by side too, which asks for the advice up to ten times more.
    """
    knowledge = load()
    advice = advise(knowledge, facts)
    assert advice.model_dump_json()
    card = build_card(knowledge, facts, advice)
    paper = fan_document(empty_record(), (), card)
    assert all((card_text(card), text.render(paper), text.render_page(paper, "more"), html.render(paper)))
    if compared:
        assert table(compare(knowledge, facts, advice), facts, 80)
    motor = advice.motor_settled
    list(number_sheets(knowledge, facts, None, motor))
    for verdict in advice.schemes:
        if verdict.verdict.startswith("fits"):
            _scheme(facts, verdict, motor)
    _draw(facts, None)


def _scheme(facts: Facts, verdict: SchemeVerdict, motor: str | None) -> None:
    list(number_sheets(load(), facts, verdict, motor))
    list(parts_to_buy(load(), facts, verdict))
    list(not_to_buy(load(), facts, verdict, motor))
    _draw(facts, verdict.id)


def _draw(facts: Facts, scheme: str | None) -> None:
    try:
        drawn = pictures(load(), facts, scheme)
    except SwitchlegError:
        return  # a wiring that is not settled is not drawn, and says so
    for one in filter(None, (drawn.today, drawn.new)):
        assert draw_text(one)
        assert draw_text(one, ascii_only=True)
    assert draw_svg_pair(drawn.today, drawn.new, title="x") if drawn.new else draw_svg(drawn.today, title="x")
