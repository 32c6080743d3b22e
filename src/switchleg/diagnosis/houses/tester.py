"""What a tester would read on a candidate wiring, solved in every position of its controls. Pure."""

from __future__ import annotations

from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.schema.questions import Value
from switchleg.wiring.bench import Bench
from switchleg.wiring.netlist import ConductorEnd, Terminal
from switchleg.wiring.positions import positions
from switchleg.wiring.site import CEILING, HOT
from switchleg.wiring.solve import Solution, solve

LIVE = 0.92
"""Of the nominal voltage; from here on an end counts as live and a load as working (estimate)."""


def always_live(house: Candidate, bench: Bench) -> frozenset[Value]:
    """Is a conductor in the open wall box live in every position of the controls?"""
    box = house.opened
    cables = {c.id for c in house.site.at(box)}
    ends = [ConductorEnd(c, colour, box) for c, colour in house.wired.conductors if c in cables]
    solutions = [solve(house.wired, bench, state) for state in positions(house.wired, bench)]
    return frozenset({any(all(_live(s, end, bench) for s in solutions) for end in ends)})


def hot_at_ceiling(house: Candidate, bench: Bench) -> frozenset[Value]:
    """With everything switched off at the wall: is a conductor at the ceiling live all the same?"""
    if not house.site.wall_boxes:
        return frozenset()
    cables = {c.id for c in house.site.at(CEILING)}
    ends = [ConductorEnd(c, colour, CEILING) for c, colour in house.wired.conductors if c in cables]
    controlled = {p.id for p in house.wired.parts if bench.is_load(p) and p.net("hot") not in (HOT, None)}
    seen: set[Value] = set()
    for state in positions(house.wired, bench):
        solution = solve(house.wired, bench, state)
        contacts_open = not any(v for (_, channel), v in state.items() if channel != "throw")
        if contacts_open and not any(_works(solution, load, bench) for load in controlled):
            seen.add(any(_live(solution, end, bench) for end in ends))
    return frozenset(seen)


def _works(solution: Solution, load: str, bench: Bench) -> bool:
    return solution.across(Terminal(load, "hot"), Terminal(load, "neutral")) > LIVE * bench.volts


def _live(solution: Solution, end: ConductorEnd, bench: Bench) -> bool:
    volts = solution.at(end)
    return volts is not None and volts > LIVE * bench.volts
