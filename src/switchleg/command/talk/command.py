"""`switchleg ask [NAME]`: the questionnaire line by line on plain input and output."""

from __future__ import annotations

import shlex
from argparse import Namespace
from typing import TYPE_CHECKING

from switchleg.command.saved.home import home_text
from switchleg.command.saved.records import tidy_name
from switchleg.command.shell import output
from switchleg.command.talk.conversation import Conversation
from switchleg.command.talk.hear import EndOfInput, Quit
from switchleg.command.talk.orders import Outside
from switchleg.errors import COULD_NOT
from switchleg.paper.fan import fan_paper, home_paper, kind_of
from switchleg.paper.write import write
from switchleg.record.atomic_write import NotSaved
from switchleg.record.store import Store, local_now

if TYPE_CHECKING:
    from switchleg.record.opened import Opened
    from switchleg.session.session import Session


def run(args: Namespace) -> int:
    """Talks through one record; every answer is kept. 0, or 1 when answers could not be saved at the end."""
    from switchleg.knowledge.load import load
    from switchleg.session.session import Session

    knowledge = load()
    store = Store.default()
    id_, is_new = _which(store, args.name, args.home)
    with store.open(id_, write=True) as opened:
        record = opened.record
        save = None if opened.read_only else store.save
        session = Session(knowledge, record, save, local_now, others=lambda: store.others(record))
        _greet(session, opened, is_new=is_new)
        talk = Conversation(
            session,
            Outside(
                export=lambda file: write(file, fan_paper(session, kind_of(None, file))),
                export_home=lambda file: write(file, _home_paper(store, session, file)),
                rename=lambda name: session.rename(tidy_name(name)),
                label=lambda text: session.rename(session.record.name, breaker=tidy_name(text)),
                home=lambda: home_text(store, session.record.home),
            ),
        )
        try:
            talk.go_on()
        except EndOfInput:
            output.say("That was the end of the input.")
        except Quit:
            pass
        return _leave(session)


def _home_paper(store: Store, session: Session, file: str) -> str:
    home = session.record.home
    return home_paper(home, list(store.records_of(home)), kind_of(None, file), session.knowledge)


def _which(store: Store, name: str | None, home: str) -> tuple[str, bool]:
    """The id of the record to talk about, and whether it was just made."""
    if name is None:
        names = {line.name.casefold() for line in store.list()}
        number = next(number for number in range(1, len(names) + 2) if f"fan {number}" not in names)
        return store.create(f"fan {number}", tidy_name(home, may_be_empty=True)).id, True
    wanted = tidy_name(name)
    known = {text.casefold() for line in store.list() for text in (line.id, line.name)}
    if wanted.casefold() in known or name.casefold() in known:
        return store.find(wanted if wanted.casefold() in known else name).id, False
    return store.create(wanted, tidy_name(home, may_be_empty=True)).id, True


def _greet(session: Session, opened: Opened, *, is_new: bool) -> None:
    record = session.record
    how = "A new record" if is_new else f"Going on, {session.progress.answered} answered"
    output.say_wrapped(f"{record.name}. {how}. Type help for the words understood here.")
    if is_new:
        output.say_wrapped("To call it something else, type name and the new name.")
    elif look := session.next_look():
        output.say_wrapped(look)
    if opened.reason:
        output.say_wrapped(f"Please note: {opened.reason}.".replace("..", "."))


def _leave(session: Session) -> int:
    """Tries a failed save once more, and says how to go on."""
    code = 0
    if session.save_error is not None:
        try:
            session.save_again()
        except NotSaved as unsaved:
            output.complain(unsaved.line())
            code = COULD_NOT
    if session.read_only:
        output.say_wrapped("Nothing was changed.")
    elif code == 0:
        output.say_wrapped("Every answer is kept.")
    output.say(f"To go on: switchleg ask {shlex.quote(session.record.id)}")
    return code
