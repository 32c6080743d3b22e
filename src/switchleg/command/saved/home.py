"""`home`: every fan of a home, one trip with the breaker off, one list of parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from switchleg.command.saved.records import now
from switchleg.command.shell import output

if TYPE_CHECKING:
    from argparse import Namespace

    from switchleg.record.store import Store


def run(args: Namespace) -> int:
    """Prints the home called HOME, or the only one."""
    from switchleg.record.homes import find_home
    from switchleg.record.store import Store

    store = Store.default()
    home = find_home(args.home, store.list())
    output.say(home_text(store, home).rstrip("\n"))
    return 0


def home_text(store: Store, home: str) -> str:
    """The home's paper without its fans' chapters."""
    from switchleg.home.overview import home_view
    from switchleg.knowledge.load import load
    from switchleg.paper.home import home_document
    from switchleg.paper.text import render

    return render(home_document(home_view(load(), home, store.records_of(home), now), now()))
