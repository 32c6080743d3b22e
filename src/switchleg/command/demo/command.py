"""`switchleg demo`: an invented house with a fan in every room, in a folder that is thrown away."""

from __future__ import annotations

import tempfile
from argparse import Namespace
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from switchleg.command import start_screens
from switchleg.command.demo.script import load_plan, play
from switchleg.command.saved.records import record_line
from switchleg.command.shell import output
from switchleg.record.store import Store, local_now
from switchleg.session.session import Session

if TYPE_CHECKING:
    from switchleg.command.demo.script import Plan
    from switchleg.knowledge.load import Knowledge


class DemoStore(Store):
    """A store that says that it will be thrown away, so that the screens can say so too."""

    throw_away = True


class _Watch:
    """A clock for answers given some time ago, a quarter of a minute apart."""

    def __init__(self, start: datetime) -> None:
        self._now = start

    def __call__(self) -> datetime:
        self._now += timedelta(seconds=15)
        return self._now


def run(args: Namespace) -> int:  # noqa: ARG001 - every command has this shape
    """Opens the screens on the invented house; without a terminal, prints its list and headlines."""
    from switchleg.knowledge.load import load

    knowledge = load()
    plan = load_plan(knowledge)
    shown = start_screens.can_show_screens()
    if shown:
        start_screens.fit_for_screens()
    with tempfile.TemporaryDirectory(prefix="switchleg-demo-") as folder:
        store = DemoStore(Path(folder) / "records")
        furnish(store, plan, knowledge)
        if not shown:
            _print(store, plan)
            return 0
        code = start_screens.start(store)
    output.say_wrapped("The invented house is gone again; your own records were not touched.")
    return code


def furnish(store: Store, plan: Plan, knowledge: Knowledge, now: Callable[[], datetime] = local_now) -> None:
    """Makes a record for every room by walking the tree with what its person sees, in the hours before `now`."""
    rooms = len(plan.room)
    for number, room in enumerate(plan.room):
        clock = _Watch(now() - timedelta(hours=2 * (rooms - number)))
        made = Store(store.root, clock).create(room.name, plan.home)
        # Saved once at the end: nothing is lost if an invented house is interrupted.
        made = made.model_copy(update={"breaker_label": room.breaker_label})
        session = Session(knowledge, made, lambda _: None, clock)
        play(session, room)
        store.save(session.record)


def _print(store: Store, plan: Plan) -> None:
    output.say_wrapped(
        f"An invented house: {plan.home}. It lives in a folder that is thrown away; your own records are "
        "not touched. In a terminal this opens the screens."
    )
    output.say()
    for line in store.list():
        output.say(record_line(line))
        if line.headline:
            output.say_wrapped(line.headline, first="  ", rest="  ")
