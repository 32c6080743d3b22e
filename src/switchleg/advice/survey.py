"""Judge every scheme in every house and fan the answers allow, and see where the recommendation is the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from switchleg.advice.judge import Judge, Outcome
from switchleg.advice.tried import Tried
from switchleg.diagnosis.belief import WiringBelief
from switchleg.diagnosis.fans import Fan, FanBelief
from switchleg.diagnosis.houses import Candidate

PERMISSIONS = frozenset({"may_replace_fan"})
"""What an outcome may wait for that is leave, not a look: without it the outcome is no candidate."""

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


def hypotheses(wirings: WiringBelief, fans: FanBelief) -> tuple[Hypothesis, ...]:
    """Every allowed pair, likeliest first. A light on the receiver has no leg of its own."""
    found: list[Hypothesis] = []
    for cls in wirings.classes:
        houses = _distinct(cls.members)
        share = sum(h.p for h, *_ in houses)
        for house, *alike in houses:
            for fan, p in fans.shares.items():
                apart = house.has_light and house.fan_on != house.light_on
                on_receiver = fan.light in ("receiver_mains", "receiver_low_voltage")
                if house.has_light != (fan.light != "none") or (apart and on_receiver):
                    continue
                found.append(Hypothesis(cls.id, house, fan, cls.p * house.p / share * p, tuple(alike)))
    total = sum(h.p for h in found)
    return tuple(replace(h, p=h.p / total) for h in sorted(found, key=lambda h: -h.p))


def _distinct(members: tuple[Candidate, ...]) -> list[list[Candidate]]:
    """Members whose sites can carry different plans: of each set of boxes, cables and nets today the likeliest.

    Behind it stands the likeliest of those that leave another conductor unused.
    """
    found: dict[object, dict[bool, Candidate]] = {}
    for house in sorted(members, key=lambda h: -h.p):
        loops = tuple((s.id, s.box, s.nets) for s in house.site.stubs if s.id in ("other", "beside"))
        nets = tuple(sorted(house.routing.nets.items()))
        key = (house.site.boxes, house.site.cables, house.site.feed_box, nets, house.active, loops, house.has_light)
        found.setdefault(key, {}).setdefault(house.white_spare, house)
    return [list(colours.values()) for colours in found.values()]


class Survey:
    """Outcomes by scheme and hypothesis, worked out when asked and kept."""

    def __init__(self, judge: Judge, hypotheses: tuple[Hypothesis, ...]) -> None:
        self.judge = judge
        self.hypotheses = hypotheses
        self._known: dict[tuple[str, int, Fan], Outcome] = {}
        self._best: dict[tuple[int, Fan], Outcome | None] = {}
        self._schemes = {s.id: s for s in judge.schemes.scheme}

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
        key = (id(hypothesis.house), hypothesis.fan)
        if key not in self._best:
            found = (self.judge.fitting(s, hypothesis.house, hypothesis.fan) for s in self._schemes.values())
            fitting = [o for o in found if o is not None and not PERMISSIONS & set(o.waits_for)]
            self._best[key] = max(fitting, key=lambda o: o.rank, default=None)
        return self._best[key]

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
        """Whether the best plan of some case has work in the canopy."""
        plans = {id(best.plan): best.plan for h in self.hypotheses if (best := self.best(h)) and best.plan}
        return any(Tried(plan, {}, self.judge.bench).touches_canopy for plan in plans.values())

    def looks_waited_for(self) -> tuple[str, ...]:
        """Looks without which the best outcome of some case cannot be recommended."""
        found: dict[str, None] = {}
        for h in self.hypotheses[:LOOKED_THROUGH]:
            best = self.best(h)
            found |= dict.fromkeys(best.waits_for if best else ())
        return tuple(found)

    def nothing_fits(self) -> bool:
        return all(self.best(h) is None for h in self.hypotheses)

    def shares(self) -> Mapping[tuple[str, tuple[str, ...]], float]:
        """Recommendations with their shares, over the likeliest hypotheses."""
        found: dict[tuple[str, tuple[str, ...]], float] = {}
        for h in self.hypotheses[:LOOKED_THROUGH]:
            found[self.decided(h)] = found.get(self.decided(h), 0.0) + h.p
        return found
