"""Everything in a wired site that draws power, and which of it is a load to a person."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from switchleg.schema.parts import Inside
from switchleg.wiring.bench import Bench
from switchleg.wiring.netlist import ConductorEnd, End, Placed, Terminal, Wired
from switchleg.wiring.site import Stub

OTHER_WATTS = 60.0
"""Another load on the leg: an estimate; only that it is a load matters."""

SUPPLY_WATTS = 0.5
"""What a control's electronics draw: an estimate; only that it is small matters."""


def uses(wired: Wired, bench: Bench) -> Iterator[tuple[str, End, End, float]]:
    """Everything that draws power: its name, hot end, neutral end, watts at nominal voltage."""
    for part in wired.parts:
        neutral = Terminal(part.id, "neutral")
        if load := bench.loads.get(part.control):
            if load.watts:
                yield part.id, Terminal(part.id, "hot"), neutral, load.watts
            for one in load.inside:
                yield f"{part.id} {one.id}", Terminal(part.id, one.id), neutral, one.watts
        elif (control := bench.controls.get(part.control)) and (ends := control.electronics):
            line, back = (Terminal(part.id, terminal) for terminal in ends)
            yield f"{part.id} supply", line, back, SUPPLY_WATTS
    for stub in wired.site.stubs:
        if stub.id.startswith("other"):
            yield stub.id, *stub_ends(wired, stub), OTHER_WATTS


@dataclass(frozen=True)
class Fed:
    """Something that uses power: a load that is a part or within one, or one at the end of its own cable."""

    id: str
    box: str
    hot: End
    neutral: End


OWN_NAME = {"motor": "fan", "lamp": "light"}
"""What is within a fan goes by what it is to the person."""


def loads_of(wired: Wired, bench: Bench) -> tuple[Fed, ...]:
    """Every load of the site: parts first, with what is within them in place of their supply leads, then others."""
    found = []
    for part in wired.parts:
        if load := bench.loads.get(part.control):
            neutral = Terminal(part.id, "neutral")
            found += [Fed(_own(part, one), part.box, Terminal(part.id, one.id), neutral) for one in load.inside]
            if not load.inside:
                found.append(Fed(part.id, part.box, Terminal(part.id, "hot"), neutral))
    others = [Fed(s.id, s.box, *stub_ends(wired, s)) for s in wired.site.stubs if s.id.startswith("other")]
    return (*found, *others)


def _own(part: Placed, one: Inside) -> str:
    return OWN_NAME[one.id] if part.id in OWN_NAME.values() else f"{part.id} {one.id}"


def stub_ends(wired: Wired, stub: Stub) -> tuple[ConductorEnd, ConductorEnd]:
    """The two ends of another load's cable: its leg and its neutral."""
    leg, neutral = (
        next(colour for (cable, colour), net in wired.conductors.items() if cable == stub.id and net == wanted)
        for wanted in stub.nets
    )
    return ConductorEnd(stub.id, leg, stub.box), ConductorEnd(stub.id, neutral, stub.box)
