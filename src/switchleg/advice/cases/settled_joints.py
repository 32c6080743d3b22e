"""Whether the joints of a scheme are the same in every case still open: nobody joins by guess."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import TYPE_CHECKING

from switchleg.advice.cases.survey import Hypothesis, Survey
from switchleg.advice.model import BoxPlan
from switchleg.advice.plans.outcome import Outcome
from switchleg.advice.work.joints import box_plans

if TYPE_CHECKING:
    from switchleg.schema.regions import Region

ENOUGH = 120
"""Likeliest hypotheses that are looked at in any case; then only until a verdict cannot change any more."""


def scan(survey: Survey, scheme: str) -> Iterator[tuple[Hypothesis, Outcome]]:
    """Outcomes over all hypotheses, cut short once both fitting and not fitting have been seen."""
    seen: set[bool] = set()
    for count, hypothesis in enumerate(survey.hypotheses):
        if count >= ENOUGH and len(seen) == 2:
            return
        outcome = survey.outcome(scheme, hypothesis)
        seen.add(outcome.fits)
        yield hypothesis, outcome


def only_plan(fitting: list[tuple[Hypothesis, Outcome]], survey: Survey, region: Region) -> tuple[BoxPlan, ...] | None:
    """The joints, if they are the same in every house still open; else None: nobody may join by guess."""
    controls = survey.judge.bench.controls
    hung = survey.judge.heard.get("fan_installed") is not False
    found: set[tuple[BoxPlan, ...]] = set()
    in_other_colours = (o for h, told in fitting for o in survey.alike(told.scheme, h))
    for outcome in chain((o for _, o in fitting), in_other_colours):
        if outcome.plan:
            found.add(box_plans(outcome.plan, controls, region.words.ground, tagged=hung))
        if len(found) > 1:
            return None
    return found.pop() if found else None


def joints_known(survey: Survey, scheme: str, region: Region) -> bool:
    """Whether the joints of a scheme that fits are the same in every case, so that they are told."""
    fitting = [(h, o) for h, o in scan(survey, scheme) if o.fits]
    same = {o.preparations for _, o in fitting}
    return len(same) == 1 and only_plan(fitting, survey, region) is not None
