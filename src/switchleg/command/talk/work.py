"""The work line by line: the safety checks, one step at a time, then the proof."""

from __future__ import annotations

from switchleg.command.shell.output import put, say, say_wrapped, wrapped
from switchleg.command.talk import understand
from switchleg.command.talk.hear import Quit, hear
from switchleg.errors import SwitchlegError
from switchleg.session.session import Session
from switchleg.session.views.model import DoorView, WorkView

DONE = frozenset({"done", "d", "yes", "y", "ok", "next"})
GIVE_UP = frozenset({"give up", "give it up"})
AWAY = frozenset({"leave", "later", "pause", "not now", "stop", "back to the card"})


def work_through(session: Session) -> None:
    """Goes on with the work until it is proved or left; the place is kept after every line."""
    try:
        session.start_work(session.record.progress.scheme if session.record.progress else None)
    except SwitchlegError as reason:
        view = session.work
        if view is None:
            raise
        say_wrapped(view.says)
        say_wrapped(f"{reason.line()}.")
        return
    said: tuple[str, int] | None = None
    while (view := session.work) is not None:
        place = (view.phase, view.number)
        fresh, said = place != said, place
        if view.phase in ("done", "changed"):
            say_wrapped(view.says)
            return
        if view.phase == "gate" and view.gate is not None:
            if not _checks(session, view.gate):
                return
        elif view.phase == "step":
            if not _step(session, view, fresh=fresh):
                return
        elif not _proof(session, view):
            return


def _checks(session: Session, gate: DoorView) -> bool:
    say()
    say_wrapped("Safety first. Every check is confirmed before the next step.")
    for caution in gate.cautions:
        say_wrapped(f"Caution: {caution}")
    for number, check in enumerate(gate.checks, 1):
        while True:
            say_wrapped(f"Check {number} of {len(gate.checks)}: {check}")
            said = understand.fold(hear("Done, yes or no:"))
            if said in understand.YES:
                break
            if said in ("quit", "q"):
                raise Quit
            if said in understand.NO or said in AWAY or said == "back":
                say_wrapped("Then the work waits here. Nothing is lost.")
                return False
            say_wrapped("Please type yes when it is done, or no.")
    session.open_work([True] * len(gate.checks))
    return True


def _step(session: Session, view: WorkView, *, fresh: bool) -> bool:
    step = view.step
    assert step is not None
    if fresh:
        say()
        where = f", in {step.box}" if step.box else ""
        say_wrapped(f"Step {view.number} of {view.many}{where}. {step.text}")
        for number, line in enumerate(step.lines, 1):
            put(wrapped(line, first=f"{number}. ", rest="   "))
        for caution in step.cautions:
            say_wrapped(f"Caution: {caution}")
        if step.note:
            say_wrapped(f"Your note: {step.note}")
    line = hear("Done, note, back, again or leave:")
    said = understand.fold(line)
    if said in DONE:
        session.step_done()
    elif said == "note" or said.startswith("note "):
        words = line.strip()[4:].strip()
        session.step_note(words)
        say_wrapped("Your note is kept." if words else "Your note is taken away.")
    elif said in ("back", "b"):
        if not session.step_back():
            say_wrapped("This is the first step.")
    elif said in ("again", "repeat"):
        return _step(session, view, fresh=True)
    elif said in ("quit", "q"):
        raise Quit
    elif said in GIVE_UP:
        session.leave_work()
        say_wrapped("This plan is left. Its notes are kept; work begins another one.")
        return False
    elif said in AWAY:
        say_wrapped("The work waits at this step.")
        return False
    else:
        say_wrapped("Type done when it is done; note and your words; back, again, leave or give up.")
    return True


def _proof(session: Session, view: WorkView) -> bool:
    row = next(row for row in view.rows if not row.checked)
    say()
    if not any(row.checked for row in view.rows):
        say_wrapped(view.says)
        for line in view.after:
            say_wrapped(f"First: {line}")
    say_wrapped(f"Line {row.index + 1} of {len(view.rows)}: {row.text}")
    said = understand.fold(hear("Does it, yes or no:"))
    if said in understand.YES:
        session.check_row(row.index)
    elif said in ("quit", "q"):
        raise Quit
    elif said in ("back", "b"):
        session.step_back()
    elif said in understand.NO:
        say_wrapped(
            "Then something is joined otherwise. Breaker off, test dead, and look at the joints again. "
            "The work waits at this line."
        )
        return False
    elif said in AWAY:
        say_wrapped("The work waits at this line.")
        return False
    else:
        say_wrapped("Please type yes, no, back or leave.")
    return True
