"""What the circuit must know of parts: their classes, and the nominal voltage."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from switchleg.schema.parts import Control, LoadClass, OtherKind
from switchleg.wiring.netlist import Placed


@dataclass(frozen=True)
class Bench:
    """What the circuit must know of parts: control classes, load classes, and the nominal voltage.

    `other`: what hangs at the end of another load's cable; None where nobody has said, and it may be anything.
    """

    controls: Mapping[str, Control]
    loads: Mapping[str, LoadClass]
    volts: float
    other: OtherKind | None = None

    def is_load(self, part: Placed) -> bool:
        return part.control in self.loads
