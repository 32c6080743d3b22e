"""What to warn of: cautions that speak of the recommended plan or of what nobody has looked at."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from switchleg.advice.cases.cautions import meant
from switchleg.advice.cases.dangers import Danger
from switchleg.advice.cases.survey import Survey
from switchleg.advice.model import NextCheck, Recommendation
from switchleg.advice.numbers import safety
from switchleg.advice.plans.outcome import Outcome
from switchleg.advice.wording.phrases import LOAD, listed
from switchleg.schema.questions import Condition, Value
from switchleg.tree.conditions import holds
from switchleg.wiring.cautions import cautions

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region


def warnings(
    knowledge: Knowledge,
    facts: Mapping[str, Value],
    region: Region | None,
    survey: Survey,
    recommendation: Recommendation | None,
    dangers: Sequence[Danger] = (),
) -> tuple[str, ...]:
    """`dangers`: the stops that can still come."""
    hanging = {danger.rule: danger.finding for danger in dangers}
    best = survey.best(survey.hypotheses[0]) if recommendation and survey.hypotheses else None
    found = [
        caution.text.format(finding=hanging[caution.open]) if caution.open else caution.text
        for caution in knowledge.rules.caution
        if caution.open in ("", *hanging) and meant(caution, best) and all(_met(c, facts) for c in caution.when)
    ]
    found += _never_off(knowledge, facts, best, survey)
    if FAN_SUPPORT not in hanging and (support := safety.support_warning(facts, knowledge.tables)) is not None:
        found.append(support)
    found += safety.figure_warnings(facts, knowledge.tables)
    found += _read_again(facts)
    if region is None:
        found.append("The region is not given: colours say nothing until it is, and nothing is recommended.")
    else:
        licensed = " This card is addressed to that person." if region.who_may.licensed_only else ""
        found.append(f"Who may do this work: {region.who_may.text}{licensed}")
    return tuple(dict.fromkeys(found))


FAN_SUPPORT = "fan_support"
PAIRS = (
    ("The breaker says {} and the wire is {}", "breaker", "wire_size"),
    ("The fan weighs {} and its box is marked for {}", "fan_weight", "fan_box_rating"),
)
"""Numbers that a danger hangs on, each read once."""


def _read_again(facts: Mapping[str, Value]) -> list[str]:
    """Pairs of numbers side by side: a slip in one of them shows when both are read again."""
    return [
        f"{text.format(facts[one], facts[other])}. Read both once more before you start: a slip here is a danger."
        for text, one, other in PAIRS
        if one in facts and other in facts
    ]


def once_more(knowledge: Knowledge, again: Sequence[str], *, fits: bool) -> str:
    """Why answers are to be looked at again before the verdict stands."""
    asks = listed(f'"{knowledge.tree.questions[fact].ask}"' for fact in again)
    if fits:
        return f"What is said here is seldom so, or the other answers speak against it. Look once more first: {asks}"
    return f"With these answers nothing fits. Any one of them alone would change that, so look once more: {asks}"


def for_others(knowledge: Knowledge, checks: Sequence[NextCheck], survey: Survey) -> tuple[str, ...]:
    """When only looks are left that this person does not take, or none: who can say what is open all the same."""
    asks = " ".join(knowledge.tree.questions[check.fact].ask for check in checks)
    if asks:
        return (f"What is left takes a look that you do not take. A licensed electrician can say: {asks}",)
    fans = [h.fan for h in survey.hypotheses]
    inside = len({(fan.motor, fan.receiver) for fan in fans}) > 1
    unknown = ["which motor it has and whether electronics sit inside"] * inside
    unknown += ["how its light is fed"] * (len({fan.light for fan in fans}) > 1)
    told = f" The fan's maker or seller can say {listed(unknown)}, by the name of the model." if unknown else ""
    if inside and "motor_label" in knowledge.tree.questions:
        told += f' What they say goes where it was asked: "{knowledge.tree.questions["motor_label"].ask}"'
    wired = len({h.wiring for h in survey.hypotheses}) > 1 or not unknown
    told += " A licensed electrician can say how it is wired, by tracing the wires." if wired else ""
    return (f"No look that is asked for here decides what is left.{told}",)


def _never_off(knowledge: Knowledge, facts: Mapping[str, Value], best: Outcome | None, survey: Survey) -> list[str]:
    """Loads of the plan that no control turns off and that have no chain or remote of their own."""
    if best is None or best.plan is None:
        return []
    plan = best.plan
    chain = {"fan": facts.get("pull_chain_fan") is True, "light": facts.get("pull_chain_light") is True}
    remote = plan.receiver_kept or plan.way.receiver == "replace"
    otherwise = {load for load, there in chain.items() if there} | ({"fan"} if remote else set())
    sentences = {t.id: t.text for t in knowledge.rules.tested}
    found = cautions(plan.wired, survey.judge.bench, worked_otherwise=otherwise)
    return [sentences[f.rule].format(load=LOAD.get(dict(f.words)["load"], "the other load")) for f in found]


def _met(condition: Condition, facts: Mapping[str, Value]) -> bool:
    """A caution stands when its condition holds; an unknown fact makes no exception from it."""
    held = holds(condition, facts)
    return held is True or (held is None and condition.is_not is not None)
