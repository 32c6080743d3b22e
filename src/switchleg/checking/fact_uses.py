"""Whether each question says truly what its answer serves, as far as the data can tell: both ways."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from switchleg.advice.cases.hazards import ASKED_FOR
from switchleg.diagnosis.houses.agreement import COMPARED
from switchleg.figures.fan.motor_clues import RESTS_ON
from switchleg.knowledge.problems import Problem
from switchleg.schema.clues import CluesFile
from switchleg.schema.questions import Condition, StationFile, Strict, Use
from switchleg.schema.schemes import RulesFile, SchemesFile
from switchleg.spelling import nearest_of
from switchleg.tree.graph import Tree

LOOKS: frozenset[str] = COMPARED
"""The facts of which every candidate house says what it would show."""

DATA_ALONE: frozenset[Use] = frozenset({"danger", "home"})
"""Uses for which data files read the answers: there it can be seen whether any answer is told from another one."""

JUDGED: frozenset[Use] = frozenset({"plan", "wish", "permission"})


def check_uses(
    models: Mapping[str, Strict], tree: Tree, looks: Collection[str], *, whole: bool
) -> Iterator[tuple[str, Problem]]:
    """(fact, problem) for every use that a question does not name, or names in vain.

    `whole`: every file could be read, so what nothing uses is truly unused.
    """
    files = {q.fact: file for file, model in models.items() if isinstance(model, StationFile) for q in model.question}
    used: dict[Use, set[str]] = {"houses": set(looks), "wish": set(), "danger": _warned_of(models)}
    required: dict[tuple[str, frozenset[Use]], str] = {}
    for fact, uses, why in _required(models, looks):
        required.setdefault((fact, uses), why)
    for (fact, uses), why in required.items():
        question = tree.questions.get(fact)
        if question is not None and uses.isdisjoint(question.serves):
            wanted = " or ".join(f'"{use}"' for use in sorted(uses))
            yield fact, Problem(files[fact], f"question.{fact}.serves", f"lacks {wanted}: {why}")
        for use in used.keys() & uses:
            used[use].add(fact)
    for fact, question in tree.questions.items():
        place = files[fact], f"question.{fact}.serves"
        if not question.serves:
            yield fact, Problem(*place, "is empty: nobody would be asked for an answer that serves nothing")
        for use in sorted({use for use in question.serves if question.serves.count(use) > 1}):
            yield fact, Problem(*place, f'has "{use}" twice')
        for use, why in IN_VAIN.items() if whole else ():
            if (
                use in question.serves
                and fact not in used[use]
                and not (use == "danger" and "figure" in question.serves)
            ):
                near = nearest_of(fact, used[use] - tree.questions.keys())
                yield fact, Problem(*place, f'has "{use}", {why}', near)


IN_VAIN: Mapping[Use, str] = {
    "houses": "but no look at a house shows it",
    "wish": "but it is no wish in schemes.toml",
    "danger": "but no stop, caution, hazard or figure rests on it",
}


def _required(models: Mapping[str, Strict], looks: Collection[str]) -> Iterator[tuple[str, frozenset[Use], str]]:
    """Fact, the uses of which its question must name one, and why."""
    for fact in looks:
        yield fact, frozenset({"houses"}), "every candidate house says what it would show"
    clues, rules, schemes = (models.get(f"{name}.toml") for name in ("clues", "rules", "schemes"))
    if isinstance(clues, CluesFile):
        for clue in (*clues.motor, *clues.receiver):
            for fact in RESTS_ON.get(clue.fact, (clue.fact,)):
                yield fact, frozenset({"fans"}), "clues.toml has a clue on it"
    if isinstance(schemes, SchemesFile):
        for want in schemes.want:
            yield want.id, frozenset({"wish"}), "it is a wish in schemes.toml"
    if isinstance(rules, RulesFile):
        for stop in rules.stop:
            for fact in _facts(stop.when):
                yield fact, frozenset({"danger"}), f'the stop "{stop.id}" hangs on it'
        for rule in rules.forbids:
            for fact in _facts(rule.when):
                yield fact, JUDGED, f'the rule "{rule.id}" judges plans by it'
        for fact in ASKED_FOR if rules.hazard else ():
            yield fact, frozenset({"danger"}), "a hazard of today hangs on it"


def _warned_of(models: Mapping[str, Strict]) -> set[str]:
    """Facts that bring a caution: they may serve as a danger, and need not."""
    rules = models.get("rules.toml")
    return {f for caution in rules.caution for f in _facts(caution.when)} if isinstance(rules, RulesFile) else set()


def _facts(conditions: Collection[Condition]) -> list[str]:
    return [condition.fact for condition in conditions]
