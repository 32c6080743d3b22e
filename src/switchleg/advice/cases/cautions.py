"""Whether a caution speaks of the plan that is recommended."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from switchleg.advice.plans.attempts import goes_up
from switchleg.advice.plans.outcome import Outcome
from switchleg.schema.schemes import Caution
from switchleg.wiring.site import CEILING, HOT, NEUTRAL


def meant(caution: Caution, best: Outcome | None) -> bool:
    """Whether a caution speaks of the recommended plan; one that names nothing always speaks."""
    if not (caution.schemes or caution.controls or caution.preparations or caution.plan):
        return True
    if best is None or best.plan is None:
        return False
    if caution.plan and not PLAN_TESTS[caution.plan](best):
        return False
    if not (caution.schemes or caution.controls or caution.preparations):
        return True
    controls = {part.control for part in best.plan.way.part}
    return bool(
        best.scheme in caution.schemes
        or controls & set(caution.controls)
        or set(best.preparations) & set(caution.preparations)
    )


def _live_at_ceiling(best: Outcome) -> bool:
    """A hot that no wall control parts reaches the ceiling, as itself or joined to a leg."""
    if best.plan is None:
        return False
    parts = {p.control for p in best.plan.wired.parts}
    return HOT in best.plan.wired.nets_at(CEILING) or "wall_joint" in parts


def _neutral_at_wall(best: Outcome) -> bool:
    """A part at the wall is joined to the neutral there."""
    parts = best.plan.wired.parts if best.plan else ()
    return any(part.box != CEILING and NEUTRAL in dict(part.nets).values() for part in parts)


PLAN_TESTS: Mapping[str, Callable[[Outcome], bool]] = {
    "live_at_ceiling": _live_at_ceiling,
    "neutral_at_wall": _neutral_at_wall,
    "hangs_fan": lambda best: (
        best.plan is not None and (best.plan.replaces is not None or best.plan.way.receiver == "replace")
    ),
    "stays_below": lambda best: best.plan is not None and not goes_up(best.plan),
    "plain_ac_fan": lambda best: "replace_fan_ac" in best.preparations,
}
