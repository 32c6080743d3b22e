"""The verdict of every scheme over all that the answers still allow, with its reasons."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from switchleg.advice.cases.settled_joints import only_plan, scan
from switchleg.advice.cases.survey import Hypothesis, Survey
from switchleg.advice.looks.next_checks import barred_by, ranked
from switchleg.advice.model import Reason, SchemeVerdict
from switchleg.advice.plans.attempts import beside_other
from switchleg.advice.plans.outcome import Outcome
from switchleg.advice.plans.wall_control import grade, reaches
from switchleg.advice.verdict.reasons import why
from switchleg.advice.wording import phrases
from switchleg.advice.work.in_boxes import tasks_of
from switchleg.advice.work.legs import BY_ELECTRICIAN, by_electrician
from switchleg.advice.work.proof import functions
from switchleg.advice.work.steps import steps
from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region
    from switchleg.schema.schemes import Scheme


def scheme_verdicts(
    knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey, region: Region | None
) -> tuple[SchemeVerdict, ...]:
    """One verdict a scheme, in the order of schemes.toml."""
    found = []
    for scheme in knowledge.schemes.scheme:
        verdict = _verdict(knowledge, facts, survey, scheme, region)
        found.append(verdict.model_copy(update={"why": why(knowledge, facts, survey, scheme, verdict)}))
    return tuple(found)


def _verdict(
    knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey, scheme: Scheme, region: Region | None
) -> SchemeVerdict:
    found = list(scan(survey, scheme.id))
    fitting = [(h, o) for h, o in found if o.fits]
    ruled_out = [(h, o) for h, o in found if not o.fits]
    reasons = _reasons(knowledge, facts, [o for _, o in ruled_out], len(found))
    if not fitting:
        return SchemeVerdict(id=scheme.id, title=scheme.title, verdict="ruled_out", reasons=reasons)
    waits = tuple(dict.fromkeys(f for _, o in fitting for f in o.waits_for))
    likeliest = fitting[0][1]
    keeps = dict(likeliest.keeps)
    wall = reaches(likeliest.plan, survey.judge.bench) if likeliest.plan else {}
    if ruled_out or waits:
        open_facts = tuple(dict.fromkeys((*waits, *_settling(knowledge, survey, scheme.id, facts))))
        rest = _waiting(knowledge, waits)
        settle = Reason(
            rule="not_settled", text=f"It fits in {_share(found)} of the cases still open.", facts=open_facts
        )
        return SchemeVerdict(
            id=scheme.id,
            title=scheme.title,
            verdict="undetermined",
            preparations=likeliest.preparations,
            reasons=(settle, *rest, *reasons),
            keeps=keeps,
            wall_control=wall,
            wall_control_grade=grade(wall),
        )
    same = {o.preparations for _, o in fitting}
    preparations = likeliest.preparations if len(same) == 1 else _common(fitting)
    plan = only_plan(fitting, survey, region) if len(same) == 1 and region is not None else None
    told = likeliest.plan if plan and region else None
    was_live = next((t.text for t in knowledge.rules.tested if t.id == "was_live"), "")
    tasks = tasks_of(knowledge.preparations, preparations)
    hung, shut = facts.get("fan_installed") is not False, facts.get("may_open_canopy") is False
    bench = survey.judge.bench
    depends: tuple[Reason, ...] = ()
    if len(same) > 1:
        open_facts = _settling(knowledge, survey, scheme.id, facts)
        depends = (Reason(rule="not_settled", text="What it takes depends on the next looks.", facts=open_facts),)
    why = Reason(rule="fits", text=scheme.says, facts=(), sources=scheme.sources)
    return SchemeVerdict(
        id=scheme.id,
        title=scheme.title,
        verdict="fits_with_preparation" if any(same) else "fits",
        preparations=preparations,
        reasons=(why, *depends),
        keeps=keeps,
        wall_control=wall,
        wall_control_grade=grade(wall),
        plan=plan,
        way=likeliest.plan.way.id if likeliest.plan else None,
        parts=tuple(part.control for part in likeliest.plan.way.part) if likeliest.plan else (),
        beside_other=tuple(dict.fromkeys(c for _, o in fitting if o.plan for c in beside_other(o.plan, bench))),
        new_cables=likeliest.plan.pulled() if likeliest.plan else (),
        steps=steps(told, bench, region.words.ground, was_live, tasks, hung=hung, shut=shut) if told and region else (),
        before=(BY_ELECTRICIAN,) if told and hung and by_electrician(told, shut=shut) else (),
        functions=functions(told, bench) if told else (),
    )


WAITS_FOR = {
    "may_replace_fan": ("needs_permission", "another fan"),
    "run_spare": ("needs_look", "an unused conductor in the cable to the fan"),
    "capped_end_at_ceiling": ("needs_look", "an unused conductor whose other end is capped at the ceiling"),
    "only_room_light": ("needs_look", "that the room has another light on a wall control"),
    "pull_chain_light": ("needs_look", "a chain on the light that turns it off"),
    "feed_passes_on": ("needs_look", "that the further cable at the ceiling carries the power straight on"),
    "stops_from_wall": ("needs_look", "that no switch anywhere stops the fan or its light"),
    "neutral_reading": ("needs_look", "a neutral at the wall that a tester has shown"),
    "receiver": ("needs_look", "that no receiver hides in the canopy"),
    "remote_kind": ("needs_look", "a handheld remote whose signals can be repeated"),
    "capacitor_in": ("needs_look", "that the motor's capacitor is not in the receiver"),
    "acts_on_other_loads": ("needs_look", "a wire on which nothing else hangs, or a part that is marked for it"),
    "other_load_kind": ("needs_look", "a part that is marked for what else hangs on its wire"),
    "other_load_amps": ("needs_look", "a part that is strong enough for that too"),
    "receiver_motor_leads": ("needs_look", "that no more than two wires lead from the receiver to the motor"),
}
"""What an outcome may wait for, the rule that says so, and its words."""


def _reasons(
    knowledge: Knowledge, facts: Mapping[str, Value], outcomes: list[Outcome], cases: int
) -> tuple[Reason, ...]:
    """Each obstacle once, the likeliest house's first; what stands in the way in some of the cases only says so."""
    controls = {c.id: c for c in knowledge.controls.control}
    found: dict[tuple[str, str], tuple[Reason, set[int]]] = {}
    for number, outcome in enumerate(outcomes):
        for obstacle in dict.fromkeys(outcome.obstacles):
            reason = phrases.reason(obstacle, knowledge.rules, controls, facts)
            found.setdefault((reason.rule, reason.text), (reason, set()))[1].add(number)
    return tuple(
        reason if len(there) == cases else reason.model_copy(update={"text": f"{IN_SOME} {reason.text}"})
        for reason, there in found.values()
    )[:6]


