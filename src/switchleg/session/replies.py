"""Which kept replies count on the present tree, and where that leaves the record. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from pydantic import JsonValue

from switchleg.record.migrate import FORMAT
from switchleg.record.model import Event, Record, Stage, Standing, Work, WorkStage
from switchleg.schema.questions import CARD, STATIONS, Again, Door, Question, Reply, Value
from switchleg.session.remaining import Way
from switchleg.session.views.build import question_at
from switchleg.tree.conditions import same
from switchleg.tree.graph import Tree
from switchleg.tree.values import suits
from switchleg.tree.walk import Walk

if TYPE_CHECKING:
    from switchleg.advice.model import Advice
    from switchleg.knowledge.load import Knowledge


def brought_up(knowledge: Knowledge, record: Record, clock: Callable[[], datetime]) -> Record:
    """The record on this knowledge: replies that no longer suit their question move to the history.

    Replies to questions that are gone stay: they are off the way, and the next knowledge may ask again.
    """
    if record.knowledge_version in ("", knowledge.version):
        return record
    unfit = {
        node: reply
        for node, reply in record.replies.items()
        if reply.kind == "value" and reply.value is not None and not _suits(knowledge, node, reply)
    }
    if not unfit:
        return record
    now = clock()
    replies = {node: reply for node, reply in record.replies.items() if node not in unfit}
    events = [Event(at=now, node=node, reply=reply) for node, reply in unfit.items()]
    origins = {node: origin for node, origin in record.origins.items() if node not in unfit}
    history = [*record.history, *events]
    return record.model_copy(update={"replies": replies, "origins": origins, "history": history})


def _suits(knowledge: Knowledge, node: str, reply: Reply) -> bool:
    question = question_at(knowledge.tree, node)
    if question is None or reply.value is None:
        return True
    return suits(question, reply.value, knowledge.tables if question.kind == "measure" else {})


def trusted(tree: Tree, record: Record) -> Mapping[str, Reply]:
    """The replies to walk by: a gate counts as open only when the record holds its confirmations."""
    if record.format > FORMAT:
        return record.replies
    confirmed = {gate.door for gate in record.gates if gate.outcome == "open"}
    return {
        node: reply
        for node, reply in record.replies.items()
        if reply.kind != "open" or node in confirmed or not isinstance(tree.nodes.get(node), Door)
    }


def same_reply(one: Reply, other: Reply) -> bool:
    """Whether both say the same; when and where does not count, and True is not 1."""
    if one.kind != other.kind or (one.value is None) != (other.value is None):
        return False
    return one.value is None or other.value is None or same(one.value, other.value)


def confirmed(tree: Tree, record: Record) -> frozenset[str]:
    """Facts whose standing answer was given before too."""
    found = set()
    for event in record.history:
        stands = record.replies.get(event.node)
        node = tree.nodes.get(event.node)
        if isinstance(node, Question | Again) and event.reply and stands and same_reply(event.reply, stands):
            found.add(node.fact)
    return frozenset(found)


def answered(tree: Tree, walked: Walk) -> int:
    """How many questions and second looks have been replied to on the way."""
    return sum(not isinstance(tree.nodes[step.node_id], Door) for step in walked.steps)


def verdict(
    at: datetime, version: str, facts: Mapping[str, Value], headline: str, advice: Advice
) -> dict[str, JsonValue]:
    """What the record keeps of a card: the whole advice, and what it was made from."""
    return {
        "at": at.isoformat(),
        "knowledge_version": version,
        "facts": dict(facts),
        "headline": headline,
        "advice": advice.model_dump(mode="json"),
    }


def standing(tree: Tree, way: Way, record: Record) -> Standing:
    """What a list of records shows; a verdict on other facts or by other knowledge no longer counts."""
    walked = way.walk
    stage: Stage = "asking" if walked.steps else "new"
    if walked.at == CARD:
        stage = "declined" if walked.declined else "waiting" if walked.later else "done"
    entered = (step.node_id for step in walked.steps if step.reply.kind not in ("later", "decline"))
    reached = [tree.station_of[node] for node in entered]
    last = record.verdict or {}
    advice = last.get("advice")
    current = last.get("facts") == way.facts
    current = current and last.get("knowledge_version") == record.knowledge_version
    status = advice.get("status") if current and isinstance(advice, dict) else None
    return Standing(
        stage=stage,
        station=max(reached, key=STATIONS.index, default="floor"),
        answered=answered(tree, walked),
        status=status if isinstance(status, str) else None,
        headline=str(last.get("headline", "")) if current else "",
        work=work_stage(record.progress),
    )


def work_stage(work: Work | None) -> WorkStage:
    """How far the work is: not begun, under way, or every step done and every row of the proof checked."""
    if work is None:
        return ""
    return "proved" if work.next >= work.steps and len(work.checked) >= work.rows else "begun"
