"""`export`: a fan or a whole home on paper, on stdout or into a file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from switchleg.command.saved.records import session_of
from switchleg.command.shell import output
from switchleg.errors import SwitchlegError
from switchleg.paper.fan import fan_paper, home_paper, kind_of, page_text

if TYPE_CHECKING:
    from argparse import Namespace


def run(args: Namespace) -> int:
    """Prints or writes the paper of NAME or of --home HOME."""
    text = _paper(args)
    if args.output in (None, "-"):
        output.put(text.rstrip("\n"))
        return 0
    from switchleg.paper.write import write

    output.say(f"Written to {write(args.output, text, force=args.force)}.")
    return 0


def _paper(args: Namespace) -> str:
    from switchleg.record.homes import find_home
    from switchleg.record.store import Store

    kind = kind_of("json" if args.json else args.kind, args.output)
    if args.page and (args.home is not None or kind != "txt"):
        raise SwitchlegError("one page is text of one fan", where="export", mend="leave --page out")
    if (args.name is None) == (args.home is None):
        raise SwitchlegError(
            "say which fan or which home", where="export", expected="NAME, or --home HOME", mend="run `switchleg list`"
        )
    store = Store.default()
    if args.home is not None:
        home = find_home(args.home, store.list())
        return home_paper(home, list(store.records_of(home)), kind)
    with store.open(args.name, write=False) as opened:
        session = session_of(opened)
        return page_text(session) if args.page else fan_paper(session, kind)
