"""`compare`: schemes side by side against the wants, on the answers or on what is supposed; nothing is kept."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from switchleg.command.shell import output
from switchleg.errors import SwitchlegError

if TYPE_CHECKING:
    from argparse import Namespace

    from switchleg.advice.compare import Compared
    from switchleg.advice.model import Advice
    from switchleg.session.session import Session


def run(args: Namespace) -> int:
    """Prints the table and then each scheme in words."""
    from switchleg.advice.compare_table import table
    from switchleg.command.saved.records import session_of
    from switchleg.record.store import Store

    with Store.default().open(args.name, write=False) as opened:
        session = session_of(opened)
        ifs = [part for one in args.ifs for part in one.replace(",", " ").split()]
        advice, schemes = compared(session, ifs)
        say_lead(session, advice, ifs)
        output.say()
        for row in table(schemes, session.facts, output.columns()):
            output.say(row.text)
        say_schemes(schemes)
    return 0


def compared(session: Session, ifs: Collection[str]) -> tuple[Advice, tuple[Compared, ...]]:
    """The advice and the comparison under these suppositions. SwitchlegError for one that cannot be made."""
    from switchleg.advice.advise import advise
    from switchleg.advice.compare import WHAT_IFS, compare, supposed

    for name in ifs:
        if name not in WHAT_IFS:
            from switchleg.record.index import nearest

            close = nearest(name, WHAT_IFS)
            raise SwitchlegError(
                f"nothing is called {name!r} that could be supposed",
                expected=", ".join(WHAT_IFS),
                mend=f"did you mean {close}?" if close else "take one of them",
            )
    facts = supposed(session.facts, ifs)
    untold = session.untold - facts.keys()
    advice = advise(session.knowledge, facts, untold) if ifs else session.advice()
    return advice, compare(session.knowledge, facts, advice, untold)


def say_lead(session: Session, advice: Advice, ifs: Collection[str]) -> None:
    """What is supposed, and what it comes to."""
    from switchleg.advice.card.build import headline
    from switchleg.advice.compare import WHAT_IFS

    for name in ifs:
        output.say_wrapped(f"What if {WHAT_IFS[name][0]}? Nothing of this is kept.")
    output.say_wrapped(f"{session.record.name}: {headline(advice)}")


def say_schemes(schemes: Collection[Compared]) -> None:
    """Each scheme in words, as it is best heard."""
    for scheme in schemes:
        output.say()
        first = "Recommended, " if scheme.recommended else ""
        output.say_wrapped(f"{scheme.title}: {first}{scheme.verdict}.")
        for lead, told in (("Keeps", scheme.kept), ("Loses", scheme.lost), ("Needs", scheme.needs)):
            if told:
                output.say_wrapped(f"{lead}: {'; '.join(told)}.", rest="   ")
        if scheme.why_not:
            output.say_wrapped(f"Why not: {scheme.why_not}", rest="   ")
        if scheme.possible_if:
            output.say_wrapped(f"Possible if {' and '.join(scheme.possible_if)}.", rest="   ")
