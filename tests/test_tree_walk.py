"""Where somebody stands after their replies: total for any replies, and kind to changed ones."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any, get_args

from hypothesis import given, settings
from hypothesis import strategies as st
from tree_making import door, fork, question, small_trees, tree_of, yes_no

from switchleg.checking.paths import representatives
from switchleg.knowledge.load import load
from switchleg.schema.questions import CARD, Again, Condition, Door, Question, Reply, Value
from switchleg.tree.conditions import all_hold, holds
from switchleg.tree.graph import Tree
from switchleg.tree.walk import Walk, remaining, walk

AT = datetime(2024, 5, 4, 12, 0, tzinfo=UTC)
KINDS = get_args(Reply.model_fields["kind"].annotation)


def reply(kind: Any, value: Value | None = None) -> Reply:
    return Reply(kind=kind, value=value, at=AT, station="floor")


def said(value: Value) -> Reply:
    return reply("value", value)


SMALL = tree_of(
    "a",
    question=[
        question("a", "choice", {"x": "b", "y": "gate"}, "b"),
        yes_no("b", "gate", "gate", "gate"),
        question("c", "count", {0: CARD, "1+": "which"}, CARD),
        yes_no("d", CARD, CARD, CARD),
    ],
    again=[{"id": "a_again", "fact": "a", "look": "Look again.", "leads_to": "c"}],
    fork=[fork("which", [([{"fact": "a", "is": "x"}, {"fact": "c", "at_least": 3}], "d")], CARD)],
    door=[door("gate", "wall", "a_again")],
)


def test_the_way_stops_at_the_first_node_without_a_reply() -> None:
    """Nobody is asked anything out of turn."""
    assert walk(SMALL, {}).at == "a"
    assert walk(SMALL, {"a": said("x")}).at == "b"
    assert walk(SMALL, {"a": said("y")}).at == "gate"


def test_a_second_look_is_passed_over_when_the_fact_is_known() -> None:
    """Only somebody who could not tell before is asked again, and then the fact is known."""
    known = walk(SMALL, {"a": said("y"), "gate": reply("open")})
    assert known.at == "c"
    untold = {"a": reply("cant_tell"), "b": said(True), "gate": reply("open")}
    assert walk(SMALL, untold).at == "a_again"
    assert walk(SMALL, untold).cant_tell == {"a": "floor"}
    told = walk(SMALL, {**untold, "a_again": said("x")})
    assert told.facts == {"a": "x", "b": True}
    assert told.cant_tell == {}


def test_a_fork_takes_no_branch_on_an_unknown_fact() -> None:
    """What is not known never opens a branch."""
    way = {"a": reply("cant_tell"), "b": said(True), "gate": reply("open"), "a_again": reply("cant_tell")}
    assert walk(SMALL, {**way, "c": said(5)}).at == CARD
    assert walk(SMALL, {**way, "c": said(5), "a_again": said("x")}).at == "d"


def test_doors_put_off_or_declined_are_told() -> None:
    """Not now is remembered by its gate; I'd rather not ends at the card and says so."""
    later = walk(SMALL, {"a": said("y"), "gate": reply("later")})
    assert (later.at, later.later, later.declined) == (CARD, ("gate",), False)
    no = walk(SMALL, {"a": said("y"), "gate": reply("decline")})
    assert (no.at, no.later, no.declined) == (CARD, (), True)


def test_a_reply_that_does_not_suit_counts_as_not_given() -> None:
    """A stale or damaged reply stops the way at its node instead of leading astray."""
    for bad in (said("z"), said(True), reply("open"), reply("value")):
        assert walk(SMALL, {"a": bad}).at == "a"
    assert walk(SMALL, {"a": said("y"), "gate": said(True)}).at == "gate"
    amps = question("amps", "measure", {"typed": CARD}, CARD, dimension="current")
    assert walk(tree_of("amps", question=[amps]), {"amps": said("lots")}).at == "amps"


def test_a_changed_answer_keeps_those_that_still_apply() -> None:
    """Changing the first answer keeps every later answer that is still on the way."""
    replies = {"a": said("x"), "b": said(False), "gate": reply("open"), "c": said(4), "d": said(True)}
    assert walk(SMALL, replies).facts == {"a": "x", "b": False, "c": 4, "d": True}
    changed = walk(SMALL, {**replies, "a": said("y")})
    assert changed.at == CARD
    assert changed.facts == {"a": "y", "c": 4}
    assert walk(SMALL, {**replies, "a": said("x")}).facts["b"] is False


def any_reply() -> st.SearchStrategy[Reply]:
    words = st.sampled_from(["a", "b", "c", "14 AWG", "", "1.5 mm2"])
    values: st.SearchStrategy[Value | None] = st.one_of(st.none(), st.booleans(), st.integers(-2, 120), words)
    return st.builds(reply, st.sampled_from(KINDS), values)


