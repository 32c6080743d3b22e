"""`list` and `card`: what is kept, read without a screen."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from switchleg.command.shell import output
from switchleg.errors import COULD_NOT, SwitchlegError
from switchleg.paper.safe_text import typed

if TYPE_CHECKING:
    from argparse import Namespace

    from switchleg.record.opened import Opened
    from switchleg.record.store import Store
    from switchleg.record.summary import Summary
    from switchleg.session.session import Session

STAGES = {
    "new": "not begun",
    "asking": "under way",
    "waiting": "waiting for what was left for later",
    "declined": "for the electrician",
    "done": "all answered",
}
STATUSES = {
    "recommended": "a scheme is recommended",
    "needs_checks": "further checks needed",
    "stop": "stop: call a licensed electrician",
}

WORKS = {"begun": "work under way", "proved": "work done and proved"}


def run(args: Namespace) -> int:
    """Carries out `list` or `card`."""
    from switchleg.record.store import Store

    store = Store.default()
    if args.command == "list":
        return list_records(store)
    with store.open(args.name, write=False) as opened:
        if args.page:
            from switchleg.paper.fan import page_text

            output.put(page_text(session_of(opened)).rstrip("\n"))
        else:
            print_card(opened)
    return 0


def list_records(store: Store) -> int:
    """Prints a line for each record, the latest first."""
    lines = store.list()
    if not lines:
        output.say("No records yet. `switchleg new NAME` or `switchleg ask NAME` starts one.")
    names = [line.name.casefold() for line in lines]
    for line in lines:
        output.say(record_line(line, with_id=names.count(line.name.casefold()) > 1))
    return 0


def record_line(line: Summary, *, with_id: bool = False) -> str:
    """One record in one line: its name, its id where the name is not enough, its home, its state, when."""
    title = f"{line.name} [{line.id}]" if with_id else line.name
    if line.problem:
        return tidy(f"{title}: {line.problem}")
    stage = STAGES.get(line.stage, line.stage)
    if line.stage == "asking":
        stage = f"{stage}, {line.answered} answered"
    verdict = STATUSES.get(line.status or "", "")
    home = f", {line.home}" if line.home else ""
    told = "; ".join(part for part in (stage, verdict, WORKS.get(line.work, "")) if part)
    return tidy(f"{title}{home}: {told}; {_day(line.changed)}")


def print_card(opened: Opened) -> None:
    """Prints the card on what the record knows, under its name."""
    from switchleg.command.saved.card_text import card_text

    output.say(card_text(session_of(opened).card()))


def session_of(opened: Opened) -> Session:
    """A session that only reads."""
    from switchleg.knowledge.load import load
    from switchleg.session.session import Session

    return Session(load(), opened.record, None, now)


def tidy(text: str) -> str:
    """`text` on one line, without control characters."""
    return typed(output.clean(text, keep_lines=False))


def tidy_name(text: str, *, may_be_empty: bool = False) -> str:
    """A name as it is kept; raises SwitchlegError when nothing readable is left of it."""
    name = tidy(text)
    if not may_be_empty and not name.replace("?", ""):
        raise SwitchlegError(
            "the name is empty", where="NAME", expected="a few letters, such as the room", mend="type a name"
        )
    if len(name) > 80:
        raise SwitchlegError(f"the name has {len(name)} signs", where="NAME", expected="80 at most", mend="shorten it")
    return name


def refuse_twin(store: Store, name: str, home: str) -> None:
    """Raises SwitchlegError when a record of this name in this home is there already."""
    for line in store.list():
        if line.name.casefold() == name.casefold() and line.home.casefold() == home.casefold():
            raise SwitchlegError(
                f"there is already a record called {line.name!r}",
                mend=f"go on with `switchleg resume {line.id}`, or take another name",
                exit_code=COULD_NOT,
            )


def _day(when: datetime) -> str:
    return f"{when.astimezone():%Y-%m-%d %H:%M}"


def now() -> datetime:
    """The time here, with its offset."""
    return datetime.now().astimezone()
