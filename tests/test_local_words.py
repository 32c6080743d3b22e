"""Cards speak as people do where the house stands; what is warm stays hot."""

from __future__ import annotations

import pytest
from command_paths import session
from figures_world import REGIONS

from switchleg.advice.wording.regional_terms import in_words_of
from switchleg.knowledge.load import load
from switchleg.session.views.build import question_view
from switchleg.session.views.model import QuestionView
from switchleg.session.views.regional import in_words
from switchleg.tree.walk import walk


@pytest.mark.parametrize(
    ("region", "said"),
    [
        ("uk", "Earth: an earth of the live. Circuit breaker off; call a qualified electrician. It runs hot."),
        ("in", "Earth: an earth of the phase. MCB off; call a licensed electrician. It runs hot."),
        ("au_nz", "Earth: an earth of the active. Circuit breaker off; call a licensed electrician. It runs hot."),
        ("us", "Ground: a ground of the hot. Breaker off; call a licensed electrician. It runs hot."),
        ("ca", "Ground: a ground of the hot. Breaker off; call a licensed electrician. It runs hot."),
    ],
)
def test_one_sentence_in_each_regions_words(region: str, said: str) -> None:
    """The same sentence with the region's words for ground, hot, breaker and who does the work."""
    say = in_words_of(REGIONS[region])
    assert say("Ground: a ground of the hot. Breaker off; call a licensed electrician. It runs hot.") == said
    assert say(say(said)) == said


@pytest.mark.parametrize(
    ("region", "fact", "sizes"),
    [
        ("us", "wire_size", ["14 AWG", "12 AWG", "10 AWG"]),
        ("uk", "wire_size", ["1 mm2", "1.5 mm2", "2.5 mm2"]),
        ("us", "breaker", ["15 A", "20 A"]),
        ("uk", "breaker", ["6 A", "10 A"]),
        ("us", "ceiling_height", ["8 ft", "9 ft"]),
        ("eu", "room_area", ["10 m2", "16 m2"]),
        ("us", "bath_across", ["0 ft"]),
        ("uk", "bath_across", ["0 ft"]),
        ("us", "wall_box_depth", ["25 mm", "35 mm", "47 mm"]),
    ],
)
def test_quick_answers_are_the_regions_own(region: str, fact: str, sizes: list[str]) -> None:
    """A house is offered the sizes that are usual there, each with a key of its own; the rest are typed. Sizes that
    no region calls its own are offered everywhere."""
    tree, record = load().tree, session().record
    view = in_words(question_view(tree, walk(tree, {}), record, {}, fact, ""), load(), region)
    assert isinstance(view, QuestionView)
    assert [choice.value for choice in view.choices if not choice.typed] == sizes
    assert [choice.typed for choice in view.choices].count(True) == 1
    assert len({choice.key for choice in view.choices}) == len(view.choices)


@pytest.mark.parametrize(("region", "word"), [("uk", "an earth wire"), ("us", "a ground wire")])
def test_questions_are_asked_in_the_regions_words(region: str, word: str) -> None:
    """Once the region is told, every further question says earth where people say earth."""
    tree, record = load().tree, session().record
    view = in_words(question_view(tree, walk(tree, {}), record, {}, "wall_ground", ""), load(), region)
    assert isinstance(view, QuestionView)
    assert word in view.ask
