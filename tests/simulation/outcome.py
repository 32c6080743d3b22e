"""What came out for one simulated person: right or not, what is unsafe about it, which misread answers made it so."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from itertools import combinations
from typing import Any

from simulation.hearing import Heard, heard_from
from simulation.judge import Truth, dangers
from simulation.people import DECISIONS, UP_THERE, plain_answers, true_answer
from switchleg.advice.cases.beliefs import region_of
from switchleg.advice.cases.settled_joints import joints_known
from switchleg.advice.verdict.decide import Decision
from switchleg.knowledge.load import Knowledge
from switchleg.schema.questions import Value
from switchleg.tree.walk import Walk

MISSED = "stop missed: "


def judged(knowledge: Knowledge, walked: Walk, advice: Decision, truth: Truth) -> tuple[str, tuple[str, ...]]:
    """The verdict on an advice, and what is unsafe about it.

    A danger in a place that nobody could or need look into makes a recommendation no wrong one; it is named with it.
    """
    best = truth.best
    if advice.status == "needs_checks":
        return "abstained", ()
    if advice.status == "stop":
        if advice.contradictions:
            return "stopped by a contradiction", ()
        if any(s.rule == "nothing_fits" for s in advice.stops):
            return ("right" if best is None or truth.stops else "told wrongly that nothing fits"), ()
        return ("right" if truth.stops else "stopped needlessly"), ()
    assert advice.recommendation is not None
    missed = tuple(f"{MISSED}{rule}" for rule in truth.stops)
    if missed and not unlooked(knowledge, walked, advice, truth, missed):
        return "wrong", missed
    advised, region = advice.best, region_of(knowledge, walked.facts)
    assert advised is not None
    assert region is not None
    told_joints = joints_known(advice.survey, advised.scheme, region)
    found = (*missed, *dangers(advised, truth, walked.facts, told_joints=told_joints))
    real = truth.outcome(advised.scheme)
    if best is not None and (best.scheme, best.preparations) == (advised.scheme, advised.preparations):
        return "right", found
    if real.fits and best is not None and best.scheme == advised.scheme:
        return "right but for a preparation", found
    return ("second best" if real.fits else "wrong"), found


def unlooked(knowledge: Knowledge, walked: Walk, advice: Decision, truth: Truth, found: Collection[str]) -> bool:
    """Only stops were missed, and each because nobody could tell about it, or because no work goes there."""
    missed = [f.removeprefix(MISSED) for f in found]
    return all(
        rule in truth.stop_facts
        and any(_not_looked_at(knowledge, walked, advice, fact) for fact in truth.stop_facts[rule])
        for rule in missed
    )


def _not_looked_at(knowledge: Knowledge, walked: Walk, advice: Decision, fact: str) -> bool:
    if fact in walked.facts:
        return False
    stays_shut = walked.facts.get("may_open_canopy") is False or not advice.survey.goes_up()
    return fact in walked.cant_tell or (knowledge.tree.station_of.get(fact) == "canopy" and stays_shut)


def rests_on(knowledge: Knowledge, case: Any, heard: Heard, *, everything: bool = False) -> tuple[str, ...]:
    """The misread answers that an unsafe advice rests on: each, put right alone, makes it safe.

    Where none does alone, the fewest that do together, joined by "and"; where not even all of them do, nothing.
    """
    wrong = misread(knowledge, case, heard.walk)
    truth = Truth(knowledge, case)
    for together in range(1, len(wrong) + 1):
        found = [
            " and ".join(facts)
            for facts in combinations(wrong, together)
            if not _unsafe(knowledge, case, truth, heard, facts, everything=everything)
        ]
        if found:
            return tuple(found)
    return ()


def misread(knowledge: Knowledge, case: Any, walked: Walk) -> dict[str, tuple[Any, Any]]:
    """Fact -> (what is true, what was told last), of every answer on the way that is not so."""
    found: dict[str, tuple[Any, Any]] = {}
    for step in walked.steps:
        fact = getattr(knowledge.tree.nodes[step.node_id], "fact", None)
        if fact is None or fact in DECISIONS or step.reply.kind != "value":
            continue
        true = _true_at(case, step.node_id, fact, walked.facts)
        if true != step.reply.value:
            found[fact] = (true, step.reply.value)
    return found


def _true_at(case: Any, node_id: str, fact: str, told: Mapping[str, Value]) -> Any:
    return true_answer(case, UP_THERE.get(node_id, fact), dict(told))


def _unsafe(
    knowledge: Knowledge, case: Any, truth: Truth, heard: Heard, put_right: Collection[str], *, everything: bool
) -> bool:
    """Whether it is still unsafe with these answers put right and all else told, and told again, as it was.

    What then comes up besides was never asked, so it was never misread.
    """
    asked = {step.node_id for step in heard.walk.steps}
    replies = plain_answers(knowledge, case) | {n: r for n, r in heard.replies.items() if n in asked}
    told = {**heard.walk.facts}
    for fact in put_right:
        true = true_answer(case, fact, told)
        told = {f: v for f, v in told.items() if f != fact} | ({} if true is None else {fact: true})
    for node_id, reply in tuple(replies.items()):
        fact = getattr(knowledge.tree.nodes[node_id], "fact", None)
        if fact in put_right:
            true = _true_at(case, node_id, fact, told)
            how = {"kind": "cant_tell", "value": None} if true is None else {"kind": "value", "value": true}
            replies[node_id] = reply.model_copy(update=how)
    then = heard_from(knowledge, replies, lambda *_: None, everything=everything)
    found = judged(knowledge, then.walk, then.decision, truth)[1]
    return bool(found) and not unlooked(knowledge, then.walk, then.decision, truth, found)
