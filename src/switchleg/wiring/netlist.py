"""A wired site as a netlist: conductor ends and terminals, joined in boxes.

A joint is everything that meets under one connector or one terminal. Wrong joints can be written down as
easily as right ones, so that the solver and the rules can be shown to notice them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from switchleg.wiring.site import Site


class ConductorEnd(NamedTuple):
    """One end of one conductor: the cable, its colour, the box where this end is."""

    cable: str
    colour: str
    box: str


class Terminal(NamedTuple):
    """A terminal or lead of a part."""

    part: str
    name: str


End = ConductorEnd | Terminal


@dataclass(frozen=True)
class Placed:
    """A part in a box: its class (a control class or a load class) and the net of each terminal."""

    id: str
    control: str
    box: str
    nets: tuple[tuple[str, str], ...]

    def net(self, terminal: str) -> str | None:
        return dict(self.nets).get(terminal)


@dataclass(frozen=True)
class Joint:
    """What meets in a box. `connector`: under a wire connector, with a pigtail to each terminal; without one,
    a single conductor under a single terminal."""

    box: str
    net: str
    ends: tuple[End, ...]
    connector: bool = True


@dataclass(frozen=True)
class Wired:
    """A site with parts, the net of every conductor, and the joints that follow.

    `conductors` maps (cable, colour) to its net, or None where it is unused and capped at both ends.
    `relabelled` must be re-identified: neutral-coloured ones used as hot, others used as neutral; `marked` are.
    `bare` are ends that nobody joined or capped.
    """

    site: Site
    parts: tuple[Placed, ...]
    conductors: Mapping[tuple[str, str], str | None]
    joints: tuple[Joint, ...]
    relabelled: frozenset[tuple[str, str]]
    marked: frozenset[tuple[str, str]] = frozenset()
    bare: frozenset[ConductorEnd] = frozenset()

    def nets_at(self, box: str) -> set[str]:
        return {joint.net for joint in self.joints if joint.box == box}

    def capped(self, box: str) -> tuple[ConductorEnd, ...]:
        """Ends in a box that no joint takes up."""
        ids = {cable.id for cable in self.site.at(box)}
        joined = {end for joint in self.joints for end in joint.ends if isinstance(end, ConductorEnd)}
        return tuple(
            ConductorEnd(cable, colour, box)
            for (cable, colour) in self.conductors
            if cable in ids and ConductorEnd(cable, colour, box) not in joined
        )


def join(site: Site, parts: tuple[Placed, ...], conductors: Mapping[tuple[str, str], str | None]) -> tuple[Joint, ...]:
    """The joints of a site: in each box, all ends of one net together. Lone conductor ends are left to be capped."""
    joints: list[Joint] = []
    for box in site.boxes:
        meeting: dict[str, list[End]] = {}
        ids = {cable.id for cable in site.at(box)}
        for (cable, colour), net in conductors.items():
            if net is not None and cable in ids:
                meeting.setdefault(net, []).append(ConductorEnd(cable, colour, box))
        for part in parts:
            if part.box == box:
                for terminal, net in part.nets:
                    meeting.setdefault(net, []).append(Terminal(part.id, terminal))
        for net, ends in meeting.items():
            if len(ends) > 1:
                one_to_one = len(ends) == 2 and any(isinstance(end, Terminal) for end in ends)
                joints.append(Joint(box, net, tuple(ends), not one_to_one))
    return tuple(joints)
