"""From a verdict to the steps of the work and the rows that prove it. Pure."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from switchleg.errors import COULD_NOT, SwitchlegError
from switchleg.record.model import Work
from switchleg.schema.questions import Station
from switchleg.session.views.model import ProofRow, WorkStep

if TYPE_CHECKING:
    from switchleg.advice.model import Advice, FunctionRow, SchemeVerdict, Step
    from switchleg.knowledge.load import Knowledge

KNOW_FIRST = "Know this before you begin. Nothing is opened yet: the safety checks come next."
GATE = "Confirm every check, one by one, with your own eyes and your own tester. None can be skipped."
STEP = "One step at a time. Say done when it is done."
PROOF = (
    "Every box is closed, nobody touches anything: then the breaker on. Try every line and check it off. "
    "If one is otherwise: breaker off, test dead, and look at the joints of that part again."
)
DONE = "Every step is done and every line of the proof holds. Keep the card near the breaker panel."
CHANGED = (
    "The plan is no longer the one that was begun: answers or knowledge have changed. Breaker off, look at what "
    "is joined by now, and begin the new plan from its first step."
)


@dataclass(frozen=True)
class Plan:
    """A scheme's steps and function table, ready to be worked through."""

    scheme: str
    title: str
    key: str
    steps: tuple[WorkStep, ...]
    rows: tuple[ProofRow, ...]
    after: tuple[str, ...]
    """Preparations for when the power is on again."""


def plan_of(knowledge: Knowledge, advice: Advice, scheme: str | None = None) -> Plan:
    """The plan of a scheme, else of the recommended one.

    Raises SwitchlegError when there is none to work by: the card says stop, or joints are not settled.
    """
    from switchleg.advice.work import beforehand

    if advice.status == "stop":
        raise _no_work("the card says stop", "read the card, and leave it closed")
    wanted = scheme or (advice.recommendation.scheme if advice.recommendation else None)
    if wanted is None:
        raise _no_work("nothing is recommended yet", "the card names the next look")
    chosen = next((one for one in advice.schemes if one.id == wanted), None)
    if chosen is None:
        from switchleg.spelling import nearest_of

        close = nearest_of(wanted, [one.id for one in advice.schemes])
        raise SwitchlegError(
            f"no scheme is called {wanted}", mend=f"did you mean {close}?" if close else "the card names them"
        )
    if chosen.verdict not in ("fits", "fits_with_preparation"):
        raise _no_work(f"{wanted} is {chosen.verdict.replace('_', ' ')}", "choose one that fits")
    if chosen.plan is None:
        raise _no_work("its joints depend on what is not settled yet", "the card names the next look")
    told = [[step.box, step.text, step.new] for step in chosen.steps]
    key = json.dumps([chosen.id, chosen.way, chosen.preparations, told, [_row(row) for row in chosen.functions]])
    return Plan(
        scheme=chosen.id,
        title=chosen.title,
        key=hashlib.sha256(key.encode()).hexdigest()[:12],
        steps=(_first(knowledge, advice, chosen), *(_step(n, step) for n, step in enumerate(chosen.steps, 1))),
        rows=tuple(ProofRow(number, _row(row), False) for number, row in enumerate(chosen.functions)),
        after=beforehand.after(knowledge, chosen),
    )


def shown(plan: Plan, work: Work) -> tuple[tuple[WorkStep, ...], tuple[ProofRow, ...]]:
    """The plan's steps and rows with what was noted, done and checked."""
    from dataclasses import replace

    steps = tuple(
        replace(step, note=work.notes.get(step.index, ""), done=step.index < work.next) for step in plan.steps
    )
    return steps, tuple(replace(row, checked=row.index in work.checked) for row in plan.rows)


def _no_work(what: str, mend: str) -> SwitchlegError:
    return SwitchlegError(f"there is no plan to work by: {what}", mend=mend, exit_code=COULD_NOT)


def _first(knowledge: Knowledge, advice: Advice, chosen: SchemeVerdict) -> WorkStep:
    from switchleg.advice.work import beforehand

    taken = [
        f"Taken for granted: {item.what}. Look before you join anything."
        for item in advice.evidence
        if item.kind == "assumed"
    ]
    cautions = (*advice.warnings, *taken)
    lines = beforehand.before(knowledge, chosen)
    return WorkStep(0, "prepare", "floor", "", KNOW_FIRST, lines, cautions, "", False)


def _step(number: int, step: Step) -> WorkStep:
    from switchleg.wiring.site import CEILING

    station: Station = "canopy" if step.box == CEILING else "wall"
    return WorkStep(number, step.kind, station, step.title, step.text, (), (), "", False)


def _row(row: FunctionRow) -> str:
    from switchleg.advice.wording.phrases import listed

    where = listed(row.positions) or "always"
    light = f", light {row.light}" if row.light is not None else ""
    online = {True: ", online", False: ", offline", None: ""}[row.online]
    return f"{where[0].upper()}{where[1:]}: fan {row.fan}{light}{online}."
