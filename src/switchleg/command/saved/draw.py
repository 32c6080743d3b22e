"""`draw`: today's wiring and the planned one, as text or as an SVG file."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from switchleg.command.saved.records import session_of
from switchleg.command.shell import output
from switchleg.errors import SwitchlegError

if TYPE_CHECKING:
    from argparse import Namespace

    from switchleg.advice.card.drawings import Pictures


def run(args: Namespace) -> int:
    """Draws a record's wiring; with `-o` into a file."""
    from switchleg.advice.card.drawings import pictures
    from switchleg.knowledge.load import load
    from switchleg.record.store import Store

    knowledge = load()
    known = [s.id for s in knowledge.schemes.scheme]
    if args.scheme and args.scheme not in known:
        from switchleg.spelling import nearest_of

        close = nearest_of(args.scheme, known)
        hint = f"did you mean {close}?" if close else f"one of {', '.join(known)}"
        raise SwitchlegError(f"no scheme is called {args.scheme}", where="draw", mend=hint)
    with Store.default().open(args.name, write=False) as opened:
        facts = session_of(opened).facts
        title = opened.record.name
    drawn = pictures(knowledge, facts, args.scheme)
    if args.output is None:
        output.put(as_text(drawn, ascii_only=args.ascii or not _speaks_lines()))
        return 0
    from switchleg.wiring.drawing.svg import draw_svg, draw_svg_pair

    if drawn.new is None:
        picture = draw_svg(drawn.today, title=f"{title}: today's wiring")
    else:
        picture = draw_svg_pair(drawn.today, drawn.new, title=f"{title}: {drawn.scheme}")
    if args.output == "-":
        output.put(picture.rstrip("\n"))
        return 0
    from switchleg.paper.write import write

    output.say(f"Written to {write(args.output, picture, force=args.force)}.")
    return 0


def _speaks_lines() -> bool:
    """Whether the output can show box-drawing signs."""
    try:
        "┌─●".encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def as_text(drawn: Pictures, *, ascii_only: bool) -> str:
    """Both drawings below each other, 40 columns wide where the wiring allows it."""
    from switchleg.wiring.drawing.text import draw_text

    text = "TODAY\n\n" + draw_text(drawn.today, ascii_only=ascii_only)
    if drawn.new is not None:
        text += f"\n\nNEW: {drawn.scheme}\n\n" + draw_text(drawn.new, ascii_only=ascii_only)
    return text.rstrip("\n")
