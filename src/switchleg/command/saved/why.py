"""`why`: the steps by which a scheme was judged, with facts, numbers and sources."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

from switchleg.command.saved.records import session_of
from switchleg.command.shell import output
from switchleg.errors import SwitchlegError

if TYPE_CHECKING:
    from argparse import Namespace

    from switchleg.advice.model import Why

COLUMNS = 80
INDENT = "  "


def run(args: Namespace) -> int:
    """Prints the tree of reasons for one scheme of a record, or of every scheme."""
    from switchleg.record.store import Store

    with Store.default().open(args.name, write=False) as opened:
        advice = session_of(opened).advice()
    known = [s.id for s in advice.schemes]
    if args.scheme and args.scheme not in known:
        from switchleg.spelling import nearest_of

        close = nearest_of(args.scheme, known)
        hint = f"did you mean {close}?" if close else f"one of {', '.join(known)}"
        raise SwitchlegError(f"no scheme is called {args.scheme}", where="why", mend=hint)
    for scheme in advice.schemes:
        if scheme.why and args.scheme in (None, scheme.id):
            for line in why_lines(scheme.why):
                output.say(line)
    return 0


def why_lines(step: Why, depth: int = 0) -> Iterator[str]:
    """A step and the steps beneath it, indented; facts and sources in brackets after the sentence."""
    told = step.text
    if step.facts:
        told += f" [from: {', '.join(step.facts)}]"
    if step.sources:
        told += f" [source: {', '.join(step.sources)}]"
    lead = INDENT * depth + ("- " if depth else "")
    yield from textwrap.wrap(
        told, COLUMNS, initial_indent=lead, subsequent_indent=INDENT * (depth + 1), break_on_hyphens=False
    )
    for below in step.steps:
        yield from why_lines(below, depth + 1)
