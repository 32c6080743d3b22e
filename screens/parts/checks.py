"""The checks of a gate, each confirmed by itself."""

from __future__ import annotations

from collections.abc import Sequence

from textual.containers import Vertical

from .widgets import Pick

NOT_YET, DONE = "[ ]", "[x]"


class Checks(Vertical):
    """One line a check with its number; `confirmed` says in the same order which are."""

    def __init__(self) -> None:
        super().__init__(id="checks")
        self.picks: list[Pick] = []
        self.confirmed: list[bool] = []

    def lay_out(self, checks: Sequence[str]) -> None:
        """Stand new checks here, none of them confirmed."""
        self.confirmed = [False] * len(checks)
        self.picks = [Pick(str(number), check, mark=NOT_YET) for number, check in enumerate(checks, 1)]
        self.remove_children()
        self.mount_all(self.picks)

    def is_confirmed(self, pick: Pick) -> bool:
        return self.confirmed[self.picks.index(pick)]

    def turn(self, pick: Pick) -> None:
        """Confirm a check, or take that back."""
        place = self.picks.index(pick)
        self.confirmed[place] = not self.confirmed[place]
        pick.show(pick.key, pick.label, mark=DONE if self.confirmed[place] else NOT_YET)

    def missing_after(self, pick: Pick) -> Pick | None:
        """The next check still to confirm, from the start again after the last; None when all are."""
        place = self.picks.index(pick)
        turned = [*range(place + 1, len(self.picks)), *range(place + 1)]
        return next((self.picks[at] for at in turned if not self.confirmed[at]), None)


def numbered(numbers: Sequence[int]) -> str:
    """ "check 2", "checks 1 and 3", "checks 1 to 4"."""
    said = [str(number) for number in numbers]
    if len(said) == 1:
        return f"check {said[0]}"
    if len(said) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"checks {said[0]} to {said[-1]}"
    return f"checks {', '.join(said[:-1])} and {said[-1]}"
