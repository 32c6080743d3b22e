"""Judge every scheme in every house and fan the answers allow, and see where the recommendation is the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from heapq import nlargest

from switchleg.advice.plans.attempts import goes_up
from switchleg.advice.plans.judge import Judge
from switchleg.advice.plans.outcome import Outcome
from switchleg.diagnosis.fans import Fan, FanBelief
from switchleg.diagnosis.houses.belief import WiringBelief
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.diagnosis.lights import BEHIND, UNLIT
from switchleg.schema.questions import Value

LOOKED_THROUGH = 150
"""How many of the likeliest hypotheses rank the next looks; the verdicts look through all."""


@dataclass(frozen=True, eq=False)
class Hypothesis:
    """One wiring (by class) with one fan. `p`: its share. `alike`: the same wiring in other colours.

    Those are judged alike and joined differently: they matter where joints are told.
    """

    wiring: str
    house: Candidate
    fan: Fan
    p: float
    alike: tuple[Candidate, ...] = ()


def hypotheses(wirings: WiringBelief, fans: FanBelief, most: int | None = None) -> tuple[Hypothesis, ...]:
    """Every allowed pair, or only so many of them, likeliest first. A light on the receiver has no leg of its own."""
    unlit = tuple((fan, p) for fan, p in fans.shares.items() if fan.light in UNLIT)
    lit = tuple((fan, p) for fan, p in fans.shares.items() if fan.light not in UNLIT)
    own_lead = tuple((fan, p) for fan, p in lit if fan.light not in BEHIND)
    together = tuple((fan, p) for fan, p in lit if not fan.apart)
    found: list[tuple[float, str, Candidate, Fan, tuple[Candidate, ...]]] = []
    for cls in wirings.classes:
        houses = _distinct(cls.members)
        share = sum(house.p for house, *_ in houses)
        for house, *others in houses:
            suiting = (own_lead if house.fan_on != house.light_on else together) if house.has_light else unlit
            here, alike = cls.p * house.p / share, tuple(others)
            found += [(here * p, cls.id, house, fan, alike) for fan, p in suiting]
    total = sum(one[0] for one in found)
    if most is None or len(found) <= most:
        found.sort(key=_share, reverse=True)
    else:
        found = nlargest(most, found, key=_share)
    return tuple(Hypothesis(wiring, house, fan, p / total, alike) for p, wiring, house, fan, alike in found)


def _share(pair: tuple[float, str, Candidate, Fan, tuple[Candidate, ...]]) -> float:
    return pair[0]


def _distinct(members: tuple[Candidate, ...]) -> list[list[Candidate]]:
    """Members whose sites can carry different plans: of each set of boxes, cables and nets today the likeliest.

    Behind it stands the likeliest of those that leave another conductor unused.
    """
    found: dict[str, dict[bool, Candidate]] = {}
    for house in sorted(members, key=lambda h: -h.p):
        found.setdefault(house.carries, {}).setdefault(house.white_spare, house)
    return [list(colours.values()) for colours in found.values()]


class Survey:
    """Outcomes by scheme and hypothesis, worked out when asked and kept."""

    def __init__(
        self,
        judge: Judge,
        hypotheses: tuple[Hypothesis, ...],
        facts: Mapping[str, Value],
        untold: frozenset[str] = frozenset(),
    ) -> None:
        self.judge = judge
        self.hypotheses = hypotheses
        self.facts = facts
        self.untold = untold
        self._known: dict[tuple[str, int, Fan], Outcome] = {}
        self._schemes = {s.id: s for s in judge.schemes.scheme}

    def of(self, hypotheses: tuple[Hypothesis, ...]) -> Survey:
        """Other cases under the same answers."""
        return Survey(self.judge, hypotheses, self.facts, self.untold)

    def outcome(self, scheme: str, hypothesis: Hypothesis) -> Outcome:
        key = (scheme, id(hypothesis.house), hypothesis.fan)
        if key not in self._known:
            self._known[key] = self.judge.outcome(self._schemes[scheme], hypothesis.house, hypothesis.fan)
        return self._known[key]

    def alike(self, scheme: str, hypothesis: Hypothesis) -> Iterator[Outcome]:
        """What the scheme comes to in the same wiring in other colours."""
        for house in hypothesis.alike:
            yield self.judge.outcome(self._schemes[scheme], house, hypothesis.fan)

    def best(self, hypothesis: Hypothesis) -> Outcome | None:
        """What would be recommended if this were the truth; None when nothing fits."""
        return self.judge.best(hypothesis.house, hypothesis.fan)

    def decided(self, hypothesis: Hypothesis) -> tuple[str, tuple[str, ...]]:
        """The recommendation as a class: scheme and preparations."""
        best = self.best(hypothesis)
        return (best.scheme, best.preparations) if best else ("", ())

    def agreed(self) -> Outcome | None:
        """The recommendation when it is the same for every hypothesis."""
        if not self.hypotheses:
            return None
        first = self.decided(self.hypotheses[0])
        if not first[0] or any(self.decided(h) != first for h in self.hypotheses[1:]):
            return None
        found = [self.best(h) for h in self.hypotheses]
        return None if any(best is None or best.waits_for for best in found) else found[0]

    def goes_up(self) -> bool:
        """Whether the best plan of some case has work in the canopy; a fan that is still to be hung always has."""
        plans = {id(best.plan): best.plan for h in self.hypotheses if (best := self.best(h)) and best.plan}
        return self.facts.get("fan_installed") is False or any(map(goes_up, plans.values()))

    def looks_waited_for(self) -> tuple[str, ...]:
        """Looks without which the best outcome of some case cannot be recommended."""
        found: dict[str, None] = {}
        for h in self.hypotheses[:LOOKED_THROUGH]:
            best = self.best(h)
            found |= dict.fromkeys(best.waits_for if best else ())
        return tuple(found)

    def hoped_for(self) -> tuple[str, ...]:
        """Looks that could bring something better than what is best today in some case."""
        likely = self.hypotheses[:LOOKED_THROUGH]
        return tuple(dict.fromkeys(fact for h in likely for fact in self.judge.hoped_for(h.house, h.fan)))

    def nothing_fits(self) -> bool:
        return all(self.best(h) is None for h in self.hypotheses)

    def shares(self) -> Mapping[tuple[str, tuple[str, ...]], float]:
        """Recommendations with their shares, over the likeliest hypotheses."""
        found: dict[tuple[str, tuple[str, ...]], float] = {}
        for h in self.hypotheses[:LOOKED_THROUGH]:
            found[self.decided(h)] = found.get(self.decided(h), 0.0) + h.p
        return found
