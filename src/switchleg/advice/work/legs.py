"""Which of today's two legs is which: tagged while they are joined, then told by their tags and not by colours."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from switchleg.advice.plans.plan import Plan
from switchleg.advice.wording.names import present_names
from switchleg.advice.wording.phrases import listed, net_words, terminal
from switchleg.advice.work.joints import cable_words, tags_of, tied_legs, two_legs
from switchleg.wiring.netlist import ConductorEnd, Terminal, Wired
from switchleg.wiring.site import CEILING, IDLE

COLOURS_SWAPPED = "Where your colours are the other way round, the tags count, in every joint."
BY_ELECTRICIAN = (
    "Which leg is which (licensed electrician): both are tied to one control, so use tells nobody, and the canopy is "
    "to stay closed. Have them found and tagged, F for the fan's and L for the light's, before the work."
)
EXCHANGED = "If a control works the other load: breaker off at once, the two legs are exchanged."


def by_electrician(plan: Plan, *, shut: bool) -> bool:
    """Whether only somebody who may work live can tell the legs apart: tied to one control, and no look above."""
    return shut and two_legs(plan) and tied_legs(plan)


@dataclass(frozen=True)
class Tags:
    """`today`: the present wiring with this fan. `worked`: boxes in which joints change. `shut`: the canopy stays so.
    `hung`: a fan hangs; without one a leg is nobody's yet, and the colours of the plan are as good as any."""

    plan: Plan
    today: Wired
    worked: Iterable[str]
    shut: bool
    hung: bool

    @property
    def asked(self) -> bool:
        return self.hung and two_legs(self.plan) and any(self._parts_a_leg(box) for box in self.worked)

    @property
    def above_first(self) -> bool:
        """The canopy is looked into before the wall: both legs are tied to one control, and only the loads tell."""
        return self.asked and tied_legs(self.plan) and not self.shut

    def at(self, box: str) -> str:
        """What is tagged in a box before anything in it is parted; "" where nothing is."""
        above = box == CEILING and (self.above_first or self._takes_up_idle(box))
        if not self.asked or not (above or self._parts_a_leg(box)):
            return ""
        tagged = [words for net, tag in tags_of(self.plan).items() if (words := self._tag(net, tag, box))]
        how = ""
        if box != CEILING and tied_legs(self.plan):
            how = " by the electrician's tags" if self.shut else " by what was seen in the canopy"
        note = " Note both colours for the wall box." if box == CEILING and self.above_first else ""
        return f"Tag{how}, while all is joined: {listed(tagged)}.{note} {COLOURS_SWAPPED}" if tagged else ""

    def _parts_a_leg(self, box: str) -> bool:
        new = {frozenset(joint.ends) for joint in self.plan.wired.joints}
        gone = (joint for joint in self.today.joints if joint.box == box and frozenset(joint.ends) not in new)
        ends = {end for joint in gone for end in joint.ends}
        return any(end in ends for net in tags_of(self.plan) for end in self._ends(net, box))

    def _takes_up_idle(self, box: str) -> bool:
        """Whether a leg that is capped in this box today is joined there."""
        loose = set(self.plan.wired.capped(box))
        return any(end not in loose for end in self._ends(IDLE, box))

    def _ends(self, net: str, box: str) -> list[ConductorEnd]:
        here = {cable.id for cable in self.today.site.at(box)}
        found = self.plan.house.wired.conductors.items()
        return [ConductorEnd(cable, colour, box) for (cable, colour), on in found if on == net and cable in here]

    def _tag(self, net: str, tag: str, box: str) -> str:
        """ "the wire on the fan's present switch F (black of the cable to the ceiling box)"."""
        ends = self._ends(net, box)
        called = listed(f"{end.colour} of {cable_words(self.today.site, end.cable, box)}" for end in ends)
        many = "wires" if len(ends) > 1 else "wire"
        return f"the {many} {self._at_what(ends)} {tag} ({called})" if ends else ""

    def _at_what(self, ends: list[ConductorEnd]) -> str:
        """What a leg meets in this box today; a tie tells nothing."""
        names = present_names(self.plan.house, self.today)
        for part in self._met(ends):
            if part.part in names and not part.part.startswith("tie"):
                if tied_legs(self.plan) and ends[0].box != CEILING:
                    break
                common = f" ({terminal(part.name)})" if part.name == "common" else ""
                return f"on {names[part.part]}{common}"
        net = self.plan.house.wired.conductors[(ends[0].cable, ends[0].colour)] if ends else None
        return "that is capped alone" if net == IDLE else f"of {net_words(str(net))}"

    def _met(self, ends: list[ConductorEnd]) -> Iterator[Terminal]:
        for joint in self.today.joints:
            if any(end in joint.ends for end in ends):
                yield from (end for end in joint.ends if isinstance(end, Terminal))
