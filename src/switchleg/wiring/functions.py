"""The function table: what every position of every control gives, solved state by state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from switchleg.wiring.bench import Bench
from switchleg.wiring.dials import positions
from switchleg.wiring.netlist import Placed, Wired
from switchleg.wiring.rules import FULL, NONE, inputs, unpowered
from switchleg.wiring.solve import circuit_of
from switchleg.wiring.uses import loads_of

Works = Literal["on", "off", "part", "trip"]
"""A load at full voltage, at none, in between (loads in series, a lost neutral), or a tripped breaker."""


@dataclass(frozen=True)
class Row:
    """One state. `positions`: (part, channel) -> 0 or 1; `loads`: load -> what it does.

    `online`: every control's electronics are fed; None where there are none. `inputs`: part -> whether the input
    by which it listens to a switch sees voltage.
    """

    positions: tuple[tuple[tuple[str, str], int], ...]
    loads: tuple[tuple[str, Works], ...]
    online: bool | None
    inputs: tuple[tuple[str, bool], ...] = ()

    def load(self, name: str) -> Works | None:
        return dict(self.loads).get(name)


def function_table(wired: Wired, bench: Bench) -> tuple[Row, ...]:
    """A row for every combination of contacts and throws, the first control slowest."""
    rows = []
    electronics = any((c := bench.controls.get(p.control)) and c.supply for p in wired.parts)
    circuit, fed = circuit_of(wired, bench), loads_of(wired, bench)
    for state in positions(wired, bench):
        solution = circuit.solve(state)
        loads: list[tuple[str, Works]] = []
        for load in fed:
            across = solution.across(load.hot, load.neutral)
            loads.append((load.id, "trip" if solution.short else works(across, bench.volts)))
        online = not any(True for _ in unpowered(wired, bench, solution)) if electronics else None
        rows.append(Row(tuple(state.items()), tuple(loads), online, tuple(inputs(wired, bench, solution))))
    return tuple(rows)


def works(across: float, nominal: float) -> Works:
    """What a load does at a voltage across it."""
    return "on" if across > FULL * nominal else "off" if across < NONE * nominal else "part"


def controls_of(wired: Wired, bench: Bench) -> Mapping[tuple[str, str], Placed]:
    """The columns of the table: every contact and throw, with its part."""
    keys = next(iter(positions(wired, bench)), {})
    parts = {p.id: p for p in wired.parts}
    return {key: parts[key[0]] for key in keys}
