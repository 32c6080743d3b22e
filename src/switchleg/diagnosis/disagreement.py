"""Answers that cannot all be true, over wiring, controls and fan together: what each candidate makes wrong. Pure.

A candidate is a wiring with a story of its controls and a fan that can hang on it. Answers that are taken back
may be anything: the light and the other load, which choose the list of wirings, are compared like all others.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import prod
from typing import TYPE_CHECKING

from switchleg.diagnosis.control_assignments import stories
from switchleg.diagnosis.doubts import OUTSIDE
from switchleg.diagnosis.fans import TOGETHER, FanBelief
from switchleg.diagnosis.hitting_sets import minimal, smallest_conflicts
from switchleg.diagnosis.houses.agreement import COLOUR_FACTS
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.houses.comparison import columns
from switchleg.diagnosis.houses.predictions import HOUSE_LOOKS
from switchleg.diagnosis.lights import BEHIND, LIGHTS, UNLIT, lights_against
from switchleg.schema.questions import Value
from switchleg.wiring.bench import Bench

if TYPE_CHECKING:
    from collections.abc import Callable

Group = tuple[float, frozenset[str]]
"""A prior share, and the answers that are wrong in it."""

MOST_SETS = 200
"""More are not looked for: nobody reads so many, and the smallest come first."""


@dataclass(frozen=True)
class Disagreement:
    """`sets`: the smallest disagreeing sets. `doubtful`: answers with how likely each is wrong, given the others."""

    sets: tuple[tuple[str, ...], ...]
    doubtful: dict[str, float]


def disagreement(
    houses: Sequence[Candidate],
    fans: FanBelief,
    facts: Mapping[str, Value],
    untold: Collection[str],
    bench: Bench,
    slip: Callable[[str], float],
    *,
    colours_known: bool,
) -> Disagreement:
    """What disagrees in these answers; no sets when some candidate could have shown them all."""
    found: dict[frozenset[str], float] = {}
    hung = facts.get("fan_installed") is not False
    for (house, apart), wirings in _wirings(houses, facts, untold, bench, colours_known=colours_known).items():
        told = _merged((s.p, s.against, s.sends) for s in stories(house, facts, untold))
        for light, fan_parts in _fans(fans, facts, hung=hung).items():
            if house.has_light != (light not in UNLIT) or (apart and light in BEHIND):
                continue
            for (against, sends), p in told.items():
                for fan_p, fan_against, receiver in fan_parts:
                    if sends and hung and not receiver:
                        continue
                    heard = {f for f in fan_against if sends and TOGETHER in f}  # a chain alone proves nothing then
                    both = against | (fan_against - heard)
                    for share, wiring in wirings:
                        whole = wiring | both
                        found[whole] = found.get(whole, 0.0) + share * p * fan_p
    if not found or frozenset() in found:
        return Disagreement((), {})
    sets = _single(smallest_conflicts(found, limit=MOST_SETS))
    named = {fact for one in sets for fact in one}
    weights = {against: p * prod(_odds(f, slip) for f in against) for against, p in found.items()}
    total = sum(weights.values()) + OUTSIDE * 0.5 ** len(named)
    doubtful = dict.fromkeys(named, 0.0)
    for against, weight in weights.items():
        for token in against:
            facts_of = token.split(TOGETHER)
            for fact in set(facts_of) & named:
                doubtful[fact] += weight / total * slip(fact) / sum(slip(one) for one in facts_of)
    return Disagreement(sets, dict(sorted(doubtful.items(), key=lambda kv: (-kv[1], kv[0]))))


def _odds(token: str, slip: Callable[[str], float]) -> float:
    """How much less likely a candidate is for what it makes wrong: of facts that only disagree together, either."""
    return sum(slip(fact) / (1 - slip(fact)) for fact in token.split(TOGETHER))


def _single(sets: Sequence[tuple[str, ...]]) -> tuple[tuple[str, ...], ...]:
    """Sets of single facts, smallest first, none of which holds another."""
    split = {frozenset(fact for token in one for fact in token.split(TOGETHER)) for one in sets}
    return tuple(sorted((tuple(sorted(one)) for one in minimal(split)), key=lambda t: (len(t), t)))


def _merged(
    parts: Iterator[tuple[float, frozenset[str], bool]],
) -> dict[tuple[frozenset[str], bool], float]:
    found: dict[tuple[frozenset[str], bool], float] = {}
    for p, against, flag in parts:
        found[against, flag] = found.get((against, flag), 0.0) + p
    return found


def _wirings(
    houses: Sequence[Candidate],
    facts: Mapping[str, Value],
    untold: Collection[str],
    bench: Bench,
    *,
    colours_known: bool,
) -> dict[tuple[Candidate, bool], list[Group]]:
    """Wirings whose controls and legs are alike (one stands for them), with what each part of them makes wrong."""
    compared = columns(houses, bench)
    alike: dict[object, list[int]] = {}
    for number, house in enumerate(houses):
        works = tuple((a.works, len(a.boxes)) for a in house.active)
        other = any(stub.id == "other" for stub in house.site.stubs)
        key = (bool(house.site.wall_boxes), house.has_light, works, house.fan_on != house.light_on, other)
        alike.setdefault(key, []).append(number)
    looks = [f for f in HOUSE_LOOKS if f in facts and (colours_known or f not in COLOUR_FACTS)]
    struck = {fact: compared.struck(fact, facts[fact]) for fact in looks}
    found: dict[tuple[Candidate, bool], list[Group]] = {}
    for numbers in alike.values():
        first = houses[numbers[0]]
        apart = first.has_light and first.fan_on != first.light_on
        given = _listed_otherwise(first, facts, untold)
        groups: dict[frozenset[str], float] = {}
        for number in numbers:
            against = given | {fact for fact, bits in struck.items() if bits >> number & 1}
            groups[against] = groups.get(against, 0.0) + houses[number].p
        kept = found.setdefault((first, apart), [])
        kept += [(p, against) for against, p in groups.items()]
    return found


def _listed_otherwise(house: Candidate, facts: Mapping[str, Value], untold: Collection[str]) -> frozenset[str]:
    """The answer that keeps a wiring off the list of what may stand there.

    Where nobody could say what the other load goes with, it may hang on a wiring of its own.
    """
    said, other = facts.get("acts_on_other_loads"), any(stub.id == "other" for stub in house.site.stubs)
    goes_with = "other_load_works_with"
    unseen = said is True and goes_with in untold and goes_with not in facts
    return frozenset({"acts_on_other_loads"} if said not in (None, other) and not unseen else ())


def _fans(
    fans: FanBelief, facts: Mapping[str, Value], *, hung: bool
) -> dict[str, list[tuple[float, frozenset[str], bool]]]:
    """For each manner of feeding the light: shares of fans, the answers they make wrong, whether they can hear."""
    kit = facts.get("light_kit")
    found: dict[str, list[tuple[float, frozenset[str], bool]]] = {}
    for light in LIGHTS:
        unlike = frozenset({"light_kit"} if kit is not None and (kit == "none") != (light == "none") else ())
        if not hung:
            if light in ("none", "own_lead"):
                found[light] = [(1.0, unlike, False)]
            continue
        parts: dict[tuple[frozenset[str], bool], float] = {}
        for p, against, receiver in fans.parts:
            if not receiver and light in BEHIND:
                continue
            wrong = against | unlike
            if receiver and (light, kit) != ("none", "none"):
                wrong |= lights_against(facts, light)
            parts[wrong, receiver] = parts.get((wrong, receiver), 0.0) + p
        found[light] = [(p, against, receiver) for (against, receiver), p in parts.items()]
    return found
