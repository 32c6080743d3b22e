"""Where one is: fan, station, what is settled, what is open and how much is left."""

from __future__ import annotations

from switchleg.knowledge.load import load


def test_every_question_has_a_short_name_of_its_own() -> None:
    """The list of settled facts calls each by up to 20 letters, and no two by the same."""
    shorts = {fact: question.short for fact, question in load().tree.questions.items()}
    assert [fact for fact, short in shorts.items() if not short or "_" in short or short != short.strip()] == []
    assert len(set(shorts.values())) == len(shorts)
