"""The checks that both the tests and `circuit_report.py` run: solver against referees, wrong joints one by one."""

from __future__ import annotations

import random
from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from circuit_mutants import Mutant, Noticed, explained, mutants, notice
from circuit_referees import TRIP, Elements, State, elements, joined_ends, spice_volts
from circuit_world import all_houses, bench_for, broad_plans, one_plan_each_way, states_of, todays
from wiring_world import bench, houses

from switchleg.wiring.bench import Bench
from switchleg.wiring.function_table import function_table, works
from switchleg.wiring.netlist import Wired
from switchleg.wiring.rules import findings
from switchleg.wiring.solve import Circuit, Solution

REGIONS_SAMPLED = ("ca", "uk", "eu", "au_nz", "in")


@cache
def spice_stock(each: int, wrong: int) -> tuple[tuple[str, Wired], ...]:
    """Every candidate house, `each` plans for every way and kind of fan, and so many circuits with a wrong joint."""
    draw = random.Random(11)
    sound = [*all_houses(), *((name, wired) for name, _, wired in broad_plans(each))]
    marred: list[tuple[str, Wired]] = []
    for name, wired in draw.sample(sound, wrong // 12):
        made = list(mutants(wired))
        marred += [(f"{name}: {m.words}", m.wired) for m in draw.sample(made, min(12, len(made)))]
    return (*sound, *marred)


def distinct(stock: Iterable[tuple[str, Wired]], kit: Bench) -> dict[Elements, tuple[str, Wired]]:
    """Circuits that are alike to the last end stand for each other."""
    found: dict[Elements, tuple[str, Wired]] = {}
    for name, wired in stock:
        found.setdefault(elements(wired, kit), (name, wired))
    return found


@dataclass
class Agreement:
    """What a comparison covered, and everything in which the two disagreed."""

    circuits: int = 0
    states: int = 0
    largest: float = 0.0
    """Largest difference of a voltage as a share of nominal."""
    classes: dict[str, int] = field(default_factory=lambda: {"on": 0, "off": 0, "part": 0, "trip": 0})
    wrong: list[str] = field(default_factory=list)


def against_spice(stock: Iterable[tuple[str, Wired]], kit: Bench, folder: Path, program: str) -> Agreement:
    """Every load's class and every voltage in every state, by the solver and by ngspice."""
    circuits = distinct(stock, kit)
    states: dict[Elements, list[State]] = {e: list(states_of(w, kit)) for e, (_, w) in circuits.items()}
    told = Agreement(circuits=len(circuits))
    answers = spice_volts([(e, states[e]) for e in circuits], kit.volts, folder, program)
    for (circuit, (name, wired)), by_state in zip(circuits.items(), answers, strict=True):
        ready = Circuit(wired, kit)
        for state, (amperes, across) in zip(states[circuit], by_state, strict=True):
            told.states += 1
            _compare(told, name, kit, circuit, ready.solve(state), amperes, across)
    return told


def _compare(
    told: Agreement,
    name: str,
    kit: Bench,
    circuit: Elements,
    solution: Solution,
    amperes: float,
    across: dict[str, float],
) -> None:
    trips = amperes > TRIP
    if solution.short != trips:
        told.wrong.append(f"{name}: short {solution.short}, ngspice {amperes:.0f} A")
        return
    for use, one, other, _ in circuit.uses:
        if trips:
            told.classes["trip"] += 1
            continue
        ours, theirs = solution.across(one, other), across[use]
        told.largest = max(told.largest, abs(ours - theirs) / kit.volts)
        told.classes[works(ours, kit.volts)] += 1
        if works(ours, kit.volts) != works(theirs, kit.volts) or abs(ours - theirs) > 0.01 * kit.volts:
            told.wrong.append(f"{name}: {use} {ours:.2f} V, ngspice {theirs:.2f} V")


def against_networkx(stock: Iterable[tuple[str, Wired]], kit: Bench) -> Agreement:
    """Which ends are one in every state, by the solver and by networkx."""
    told = Agreement()
    for circuit, (name, wired) in distinct(stock, kit).items():
        told.circuits += 1
        ready = Circuit(wired, kit)
        for state in states_of(wired, kit):
            told.states += 1
            solution = ready.solve(state)
            if not same_joins(circuit, state, solution):
                told.wrong.append(f"{name} in {state}")
    return told


def same_joins(circuit: Elements, state: State, solution: Solution) -> bool:
    """The solver's nodes are networkx's components, and hot meets neutral or ground in both or in neither."""
    seen: set[Hashable] = set()
    for component in joined_ends(circuit, state):
        nodes = {solution.node(end) for end in component}
        if len(nodes) != 1 or None in nodes or nodes & seen:
            return False
        seen |= nodes
        if circuit.hot in component and solution.short != any(end in component for end in circuit.grounded):
            return False
    return True


def other_regions(each: int) -> Iterator[tuple[str, list[tuple[str, Wired]], Bench]]:
    """A few houses of every other region, with its own colours and voltage."""
    draw = random.Random(12)
    for region in REGIONS_SAMPLED:
        stock = draw.sample([*houses(region=region), *houses(has_light=False, region=region)], each)
        yield region, [(house.id, house.wired) for house in stock], bench_for(region)


# ---- wrong joints ----


@dataclass
class Tally:
    """Wrong joints of one kind: made, shown by the function table, by broken rules, by neither."""

    made: int = 0
    by_table: int = 0
    by_rules: int = 0
    unnoticed: int = 0


@dataclass
class Trial:
    circuits: int = 0
    kinds: dict[str, Tally] = field(default_factory=dict)
    survivors: list[tuple[str, Mutant, str | None]] = field(default_factory=list)
    """(circuit, wrong joint, its explanation)."""
    rules: dict[str, int] = field(default_factory=dict)
    """How often a rule spoke."""

    @property
    def made(self) -> int:
        return sum(t.made for t in self.kinds.values())


def correct_circuits(each: int, today: int) -> list[tuple[str, Wired]]:
    """`each` plans for every way and kind of fan (0: one plan of every way), and houses as they stand today."""
    plans = [(name, wired) for name, _, wired in broad_plans(each)] if each else one_plan_each_way()
    return [*plans, *todays(today)]


def try_mutants(stock: Iterable[tuple[str, Wired]]) -> Trial:
    """Make every wrong joint of every circuit, one at a time."""
    trial = Trial()
    for name, wired in stock:
        trial.circuits += 1
        right, before = function_table(wired, bench()), findings(wired, bench())
        for mutant in mutants(wired):
            shown: Noticed = notice(mutant, right, before)
            tally = trial.kinds.setdefault(mutant.kind, Tally())
            tally.made += 1
            tally.by_table += shown.table
            tally.by_rules += bool(shown.rules)
            for rule in shown.rules:
                trial.rules[rule] = trial.rules.get(rule, 0) + 1
            if not shown:
                tally.unnoticed += 1
                trial.survivors.append((name, mutant, explained(wired, mutant)))
    return trial
