"""What a plan that fits still waits for: leave that nobody gave, or a thing that nobody has told of yet."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from switchleg.advice.plans.attempts import Tried
from switchleg.schema.questions import Value
from switchleg.schema.schemes import Way
from switchleg.wiring.site import HOT


def told_first(
    way: Way, tried: Tried, facts: Mapping[str, Value], blind: Collection[str], *, wall_light_required: bool
) -> tuple[str, ...]:
    """A chain for a light that is always fed, the room's other light, leave for another fan. `blind`: not tellable."""
    plan, hung = tried.plan, facts.get("fan_installed") is not False
    if hung and way.light_from == HOT and plan.fan.light != "none" and "pull_chain_light" not in facts:
        return ("pull_chain_light",)
    dark = wall_light_required and plan.fan.light != "none" and "only_room_light" in blind
    if dark and "only_room_light" not in facts and not tried.hand_on_light:
        return ("only_room_light",)
    stays = hung and facts.get("may_replace_fan") is not True
    return ("may_replace_fan",) if way.receiver == "replace" and stays else ()


def unseen(preparations: Collection[str], facts: Mapping[str, Value]) -> tuple[str, ...]:
    """A spare conductor is used only when somebody has seen it: that it must be there is not enough."""
    seen = facts.get("run_spare") is True or facts.get("capped_end_at_ceiling") == "capped"
    if "use_spare_conductor" not in preparations or seen:
        return ()
    return ("capped_end_at_ceiling" if "run_spare" in facts else "run_spare",)


def what_it_bears(tried: Tried, facts: Mapping[str, Value]) -> Iterator[str]:
    """What a new part works beside the fan and its light: it is bought for that too, so it must be known."""
    if not tried.beside_other:
        return
    if "acts_on_other_loads" not in facts:
        yield "acts_on_other_loads"
    else:
        yield from (fact for fact in ("other_load_kind", "other_load_amps") if fact not in facts)
