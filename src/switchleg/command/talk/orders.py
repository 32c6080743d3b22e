"""Orders in `switchleg ask` that keep or write something, or compare: each is heard at any question."""

from __future__ import annotations

import difflib
from collections.abc import Callable
from dataclasses import dataclass

from switchleg.command.saved import compare as comparing
from switchleg.command.shell.output import say_wrapped
from switchleg.command.talk import understand
from switchleg.errors import SwitchlegError
from switchleg.session.session import Session
from switchleg.session.views.model import CardView, View


@dataclass(frozen=True)
class Outside:
    """What a talk may do beyond its session; files are told by the path they were written to."""

    export: Callable[[str], str]
    export_home: Callable[[str], str]
    rename: Callable[[str], None]
    label: Callable[[str], None]
    home: Callable[[], str]


def note(session: Session, view: View, text: str) -> None:
    """Keeps a note with the step in view."""
    if isinstance(view, CardView):
        say_wrapped("A note belongs to a step. Type change and its number first.")
    elif not text:
        say_wrapped("Please type note and then your words.")
    else:
        session.note(view.node, text)
        say_wrapped("Your note is kept.")


def name(outside: Outside, session: Session, text: str) -> None:
    """Gives the record another name."""
    if not text:
        say_wrapped("Please type name and then the new name.")
    else:
        outside.rename(text)
        say_wrapped(f"This record is now called {session.record.name}.")


def circuit(outside: Outside, session: Session, text: str) -> None:
    """Keeps the label of the breaker."""
    if not text:
        label = session.record.breaker_label
        say_wrapped(f"The breaker is called {label}." if label else "Please type circuit and the breaker's label.")
    else:
        outside.label(text)
        say_wrapped(f"The breaker of this fan is called {session.record.breaker_label}.")


def export(outside: Outside, session: Session, text: str) -> None:
    """Writes the fan, or with "home" first the whole home, into a file."""
    first, _, rest = text.partition(" ")
    if not text:
        say_wrapped("Please type export and then a file name, such as export fan.html; or export home house.html")
    elif understand.fold(first) == "home" and rest.strip():
        if not session.record.home:
            raise SwitchlegError("this record has no home", mend="export the fan alone")
        say_wrapped(f"Written to {outside.export_home(rest.strip())}.")
    else:
        say_wrapped(f"Written to {outside.export(text)}.")


def compare(session: Session, text: str) -> None:
    """The schemes in words, under what is supposed; nothing of it is kept."""
    from switchleg.advice.compare import WHAT_IFS

    ifs = [word for word in text.replace(",", " ").split() if word not in ("if", "what", "and")]
    advice, schemes = comparing.compared(session, ifs)
    comparing.say_lead(session, advice, ifs)
    comparing.say_schemes(schemes)
    open_ifs = [word for word in WHAT_IFS if word not in ifs]
    if open_ifs:
        say_wrapped(f"To suppose something, type compare and one or more of: {', '.join(open_ifs)}.")


def step_named(session: Session, text: str) -> str:
    """The step of the review that a number or a name means; "" when none does, which is said."""
    rows = session.review
    said = understand.fold(text).replace(" ", "_")
    if said.isdigit() and 1 <= int(said) <= len(rows):
        return rows[int(said) - 1].node
    nodes = [row.node for row in rows]
    if said in nodes:
        return said
    near = difflib.get_close_matches(said, nodes, n=1)
    hint = f" Did you mean {near[0]}?" if near else ""
    say_wrapped(f"That is not among your answers.{hint} Type review to hear them with numbers.")
    return ""
