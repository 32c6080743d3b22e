"""Answers of other fans of one home: offered, confirmed, and marked with where they came from."""

from __future__ import annotations

from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from command_paths import room
from session_world import ticking

from switchleg.command.demo.script import play
from switchleg.errors import SwitchlegError
from switchleg.knowledge.load import load
from switchleg.paper.export import export_text
from switchleg.record.homes import find_home, homes
from switchleg.record.store import Store
from switchleg.session.session import Session
from switchleg.session.shared_facts import HomeFile, check_uses, read_home, shared_facts
from switchleg.session.views.model import DoorView

NOON = datetime(2026, 5, 3, 12, tzinfo=UTC)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """A home with one finished fan."""
    store = Store(tmp_path, ticking(NOON))
    parlour = Session(load(), store.create("front parlour", "The Guesthouse"), store.save, ticking(NOON))
    play(parlour, room("front parlour"))
    return store


def next_fan(store: Store, name: str = "garden room", home: str = "the guesthouse") -> Session:
    record = store.create(name, home)
    return Session(load(), record, store.save, ticking(NOON), others=lambda: store.others(record))


def test_every_shared_fact_is_a_question() -> None:
    """Each name in home.toml is a question of the tree, and none is a reading, a gate's ability or a find of
    damage."""
    questions = load().tree.questions
    assert read_home(files("switchleg.decision_tree"), questions)[1] == []
    assert set(shared_facts()) <= set(questions)
    assert not any(questions[fact].power_on for fact in shared_facts())
    assert not {"damage_seen", "able_to_test_live", "circuits_in_box", "breaker"} & set(shared_facts())


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[[shared]]\nfact = 'regoin'\nbecause = 'x'\n", "region"),
        ("[[shared]]\nfact = 'region'\n", "because"),
        ("[[shared]\n", "line 1"),
        ("[[shared]]\nfact='region'\nbecause='x'\n" * 2, "twice"),
    ],
)
def test_a_broken_home_file_is_told(text: str, words: str, tmp_path: Path) -> None:
    """Whatever is wrong in home.toml is one problem that names the place."""
    (tmp_path / "home.toml").write_text(text)
    home, problems = read_home(tmp_path, load().tree.questions)
    assert home is None
    assert words in problems[0].line()


def test_what_is_shared_serves_the_home() -> None:
    """A fact of the home that is not shared is named, and a shared one that tells about one fan or its wires."""
    questions = load().tree.questions
    home, _ = read_home(files("switchleg.decision_tree"), questions)
    assert home is not None
    assert list(check_uses(home, questions)) == []
    less = HomeFile(shared=tuple(one for one in home.shared if one.fact != "hub"))
    assert [problem.key for problem in check_uses(less, questions)] == ["shared.hub"]
    for fact in ("run_conductors", "light_watts", "light_joined_to"):
        more = HomeFile.model_validate({"shared": [*home.shared, {"fact": fact, "because": "It is said so."}]})
        assert [problem.key for problem in check_uses(more, questions)] == [f"shared.{fact}"]


def test_answers_are_offered_and_never_taken_in_silence(store: Store) -> None:
    """The next fan of the home is offered the shared answers of the floor; until they are confirmed nothing of
    them is in its record, its facts or its card."""
    session = next_fan(store)
    offers = session.offers()
    assert {offer.fact for offer in offers} == {
        fact for fact in shared_facts() if load().tree.station_of[fact] == "floor" and fact != "want_keep_remote"
    }
    assert {offer.fan for offer in offers} == {"front parlour"}
    assert session.record.replies == {}
    assert session.facts == {}
    session.take(offers)
    assert {node: reply.value for node, reply in session.record.replies.items()} == {
        offer.node: offer.value for offer in offers
    }
    assert session.offers() == ()
    assert store.open("garden room", write=False).record.origins.keys() == session.record.replies.keys()


def test_a_taken_answer_says_where_it_came_from_until_it_is_changed(store: Store) -> None:
    """Review and paper name the fan it was taken from; another answer takes the mark away and the old one stays
    in the history."""
    session = next_fan(store)
    session.take(session.offers())
    row = next(row for row in session.review if row.node == "region")
    assert row.from_fan == "front parlour"
    assert "front parlour" in export_text(session.record, session.review, None)
    session.go_to("region")
    session.answer("ca")
    row = next(row for row in session.review if row.node == "region")
    assert (row.from_fan, row.answer_text) == ("", "Canada")
    assert session.record.history[-1].reply is not None


def test_what_is_seen_at_the_wall_is_offered_only_at_the_open_wall(store: Store) -> None:
    """The metal and covering of wires are offered once this fan's wall is open, never before."""
    session = next_fan(store)
    assert not {"wire_metal", "wire_age"} & {offer.fact for offer in session.offers()}
    play(session, room("garden room"), until="damage_seen")
    at_wall = {offer.fact for offer in session.offers("wall")}
    assert at_wall == {"wire_metal", "wire_age"}


def test_taking_ends_in_the_same_record_as_answering(store: Store) -> None:
    """A fan whose shared answers were taken comes to the same facts as one that was asked everything."""
    taken, asked = next_fan(store, "one"), next_fan(store, "two")
    parlour = room("front parlour")
    taken.take(taken.offers())
    play(taken, parlour)
    play(asked, parlour)
    assert taken.facts == asked.facts
    assert isinstance(asked.view, type(taken.view))
    assert not isinstance(taken.view, DoorView)


def test_fans_that_disagree_are_named(store: Store) -> None:
    """The latest answer is offered, and who answered otherwise is said with it."""
    other = next_fan(store, "porch")
    play(other, room("porch"), until="fan_installed")
    other.go_to("region")
    other.answer("uk")
    offer = next(offer for offer in next_fan(store).offers() if offer.fact == "region")
    assert (offer.fan, offer.value) == ("porch", "uk")
    assert offer.otherwise == ("front parlour: United States",)


@pytest.mark.parametrize("home", ["", "the other house"])
def test_nothing_is_offered_across_homes(home: str, store: Store) -> None:
    """A fan of another home, or of none, is offered nothing."""
    assert next_fan(store, home=home).offers() == ()


def test_what_cannot_be_taken_is_refused_whole(store: Store) -> None:
    """When one of the offers is answered here meanwhile, none is taken."""
    session = next_fan(store)
    offers = session.offers()
    session.answer("uk")
    before = session.record
    with pytest.raises(SwitchlegError, match="answered here already"):
        session.take(offers)
    assert session.record == before


def test_homes_are_found_by_their_names(store: Store) -> None:
    """Records group by home whatever the letter case; a home is found by its name or the nearest spelling is
    said."""
    next_fan(store)
    next_fan(store, "shed", "")
    lines = store.list()
    grouped: dict[str, Any] = {home: [fan.name for fan in fans] for home, fans in homes(lines).items()}
    assert [fans for home, fans in grouped.items() if home] == [["front parlour", "garden room"]]
    assert grouped[""] == ["shed"]
    assert find_home(None, lines).casefold() == "the guesthouse"
    assert find_home("THE  guesthouse", lines).casefold() == "the guesthouse"
    with pytest.raises(SwitchlegError) as caught:
        find_home("the gesthouse", lines)
    assert "did you mean" in caught.value.line()
