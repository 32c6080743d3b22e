"""What `switchleg ask` says on demand: reasons, drawings in words, offers, and what a change would do."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from switchleg.command.saved.why import why_lines
from switchleg.command.shell.output import put, say, say_wrapped, wrapped
from switchleg.command.talk import understand
from switchleg.command.talk.hear import Quit, hear
from switchleg.errors import SwitchlegError
from switchleg.session.session import Session
from switchleg.session.views.model import Change, DoorView, Offer, QuestionView

MOST_LINES = 12
"""Of a card, said when a change is weighed; more is not kept in mind."""
OTHER_SECTIONS = ("Joints", "The work", "How it is known")


def explain(view: QuestionView, word: str) -> None:
    """Why a question is asked, where to look, and what its drawing shows."""
    if word == "why":
        say_wrapped(view.why)
        say_wrapped(f"It settles this: {view.settles}")
    elif word == "look":
        say_wrapped(view.look)
    else:
        depict(view, word)


def depict(view: QuestionView | DoorView, word: str) -> None:
    """What the drawing of a question or a gate shows: in words, or the drawing itself."""
    if not view.picture:
        say_wrapped("There is no drawing here.")
    elif word == "picture":
        say_wrapped(f"{view.picture_title}. {view.picture_says}".replace("..", "."))
        say_wrapped("Type drawing to have it printed.")
    else:
        put(_shown(view))


def _shown(view: QuestionView | DoorView) -> str:
    try:
        view.picture.encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return view.picture_ascii
    return view.picture


def reasons(session: Session, scheme: str) -> None:
    """Why a scheme was judged as it was; every scheme in a line when none is named."""
    advice = session.advice()
    wanted = scheme.replace(" ", "_")
    if not wanted:
        say()
        for one in advice.schemes:
            told = one.reasons[0].text if one.reasons else ""
            say_wrapped(f"{one.id}: {one.verdict.replace('_', ' ')}. {told}".rstrip(), rest="   ")
        say_wrapped("Type why and the first word of a line to hear all of it.")
        return
    found = next((one for one in advice.schemes if one.id == wanted), None)
    if found is None or found.why is None:
        raise SwitchlegError(f"no scheme is called {wanted}", mend=_meant(wanted, [one.id for one in advice.schemes]))
    for line in why_lines(found.why):
        say(line)


def drawing(session: Session, scheme: str) -> None:
    """Today's wiring and the planned one, told in words."""
    from switchleg.advice.card.drawings import pictures
    from switchleg.wiring.drawing.sentences import told

    wanted = scheme.replace(" ", "_") or None
    known = [one.id for one in session.knowledge.schemes.scheme]
    if wanted is not None and wanted not in known:
        raise SwitchlegError(f"no scheme is called {wanted}", mend=_meant(wanted, known))
    drawn = pictures(session.knowledge, session.facts, wanted)
    say()
    say_wrapped(f"Today. {told(drawn.today)}")
    if drawn.new is not None:
        say()
        say_wrapped(f"New: {drawn.scheme}. {told(drawn.new)}")
    say_wrapped(f"Drawn with lines: switchleg draw {session.record.id}")


def _meant(wanted: str, known: Sequence[str]) -> str:
    from switchleg.record.index import nearest

    close = nearest(wanted, known)
    return f"did you mean {close}?" if close else f"one of {', '.join(known)}"


def choose_offers(offers: Sequence[Offer]) -> list[Offer]:
    """Says the offers and hears which of them hold here: all, none, or their numbers."""
    say()
    say_wrapped("Other fans of this home have answers that may hold here too:")
    for number, offer in enumerate(offers, 1):
        otherwise = f" But {'; '.join(offer.otherwise)}." if offer.otherwise else ""
        told = f"{offer.ask} {offer.text} (from {offer.fan}).{otherwise}"
        put(wrapped(told, first=f"{number}. ", rest="   "))
    while True:
        say_wrapped("Type all, none, or the numbers of those that hold for this fan.")
        said = understand.fold(hear("Take over:")).replace(",", " ")
        if said in ("all", "a", *understand.YES):
            return list(offers)
        if said in ("none", "0", *understand.NO):
            return []
        if said in ("quit", "q"):
            raise Quit
        words = said.split()
        if words and all(word.isascii() and word.isdigit() and 1 <= int(word[:4]) <= len(offers) for word in words):
            return [offers[number - 1] for number in sorted({int(word) for word in words})]


def change(change: Change) -> None:
    """What another answer would do to the verdict."""
    say()
    say_wrapped(f"{change.ask} Now: {change.before}. Then: {change.after}.")
    if change.same:
        say_wrapped(f"The card stays as it is: {change.headline_before}")
    else:
        say_wrapped(f"The verdict now: {change.headline_before}")
        say_wrapped(f"The verdict then: {change.headline_after}")
        _lines("This goes:", change.lost)
        _lines("This comes:", change.gained)
    if change.dropped:
        many = len(change.dropped)
        say_wrapped(f"{many} {'answer' if many == 1 else 'answers'} would no longer count. They are kept all the same.")
    if change.most_left:
        least, most = change.least_left, change.most_left
        left = f"{least}" if least == most else f"{least} to {most}"
        say_wrapped(f"Questions still to come then: {left}.")


def _lines(lead: str, lines: Sequence[str]) -> None:
    kept = [line for line in lines if not line.startswith(OTHER_SECTIONS)]
    if not kept:
        return
    say_wrapped(lead)
    for line in kept[:MOST_LINES]:
        put(wrapped(line, first="- ", rest="  "))
    if len(kept) > MOST_LINES:
        say_wrapped(f"And {len(kept) - MOST_LINES} more lines.")