IN_SOME = "In some cases:"


def _waiting(knowledge: Knowledge, waits: tuple[str, ...]) -> tuple[Reason, ...]:
    sentences = {t.id: t for t in knowledge.rules.tested}
    found = []
    for fact in waits:
        rule, what = WAITS_FOR[fact]
        text = sentences[rule].text.format(what=what)
        found.append(Reason(rule=rule, text=text, facts=(fact,), sources=sentences[rule].sources))
    return tuple(found)


def _settling(knowledge: Knowledge, survey: Survey, scheme: str, facts: Mapping[str, Value]) -> tuple[str, ...]:
    """Open facts that would settle this scheme, most worth first."""
    barred = barred_by(knowledge, facts)
    checks = ranked(knowledge, survey, facts, lambda h: _kind(survey.outcome(scheme, h)), barred=barred)
    return tuple(c.fact for c in checks[:4])


def _kind(outcome: Outcome) -> tuple[bool, tuple[str, ...]]:
    return outcome.fits, outcome.preparations


def _common(fitting: list[tuple[Hypothesis, Outcome]]) -> tuple[str, ...]:
    """Preparations needed in every case, in the likeliest case's order."""
    shared = set.intersection(*(set(o.preparations) for _, o in fitting))
    return tuple(p for p in fitting[0][1].preparations if p in shared)


def _share(found: list[tuple[Hypothesis, Outcome]]) -> str:
    fitting, total = sum(h.p for h, o in found if o.fits), sum(h.p for h, _ in found)
    return f"about {max(1, min(99, round(100 * fitting / total)))} %" if fitting < total else "all"
