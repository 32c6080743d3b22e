"""What `switchleg ask` says: one thing a line, nothing drawn, in the order it is best heard."""

from __future__ import annotations

from switchleg.command.shell.output import put, say, say_wrapped, wrapped
from switchleg.command.talk.understand import COMMANDS
from switchleg.session.gate_hints import PLACE
from switchleg.session.session import Session
from switchleg.session.views.build import DOOR_WORDS
from switchleg.session.views.model import CardView, DoorView, LookNow, QuestionView

STATION_WORDS = {"floor": "from the floor", "wall": "at the wall", "canopy": "at the canopy"}


def question(view: QuestionView, number: int, *, introduced: bool) -> None:
    """The question with its answers; the station's introduction first where it is new."""
    say()
    if view.first_of_station and not introduced:
        say_wrapped(f"{view.station_title}.".replace("..", "."))
        if view.intro:
            say_wrapped(view.intro)
        say()
    if view.reminder:
        say_wrapped(view.reminder)
    say_wrapped(f"Question {number}. {view.ask}")
    if view.second_look:
        say_wrapped("This could not be told before. Another look, from here:")
        say_wrapped(view.look)
    if view.power_on:
        say_wrapped("This reading needs the power on. Do it only if you are able; else type c.")
    if view.caution:
        say_wrapped(f"Caution: {view.caution}")
    if view.picture:
        say_wrapped("There is a drawing; type picture to hear what it shows.")
    for choice in view.choices:
        if choice.typed:
            said = "" if view.kind == "count" else f"{choice.label}: "
            put(wrapped(f"{said}type {view.typed_hint or 'it'}".rstrip(".") + ".", rest="   "))
        else:
            key = f"{choice.key}: "
            put(wrapped(f"{key}{choice.label}", rest="   "))
    if not view.choices and view.typed_hint:
        say_wrapped(view.typed_hint)
    put(wrapped(f"{view.cant_tell_key}: Can't tell from here", rest="   "))
    if view.earlier:
        say_wrapped(f"Answered before: {view.earlier}. Type keep to leave it so.")
    if view.note:
        say_wrapped(f"Your note: {view.note}")


def door(view: DoorView, hint: str = "") -> None:
    """The safety gate: what it opens, whether it may wait (`hint`), its cautions, and the ways on."""
    say()
    say_wrapped(f"{view.station_title}.".replace("..", "."))
    if view.intro:
        say_wrapped(view.intro)
    say()
    say_wrapped(view.ask)
    if hint:
        say_wrapped(hint)
    for caution in view.cautions:
        say_wrapped(f"Caution: {caution}")
    if view.picture:
        say_wrapped("There is a drawing of the checks; type picture to hear what it shows.")
    if view.note:
        say_wrapped(f"Your note: {view.note}")
    many = len(view.checks)
    say_wrapped(f"1: Open. Then {many} {'check' if many == 1 else 'checks'}, one by one", rest="   ")
    say_wrapped("2: Not now", rest="   ")
    say_wrapped("3: I'd rather not. That ends with a card for an electrician", rest="   ")
    if view.other:
        place = PLACE[view.other]
        say_wrapped(f"4: {place[0].upper()}{place[1:]} first, then back here if it is still needed", rest="   ")
    if view.earlier:
        earlier = DOOR_WORDS[view.earlier]
        say_wrapped(f"Answered before: {earlier}. Type keep to leave it so.")


def end(view: CardView, name: str, look: LookNow | None) -> None:
    """What can still be done at the card."""
    say()
    if look is not None:
        what = "checked again" if look.again else "looked at now"
        say_wrapped(f"Can be {what}: {look.ask} Type next to answer it.")
    for waiting in view.waiting:
        say_wrapped(f"Left for later: {waiting.station_title}. Type open when it is open now.")
    if view.left_out:
        many = f"{view.left_out} questions were" if view.left_out > 1 else "One question was"
        why = "nothing they tell takes the stop away" if view.stopped else "they would only refine this"
        say_wrapped(f"{many} left out: {why}. Type more to answer them all the same.")
    say_wrapped(
        "That is the card. Type review, change, compare, why, draw, work, home, export and a file name, help, or quit."
    )
    if view.declined:
        say_wrapped(f"For your electrician, this writes everything down: export {name}.txt")


def help_words() -> None:
    """Every word that is understood."""
    say()
    say_wrapped("Answer with the key before an answer, or with its words. You can also type:")
    for word, meaning in COMMANDS.items():
        put(wrapped(f"{word}: {meaning}", rest="   "))


def settled(session: Session) -> None:
    """What is settled so far, a line each."""
    lines = session.settled
    say()
    say_wrapped(f"Settled so far: {len(lines)}." if lines else "Nothing is settled yet.")
    for line in lines:
        put(wrapped(f"{line.label}: {line.text}", rest="   "))


def progress(session: Session) -> None:
    """How far, and how much may still come."""
    now = session.progress
    left = f"{now.least_left}" if now.least_left == now.most_left else f"{now.least_left} to {now.most_left}"
    say_wrapped(f"Answered: {now.answered}. Still to come: {left}.")


def review(session: Session) -> None:
    """Every step so far, numbered, with what was answered."""
    rows = session.review
    say()
    say_wrapped("Your answers. To change one, type change and its number." if rows else "No answers yet.")
    for number, row in enumerate(rows, start=1):
        changed = " Changed." if row.changed else ""
        taken = f" Taken over from {row.from_fan}." if row.from_fan else ""
        put(wrapped(f"{row.ask} {row.answer_text}.{changed}{taken}", first=f"{number}. ", rest="   "))
        if row.note:
            put(wrapped(f"Your note: {row.note}", first="   "))
