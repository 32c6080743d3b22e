"""One person's way through the tree: what to show, what was said, saved after every change.

A session owns no files and no screens. It holds the knowledge, the record and a `save` function;
`save` None means that the record is read-only. Every method that changes something either refuses
with a SwitchlegError and changes nothing, or changes the record and saves it at once. When only the
saving fails, the change stands in memory, `NotSaved` (a SwitchlegError) is raised, and the next
change or `save_again` writes everything.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from switchleg.session.views import DoorView, Progress, ReviewRow, SettledLine, View
from switchleg.tree.model import Value

if TYPE_CHECKING:
    from switchleg.advice.card import Card
    from switchleg.advice.model import Advice
    from switchleg.errors import SwitchlegError
    from switchleg.knowledge.load import Knowledge
    from switchleg.record.model import Record


class Session:
    """The questionnaire on one record."""

    record: Record
    """The record as it stands now, in memory."""
    save_error: SwitchlegError | None
    """Why the last save failed; None when everything is on disk."""

    def __init__(
        self,
        knowledge: Knowledge,
        record: Record,
        save: Callable[[Record], None] | None,
        clock: Callable[[], datetime],
    ) -> None:
        """Stand where the record stopped. Opening changes and saves nothing."""
        raise NotImplementedError

    @property
    def read_only(self) -> bool:
        """Nothing can be changed: every changing method refuses."""
        raise NotImplementedError

    @property
    def view(self) -> View:
        """What to show now: a question, a gate or the card."""
        raise NotImplementedError

    @property
    def facts(self) -> dict[str, Value]:
        """The facts known so far."""
        raise NotImplementedError

    @property
    def settled(self) -> tuple[SettledLine, ...]:
        """The facts known so far as words, in the order they were settled."""
        raise NotImplementedError

    @property
    def progress(self) -> Progress:
        """How far, and how much may still come."""
        raise NotImplementedError

    @property
    def review(self) -> tuple[ReviewRow, ...]:
        """Every step of the way so far, gates included; pass a row's `node` to `go_to`."""
        raise NotImplementedError

    @property
    def waiting(self) -> tuple[DoorView, ...]:
        """Gates on the way that were answered "not now"."""
        raise NotImplementedError

    def answer(self, value: Value) -> None:
        """Answer the question in view with a value (a Choice's `value`).

        Raises SwitchlegError when no question is in view or the value does not suit it.
        """
        raise NotImplementedError

    def answer_text(self, text: str) -> None:
        """Answer the question in view with typed text ("yes", "3", "1.2 a"); errors as for `answer`."""
        raise NotImplementedError

    def cant_tell(self) -> None:
        """Say "can't tell from here" to the question in view."""
        raise NotImplementedError

    def open_door(self, confirmed: Sequence[bool]) -> None:
        """Open the gate in view: one confirmation for each of its checks, all True; else it stays shut."""
        raise NotImplementedError

    def later(self) -> None:
        """Answer the gate in view with "not now"."""
        raise NotImplementedError

    def decline(self) -> None:
        """Answer the gate in view with "I'd rather not"."""
        raise NotImplementedError

    def back(self) -> bool:
        """Show the step before the one in view; False when there is none. Nothing is changed."""
        raise NotImplementedError

    def go_to(self, node: str) -> None:
        """Show an earlier step of the way, to change it. SwitchlegError when it is not on the way."""
        raise NotImplementedError

    def onward(self) -> None:
        """Leave an earlier step as it is and show what is to be asked next."""
        raise NotImplementedError

    def reopen(self, door: str) -> None:
        """Show a gate that waits ("the canopy is open now"); `open_door` then goes to its questions."""
        raise NotImplementedError

    def note(self, node: str, text: str) -> None:
        """Keep a note with a node (any question, second look or gate); "" takes it away."""
        raise NotImplementedError

    def advice(self) -> Advice:
        """The verdict on what is known now; kept until the facts change."""
        raise NotImplementedError

    def card(self) -> Card:
        """The card on what is known now; its verdict goes into the record with the knowledge version.

        A failing save does not keep the card back: look at `save_error`.
        """
        raise NotImplementedError

    def save_again(self) -> None:
        """Try to save once more after `NotSaved`; raises NotSaved again when it still fails."""
        raise NotImplementedError
