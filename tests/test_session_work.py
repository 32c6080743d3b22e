"""The work on a plan: gated, one step at a time, saved at every step, proved at the end."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from command_paths import room
from hypothesis import given, settings
from hypothesis import strategies as st
from session_world import ticking

from switchleg.command.demo.script import play
from switchleg.errors import SwitchlegError
from switchleg.knowledge.load import load
from switchleg.record import codec
from switchleg.record.model import Record
from switchleg.session.session import Session
from switchleg.session.views.model import WorkView

NOON = datetime(2026, 5, 3, 12, tzinfo=UTC)
FINISHED: dict[str, Record] = {}


class Bench:
    """A finished room of the invented house, its saves, and a way to close and open it again."""

    def __init__(self, name: str = "front parlour") -> None:
        if name not in FINISHED:
            made = Session(load(), Record(id="x", name=name, created=NOON, changed=NOON), lambda _: None, ticking(NOON))
            play(made, room(name))
            FINISHED[name] = made.record
        self.saved: list[Record] = []
        self.session = Session(load(), FINISHED[name], self.saved.append, ticking(NOON))

    def again(self) -> Session:
        """The record as it was last saved, opened anew."""
        kept = codec.from_bytes(codec.to_bytes(self.saved[-1]), "x")
        self.session = Session(load(), kept, self.saved.append, ticking(NOON))
        return self.session


def seen(session: Session) -> WorkView:
    view = session.work
    assert view is not None
    return view


def confirm(session: Session) -> None:
    gate = seen(session).gate
    assert gate is not None
    session.open_work([True] * len(gate.checks))


def test_nothing_is_begun_by_looking() -> None:
    """Before the work is begun there is none to show, and looking saves nothing."""
    bench = Bench()
    assert bench.session.work is None
    assert bench.session.work_refusal == ""
    assert bench.saved == []


def test_steps_come_one_by_one_in_the_plans_order() -> None:
    """After what is to be known first come exactly the plan's steps, each behind its station's checks; then the
    function table, line by line."""
    bench = Bench()
    session = bench.session
    advice = session.advice()
    assert advice.recommendation is not None
    chosen = next(one for one in advice.schemes if one.id == advice.recommendation.scheme)
    first = session.start_work()
    assert first.phase == "step"
    assert first.step is not None
    assert first.step.kind == "prepare"
    assert set(advice.warnings) <= set(first.step.cautions)
    done, gates = [], []
    while (view := seen(session)).phase in ("step", "gate"):
        if view.phase == "gate":
            assert view.gate is not None
            gates.append(view.gate.opens)
            confirm(session)
            continue
        assert view.step is not None
        done.append(view.step.text)
        session.step_done()
    assert done[1:] == [step.text for step in chosen.steps]
    assert gates[0] == "wall"
    assert len(gates) == len(set(gates))
    assert seen(bench.again()).phase == "proof", "nothing is opened for the proof"
    session = bench.session
    assert session.record.standing.work == "begun"
    assert len(view.rows) == len(chosen.functions) > 0
    assert not any(row.checked for row in view.rows)
    for row in view.rows:
        assert seen(session).phase == "proof"
        session.check_row(row.index)
    assert seen(session).phase == "done"
    assert session.record.standing.work == "proved"
    session.check_row(0, False)
    assert seen(session).phase == "proof"
    assert session.record.standing.work == "begun"


def test_the_checks_cannot_be_skipped() -> None:
    """Without every check confirmed no step in a box is shown as open, and none can be done."""
    bench = Bench()
    session = bench.session
    session.start_work()
    session.step_done()
    gate = seen(session).gate
    assert gate is not None
    for said in ([], [True], [True] * (len(gate.checks) - 1) + [False]):
        with pytest.raises(SwitchlegError):
            session.open_work(said)
    with pytest.raises(SwitchlegError):
        session.step_done()
    with pytest.raises(SwitchlegError):
        session.check_row(0)
    before = len(session.record.gates)
    confirm(session)
    assert session.record.gates[before].checks == gate.checks
    assert seen(session).phase == "step"


def test_power_on_again_means_checks_again() -> None:
    """Once the breaker is on for the proof, going back to a step in a box asks every check anew."""
    session = Bench().session
    session.start_work()
    while (view := seen(session)).phase in ("step", "gate"):
        if view.phase == "gate":
            confirm(session)
        else:
            assert view.step is not None
            last = view.step.kind
            session.step_done()
    assert last == "on"
    assert session.step_back()
    assert seen(session).phase == "step"
    assert session.step_back()
    assert seen(session).phase == "gate"


def test_place_and_notes_survive_and_the_checks_come_again() -> None:
    """Closed in the middle, the work goes on at the same step with its notes, behind new checks."""
    bench = Bench()
    session = bench.session
    session.start_work()
    session.step_done()
    confirm(session)
    session.step_done("the black one is\nscorched a little")
    session.step_done()
    at = seen(session).step
    session = bench.again()
    view = seen(session)
    assert view.phase == "gate"
    assert view.step is not None
    assert at is not None
    assert view.step.index == at.index
    assert [step.note for step in view.steps if step.note] == ["the black one is scorched a little"]
    confirm(session)
    assert session.step_back()
    assert seen(session).number == view.number - 1


@given(st.integers(0, 30))
@settings(max_examples=15, deadline=None)
def test_stopped_anywhere_the_work_goes_on_there(steps: int) -> None:
    """After any number of steps the saved record opens at exactly that step."""
    bench = Bench()
    session = bench.session
    view = session.start_work()
    for _ in range(min(steps, view.many)):
        if seen(session).phase == "gate":
            confirm(session)
        session.step_done()
    again = seen(bench.again())
    assert sum(step.done for step in again.steps) == min(steps, view.many)


def test_another_answer_that_changes_the_plan_stops_the_work() -> None:
    """When the plan is no longer the one begun, no step of either is shown as next until it is begun anew; the
    old work is kept."""
    bench = Bench()
    session = bench.session
    session.start_work()
    session.step_done("rusty")
    confirm(session)
    session.step_done()
    session.go_to("want_light_apart")
    session.answer("no")
    session.go_to("run_conductors")
    session.answer(2)
    view = seen(session)
    assert view.phase == "changed"
    assert view.step is None
    with pytest.raises(SwitchlegError):
        session.step_done()
    session.leave_work()
    assert session.work is None
    assert [work.notes for work in session.record.past_work] == [{0: "rusty"}]


@pytest.mark.parametrize("name", ["linen room", "corner room"])
def test_no_work_where_the_card_gives_no_plan(name: str) -> None:
    """A card that says stop or needs further looks gives no work to begin, and says why."""
    session = Bench(name).session
    assert session.work_refusal
    with pytest.raises(SwitchlegError, match="no plan"):
        session.start_work()
    assert session.record.progress is None


def test_no_ruled_out_scheme_can_be_worked_on() -> None:
    """A scheme that the judge ruled out, or that does not exist, cannot be begun; the nearest name is said."""
    session = Bench().session
    out = next(one.id for one in session.advice().schemes if one.verdict == "ruled_out")
    with pytest.raises(SwitchlegError, match="ruled out"):
        session.start_work(out)
    with pytest.raises(SwitchlegError) as caught:
        session.start_work("wall_speed_and_lihgt")
    assert "wall_speed_and_light" in caught.value.line()


def test_a_read_only_record_shows_its_work_and_changes_nothing() -> None:
    """Opened for reading, the work can be seen, and every change is refused."""
    bench = Bench()
    bench.session.start_work()
    session = Session(load(), bench.saved[-1], None, ticking(NOON))
    assert seen(session).number == 1
    for change in (session.step_done, session.leave_work, lambda: session.step_note("x")):
        with pytest.raises(SwitchlegError, match="reading only"):
            change()
