"""Why a scheme is judged as it is: a tree of steps with the facts, numbers and sources that were read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.cases.survey import Hypothesis, Survey
from switchleg.advice.model import SchemeVerdict, Why
from switchleg.advice.plans.outcome import Outcome
from switchleg.advice.wording import phrases
from switchleg.advice.wording.names import box_names
from switchleg.diagnosis.clue_weights import excluding
from switchleg.diagnosis.houses.agreement import LOOKED_AT
from switchleg.schema.questions import Value
from switchleg.wiring.rules import findings
from switchleg.wiring.site import GROUND

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.schemes import Scheme

MOTOR = {"ac": "a plain AC motor", "ac_tapped": "an AC motor with its speed parts in the receiver", "dc": "a DC motor"}
MOST_CASES = 4
"""Cases told one by one; the likeliest come first."""


def why(
    knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey, scheme: Scheme, verdict: SchemeVerdict
) -> Why:
    """The tree for one scheme: what the fan is, what the wiring is, then every way in the likeliest cases."""
    state = verdict.verdict.replace("_", " ")
    cases = tuple(_case(knowledge, facts, survey, scheme, h) for h in _cases(survey, scheme.id))
    return Why(
        text=f"{scheme.title}: {state}.",
        sources=scheme.sources,
        steps=(_fan(knowledge, facts, survey), _wiring(knowledge, facts, survey), *cases),
    )


def _cases(survey: Survey, scheme: str) -> Iterator[Hypothesis]:
    """The likeliest hypotheses that come out differently, one of each."""
    seen: set[object] = set()
    for hypothesis in survey.hypotheses[:200]:
        outcome = survey.outcome(scheme, hypothesis)
        key = (outcome.fits, outcome.way, outcome.preparations, outcome.obstacles)
        if key not in seen and len(seen) < MOST_CASES:
            seen.add(key)
            yield hypothesis


def _fan(knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey) -> Why:
    shares: dict[str, float] = {}
    for h in survey.hypotheses:
        shares[h.fan.motor] = shares.get(h.fan.motor, 0.0) + h.p
    left = phrases.listed(f"{MOTOR[m]} ({p:.0%})" for m, p in sorted(shares.items(), key=lambda kv: -kv[1]))
    steps = []
    for motor, name in MOTOR.items():
        against = tuple(sorted(excluding(knowledge.clues.motor, motor, facts)))
        if against:
            sources = {s for c in knowledge.clues.motor if c.fact in against and c.p[motor] == 0 for s in c.sources}
            said = phrases.listed(f"{f} = {_said(facts[f])}" for f in against)
            text = f"It is not {name}: {said}."
            steps.append(Why(text=text, facts=against, sources=tuple(sorted(sources))))
    return Why(text=f"The fan may have {left or 'nothing that agrees with the answers'}.", steps=tuple(steps))


def _said(value: Value) -> str:
    return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else str(value)


def _wiring(knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey) -> Why:
    known = tuple(f for f in knowledge.tree.questions if f in LOOKED_AT and f in facts)
    names = {h.wiring: h.house for h in survey.hypotheses}
    steps = tuple(Why(text=phrases.wiring(house)) for house in list(names.values())[:MOST_CASES])
    count = f"{len(names)} {'wiring is' if len(names) == 1 else 'wirings are'} left"
    return Why(text=f"{count} of all that the router can wire, after the answers.", facts=known, steps=steps)


def _case(
    knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey, scheme: Scheme, hypothesis: Hypothesis
) -> Why:
    ways = {w.id: w for w in scheme.way}
    steps = []
    for outcome in survey.judge.ways(scheme, hypothesis.house, hypothesis.fan):
        steps.append(_way(knowledge, facts, survey, ways[outcome.way].says, outcome))
    motor = MOTOR[hypothesis.fan.motor]
    text = f"In this case ({hypothesis.p:.0%}): {phrases.wiring(hypothesis.house)} The fan has {motor}"
    text += ", with a receiver." if hypothesis.fan.receiver else ", no receiver."
    return Why(text=text, steps=tuple(steps))


def _way(knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey, says: str, outcome: Outcome) -> Why:
    steps: list[Why] = []
    if outcome.plan:
        steps += _routes(outcome)
    for obstacle in outcome.obstacles:
        reason = phrases.reason(obstacle, knowledge.rules, survey.judge.bench.controls, facts)
        steps.append(Why(text=reason.text, facts=reason.facts, sources=reason.sources))
    if outcome.fits and outcome.plan:
        bench = survey.judge.bench
        found = [phrases.broken(f, knowledge.rules, bench.controls) for f in findings(outcome.plan.wired, bench)]
        solved = "Solved in every position of every switch, output, step, chain and remote: "
        solved += "these rules are broken." if found else "no electrical rule is broken."
        steps.append(Why(text=solved, steps=tuple(Why(text=one.text, sources=one.sources) for one in found)))
        by_id = {p.id: p for p in knowledge.preparations.preparation}
        for name in outcome.preparations:
            text = f"It takes: {by_id[name].title.lower()} (trouble {by_id[name].work:g}, our estimate)."
            steps.append(Why(text=text, sources=by_id[name].sources))
        text = f"Wishes kept weigh {outcome.score:g}, trouble {outcome.work:g} (our estimates; wishes decide first)."
        steps.append(Why(text=text, sources=("estimate",)))
    return Why(text=f"{'Yes' if outcome.fits else 'No'}: {says}", steps=tuple(steps))


def _routes(outcome: Outcome) -> Iterator[Why]:
    assert outcome.plan is not None
    wired = outcome.plan.wired
    for cable in wired.site.cables:
        nets = [net for (c, _), net in wired.conductors.items() if c == cable.id and net not in (None, GROUND)]
        ends = phrases.listed(box_names(wired.site)[box] for box in cable.ends)
        carried = phrases.listed(phrases.net_words(str(net)) for net in nets) or "nothing"
        count = phrases.number(cable.conductors)
        text = f"The cable between {ends} has {count} insulated conductors and carries {carried}."
        yield Why(text=text, sources=("nec_300_3",))
