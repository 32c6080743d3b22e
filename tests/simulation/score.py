"""One simulated person after another: what came out, counted; and the figures made of the counts."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import exp, lgamma, log, log1p
from typing import Any

from simulation import believed
from simulation.hearing import Heard, hear, heard_from
from simulation.judge import Truth
from simulation.outcome import judged, misread, rests_on, unlooked
from simulation.people import Case, answer, draw_case
from switchleg.advice.verdict.decide import Decision
from switchleg.knowledge.load import Knowledge
from switchleg.schema.questions import CARD, Value
from switchleg.tree.walk import Walk

BINS = 10


@dataclass
class Tally:
    """Counts over many people. `notes`: what is worth telling one by one, by kind, a few of each."""

    count: Counter[str] = field(default_factory=Counter)
    brier: Counter[str] = field(default_factory=Counter)
    sums: Counter[str] = field(default_factory=Counter)
    bins: Counter[tuple[str, int, str]] = field(default_factory=Counter)
    left: Counter[str] = field(default_factory=Counter)
    rests: Counter[str] = field(default_factory=Counter)
    """How many unsafe ones rest on which misread answers."""
    notes: list[tuple[str, str]] = field(default_factory=list)

    def add(self, other: Tally) -> None:
        for mine, theirs in zip(
            (self.count, self.brier, self.sums, self.bins, self.left, self.rests),
            (other.count, other.brier, other.sums, other.bins, other.left, other.rests),
            strict=True,
        ):
            mine.update(theirs)  # type: ignore[attr-defined]
        self.notes += other.notes


def people(
    knowledge: Knowledge,
    seed: int,
    first: int,
    last: int,
    slip: float,
    cant_tell: float,
    *,
    everything: bool = False,
    as_believed: bool = False,
) -> Tally:
    """Everybody numbered from `first` up to `last`; each has a draw of their own, so any part can be repeated.

    `as_believed`: their homes are drawn from the program's own shares.
    """
    tally, honest = Tally(), not (slip or cant_tell or everything)
    for number in range(first, last):
        rng = random.Random(f"{seed}/{number}")
        case = believed.draw_case(rng, knowledge) if as_believed else draw_case(rng)
        told = answer(rng, knowledge, case, slip, cant_tell)
        heard = hear(knowledge, case, told, rng, slip, everything=everything)
        name = f"seed {seed} number {number}"
        verdict = _one(knowledge, case, heard, tally, name, everything=everything)
        if honest and verdict == "abstained" and _identifiable(knowledge, case, heard):
            tally.count[IDENTIFIABLE] += 1
            tally.notes.append((IDENTIFIABLE, f"{name}\n{_told(case, Truth(knowledge, case), heard, {})}"))
    return tally


IDENTIFIABLE = "left open though a look would have told"


def _identifiable(knowledge: Knowledge, case: Case, heard: Heard) -> bool:
    """Whether somebody who is asked the whole tree, and answers all that they may look at, is left with a verdict."""
    full = heard_from(knowledge, heard.replies, lambda *_: None, everything=True)
    return judged(knowledge, full.walk, full.decision, Truth(knowledge, case))[0] != "abstained"


def _one(knowledge: Knowledge, case: Case, heard: Heard, tally: Tally, name: str, *, everything: bool) -> str:
    """Counts one person, and says how it came out."""
    walked, advice = heard.walk, heard.decision
    assert walked.at == CARD, f"{name}: the walk ends at {walked.at}"
    truth = Truth(knowledge, case)
    asked = [s for s in walked.steps if s.reply.kind in ("value", "cant_tell")]
    tally.count["all"] += 1
    tally.sums["questions"] += len(asked)
    tally.sums["looked again"] += heard.again
    tally.sums["trouble"] += trouble(knowledge, walked)
    _belief(advice, case, truth, tally)
    verdict, found = judged(knowledge, walked, advice, truth)
    tally.count[verdict] += 1
    if advice.contradictions:
        tally.count["contradiction"] += 1
    if verdict == "abstained":
        checks = ", ".join(c.fact for c in advice.checks[:3]) or "no check named"
        tally.left[f"{_why_open(case, walked.facts)} -> {checks}"] += 1
    kind, why = verdict, ""
    if found:
        kind = "danger unlooked" if unlooked(knowledge, walked, advice, truth, found) else "unsafe"
        tally.count[kind] += 1
    if kind == "unsafe":
        rests = rests_on(knowledge, case, heard, everything=everything)
        tally.rests["; or ".join(rests) or UNEXPLAINED] += 1
        why = f"\n    safe with this put right alone: {'; or '.join(rests) or UNEXPLAINED}"
    slips = misread(knowledge, case, walked)
    if advice.contradictions and not slips:
        kind = "contradiction without a slip"
    if kind in TOLD:
        tally.notes.append((kind, f"{name}: {'; '.join(found) or verdict}{why}\n{_told(case, truth, heard, slips)}"))
    return verdict


UNEXPLAINED = "nothing that was misread"

TOLD = frozenset(
    {"unsafe", "danger unlooked", "wrong", "told wrongly that nothing fits", "contradiction without a slip"}
)
"""What is worth telling one by one."""


def _told(case: Case, truth: Truth, heard: Heard, slips: Mapping[str, tuple[Any, Any]]) -> str:
    facts, advice = heard.walk.facts, heard.decision
    advised = advice.recommendation.scheme if advice.recommendation else advice.status
    right = f"{truth.best.scheme} {truth.best.preparations}" if truth.best else "nothing fits"
    return (
        f"    came out: {advised} "
        f"{advice.recommendation.preparations if advice.recommendation else advice.contradictions}\n"
        f"    right: {right}; stops {truth.stops}\n    slips (true, told): {slips}\n"
        f"    {_short(case.recipe)} {_short(case.fan)}\n    untold: "
        f"{sorted(f for f in truth.survey.facts if f not in facts)}\n    told: "
        + ", ".join(f"{f} {v}" for f, v in facts.items() if f not in BESIDES)
    )


BESIDES = frozenset(
    {"breaker", "wire_size", "ceiling_height", "blade_height", "room_area", "wall_gangs", "wall_ground"}
    | {"ceiling_ground", "fan_weight", "fan_box_rating", "canopy_space", "fan_amps", "fan_airflow_high"}
)
"""Facts that an example need not repeat."""


def _short(thing: object) -> str:
    return ", ".join(f"{k}={v}" for k, v in vars(thing).items() if v not in (None, False, ""))


def _why_open(case: Case, facts: Mapping[str, Value]) -> str:
    reasons = [
        "canopy stays closed" * (facts.get("may_open_canopy") is False),
        "no live test" * (facts.get("able_to_test_live") is False),
        "electronics out of sight" * case.fan.hidden,
        "two places" * (case.recipe.link is not None),
    ]
    return " + ".join(r for r in reasons if r) or "open to all looks"


def trouble(knowledge: Knowledge, walked: Walk) -> float:
    """Minutes of one's evening: every look, and every station that was opened."""
    data, tree = knowledge.clues.trouble, knowledge.tree
    opened = {tree.station_of[s.node_id] for s in walked.steps} - {"floor"}
    nodes = [tree.nodes[s.node_id] for s in walked.steps if s.reply.kind in ("value", "cant_tell")]
    facts = [node.fact for node in nodes if hasattr(node, "fact")]
    return sum(data.fact.get(f, data.otherwise) for f in facts) + sum(data.station[s] for s in opened)


