"""What there is to show: finished values that a screen or a line-by-line reader prints as they stand."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from switchleg.schema.questions import Kind, Station, Value

BACK_KEY = "b"
NOTE_KEY = "o"
WHY_KEY = "w"
LOOK_KEY = "l"
REVIEW_KEY = "r"
CANT_TELL_KEY = "c"
TYPE_KEY = "t"


@dataclass(frozen=True)
class Choice:
    """One answer with its key. `typed`: the key asks for text (`Session.answer_text`); `value` is None."""

    key: str
    label: str
    value: Value | None
    typed: bool = False


@dataclass(frozen=True)
class QuestionView:
    """A question to ask now."""

    node: str
    fact: str
    kind: Kind
    station: Station
    station_title: str
    first_of_station: bool
    """Nothing of this station has been answered yet: show `intro` first."""
    intro: str
    ask: str
    why: str
    look: str
    settles: str
    caution: str
    """"" when there is none."""
    power_on: bool
    choices: tuple[Choice, ...]
    typed_hint: str
    """What can be typed, in one line; "" when every answer has a key."""
    earlier: str
    """The answer that stands here already, as words; "" when there is none."""
    note: str
    picture: str
    """A drawing to print as it is; "" when there is none."""
    picture_ascii: str
    """The same drawing in ASCII, of the same shape."""
    picture_title: str
    picture_says: str
    """What the drawing shows, in words, for whoever cannot see it."""
    second_look: bool
    """It could not be told at an earlier station and is asked again here."""
    reminder: str
    """After a pause behind a safety gate: when it was confirmed, and to test again. "" otherwise."""
    cant_tell_key: str = CANT_TELL_KEY


@dataclass(frozen=True)
class DoorView:
    """The safety gate before a station: every check is confirmed, or it stays shut."""

    node: str
    opens: Station
    station_title: str
    intro: str
    ask: str
    cautions: tuple[str, ...]
    checks: tuple[str, ...]
    earlier: Literal["", "open", "later", "after", "decline"]
    note: str
    other: Station | None = None
    """Another station that is shut and may be taken first (`Session.other_first`)."""
    picture: str = ""
    """A drawing of the checks, as in `QuestionView`; "" when there is none."""
    picture_ascii: str = ""
    picture_title: str = ""
    picture_says: str = ""


@dataclass(frozen=True)
class CardView:
    """Nothing more is asked: `Session.card()` holds the card."""

    declined: bool
    """A gate was answered "I'd rather not": the card is for the electrician."""
    waiting: tuple[DoorView, ...]
    """Gates answered "not now", the one whose looks bring most for their trouble first; `Session.reopen` goes on
    there."""
    left_out: int = 0
    """Questions that were left out because no answer could change anything; `Session.ask_the_rest` asks them."""
    stopped: bool = False
    """They were left out because the card says stop, whatever they would tell."""


View = QuestionView | DoorView | CardView


@dataclass(frozen=True)
class LookNow:
    """A look that the card names and that needs no gate first: on the floor, or where it was asked before."""

    node: str
    fact: str
    label: str
    """Short ("fan chain")."""
    ask: str
    again: bool
    """It has an answer, which is best checked again."""


@dataclass(frozen=True)
class SettledLine:
    """One settled fact: `label` is short ("wall boxes"), `text` the answer in words."""

    fact: str
    label: str
    text: str
    station: Station
    node: str


@dataclass(frozen=True)
class OpenLine:
    """One fact that could not be told; `again` is the later station where it is asked once more, "" for none."""

    fact: str
    label: str
    station: Station
    """Where that was last said."""
    again: Station | Literal[""]


@dataclass(frozen=True)
class Progress:
    """Questions answered, and the honest range of how many may still come."""

    answered: int
    least_left: int
    most_left: int


@dataclass(frozen=True)
class ReviewRow:
    """One step of the way, in the order it was asked."""

    node: str
    kind: Literal["question", "again", "door"]
    station: Station
    ask: str
    answer_text: str
    note: str
    cant_tell: bool
    changed: bool
    """Another answer stood here before; it is in the record's history."""
    at: datetime
    from_fan: str = ""
    """The fan of this home that the answer was taken from; "" when it was given here."""


@dataclass(frozen=True)
class WorkStep:
    """One step of the work. The first one, of kind "prepare", is what to know before anything is opened."""

    index: int
    kind: Literal["prepare", "off", "on", "mark", "take_apart", "test", "join", "leave", "cap", "fold"]
    station: Station
    box: str
    """"the wall box"; "" for the first step."""
    text: str
    lines: tuple[str, ...]
    """For the first step: the preparations that open nothing, in working order."""
    cautions: tuple[str, ...]
    note: str
    done: bool


@dataclass(frozen=True)
class ProofRow:
    """One row of the function table: what must happen in one position of all controls."""

    index: int
    text: str
    checked: bool


WorkPhase = Literal["gate", "step", "proof", "done", "changed"]


@dataclass(frozen=True)
class WorkView:
    """What to show of the work now.

    `gate`: the checks of `gate` are confirmed before the next step (`Session.open_work`), anew whenever the
    record was closed in between. `step`: do `step`, then `Session.step_done`. `proof`: power on, then check
    `rows` off (`Session.check_row`). `done`: every row holds. `changed`: the answers or the knowledge lead
    to another plan than the one begun; `Session.start_work` begins the new one.
    """

    phase: WorkPhase
    scheme: str
    title: str
    says: str
    """What is to be done in this phase, in a sentence or two."""
    gate: DoorView | None
    step: WorkStep | None
    number: int
    """Of the step at hand, from 1; `many` when all are done."""
    many: int
    steps: tuple[WorkStep, ...]
    rows: tuple[ProofRow, ...]
    after: tuple[str, ...] = ()
    """What is to be done first once the power is on again, before the rows are tried."""


@dataclass(frozen=True)
class Offer:
    """An answer that another fan of the same home gave, and that may hold for this one."""

    fact: str
    node: str
    station: Station
    ask: str
    value: Value
    text: str
    """The answer in words."""
    fan: str
    fan_id: str
    at: datetime
    """When it was given there."""
    otherwise: tuple[str, ...]
    """Fans of the home that answered something else, each with its answer: "porch: Canada"."""


@dataclass(frozen=True)
class CardPart:
    """A section of today's card and of the new one, line by line; empty where a card has no such section."""

    title: str
    before: tuple[str, ...]
    after: tuple[str, ...]


@dataclass(frozen=True)
class Change:
    """What another answer would do, before it is taken."""

    node: str
    ask: str
    before: str
    after: str
    """The answers in words."""
    headline_before: str
    headline_after: str
    same: bool
    """The cards are alike line by line."""
    lost: tuple[str, ...]
    gained: tuple[str, ...]
    """Lines of the card that would go and come, section titles before them."""
    dropped: tuple[str, ...]
    """Questions whose answers would no longer count; they are kept in case the way comes back to them."""
    least_left: int
    most_left: int
    """Questions that would still come."""
    parts: tuple[CardPart, ...] = ()
    """Both cards beside each other, in the order of the new one; what follows from the rest is left out."""
