"""`delete`, `undelete` and `rename`: into the bin and out of it again, and other labels; nothing is destroyed here."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from switchleg.command.saved.records import record_line
from switchleg.command.shell import output
from switchleg.errors import COULD_NOT, SwitchlegError

if TYPE_CHECKING:
    from argparse import Namespace

    from switchleg.record.store import Store

YES = frozenset({"y", "yes"})


def run(args: Namespace) -> int:
    """Deletes after a yes, or brings back; without NAME, `undelete` lists what can be brought back."""
    from switchleg.record.store import Store

    store = Store.default()
    if args.command == "delete":
        line = store.find(args.name)
        if not args.yes:
            _confirm(record_line(line, with_id=True))
        store.delete(line.id)
        output.say(f"Deleted: {line.name}. To have it back: switchleg undelete {line.id}")
    elif args.command == "rename":
        _rename(store, args)
    elif args.name is None:
        gone = store.deleted()
        output.say("\n".join(record_line(line, with_id=True) for line in gone) or "Nothing was deleted.")
    else:
        back = store.undelete(args.name)
        output.say(f"Back again: {back.name} [{back.id}]")
    return 0


def _rename(store: Store, args: Namespace) -> None:
    from switchleg.command.saved.records import tidy_name

    line = store.find(args.name)
    kept = store.relabel(
        line.id,
        name=line.name if args.new_name is None else tidy_name(args.new_name),
        home=line.home if args.home is None else tidy_name(args.home, may_be_empty=True),
        breaker_label=line.breaker_label if args.breaker is None else tidy_name(args.breaker, may_be_empty=True),
    )
    breaker = f", breaker {kept.breaker_label}" if kept.breaker_label else ""
    output.say(f"Now called: {kept.name}{f', {kept.home}' if kept.home else ''}{breaker}")


def _confirm(line: str) -> None:
    """Asks on stdout and reads a line; SwitchlegError, exit code 1, unless it is a yes."""
    output.say(line)
    output.put("Delete it? It can be brought back. yes or no:", end=" ")
    output.flush()
    said = sys.stdin.readline(100) if sys.stdin is not None else ""
    if sys.stdin is None or not sys.stdin.isatty():
        output.say(said.strip())
    if said.strip().casefold() not in YES:
        raise SwitchlegError("nothing was deleted", mend="say yes, or give --yes", exit_code=COULD_NOT)
