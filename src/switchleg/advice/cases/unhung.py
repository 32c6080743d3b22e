"""Where no fan hangs yet, nobody can say what hangs on which leg: the copper counts, not what it works today. Pure."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace

from switchleg.advice.cases.survey import Hypothesis, Survey
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.wiring.site import IDLE

LEGS = frozenset({"FAN", "LIGHT", "BOTH", IDLE})


def by_copper(survey: Survey) -> Survey:
    """Of wirings with the same copper and controls only the one that carries the best plan stays, for all of them."""
    groups: dict[Hashable, list[Hypothesis]] = {}
    for h in survey.hypotheses:
        groups.setdefault((copper(h.house), h.fan), []).append(h)
    kept = []
    for alike in groups.values():
        best = max(alike, key=lambda h: (found.rank if (found := survey.best(h)) else (float("-inf"),), h.p))
        kept.append(replace(best, p=sum(h.p for h in alike)))
    return survey.of(tuple(sorted(kept, key=lambda h: -h.p)))


def copper(house: Candidate) -> Hashable:
    """Cables, the kinds of nets on their conductors, and controls by their boxes; what a leg works is left out."""
    nets = tuple((cable, tuple(sorted(map(_kind, on)))) for cable, on in sorted(house.routing.nets.items()))
    stubs = tuple((s.id, s.box, tuple(map(_kind, s.nets))) for s in house.site.stubs)
    controls = tuple(sorted((a.boxes, a.tied) for a in house.active))
    return house.site.boxes, house.site.cables, stubs, nets, controls, house.has_light, house.opened, house.white_spare


def _kind(net: str) -> str:
    return "leg" if net in LEGS else net