@settings(max_examples=300, deadline=None)
@given(small_trees(), st.dictionaries(st.sampled_from([f"n{i}" for i in range(9)]), any_reply()))
def test_any_replies_lead_somewhere(tree: Tree, replies: dict[str, Reply]) -> None:
    """For random replies the walk ends at a node that can be shown or at the card, and agrees with itself."""
    walked = walk(tree, replies)
    assert walked.at == CARD or isinstance(tree.nodes[walked.at], Question | Again | Door)
    assert not walked.facts.keys() & walked.cant_tell.keys()
    assert len({step.node_id for step in walked.steps}) == len(walked.steps)
    assert all(replies[step.node_id] is step.reply for step in walked.steps)
    waiting = {at: said for at, said in replies.items() if said.kind == "after"}
    on_the_way = {step.node_id: step.reply for step in walked.steps}
    assert walk(tree, waiting | on_the_way) == walked


def way_through(tree: Tree, data: st.DataObject, *, declines: bool) -> list[Walk]:
    """A whole session with drawn answers: the walk before each reply, and at the card."""
    replies: dict[str, Reply] = {}
    seen = [walk(tree, replies)]
    while seen[-1].at != CARD:
        node = tree.nodes[seen[-1].at]
        if isinstance(node, Door):
            kinds = ["open", "later", "decline"] if declines else ["open", "later"]
            replies[seen[-1].at] = reply(data.draw(st.sampled_from(kinds)))
        else:
            assert isinstance(node, Question | Again)
            values = [value for value, _ in representatives(tree, tree.questions[node.fact])]
            usable = [value for value in values if not (isinstance(value, str) and value.startswith("\0"))]
            choice = data.draw(st.sampled_from([None, *usable]))
            replies[seen[-1].at] = reply("cant_tell") if choice is None else said(choice)
        seen.append(walk(tree, replies))
        assert len(seen) < 500
    return seen


@settings(max_examples=200, deadline=None)
@given(small_trees(), st.data())
def test_the_range_of_questions_left_is_honest(tree: Tree, data: st.DataObject) -> None:
    """At every moment the questions that really still come lie within the range that was told."""
    seen = way_through(tree, data, declines=False)
    for i, walked in enumerate(seen):
        really = sum(1 for later in seen[i:] if isinstance(tree.nodes.get(later.at), Question | Again))
        least, most = remaining(tree, walked)
        assert least <= really <= most


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_the_real_tree_ends_for_everybody(data: st.DataObject) -> None:
    """Any way of answering the real questions comes to the card, one more answer at every step."""
    tree = load().tree
    seen = way_through(tree, data, declines=True)
    assert [len(walked.steps) for walked in seen] == list(range(len(seen)))
    assert remaining(tree, seen[-1]) == (0, 0)


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_changing_one_answer_of_the_real_tree_keeps_the_rest(data: st.DataObject) -> None:
    """After a change every earlier step stands, and no later fact is anything but what was replied."""
    tree = load().tree
    steps = way_through(tree, data, declines=False)[-1].steps
    questions = [i for i, step in enumerate(steps) if isinstance(tree.nodes[step.node_id], Question)]
    at = data.draw(st.sampled_from(questions))
    replies = {step.node_id: step.reply for step in steps}
    changed = walk(tree, {**replies, steps[at].node_id: reply("cant_tell")})
    assert [step.node_id for step in changed.steps[: at + 1]] == [step.node_id for step in steps[: at + 1]]
    assert steps[at].node_id not in changed.facts or any(
        isinstance(node := tree.nodes[step.node_id], Again) and node.fact == steps[at].node_id for step in changed.steps
    )
    for step in changed.steps:
        if step.node_id != steps[at].node_id:
            assert step.reply is replies[step.node_id]


def condition(**tests: Any) -> Condition:
    return Condition.model_validate({"fact": "f", **tests})


def test_conditions_say_yes_no_or_unknown() -> None:
    """Each test on a known value decides; on an unknown fact only `known` does."""
    assert holds(condition(**{"is": True}), {"f": True}) is True
    assert holds(condition(**{"is": True}), {"f": 1}) is False
    assert holds(condition(is_not="a"), {"f": "b"}) is True
    assert holds(condition(any_of=["a", "b"]), {"f": "c"}) is False
    assert holds(condition(at_least=2, at_most=3), {"f": 3}) is True
    assert holds(condition(at_least=2, at_most=3), {"f": 4}) is False
    assert holds(condition(at_least=0), {"f": True}) is False
    assert holds(condition(**{"is": True}), {}) is None
    assert holds(condition(is_not=True), {}) is None
    assert holds(condition(known=False), {}) is True
    assert holds(condition(known=True), {}) is False
    both = [condition(known=False), condition(**{"is": True})]
    assert all_hold(both, {}) is None
    assert all_hold(both, {"f": True}) is False
    assert all_hold([], {}) is True
