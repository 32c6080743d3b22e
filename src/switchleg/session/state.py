"""What every part of a session stands on: the record in memory, its walk, its verdict, and saving."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from switchleg.advice.wording.regional_terms import in_words_of
from switchleg.errors import COULD_NOT, SwitchlegError
from switchleg.record.model import Event, Record, Standing
from switchleg.schema.questions import Door, Reply, Station, Value
from switchleg.session import remaining
from switchleg.session import replies as fitting
from switchleg.tree.walk import Walk

if TYPE_CHECKING:
    from switchleg.advice.card.build import Card
    from switchleg.advice.model import Advice
    from switchleg.knowledge.load import Knowledge


MOST_REMEMBERED = 200
"""Sets of facts whose open questions are kept in mind."""


class SessionBase:
    """A record that is changed step by step, each change saved at once."""

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
        *,
        others: Callable[[], Iterable[Record]] | None = None,
    ) -> None:
        """Stand where the record stopped. Opening saves nothing.

        `clock` gives the time with its offset. `others` gives the other fans of the home (`Store.others`),
        whose answers may be offered. When the knowledge has changed, answers that no longer
        suit their question move to the history and are asked again.
        """
        self.record = fitting.brought_up(knowledge, record, clock)
        self.save_error = None
        self._knowledge = knowledge
        self._tree = knowledge.tree
        self._save = save
        self._clock = clock
        self._others = others
        self._cursor: str | None = None
        self._at_work: set[Station] = {"floor"}
        """Stations that were opened or answered at since the record was opened."""
        self._work_open: set[Station] = set()
        """Stations whose checks were confirmed for work since the record was opened."""
        self._advice: tuple[tuple[dict[str, Value], frozenset[str], frozenset[str]], Advice] | None = None
        self._memory: remaining.Memory = {}
        self._way = self._way_of(self.record)

    @property
    def knowledge(self) -> Knowledge:
        """What this session asks and reasons with."""
        return self._knowledge

    @property
    def read_only(self) -> bool:
        """Nothing can be changed: every changing method refuses."""
        return self._save is None

    @property
    def facts(self) -> dict[str, Value]:
        """The facts known so far, those behind a question that a changed answer has brought up too."""
        return dict(self._way.facts)

    @property
    def untold(self) -> frozenset[str]:
        """Facts that were looked for and could not be told."""
        return self._way.untold

    @property
    def standing(self) -> Standing:
        """What a list of records should show now; on other knowledge it may differ from what was saved."""
        return fitting.standing(self._tree, self._way, self.record)

    # The verdict

    def advice(self) -> Advice:
        """The verdict on what is known now; kept until the facts change."""
        facts, untold = self.facts, self._way.untold
        confirmed = fitting.confirmed(self._tree, self.record)
        if self._advice is None or self._advice[0] != (facts, untold, confirmed):
            from switchleg.advice.advise import advise

            self._advice = ((facts, untold, confirmed), advise(self._knowledge, facts, untold, confirmed))
        return self._advice[1]

    def next_look(self) -> str:
        """For somebody who comes back: the look that brings the decision closest, or "" when there is nothing to say.

        Works the verdict out if it is not there yet.
        """
        regions = getattr(self._knowledge, "regions", {})
        return in_words_of(regions.get(str(self.facts.get("region", ""))))(self._next_look())

    def _next_look(self) -> str:
        from switchleg.advice.card.contradictions import suspects

        if not self._walk.steps:
            return ""
        advice = self.advice()
        if suspected := suspects(advice):
            ask = self._tree.questions[suspected[0].fact].ask
            return f"Some answers cannot all be true. Best checked again first: {ask}"
        if self._ended:
            return ""
        if advice.status != "needs_checks" or not advice.next_checks or not advice.cases:
            return ""
        check = advice.next_checks[0]
        decides = all(case.settles for case in advice.cases) and advice.cases[0].fact == check.fact
        at = self._walk.at
        if not decides and (isinstance(self._tree.nodes.get(at), Door) or self._tree.station_of.get(at) == "floor"):
            return ""  # a gate says itself what is better opened first
        if check.fact == getattr(self._tree.nodes.get(at), "fact", ""):
            return "This answer decides it." if decides else ""  # the question is in view
        where = {"floor": "from the floor", "wall": "at the wall, plate off", "canopy": "in the canopy"}[check.station]
        lead = "One look decides it" if decides else "The look to take next"
        whose = ", by somebody else: see the card" if check.by == "other" else ""
        return f"{lead}: {self._tree.questions[check.fact].ask} ({where}{whose})"

    def card(self) -> Card:
        """The card on what is known now; its verdict goes into the record with the knowledge version.

        A failing save does not keep the card back: look at `save_error`.
        """
        from switchleg.advice.card.build import build_card

        advice = self.advice()
        facts = self.facts
        card = build_card(self._knowledge, facts, advice, title=self.record.name)
        now = self._clock()
        verdict = fitting.verdict(now, self._knowledge.version, facts, card.headline, advice)
        old = self.record.verdict
        if not self.read_only and (old is None or {**old, "at": ""} != {**verdict, "at": ""}):
            try:
                self._change(now, verdict=verdict)
            except SwitchlegError as error:
                self.save_error = error
        return card

    def save_again(self) -> None:
        """Try to save once more after `NotSaved`; raises NotSaved again when it still fails."""
        save = self._writable()
        try:
            save(self.record)
        except SwitchlegError as error:
            self.save_error = error
            raise
        self.save_error = None

    # Inside

    @property
    def _walk(self) -> Walk:
        return self._way.walk

    @property
    def _ended(self) -> bool:
        """Nothing more is asked: a stop stands, or answers contradict each other, or nothing fits."""
        return self._way.needed is not None and self._way.needed.ended

    def _way_of(self, record: Record) -> remaining.Way:
        """The way of a record, past what need not be asked any more."""
        if len(self._memory) > MOST_REMEMBERED:
            self._memory.clear()
        replies = fitting.trusted(self._tree, record)
        return remaining.way(self._knowledge, replies, everything=record.asks_everything, memory=self._memory)

    def _writable(self) -> Callable[[Record], None]:
        if self._save is None:
            raise SwitchlegError(
                "this record is open for reading only",
                mend="close the other program, or look at the folder's permissions",
                exit_code=COULD_NOT,
            )
        return self._save

    def _replied(self, node: str, reply: Reply) -> dict[str, Any]:
        """The changes that a reply makes; none when the same stands there already and nobody asked to look again."""
        old = self.record.replies.get(node)
        if old is not None and fitting.same_reply(old, reply):
            fact = getattr(self._tree.nodes.get(node), "fact", "")
            told = self._advice[1] if self._advice is not None else None
            asked_again = told is not None and (fact in told.again or any(fact in one for one in told.contradictions))
            event = Event(at=reply.at, node=node, reply=old)
            return {"history": [*self.record.history, event]} if asked_again else {}
        changes: dict[str, Any] = {"replies": {**self.record.replies, node: reply}}
        if old is not None:
            changes["history"] = [*self.record.history, Event(at=reply.at, node=node, reply=old)]
        if node in self.record.origins:
            changes["origins"] = {key: kept for key, kept in self.record.origins.items() if key != node}
        return changes

    def _change(self, now: datetime, **changes: Any) -> None:
        """Take the changes over, then save; a failed save leaves them in memory."""
        version = self._knowledge.version
        record = self.record.model_copy(update={**changes, "changed": now, "knowledge_version": version})
        self._way = self._way_of(record)
        standing = fitting.standing(self._tree, self._way, record)
        self.record = record.model_copy(update={"standing": standing})
        self.save_again()
