"""How the advice fares with simulated people: `python tests/simulate.py` is the whole report. Not collected by pytest.

Each cell of the table is a slip rate and a can't-tell rate; everybody in it lives in a house of their own draw, walks
the real tree, and gets advice from nothing but what they said. Cell by cell it shows calibration too.
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import multiprocessing
import os
import random
import sys
import time
from collections import Counter
from collections.abc import Sequence

from simulation.score import BINS, IDENTIFIABLE, UNEXPLAINED, Tally, bounds, people

from switchleg.knowledge.load import load

SLIPS, BLIND = (0.0, 0.02, 0.05, 0.10), (0.0, 0.20, 0.50)
CLOSER = {(0.0, 0.0): 4, (0.05, 0.0): 4}
"""Cells that are looked at more closely, with how many shares of the houses they get; the others get one."""
CHUNK = 50
Job = tuple[int, int, int, float, float, bool, bool]
COLUMNS = {
    "right": ("right", "right but for a preparation"),
    "2nd best": ("second best",),
    "wrong": ("wrong", "told wrongly that nothing fits"),
    "unsafe": ("unsafe",),
    "unlooked": ("danger unlooked",),
    "abstain": ("abstained",),
    "contrad.": ("contradiction",),
    "halted": ("stopped needlessly",),
}
"""Column -> what it counts. Unsafe ones stand in another column too, and so do `unlooked` ones: recommended where a
danger stands that nobody could tell about, or in a place that the work does not touch; `halted`: a stop without one."""


def main(argv: Sequence[str] | None = None) -> int:
    """Runs the cells on all processes, prints the tables; 0."""
    asked = _arguments(argv)
    jobs = [
        (asked.seed, first, min(first + CHUNK, houses), *cell, asked.everything, asked.as_believed)
        for cell, houses in shared(asked).items()
        for first in range(0, houses, CHUNK)
    ]
    random.Random(0).shuffle(jobs)  # some cells take longer: the time left is told better
    tallies = {cell: Tally() for cell in shared(asked)}
    begun = time.monotonic()
    make = multiprocessing.get_context("spawn").Pool
    with (
        make(asked.processes, initializer=gc.disable, maxtasksperchild=60) as pool,
        contextlib.suppress(KeyboardInterrupt),  # what is there by then is shown
    ):
        for done, (job, tally) in enumerate(pool.imap_unordered(work, jobs), 1):
            tallies[job[3], job[4]].add(tally)
            bar(done, len(jobs), time.monotonic() - begun)
    print(file=sys.stderr)
    tallies = {cell: tally for cell, tally in tallies.items() if tally.count["all"]}
    show(tallies, asked)
    return 0


def _arguments(argv: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--houses", type=int, default=20_000, help="in all cells together")
    parser.add_argument("--each", type=int, help="in each cell instead")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--slip", type=float, nargs="+", default=SLIPS, help="rates of wrong answers")
    parser.add_argument("--cant-tell", type=float, nargs="+", default=BLIND, help="rates of looks that tell nothing")
    parser.add_argument("--everything", action="store_true", help="ask the whole tree, also what need not be asked")
    parser.add_argument("--as-believed", action="store_true", help="homes by the program's own shares and clues")
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 2)
    parser.add_argument("--tell", type=int, default=2, help="examples of each kind to print")
    return parser.parse_args(argv)


def shared(asked: argparse.Namespace) -> dict[tuple[float, float], int]:
    """Houses in each cell."""
    cells = [(slip, blind) for blind in asked.cant_tell for slip in asked.slip]
    if asked.each is not None:
        return dict.fromkeys(cells, asked.each)
    whole = sum(CLOSER.get(cell, 1) for cell in cells)
    return {cell: -(-asked.houses * CLOSER.get(cell, 1) // whole) for cell in cells}


def work(job: Job) -> tuple[Job, Tally]:
    seed, first, last, slip, cant_tell, everything, as_believed = job
    return job, people(load(), seed, first, last, slip, cant_tell, everything=everything, as_believed=as_believed)


def bar(done: int, of: int, seconds: float) -> None:
    full = 30 * done // of
    left = seconds / done * (of - done)
    sys.stderr.write(f"\r[{'#' * full}{'.' * (30 - full)}] {done}/{of}, about {left:.0f} s left   ")
    sys.stderr.flush()


def show(tallies: dict[tuple[float, float], Tally], asked: argparse.Namespace) -> None:
    """The table, then what is left open, calibration, and examples."""
    whole = sum(tally.count["all"] for tally in tallies.values())
    drawn = ", drawn as the program believes" if asked.as_believed else ""
    print(f"{whole} houses{drawn}; shares in %, the lines beneath give exact 95 % bounds\n")
    print("  slip can't houses" + "".join(f"{name:>12}" for name in COLUMNS) + "   questions  again  trouble")
    for (slip, blind), tally in tallies.items():
        n = tally.count["all"]
        hits = [sum(tally.count[kind] for kind in kinds) for kinds in COLUMNS.values()]
        print(
            f"{100 * slip:5.0f}% {100 * blind:3.0f}% {n:6}"
            + "".join(f"{100 * hit / n:12.2f}" for hit in hits)
            + f"{tally.sums['questions'] / n:12.1f} {tally.sums['looked again'] / n:6.2f}"
            + f" {tally.sums['trouble'] / n:8.0f}"
        )
        limits = (bounds(hit, n) for hit in hits)
        print(" " * 18 + "".join(f"{100 * low:6.2f}-{100 * high:5.2f}" for low, high in limits))
    for cell, tally in tallies.items():
        _explained(cell, tally)
    for cell, tally in tallies.items():
        _calibration(cell, tally)
    for cell, tally in tallies.items():
        _examples(cell, tally, asked.tell)


def _explained(cell: tuple[float, float], tally: Tally) -> None:
    """Every unsafe advice by the misread answers without each of which it would have been safe."""
    unsafe, unknown = tally.count["unsafe"], tally.rests[UNEXPLAINED]
    if unsafe:
        slip, blind = cell
        print(f"\nUnsafe at slip {100 * slip:.0f} %, can't tell {100 * blind:.0f} %: {unsafe}, unexplained {unknown}")
        for rests, count in tally.rests.most_common():
            print(f"  {count:3} safe with this put right alone: {rests}")


def _calibration(cell: tuple[float, float], tally: Tally) -> None:
    slip, blind = cell
    print(f"\nSlip {100 * slip:.0f} %, can't tell {100 * blind:.0f} %:")
    for what in ("wiring", "motor"):
        n = tally.count[f"{what} scored"]
        if not n:
            continue
        print(
            f"  {what}: Brier {tally.brier[what] / n:.4f}; "
            f"the truth was not shown in {tally.count[f'{what} lost']} of {n}"
        )
        rows = []
        for place in range(BINS):
            shown = tally.bins[what, place, "shown"]
            if shown:
                mean, true = tally.bins[what, place, "sum"] / shown, tally.bins[what, place, "true"] / shown
                rows.append(f"{mean:.2f} -> {true:.2f} ({shown})")
        print("    shown -> true (how often): " + ", ".join(rows))
    if tally.left and not slip and not blind:
        print(f"  {IDENTIFIABLE}: {tally.count[IDENTIFIABLE]} of {sum(tally.left.values())}")
    for line, count in tally.left.most_common(8):
        print(f"  left open {count:5}: {line}")


def _examples(cell: tuple[float, float], tally: Tally, most: int) -> None:
    seen: Counter[str] = Counter()
    for kind, text in tally.notes:
        seen[kind] += 1
        if kind == "unsafe" or seen[kind] <= most:
            print(f"\n[slip {cell[0]:g}, can't tell {cell[1]:g}] {kind}\n  {text}")
    if seen:
        print(f"\n[slip {cell[0]:g}, can't tell {cell[1]:g}] told one by one: {dict(seen)}")


if __name__ == "__main__":
    sys.exit(main())
