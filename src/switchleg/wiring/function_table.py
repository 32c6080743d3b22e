"""The function table: what every position of every control gives, solved state by state."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from switchleg.wiring.bench import Bench
from switchleg.wiring.finding import FULL, NONE
from switchleg.wiring.loads import loads_of
from switchleg.wiring.netlist import Wired
from switchleg.wiring.positions import dials, positions
from switchleg.wiring.rules import inputs, turned_up, unpowered
from switchleg.wiring.solve import circuit_of

Works = Literal["on", "off", "slow", "part", "trip"]
"""A load at full voltage, at none, slow or dim at a step that is meant, in between without one (loads in series, a
lost neutral), or a tripped breaker."""


@dataclass(frozen=True)
class Row:
    """One state. `positions`: every dial of the site -> where it is; `loads`: load -> what it does.

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
    """A row for every combination of contacts, throws, steps, chains and remotes, the first control slowest."""
    rows = []
    stepped = [dial for dial in dials(wired, bench) if dial.reduced]
    electronics = any((c := bench.controls.get(p.control)) and c.electronics for p in wired.parts)
    circuit, fed = circuit_of(wired, bench), loads_of(wired, bench)
    for state in positions(wired, bench, inside=True, steps=True):
        solution = circuit.solve(state)
        full = turned_up(circuit, stepped, state)
        loads: list[tuple[str, Works]] = []
        for load in fed:
            across = solution.across(load.hot, load.neutral)
            now = works(across, bench.volts)
            meant = now == "part" and full and works(full.across(load.hot, load.neutral), bench.volts) == "on"
            loads.append((load.id, "trip" if solution.short else "slow" if meant else now))
        online = not any(True for _ in unpowered(wired, bench, solution, state)) if electronics else None
        rows.append(Row(tuple(state.items()), tuple(loads), online, tuple(inputs(wired, bench, solution))))
    return tuple(rows)


def works(across: float, nominal: float) -> Works:
    """What a load does at a voltage across it."""
    return "on" if across > FULL * nominal else "off" if across < NONE * nominal else "part"
