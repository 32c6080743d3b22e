"""The card on tabs and the reasons as rows: nothing of the card is lost, nothing folded is shown."""

from __future__ import annotations

import networkx as nx
from command_paths import room, session

from switchleg.advice.card.build import Card, Line, Section
from switchleg.advice.card.tabs import TITLES, tabs
from switchleg.advice.model import Why
from switchleg.advice.verdict.reason_rows import told, why_rows
from switchleg.command.demo.script import play
from switchleg.knowledge.load import load
from switchleg.session.card_tabs import sheets

LEAF = Why(text="c", facts=("motor_label",), sources=("s",))
TREE = Why(text="a", steps=(Why(text="b", steps=(LEAF,)), Why(text="d")))


def test_every_section_of_a_real_card_stands_on_a_tab() -> None:
    """The tabs together hold exactly the card's sections, and only the first look and what not to buy stand on two."""
    walked = session()
    play(walked, room("front parlour"))
    made = sheets(load(), walked)
    placed = [section.id for tab in made.tabs for section in tab.sections]
    assert set(placed) == {section.id for section in made.card.sections}
    assert {name for name in placed if placed.count(name) > 1} <= {"next", "not_to_buy"}
    assert made.drawn is not None
    assert made.drawn.new is not None
    assert made.whys[0].text.startswith(made.chosen.title if made.chosen else "-")


def test_a_section_nobody_knows_is_not_lost() -> None:
    """A section with a new id stands on the first tab."""
    new = Section(id="new", title="New", lines=(Line(text="x"),))
    card = Card(title="", status="stop", headline="", sections=(new,))
    made = tabs(card)
    assert [tab.title for tab in made] == list(TITLES.values())
    assert [section.id for section in made[0].sections] == ["new"]
    assert all(tab.nothing for tab in made)


def test_sources_of_one_name_are_named_once() -> None:
    """Where two sources of a step bear the same title, the step names it once, in its place."""
    step = Why(text="x", sources=("one", "two", "other"))
    assert told(step, {"one": "A sheet", "two": "A sheet", "other": "A page"}.__getitem__) == (
        "x [source: A sheet; A page]"
    )


def test_only_what_is_unfolded_is_in_sight() -> None:
    """Folded, a tree is one row; a step comes into sight with every step above it open, and a leaf has no sign."""
    assert [(row.text, row.open) for row in why_rows([TREE], set())] == [("a", False)]
    rows = list(why_rows([TREE], {(0,), (0, 0)}, str.upper))
    assert [(row.text, row.depth, row.open) for row in rows] == [
        ("a", 0, True),
        ("b", 1, True),
        ("c [seen: motor label] [source: S]", 2, None),
        ("d", 1, None),
    ]
    assert [row.text for row in why_rows([TREE], {(0, 0)})] == ["a"]


def test_rows_come_in_the_order_of_a_walk_in_depth() -> None:
    """Unfolded wholly, the rows are the preorder of the tree, as networkx walks it."""
    graph = nx.DiGraph([("a", "b"), ("b", "c"), ("a", "d")])
    bare = Why(text="a", steps=(Why(text="b", steps=(Why(text="c"),)), Why(text="d")))
    every = {(0,), (0, 0)}
    assert [row.text for row in why_rows([bare], every)] == list(nx.dfs_preorder_nodes(graph, "a"))
