"""Print what the circuit was held against: ngspice, networkx, wrong joints, time. `python tests/circuit_report.py`."""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from circuit_checks import (
    Agreement,
    against_networkx,
    against_spice,
    correct_circuits,
    other_regions,
    spice_stock,
    try_mutants,
)
from circuit_mutants import reversed_at_source
from wiring_world import bench, houses

from switchleg.wiring.function_table import function_table
from switchleg.wiring.positions import positions
from switchleg.wiring.rules import findings
from switchleg.wiring.solve import Circuit


def main() -> int:
    start = time.perf_counter()
    print(f"stock: {len(spice_stock(10, 1200))} circuits made in {time.perf_counter() - start:.1f} s")
    good = [_time(), _networkx(), _ngspice(), _wrong_joints()]
    return 0 if all(good) else 1


def _time() -> bool:
    kit = bench()
    for words, stock in (
        ("a fan with a light", houses()),
        ("with another load on a leg", houses(other_load=True)),
        ("a fan without light", houses(has_light=False)),
    ):
        wired = [house.wired for house in stock]
        start = time.perf_counter()
        states = 0
        for site in wired:
            circuit = Circuit(site, kit)
            for state in positions(site, kit):
                circuit.solve(state)
                states += 1
        solved = time.perf_counter()
        for site in wired:
            findings(site, kit)
        ruled = time.perf_counter()
        print(
            f"time: {words}: {len(wired)} houses, {states} states solved in {solved - start:.2f} s, "
            f"all rules over all states in {ruled - solved:.2f} s"
        )
    return True


def _say(referee: str, told: Agreement, start: float) -> bool:
    print(
        f"{referee}: {told.circuits} distinct circuits, {told.states} states, {len(told.wrong)} disagreements, "
        f"{time.perf_counter() - start:.1f} s"
    )
    for line in told.wrong[:20]:
        print("  disagrees:", line)
    return not told.wrong


def _networkx() -> bool:
    start = time.perf_counter()
    return _say("networkx: connectivity", against_networkx(spice_stock(10, 1200), bench()), start)


def _ngspice() -> bool:
    program = shutil.which("ngspice")
    if program is None:
        print("ngspice: NOT INSTALLED, no voltage was checked by it")
        return False
    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        told = against_spice(spice_stock(10, 1200), bench(), Path(folder), program)
        good = _say("ngspice: voltages, us", told, start)
        print(f"  largest deviation {told.largest:.3%} of nominal; uses by class {told.classes}")
        for region, stock, kit in other_regions(60):
            start = time.perf_counter()
            told = against_spice(stock, kit, Path(folder), program)
            good &= _say(f"ngspice: voltages, {region} at {kit.volts:g} V", told, start)
            print(f"  largest deviation {told.largest:.3%} of nominal")
    return good


def _wrong_joints() -> bool:
    start = time.perf_counter()
    stock = correct_circuits(1, 60)
    trial = try_mutants(stock)
    unnoticed = len(trial.survivors)
    print(
        f"wrong joints: {trial.made - unnoticed} of {trial.made} noticed in {trial.circuits} correct circuits, "
        f"{time.perf_counter() - start:.0f} s"
    )
    print(f"  {'kind':28}{'made':>7}{'by table':>10}{'by rules':>10}{'unnoticed':>11}")
    for kind, tally in sorted(trial.kinds.items()):
        print(f"  {kind:28}{tally.made:7}{tally.by_table:10}{tally.by_rules:10}{tally.unnoticed:11}")
    print("  rules that spoke:", ", ".join(f"{r} {n}" for r, n in sorted(trial.rules.items(), key=lambda x: -x[1])))
    for why, count in Counter(why for *_, why in trial.survivors).items():
        print(f"  unnoticed, {count}: {why or 'NOT EXPLAINED'}")
        for name, mutant, reason in trial.survivors:
            if reason == why:
                print(f"    {mutant.words}; {name}")
    blind = [name for name, w in stock if function_table(reversed_at_source(w), bench()) == function_table(w, bench())]
    print(
        f"  reversed at the source: the function table is the same in {len(blind)} of {len(stock)} circuits, every "
        "joint is as drawn: only a reading at the feed shows it (then the rules do)"
    )
    return all(why for *_, why in trial.survivors)


if __name__ == "__main__":
    sys.exit(main())
