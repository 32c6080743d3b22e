"""Homes drawn just as the program believes that they are: from its own shares and clues.

Among them the shares that the program shows must come true as often as they say. It is no test of those shares,
which are estimates: only of how answers are weighed.
"""

from __future__ import annotations

import random
from functools import lru_cache
from itertools import accumulate
from typing import Any

from simulation.houses import Recipe, crossing, lay
from simulation.people import Case, TrueFan, case_of, receiver_looks
from simulation.reading import Facts
from switchleg.advice.cases.beliefs import candidates
from switchleg.diagnosis.fans import Fan, possible_fans
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.knowledge.load import Knowledge
from switchleg.schema.clues import Clue
from switchleg.wiring.site import SECOND_WALL, WALL

LIT = 0.8
OTHER_LOAD = 0.1
KITS = (("none", 1 - LIT), ("lamps", LIT / 2), ("led_built_in", LIT / 2))
"""How often a home has what: of these the program takes the answer, whatever its share."""

WATTS = {"below": (20, 34), "above": (51, 70), "between": (36, 49)}


def draw_case(rng: random.Random, knowledge: Knowledge) -> Case:
    """A home by the program's own shares; a wiring that a recipe cannot tell is drawn anew."""
    kit = _some(rng, KITS)
    other = rng.random() < OTHER_LOAD
    fans = possible_fans(knowledge.clues, {"light_kit": kit}, {}).shares
    while True:
        houses, sums = _stock(knowledge, other, kit != "none")
        house = rng.choices(houses, cum_weights=sums)[0]
        fan = rng.choices(tuple(fans), tuple(fans.values()))[0]
        recipe = _recipe(rng, house)
        on_receiver = fan.light.startswith("receiver")
        if recipe is not None and not (kit != "none" and house.fan_on != house.light_on and on_receiver):
            hung = TrueFan(fan.motor, fan.receiver, fan.light, fan.resumes, fan.remote, fan.hidden)
            return case_of(rng, recipe, hung, {"light_kit": kit, **_looks(rng, knowledge, fan, hung)})


@lru_cache(maxsize=8)
def _stock(knowledge: Knowledge, other: bool, lit: bool) -> tuple[tuple[Candidate, ...], tuple[float, ...]]:
    """The candidates and their summed shares; of two wall places people open the first, whichever that is."""
    houses = tuple(h for h in candidates(knowledge, "us", other, lit) if h.opened == WALL)
    return houses, tuple(accumulate(house.p * max(1, len(house.site.wall_boxes)) for house in houses))


def _some(rng: random.Random, pairs: Any) -> Any:
    values, weights = zip(*pairs, strict=True)
    return rng.choices(values, weights)[0]


def _recipe(rng: random.Random, house: Candidate) -> Recipe | None:
    """The candidate as a recipe, when it comes to the same nets in the same cables."""
    cables, stubs = {c.id: c for c in house.site.cables}, {s.id: s for s in house.site.stubs}
    if "onward_2" in stubs:
        return None
    link = cables.get("link")
    other = stubs.get("other")
    recipe = Recipe(
        house.site.feed_box,
        house.run_conductors,
        (link.conductors, next(end for end in link.ends if end != SECOND_WALL)) if link else None,
        tuple(("tied" if a.tied else a.works, a.boxes) for a in house.active),
        house.has_light,
        neutral_down=house.neutral_down,
        white_spare=house.white_spare,
        swapped=rng.random() < 0.5,
        onward=stubs["onward"].box if "onward" in stubs else "",
        beside="beside" in stubs,
        other=(other.nets[0], other.box) if other else None,
    )
    same = {c: set(nets) for c, nets in crossing(recipe).items()} == {c: set(n) for c, n in house.routing.nets.items()}
    return recipe if same and lay(recipe) is not None else None


def _looks(rng: random.Random, knowledge: Knowledge, fan: Fan, hung: TrueFan) -> Facts:
    """What clues.toml says that this motor shows; of each family one look, since only one of a family counts."""
    clues = knowledge.clues.motor

    def shown(fact: str) -> Any:
        return _some(rng, _shares([clue for clue in clues if clue.fact == fact], fan))

    watts = [clue for clue in clues if clue.fact == "watts_high"]
    bands = [("below" if clue.below is not None else "above", clue.p[fan.motor]) for clue in watts]
    band = _some(rng, [*bands, ("between", 1 - sum(p for _, p in bands))])
    facts: Facts = {
        "handheld_remote": fan.remote,
        "motor_label": shown("motor_label"),
        "pull_chain_fan": shown("pull_chain_fan") is True,
        "reverse_slide": shown("reverse_slide") is True,
        "start_behaviour": shown("start_behaviour"),
        "remote_kind": "radio" if fan.remote else None,
        "remote_speeds": shown("remote_speeds") if fan.remote else None,
        "fan_watts_high": f"{rng.uniform(*WATTS[band]):.0f} W",
        "resumes_after_power_cut": fan.resumes,
        "receiver": fan.receiver and not fan.hidden,
        "capacitor_in": shown("capacitor_in") or "not_seen",
        "blade_height": "8 ft",
    }
    if fan.light == "own_lead":
        facts["pull_chain_light"] = facts["pull_chain_fan"]
    if facts["receiver"]:
        facts |= receiver_looks(rng, hung)
    elif facts["capacitor_in"] == "receiver":
        facts["capacitor_in"] = "not_seen"
    return {fact: value for fact, value in facts.items() if value is not None}


def _shares(clues: list[Clue], fan: Fan) -> list[tuple[Any, float]]:
    """Answers by their shares under the fan's motor, each answer once; what they leave over shows nothing."""
    found: dict[Any, float] = {}
    for clue in clues:
        value = clue.value if clue.at_least is None else clue.at_least
        found.setdefault(value, clue.shares(receiver=fan.receiver)[fan.motor])
    return [*found.items(), (None, max(0.0, 1 - sum(found.values())))]
