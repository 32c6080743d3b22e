"""The function table: what every position of every control gives, solved state by state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from switchleg.wiring.netlist import Placed, Terminal, Wired
from switchleg.wiring.rules import FULL, NONE, unpowered
from switchleg.wiring.solve import Bench, positions, solve

Works = Literal["on", "off", "part", "trip"]
"""A load at full voltage, at none, in between (loads in series, a lost neutral), or a tripped breaker."""


@dataclass(frozen=True)
class Row:
    """One state. `positions`: (part, channel) -> 0 or 1; `loads`: load -> what it does.

    `online`: every control's electronics are fed; None where there are none.
    """

    positions: tuple[tuple[tuple[str, str], int], ...]
    loads: tuple[tuple[str, Works], ...]
    online: bool | None

    def load(self, name: str) -> Works | None:
        return dict(self.loads).get(name)


def function_table(wired: Wired, bench: Bench) -> tuple[Row, ...]:
    """A row for every combination of contacts and throws, the first control slowest."""
    rows = []
    electronics = any((c := bench.controls.get(p.control)) and c.supply for p in wired.parts)
    for state in positions(wired, bench):
        solution = solve(wired, bench, state)
        loads: list[tuple[str, Works]] = []
        for part in (p for p in wired.parts if bench.is_load(p)):
            across = solution.across(Terminal(part.id, "hot"), Terminal(part.id, "neutral"))
            loads.append((part.id, "trip" if solution.short else works(across, bench.volts)))
        online = not any(True for _ in unpowered(wired, bench, solution)) if electronics else None
        rows.append(Row(tuple(state.items()), tuple(loads), online))
    return tuple(rows)


def works(across: float, nominal: float) -> Works:
    """What a load does at a voltage across it."""
    return "on" if across > FULL * nominal else "off" if across < NONE * nominal else "part"


def controls_of(wired: Wired, bench: Bench) -> Mapping[tuple[str, str], Placed]:
    """The columns of the table: every contact and throw, with its part."""
    keys = next(iter(positions(wired, bench)), {})
    parts = {p.id: p for p in wired.parts}
    return {key: parts[key[0]] for key in keys}
