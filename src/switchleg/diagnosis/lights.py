"""What may feed the fan's light, by what the receiver gives out for one and what its lead is joined to. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from switchleg.schema.clues import Priors
from switchleg.schema.questions import Value

LIGHTS = ("none", "own_lead", "loose", "receiver_mains", "receiver_low_voltage")
"""There is none; a leg of the house, on a lead of its own; nothing, the lead is capped; the receiver."""
UNLIT = frozenset({"none", "loose"})
"""Of such a light the house's wiring knows nothing."""
BEHIND = {"receiver_low_voltage": "_with_lamp", "receiver_mains": "_with_mains_lamp"}
"""A light that electronics feed, and how the class of a driver with it ends."""

SHOWS: Mapping[str, Mapping[Value, frozenset[str]]] = {
    "receiver_light_lead": {
        "mains": frozenset({"receiver_mains", "own_lead", "loose"}),
        "low_voltage": frozenset({"receiver_low_voltage"}),
        "none": frozenset({"own_lead", "loose", "none"}),
    },
    "light_joined_to": {
        "receiver": frozenset(BEHIND),
        "house_leg": frozenset({"own_lead"}),
        "nothing": frozenset({"loose", "none"}),
        "both": frozenset({"own_lead", "receiver_mains"}),
    },
}
"""How a light beside a receiver may be fed, by each answer about it.

A supply of low voltage is taken as used until somebody has seen the light joined to something else.
"""
OFF_THE_RECEIVER = ("house_leg", "nothing")


def lights_against(facts: Mapping[str, Value], light: str) -> frozenset[str]:
    """The answers about the light that are wrong if it is fed so."""
    unused = facts.get("receiver_light_lead") == "low_voltage" and facts.get("light_joined_to") in OFF_THE_RECEIVER
    told = {fact: shows.get(facts[fact]) for fact, shows in SHOWS.items() if fact in facts}
    wrong = frozenset(fact for fact, may_be in told.items() if may_be is not None and light not in may_be)
    return wrong - {"receiver_light_lead"} if unused else wrong


def apart(light: str, facts: Mapping[str, Value], untold: Collection[str]) -> bool:
    """Whether a light off the receiver is taken to hang on a leg that nothing else is on.

    So it is while the receiver gives out a supply for it and nobody was asked what it is joined to.
    """
    asked = "light_joined_to" in facts or "light_joined_to" in untold
    return light == "own_lead" and facts.get("receiver_light_lead") == "mains" and not asked


def may_be_loose(facts: Mapping[str, Value]) -> bool:
    """Whether the light's lead may be capped, for all that the receiver says: it could feed a light, nobody told."""
    told = "light_joined_to" in facts or facts.get("light_kit") in (None, "none")
    return not told and facts.get("receiver_light_lead") == "mains"


def _worked(facts: Mapping[str, Value]) -> bool:
    """Whether some control works the light, or may, for all that was said."""
    return bool({facts.get(f"control_{number}_does") for number in (1, 2)} & {None, "light", "both"})


def lights(priors: Priors, facts: Mapping[str, Value], *, dc: bool, receiver: bool) -> Iterator[tuple[str, float]]:
    """Each way in which the light may be fed, with its share; `dc`: by the kind of motor."""
    kit = facts.get("light_kit")
    if kit == "none":
        yield "none", 1.0
        return
    if facts.get("light_joined_to") == "nothing":
        mains = facts.get("receiver_light_lead") == "mains" or kit == "lamps"
        yield "loose" if mains else "none", 1.0  # what may be for low voltage is joined to nothing new
        return
    shares = priors.light[f"{kit or 'unknown'}_{'dc' if dc else 'ac'}"]
    if not receiver:
        none = shares.get("none", 0.0)
        if none:
            yield "none", none
        yield "own_lead", 1 - none
        return
    allowed = {light for light in LIGHTS if light != "loose" and not lights_against(facts, light)}
    loose = priors.loose_light if may_be_loose(facts) and not _worked(facts) else 0.0
    if loose:
        yield "loose", loose
    unused = priors.unused_output.get(str(facts.get("receiver_light_lead")), 1.0)
    left = {light: p * (unused if light == "own_lead" else 1.0) for light, p in shares.items() if light in allowed}
    if not left:
        left = dict.fromkeys(allowed - UNLIT, 0.01)
    total = sum(left.values())
    for light, p in left.items():
        yield light, p / total * (1 - loose)