def _belief(advice: Decision, case: Case, truth: Truth, tally: Tally) -> None:
    """Brier scores and reliability of what is shown: motor, and wiring by its class.

    While no fan hangs there is no motor, and nobody can tell what a leg will work.
    """
    if advice.contradictions or not advice.survey.hypotheses or not case.facts["fan_installed"]:
        return
    shown: dict[str, float] = {}
    for h in advice.survey.hypotheses:
        shown[h.wiring] = shown.get(h.wiring, 0.0) + h.p
    _score("wiring", shown, truth.house.id, tally)
    _score("motor", advice.fans.motor(), case.fan.motor, tally)


def _score(what: str, shown: Mapping[str, float], true: str, tally: Tally) -> None:
    score = sum((p - (name == true)) ** 2 for name, p in shown.items()) + (true not in shown)
    tally.brier[what] += score  # type: ignore[assignment]
    tally.count[f"{what} scored"] += 1
    tally.count[f"{what} lost"] += true not in shown
    for name, p in shown.items():
        place = min(int(p * BINS), BINS - 1)
        tally.bins[what, place, "shown"] += 1
        tally.bins[what, place, "true"] += name == true
        tally.bins[what, place, "sum"] += p  # type: ignore[assignment]


def bounds(hits: int, of: int) -> tuple[float, float]:
    """Exact two-sided 95 % bounds of a share (Clopper and Pearson, Biometrika 26 (1934) 404; from memory)."""
    low = 0.0 if hits == 0 else _where(lambda p: 1 - _at_most(hits - 1, of, p) - 0.025)
    high = 1.0 if hits == of else _where(lambda p: 0.025 - _at_most(hits, of, p))
    return low, high


def _at_most(hits: int, of: int, p: float) -> float:
    if p <= 0 or p >= 1:
        return float(p <= 0)
    whole = lgamma(of + 1)
    terms = (
        exp(whole - lgamma(k + 1) - lgamma(of - k + 1) + k * log(p) + (of - k) * log1p(-p)) for k in range(hits + 1)
    )
    return sum(terms)


def _where(rising: object) -> float:
    """Where a rising function of a share meets zero."""
    assert callable(rising)
    low, high = 0.0, 1.0
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if rising(middle) < 0 else (low, middle)
    return (low + high) / 2
