"""Schemes side by side: what is said of each is what the advice says, and every way out is a true one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest
from command_paths import room, session

from switchleg.advice.advise import advise
from switchleg.advice.compare import WHAT_IFS, WORDS, Compared, compare, supposed, what_ifs
from switchleg.advice.compare_table import CELLS, HEADS, NARROW, SHORT, SIGNS, table
from switchleg.command.demo.script import play
from switchleg.knowledge.load import load
from switchleg.schema.questions import Value


def facts_of(name: str) -> dict[str, Value]:
    walked = session()
    play(walked, room(name))
    return walked.facts


@pytest.mark.parametrize("name", ["front parlour", "porch"])
def test_a_way_out_holds_when_it_is_advised(name: str) -> None:
    """Whatever is said to make a ruled-out scheme possible does: with those facts the advice lets it fit."""
    knowledge, facts = load(), facts_of(name)
    by_words = {words: key for key, (words, _) in WHAT_IFS.items()}
    for one in compare(knowledge, facts, advise(knowledge, facts)):
        if one.possible_if:
            then = advise(knowledge, supposed(facts, [by_words[words] for words in one.possible_if]))
            verdict = next(scheme.verdict for scheme in then.schemes if scheme.id == one.id)
            assert verdict in ("fits", "fits_with_preparation")


def test_the_comparison_repeats_the_advice() -> None:
    """Every scheme once, the recommended one first, with its own verdict, wants kept and reason."""
    knowledge, facts = load(), facts_of("front parlour")
    advice = advise(knowledge, facts)
    found = compare(knowledge, facts, advice)
    verdicts = {scheme.id: scheme for scheme in advice.schemes}
    assert {one.id for one in found} == set(verdicts)
    assert found[0].recommended
    assert advice.recommendation is not None
    assert found[0].id == advice.recommendation.scheme
    for one in found:
        assert one.verdict == WORDS[verdicts[one.id].verdict]
        assert all(verdicts[one.id].keeps[want] is kept for want, kept in one.keeps)
        assert bool(one.why_not) == (one.verdict in ("not possible", "open: more to check"))


def test_supposing_touches_no_fact_that_was_given() -> None:
    """The facts passed in stay as they were; a spare found is one conductor more than was counted."""
    facts: dict[str, Value] = {"run_conductors": 2}
    assert supposed(facts, ["spare"]) == {"run_conductors": 3, "run_spare": True}
    assert supposed({"run_conductors": 3, "run_spare": True}, ["spare"])["run_conductors"] == 3
    assert supposed({}, ["spare", "cable"]) == {"run_spare": True, "may_pull_cable": True}
    assert facts == {"run_conductors": 2}
    assert [one.id for one in what_ifs({"may_pull_cable": True}) if one.so_already] == ["cable"]


@pytest.mark.parametrize("name", ["front parlour", "garden room", "breakfast room"])
def test_the_table_says_what_the_comparison_says(name: str) -> None:
    """Each scheme stands once with its verdict, every want that is known for any has its place in order, the
    recommended one has its mark, and no row is wider than the window."""
    knowledge, facts = load(), facts_of(name)
    found = compare(knowledge, facts, advise(knowledge, facts))
    for width in (36, 38, 76, 78, 110, 200):
        _table_holds(found, facts, width)


def _table_holds(found: Sequence[Compared], facts: Mapping[str, Value], width: int) -> None:
    rows = [row.text for row in table(found, facts, width)]
    assert max(map(len, rows)) <= width
    text = "\n".join(rows)
    wants = [want for want in HEADS if any(dict(one.keeps).get(want) is not None for one in found)]
    for number, one in enumerate(found):
        row = next(row for row in rows if row[2:].startswith(one.title[:8]) and row[2:12].strip() in one.title)
        told = row if width >= NARROW else rows[rows.index(row) + 1]
        rows.remove(row)
        assert SHORT[one.verdict] in told
        assert (row[0] == "*") == one.recommended == (number == 0 and "* recommended" in text)
        cells = SIGNS if width < NARROW else CELLS
        keeps = [cells[dict(one.keeps)[want]] for want in wants if want in dict(one.keeps)]
        after = told.partition(SHORT[one.verdict])[2].split()
        assert [cell[-1] if width < NARROW else cell for cell in after] == keeps
    if width >= NARROW:
        assert rows[1].split()[2:] == [str(facts[want]) for want in wants if facts.get(want) in ("must", "nice")]
