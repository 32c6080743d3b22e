"""What stops the work: finds that the rules name, figures, answers that cannot all be true, nothing that fits."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.cases.beliefs import disagreeing, region_of
from switchleg.advice.cases.survey import Survey
from switchleg.advice.model import Stop
from switchleg.advice.numbers import safety
from switchleg.advice.wording import phrases
from switchleg.diagnosis.disagreement import Disagreement
from switchleg.diagnosis.doubts import doubts
from switchleg.diagnosis.fans import FanBelief
from switchleg.diagnosis.hitting_sets import smallest_conflicts
from switchleg.diagnosis.houses.belief import WiringBelief
from switchleg.schema.questions import Value
from switchleg.tree.conditions import all_hold
from switchleg.tree.values import show

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge


def disagreement_in(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    untold: Collection[str],
    wirings: WiringBelief,
    fans: FanBelief,
    survey: Survey,
) -> Disagreement:
    """Nothing while some house and fan agree with all the answers; else which answers disagree."""
    denied = tuple(
        tuple(dict.fromkeys(condition.fact for condition in one.when))
        for one in knowledge.rules.denied
        if all_hold(one.when, facts)
    )
    if survey.hypotheses:
        return Disagreement(denied, {fact: 0.5 for pair in denied for fact in pair})
    found = disagreeing(knowledge, facts, region_of(knowledge, facts), fans, untold)
    if found.sets:
        return Disagreement((*found.sets, *denied), found.doubtful)
    sets = (*smallest_conflicts(fans.conflicts * (not fans.shares)), *smallest_conflicts(wirings.conflicts))
    return Disagreement(tuple(dict.fromkeys(sets)), {})


def stops_of(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    contradictions: tuple[tuple[str, ...], ...],
    survey: Survey,
) -> tuple[Stop, ...]:
    """Everything that ends the work on these facts."""
    rules = knowledge.rules
    sentences = {t.id: t for t in rules.tested}
    found = [
        Stop(rule=s.id, text=s.text, facts=tuple(c.fact for c in s.when if c.fact in facts), sources=s.sources)
        for s in rules.stop
        if all_hold(s.when, facts)
    ]
    for stop in safety.stops(facts, knowledge.tables):
        text = sentences[stop.rule].text.format(finding=stop.finding)
        found.append(Stop(rule=stop.rule, text=text, facts=stop.facts, sources=stop.sources))
    for conflict in contradictions:
        rule = sentences["readings_contradict" if len(conflict) > 1 else "outside_knowledge"]
        asked = ((knowledge.tree.questions[f], facts[f]) for f in conflict if f in knowledge.tree.questions)
        names = phrases.listed(f'"{question.ask}" ({_short(show(question, said))})' for question, said in asked)
        text = rule.text.format(facts=names)
        found.append(Stop(rule=rule.id, text=text, facts=conflict, sources=rule.sources))
    if not found and survey.nothing_fits() and not _permissions_open(survey, facts):
        rule = sentences[NOTHING_FITS]
        found.append(Stop(rule=rule.id, text=rule.text, facts=(), sources=rule.sources))
    return tuple(found)


def _short(label: str) -> str:
    return label[0].lower() + label[1:] if label[1:2].islower() else label


NOTHING_FITS = "nothing_fits"


def with_help(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    stops: tuple[Stop, ...],
    retry: Callable[[Mapping[str, Value]], Survey],
) -> tuple[Stop, ...]:
    """The stops, with what would help where nothing fits."""
    if all(stop.rule != NOTHING_FITS for stop in stops):
        return stops
    helps = _what_helps(knowledge, facts, retry)
    told = f" What would help: {phrases.listed(helps)}." if helps else ""
    return tuple(s.model_copy(update={"text": s.text + told}) if s.rule == NOTHING_FITS else s for s in stops)


def _what_helps(
    knowledge: Knowledge, facts: Mapping[str, Value], retry: Callable[[Mapping[str, Value]], Survey]
) -> list[str]:
    """Single changes of a wish or a permission with which something would fit, each tried by itself."""
    found = []
    for want in knowledge.schemes.want:
        said = facts.get(want.id, want.unasked)
        if said == "must" and not retry({**facts, want.id: "nice"}).nothing_fits():
            found.append(f"to do without this must: {want.keeps}")
    allowed = {"may_replace_fan": "another fan", "may_pull_cable": "a new cable", "may_open_canopy": "an open canopy"}
    for fact, name in allowed.items():
        if facts.get(fact) is False and not retry({**facts, fact: True}).nothing_fits():
            found.append(name)
    return found


PERMISSIONS = ("may_replace_fan", "may_pull_cable")


def _permissions_open(survey: Survey, facts: Mapping[str, Value]) -> bool:
    """A permission nobody was asked for might still open a way. No fan that is still to be chosen is replaced."""
    choosing = facts.get("fan_installed") is False
    asked = [p for p in PERMISSIONS if not (choosing and p == "may_replace_fan")]
    return bool(survey.hypotheses) and any(p not in facts for p in asked)


LIKELY_WRONG = 0.5
"""An answer is named as doubtful when a slip explains the others better than its truth does."""


def doubtful_answers(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    fans: FanBelief,
    houses: tuple[tuple[float, frozenset[str]], ...],
    disagreement: Disagreement,
    *,
    least: float = LIKELY_WRONG,
) -> dict[str, float]:
    """Answers with how likely each is wrong: all of a contradiction, else those at `least` so likely wrong.

    `houses`: every candidate wiring's share and the facts it contradicts.
    """
    if disagreement.doubtful:
        return {f: round(p, 4) for f, p in disagreement.doubtful.items()}
    slip = knowledge.clues.slip.rate
    told = {f for _, against in houses for f in against} & set(facts)
    found = doubts(houses, sorted(told), slip)
    told = {f for _, against in fans.kinds for f in against}
    for fact, p in doubts(fans.kinds, sorted(told), slip).items():
        found[fact] = max(p, found.get(fact, 0.0))
    named = {f for conflict in disagreement.sets for f in conflict}
    kept = {f: p for f, p in found.items() if (f in named if named else p > least)}
    return {f: round(p, 4) for f, p in sorted(kept.items(), key=lambda kv: (-kv[1], kv[0]))}
