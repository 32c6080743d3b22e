"""Answers that another fan of the home gave: offered, and taken over only when somebody says so."""

from __future__ import annotations

from collections.abc import Sequence

from switchleg.errors import SwitchlegError
from switchleg.record.model import Origin, Record
from switchleg.schema.questions import Door, Question, Reply, Station
from switchleg.session.shared_facts import shared_facts
from switchleg.session.state import SessionBase
from switchleg.session.views.model import Offer
from switchleg.tree.values import show, suits


class Sharing(SessionBase):
    """A session that knows the other fans of its home."""

    def offers(self, station: Station | None = None) -> tuple[Offer, ...]:
        """Answers of other fans of this home to questions that have none here yet, the latest of each.

        What is seen at the wall or in the canopy is offered only once that gate is open here: it is to be
        looked at, not believed. Nothing is taken by asking.
        """
        if self._others is None or self.read_only or not self.record.home:
            return ()
        open_here: set[Station] = {"floor"}
        for step in self._walk.steps:
            node = self._tree.nodes[step.node_id]
            if isinstance(node, Door) and step.reply.kind == "open":
                open_here.add(node.opens)
        wanted = []
        for fact in shared_facts():
            question = self._tree.questions.get(fact)
            at = self._tree.station_of.get(fact)
            if question is not None and fact not in self.record.replies and at in open_here and station in (None, at):
                wanted.append(question)
        if not wanted:
            return ()
        others = [other for other in self._others() if other.id != self.record.id]
        found = (self._offer(question, others) for question in wanted)
        return tuple(offer for offer in found if offer is not None)

    def take(self, offers: Sequence[Offer]) -> None:
        """Take answers over that somebody has confirmed for this fan; each keeps where it came from.

        Raises SwitchlegError, and takes none, when one is answered here already or does not suit.
        """
        if not offers:
            return
        self._writable()
        now = self._clock()
        replies, origins = dict(self.record.replies), dict(self.record.origins)
        for offer in offers:
            question = self._tree.questions.get(offer.fact)
            if question is None or not self._suits(question, offer.value):
                raise SwitchlegError(f"{offer.fact} cannot be taken over", mend="answer the question itself")
            if offer.node in replies:
                raise SwitchlegError(f"{offer.fact} is answered here already", mend="change it from the review")
            station = self._tree.station_of[offer.node]
            replies[offer.node] = Reply(kind="value", value=offer.value, at=now, station=station)
            origins[offer.node] = Origin(record=offer.fan_id, name=offer.fan, at=offer.at)
        self._cursor = None
        self._change(now, replies=replies, origins=origins)

    def _offer(self, question: Question, others: Sequence[Record]) -> Offer | None:
        said = []
        for other in others:
            reply = other.replies.get(question.fact)
            if reply is None or reply.value is None or not self._suits(question, reply.value):
                continue
            said.append((other, reply, reply.value))
        if not said:
            return None
        fan, reply, value = max(said, key=lambda item: item[1].at)
        text = show(question, value)
        otherwise = [f"{other.name}: {show(question, told)}" for other, _, told in said if show(question, told) != text]
        return Offer(
            fact=question.fact,
            node=question.fact,
            station=self._tree.station_of[question.fact],
            ask=question.ask,
            value=value,
            text=text,
            fan=fan.name,
            fan_id=fan.id,
            at=reply.at,
            otherwise=tuple(otherwise),
        )

    def _suits(self, question: Question, value: object) -> bool:
        if not isinstance(value, bool | int | str):
            return False
        return suits(question, value, self._knowledge.tables if question.kind == "measure" else {})
