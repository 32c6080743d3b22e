"""Give every net on every cable a conductor, by the region's colours and with the least change.

Neutral takes the neutral colour. A neutral-coloured conductor carries a hot only where the cable holds no
neutral (a switch loop) and must then be re-identified. There it takes the supply to the switch where the
NEC holds (200.7(C)), the switched way back where a drop's blue is sleeved (BS 7671 514.3, from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from switchleg.wiring.netlist import Placed, Wired, join
from switchleg.wiring.site import GROUND, HOT, NEUTRAL, Routing, Site


@dataclass(frozen=True)
class Palette:
    """Colours of the insulated conductors by cable size, and which conductor of each takes the neutral.

    `neutral_colours` are the colours that mean neutral by themselves; where a cable has none of them, its
    conductor in `neutral_of` is marked when it is used as neutral.
    """

    by_count: Mapping[int, tuple[str, ...]]
    neutral_of: Mapping[int, str]
    neutral_colours: frozenset[str]
    loop_pale: Literal["supply", "return"] = "supply"
    """What that conductor carries in a loop without neutral: hot to the switch, or the switched way back."""
    ground: str = "bare"
    """The ground conductor that every cable has beside the insulated ones."""

    def pale(self, conductors: int) -> str:
        """The conductor that takes the neutral in a cable of that many."""
        return self.neutral_of.get(conductors) or self.neutral_of[max(self.neutral_of)]

    def cable(self, conductors: int) -> tuple[str, ...]:
        if conductors in self.by_count:
            return self.by_count[conductors]
        widest = self.by_count[max(self.by_count)]
        return widest + tuple(f"extra {n}" for n in range(1, conductors - len(widest) + 1))


def assign(
    nets: Sequence[str],
    colours: Sequence[str],
    neutral: str,
    today: Mapping[str, str | None] | None = None,
    *,
    spare_white: bool = False,
    loop_pale: str = "supply",
) -> dict[str, str | None]:
    """Colour -> net for one cable; None marks an unused conductor.

    `today` (colour -> net) is kept wherever the rules allow it. `spare_white` leaves the neutral-coloured
    conductor unused while others are free, as careful installers do.
    """
    given: dict[str, str | None] = dict.fromkeys(colours)
    left = list(nets)
    dark = [c for c in colours if c != neutral]
    if NEUTRAL in left:
        given[neutral] = NEUTRAL
        left.remove(NEUTRAL)
    loop = NEUTRAL not in nets
    for colour, net in (today or {}).items():
        suits = colour in dark or (loop and (net == HOT) == (loop_pale == "supply"))
        if net in left and given.get(colour, "") is None and suits:
            given[colour] = net
            left.remove(net)
    needs_pale = loop and len(left) > sum(given[c] is None for c in dark)
    if HOT in left and loop and given[neutral] is None and (needs_pale or not spare_white):
        legs = sorted(net for net in left if net != HOT)
        carried = HOT if loop_pale == "supply" or not legs else legs[0]
        given[neutral] = carried
        left.remove(carried)
    left.sort(key=lambda net: (net != HOT, net))
    for colour in [*dark, neutral]:
        if left and given[colour] is None:
            given[colour] = left.pop(0)
    return given


def wire(
    site: Site,
    routing: Routing,
    parts: tuple[Placed, ...],
    palette: Palette,
    today: Wired | None = None,
    *,
    spare_white: bool = False,
) -> Wired:
    """Turn a possible routing into a wired site: every conductor gets its net, every box its joints."""
    conductors: dict[tuple[str, str], str | None] = {}
    for cable in site.cables:
        colours = palette.cable(cable.conductors)
        before = {c: today.conductors.get((cable.id, c)) for c in colours} if today else None
        pale = palette.pale(cable.conductors)
        given = assign(
            routing.nets[cable.id], colours, pale, before, spare_white=spare_white, loop_pale=palette.loop_pale
        )
        conductors.update({(cable.id, colour): net for colour, net in given.items()})
    for stub in site.stubs:
        given = assign(stub.nets, palette.cable(len(stub.nets)), palette.pale(len(stub.nets)))
        conductors.update({(stub.id, colour): net for colour, net in given.items()})
    every = [c.id for c in site.cables] + [s.id for s in site.stubs]
    conductors.update({(cable_id, palette.ground): GROUND for cable_id in every})
    relabelled = frozenset(
        key
        for key, net in conductors.items()
        if (key[1] in palette.neutral_colours and net not in (None, NEUTRAL))
        or (net == NEUTRAL and key[1] not in palette.neutral_colours)
    )
    return Wired(site, parts, conductors, join(site, parts, conductors), relabelled, relabelled)
