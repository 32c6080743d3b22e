"""What somebody wishes for, and how well what a plan keeps meets it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from switchleg.advice.plans.plan import Obstacle
from switchleg.schema.questions import Value
from switchleg.schema.schemes import WantClass


class Wishes:
    """The wishes with what was said of each; one nobody was asked about counts as the knowledge has it."""

    def __init__(self, wants: tuple[WantClass, ...], facts: Mapping[str, Value]) -> None:
        told = ((want, facts.get(want.id)) for want in wants)
        said = [(want, want.unasked if value is None else str(value)) for want, value in told]
        self._musts = tuple(want for want, how in said if how == "must")
        self._wanted = tuple(want for want, how in said if how != "no")
        self.musts = frozenset(want.id for want in self._musts)

    def missed(self, kept: Mapping[str, bool | None]) -> Iterator[Obstacle]:
        """The musts that are not kept."""
        for want in self._musts:
            if kept[want.id] is False:
                yield Obstacle("missed_want", (("want", want.keeps), ("lost", want.loses)), (want.id,))

    def score(self, kept: Mapping[str, bool | None]) -> float:
        """Weights of the wishes kept; a wish that does not arise, or hangs on the part bought, counts half."""
        total = 0.0
        for want in self._wanted:
            value = kept[want.id]
            total += want.weight * (1.0 if value else 0.5 if value is None else 0.0)
        return total
