"""Any sequence of calls: the record stays valid, reads back equal, resumes alike, and loses no answer."""

from __future__ import annotations

from collections.abc import Callable

from hypothesis import given, settings
from hypothesis import strategies as st
from session_world import empty_record, node, small_knowledge, small_tree, ticking

from switchleg.errors import SwitchlegError
from switchleg.record import codec
from switchleg.record.atomic_write import NotSaved
from switchleg.record.model import Record
from switchleg.schema.questions import Reply
from switchleg.session.session import Session
from switchleg.session.views.model import CardView, DoorView, QuestionView

KNOWLEDGE = small_knowledge()
NODES = [*small_tree().nodes, "nowhere"]
nodes = st.sampled_from(NODES)
values = st.booleans() | st.integers(-1, 120) | st.sampled_from(["none", "lamps", "0.5 A", "2 A", "x", ""])

Act = Callable[[Session], object]


def pick(number: int) -> Act:
    def act(session: Session) -> None:
        view = session.view
        if isinstance(view, QuestionView):
            choice = view.choices[number % len(view.choices)]
            if choice.typed or choice.value is None:
                session.answer_text("2 A" if view.kind == "measure" else "7")
            else:
                session.answer(choice.value)
        elif isinstance(view, DoorView):
            session.open_door([True] * len(view.checks))

    return act


acts: st.SearchStrategy[Act] = st.one_of(
    st.integers(0, 9).map(pick),
    st.integers(0, 9).map(pick),
    st.just(lambda session: session.cant_tell()),
    values.map(lambda value: lambda session: session.answer(value)),
    st.text(max_size=8).map(lambda text: lambda session: session.answer_text(text)),
    st.lists(st.booleans(), max_size=4).map(lambda said: lambda session: session.open_door(said)),
    st.just(lambda session: session.later()),
    st.just(lambda session: session.decline()),
    st.just(lambda session: session.back()),
    st.just(lambda session: session.onward()),
    nodes.map(lambda at: lambda session: session.go_to(at)),
    nodes.map(lambda at: lambda session: session.reopen(at)),
    st.tuples(nodes, st.text(max_size=8)).map(lambda both: lambda session: session.note(*both)),
    st.text(max_size=8).map(lambda text: lambda session: session.rename(text)),
)


def said(record: Record) -> list[tuple[str, Reply]]:
    kept = [(at, reply) for at, reply in record.replies.items()]
    return kept + [(event.node, event.reply) for event in record.history if event.reply is not None]


@given(st.lists(acts, max_size=40), st.sets(st.integers(0, 40)))
@settings(max_examples=150, deadline=None)
def test_any_calls_keep_the_record(calls: list[Act], full: set[int]) -> None:
    """After every call, with the disk full at times: valid bytes, no reply lost, gates only ever added."""
    disk: list[bytes] = []
    turn = 0

    def save(record: Record) -> None:
        if turn in full:
            raise NotSaved("full", where="x", mend="y")
        disk.append(codec.to_bytes(record))

    session = Session(KNOWLEDGE, empty_record(), save, ticking())
    for turn, call in enumerate(calls):  # noqa: B007 - `save` looks at the turn
        before = session.record
        try:
            call(session)
            refused = False
        except NotSaved:
            refused = False
            assert session.save_error is not None
        except SwitchlegError:
            refused = True
        after = session.record
        if refused:
            assert after == before
        kept = said(after)
        assert all(reply in kept for reply in said(before))
        assert after.gates[: len(before.gates)] == before.gates
        assert after.history[: len(before.history)] == before.history
        if session.save_error is None and disk:
            assert codec.from_bytes(disk[-1], after.id) == after
        for door, reply in after.replies.items():
            if reply.kind == "open":
                assert any(gate.door == door and gate.checks for gate in after.gates)
        resumed = Session(KNOWLEDGE, after, None, ticking())
        assert resumed.facts == session.facts
        assert node(session) in [node(resumed), *(row.node for row in session.review)]


@given(st.lists(acts, max_size=25))
@settings(max_examples=60, deadline=None)
def test_what_is_shown_agrees(calls: list[Act]) -> None:
    """Review, settled lines, waiting gates, standing and view tell the same story after any calls."""
    session = Session(KNOWLEDGE, empty_record(), lambda _: None, ticking())
    for call in calls:
        try:
            call(session)
        except SwitchlegError:
            continue
    rows = session.review
    assert {line.fact for line in session.settled} == session.facts.keys()
    assert session.progress.answered == sum(row.kind != "door" for row in rows)
    assert 0 <= session.progress.least_left <= session.progress.most_left
    put_off = [row.node for row in rows if row.answer_text == "not now"]
    assert [door.node for door in session.waiting] == put_off
    session.onward()
    view = session.view
    if isinstance(view, CardView):
        assert view.waiting == session.waiting
        assert session.record.standing.stage in ("waiting", "declined", "done")
        assert session.progress.most_left == 0
    else:
        assert view.node not in {row.node for row in rows}
        assert session.record.standing.stage in ("new", "asking")


@given(st.lists(acts, max_size=15), st.lists(acts, max_size=15))
@settings(max_examples=50, deadline=None)
def test_a_read_only_session_changes_nothing(written: list[Act], calls: list[Act]) -> None:
    """Without a save function no call changes the record."""
    first = Session(KNOWLEDGE, empty_record(), lambda _: None, ticking())
    for call in written:
        try:
            call(first)
        except SwitchlegError:
            continue
    session = Session(KNOWLEDGE, first.record, None, ticking())
    for call in calls:
        try:
            call(session)
        except SwitchlegError:
            continue
    assert session.record == first.record
