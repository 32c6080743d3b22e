"""What a typed line means at a question, a gate and a check, before the session is asked."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from typing import Literal

from switchleg.session.views.model import Choice, QuestionView

CANT_TELL = frozenset(
    {
        *("c", "can't tell", "cant tell", "cannot tell", "can not tell", "can't tell from here"),
        *("don't know", "dont know", "do not know", "not sure", "unknown"),
    }
)
YES = frozenset({"y", "yes", "done", "ok", "confirmed"})
NO = frozenset({"n", "no", "not yet"})
OPEN = frozenset({"1", "open", "yes", "y", "ready", "checks", "open it"})
LATER = frozenset({"2", "not now", "later"})
OTHER_FIRST = frozenset(
    {"4", "first", "other", "other first", "canopy", "canopy first", "the canopy first", "wall", "wall first"}
    | {"the wall first", "plate first", "wall plate first", "the wall plate first"}
)
DECLINE = frozenset({"3", "rather not", "i'd rather not", "id rather not", "i would rather not", "decline"})
_PLACES = r"(canopy|wall|box|plate)"
_IS_OPEN = re.compile(rf"open( the)? {_PLACES}|the {_PLACES} is (open|down|off)( now)?")

COMMANDS = {
    "help": "these words",
    "why": "why this is asked; at the card, why each scheme was judged so (why and a scheme for one)",
    "look": "where to look",
    "picture": "what the drawing shows, in words, where there is one; drawing prints it",
    "c": "can't tell from here",
    "back": "the step before",
    "keep": "leave an earlier answer as it is",
    "note": "note and your words: kept with this step",
    "again": "hear the question again",
    "settled": "what is settled so far",
    "progress": "how much may still come",
    "review": "every answer so far, numbered",
    "change": "change and a number or name from the review; you hear what it does to the verdict first",
    "offers": "what other fans of this home answered, to be taken over when it holds here too",
    "card": "the card on what is known now",
    "draw": "today's wiring and the planned one, in words (draw and a scheme for another)",
    "next": "the next look that the card names and that can be taken now: its question again",
    "more": "at the card: the questions that were left out because they change nothing",
    "work": "the plan's steps, one at a time",
    "home": "every fan of this home, one trip, one parts list",
    "compare": "every scheme against your wishes; compare and fan, cable, canopy or spare supposes one of them",
    "export": "export and a file name (.txt .md .html .json): the whole summary; export home and a file: all fans",
    "name": "name and a new name for this record",
    "circuit": "circuit and the label of the breaker: fans on one breaker share a trip",
    "open": "the part left for later is open now",
    "quit": "leave; every answer is kept",
}
"""Each word that is understood at any time, and what it does."""

SHORT = {
    "w": "why",
    "l": "look",
    "b": "back",
    "r": "review",
    "q": "quit",
    "o": "note",
    "h": "help",
    "?": "help",
    "repeat": "again",
    "exit": "quit",
    "offer": "offers",
    "ladder": "work",
}
WITH_WORDS = frozenset({"note", "change", "export", "name", "circuit"})
SUPPOSED = frozenset({"if", "what", "and", "fan", "cable", "canopy", "spare"})
MAY_HAVE_WORDS = frozenset({"why", "draw"})
"""Words after these are a scheme; answers may begin with them, so the words must look like one."""


@dataclass(frozen=True)
class Command:
    """A word of COMMANDS, and what was typed after it."""

    word: str
    rest: str = ""


def fold(line: str) -> str:
    """The line as it is compared: small letters, single spaces, straight apostrophes, no full stop."""
    return " ".join(line.replace("’", "'").casefold().split()).rstrip(".!")


def command(line: str) -> Command | None:
    """The command in `line`, if it is one."""
    first, _, rest = line.strip().partition(" ")
    word = fold(first)
    word = SHORT.get(word, word)
    if word in WITH_WORDS:
        return Command(word, rest.strip())
    if word == "compare" and all(part in SUPPOSED for part in fold(rest).replace(",", " ").split()):
        return Command(word, fold(rest))
    if word in MAY_HAVE_WORDS and len(rest.split()) <= 1:
        return Command(word, fold(rest))
    whole = fold(line)
    if _IS_OPEN.fullmatch(whole):
        return Command("open")
    if (word in COMMANDS or word == "drawing") and word != "c" and not rest.strip():
        return Command(word)
    return None


def choice(view: QuestionView, line: str) -> Choice | None:
    """The listed answer that `line` names by its key, label or value; None when it names none."""
    said = fold(line)
    for option in view.choices:
        if said == fold(option.label):
            return option
    for option in view.choices:
        if isinstance(option.value, str):
            value = fold(option.value)
            if said in (value, value.replace("_", " ")):
                return option
    if view.kind == "count":
        # A digit is the number itself; the session reads it, the open-ended answer included.
        return None
    for option in view.choices:
        if said == option.key:
            return option
    return None


def unclear(view: QuestionView, line: str) -> str:
    """A kind line for what could not be understood at a question without typed answers."""
    names = [option.label for option in view.choices] + list(COMMANDS)
    near = difflib.get_close_matches(line, names, n=1)
    hint = f" Did you mean {near[0]}?" if near else ""
    return f"That is not one of the answers.{hint} Type an answer, c for can't tell, or help."


def gate(line: str) -> Literal["open", "later", "decline", "other"] | None:
    """What was said at a safety gate; "other": the other station first."""
    said = fold(line)
    if said in OTHER_FIRST:
        return "other"
    if said in OPEN:
        return "open"
    if said in LATER:
        return "later"
    return "decline" if said in DECLINE else None
