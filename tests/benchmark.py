"""How quick the program is, in one run: `python tests/benchmark.py`. Not collected by pytest.

Times are medians of several runs, best read as ratios: against a bare Textual app that paints one
word, and against `python -c pass`. Peak memory is the largest resident set.
"""

from __future__ import annotations

import asyncio
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from command_paths import room
from command_runs import PROGRAM, surroundings
from command_terminal import SEQUENCES, Terminal

BARE = """\
from textual.app import App
from textual.widgets import Static


class Bare(App[None]):
    def compose(self):
        yield Static("ready")


Bare().run()
"""
ROUNDS = 9
MB = 1 / 1024 if sys.platform != "darwin" else 1 / 1024**2
"""From ru_maxrss, kilobytes or on one system bytes, to megabytes."""


def main() -> int:
    """Measures everything and prints a table; 0."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        (home / "bare.py").write_text(BARE)
        (home / "fan.toml").write_text(facts())
        measure_start(home)
        measure_answers(home)
        measure_commands(home)
        measure_building(home / "building")
        measure_check(home)
        measure_paths()
    return 0


def facts() -> str:
    """The facts of one whole room as `advise` reads them."""
    told = room("front parlour")
    known = {**told.floor, **told.wall, **told.canopy}
    return "".join(
        f"{fact} = {str(value).lower() if isinstance(value, bool) else repr(value)}\n" for fact, value in known.items()
    )


def measure_start(home: Path) -> None:
    """From starting the process to the first painted word."""
    bare, ours = alternate(
        lambda: first_paint([sys.executable, str(home / "bare.py")], home),
        lambda: first_paint(PROGRAM, home),
    )
    show("bare Textual app, start to first paint", bare[0])
    show("switchleg, start to first paint", ours[0], bare[0], "aim 1.5 times at most")
    weigh("bare Textual app, peak memory", bare[1])
    weigh("switchleg on its first screen, peak memory", ours[1], bare[1])


def first_paint(command: Sequence[str], home: Path) -> tuple[float, float]:
    """(seconds to the first word on the alternate screen, peak memory in MB)."""
    screen = Terminal(command, home / "records")
    try:
        screen.wait(lambda: painted(screen.output), "first paint")
        took = time.perf_counter() - screen.started
        screen.calm()
        peak = screen.peak_memory()
    finally:
        screen.close()
    return took, peak


def painted(output: str) -> bool:
    """Whether a word stands on the alternate screen."""
    _, switched, after = output.partition("\x1b[?1049h")
    return bool(switched) and re.search(r"[A-Za-z]{3}", SEQUENCES.sub(" ", after)) is not None


def measure_answers(home: Path) -> None:
    """From pressing an answer's key to the last paint that followed it, saving included."""
    times = asyncio.run(answer_times(home / "answers"))
    times.sort()
    show("answer to repainted next question, median", statistics.median(times), note="aim 50 ms")
    show("answer to repainted next question, slowest", times[-1], note=f"of {len(times)}")


async def answer_times(home: Path) -> list[float]:
    """The time of each answer from the floor of one room, in a screen of 100 by 40."""
    from switchleg.record.store import Store
    from switchleg.session.views.model import QuestionView

    start: Any = import_module("switchleg.screens.app").SwitchlegApp
    told = room("front parlour").floor
    app = start(Store(home), start="new", name="room")
    app.create_record("room", "")
    last = 0.0
    show_on = app._display

    def watched(*args: Any, **options: Any) -> None:
        nonlocal last
        show_on(*args, **options)
        last = time.perf_counter()

    times: list[float] = []
    async with app.run_test(size=(100, 40)) as pilot:
        app._display = watched
        await pilot.press("o")
        await pilot.pause(0.2)
        while app.session is not None and isinstance(view := app.session.view, QuestionView):
            listed = {repr(choice.value): choice.key for choice in view.choices if not choice.typed}
            key = listed.get(repr(told.get(view.fact)), view.cant_tell_key)
            began = time.perf_counter()
            await pilot.press(key)
            await pilot.pause(0.1)
            assert app.session.view != view, view.node
            times.append(last - began)
    app.close_record()
    return times


def measure_commands(home: Path) -> None:
    """Whole runs of small commands against an interpreter that does nothing."""
    (home / "nothing.toml").write_text("")
    nothing, advise, ahead, listing = alternate(
        lambda: whole_run([sys.executable, "-c", "pass"], home),
        lambda: whole_run([*PROGRAM, "advise", str(home / "fan.toml")], home),
        lambda: whole_run([*PROGRAM, "advise", str(home / "nothing.toml")], home),
        lambda: whole_run([*PROGRAM, "list"], home),
    )
    show("python -c pass", nothing[0])
    show("switchleg advise FILE", advise[0], nothing[0])
    show("switchleg advise on no facts, six regions ahead", ahead[0], advise[0])
    show("switchleg list", listing[0], nothing[0])
    weigh("python -c pass, peak memory", nothing[1])
    weigh("switchleg advise FILE, peak memory", advise[1], nothing[1])


WEIGH = """
import resource, subprocess, sys, time
began = time.perf_counter()
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL)
print(time.perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""
"""A small parent: a system may count the memory of whoever starts a program as the program's own."""


def whole_run(command: Sequence[str], home: Path) -> tuple[float, float]:
    """(seconds from start to end, peak memory in MB)."""
    done = subprocess.run(
        [sys.executable, "-c", WEIGH, *command],
        capture_output=True,
        text=True,
        env=surroundings(home / "records"),
        check=True,
    )
    seconds, peak = done.stdout.split()
    return float(seconds), float(peak) * MB


def measure_building(folder: Path) -> None:
    """A list of 5 000 finished fans, from the start of the app to its rows on the screen."""
    from switchleg.record.codec import to_bytes
    from switchleg.record.model import Record, Standing
    from switchleg.record.store import Store, local_now

    folder.mkdir()
    standing = Standing(stage="done", station="canopy", answered=40, status="recommended", headline="Recommended: " * 7)
    for number in range(5000):
        now = local_now()
        record = Record(id=f"f{number}", name=f"Fan {number}", created=now, changed=now, standing=standing)
        (folder / f"f{number}.json").write_bytes(to_bytes(record))
    start: Any = import_module("switchleg.screens.app").SwitchlegApp

    async def opened() -> float:
        began = time.perf_counter()
        async with start(Store(folder)).run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            return time.perf_counter() - began

    show("5 000 records, app start to list on the screen", min(asyncio.run(opened()) for _ in range(3)), note="aim 1 s")


SQUARINGS = "for n in range(10**7): n * n"


def measure_check(home: Path) -> None:
    """The check of the installed knowledge in CPU time, against a plain loop of ten million squarings."""
    loop, quick, whole = alternate(
        lambda: cpu_time([sys.executable, "-c", SQUARINGS], home),
        lambda: cpu_time([*PROGRAM, "check", "--quick"], home),
        lambda: cpu_time([*PROGRAM, "check"], home),
    )
    show("ten million squarings, CPU", loop[0])
    show("switchleg check --quick, CPU", quick[0], loop[0], "aim 1 time at most")
    show("switchleg check, CPU", whole[0], loop[0], "aim 5 times at most")


def cpu_time(command: Sequence[str], home: Path) -> tuple[float, float]:
    """(seconds of CPU of one whole run, 0)."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, stdout=subprocess.DEVNULL, env=surroundings(home / "records"), check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, 0.0


def measure_paths() -> None:
    """The proof of all ways through the tree, and through four of it one behind the other; in CPU time."""
    from tree_plain import in_a_row

    from switchleg.checking.paths import prove_paths
    from switchleg.knowledge.load import load

    tree = load().tree
    trees = tree, in_a_row(tree, 2), in_a_row(tree, 4)

    def proof_of(place: int) -> tuple[float, float]:
        prove_paths.cache_clear()
        began = time.process_time()
        size = prove_paths(trees[place]).size
        return time.process_time() - began, size

    once, *more = alternate(*[lambda place=place: proof_of(place) for place in range(3)])
    show("proof of all ways through the tree", once[0], note=f"{once[1]:.0f} nodes of diagrams")
    for times, one in zip((2, 4), more, strict=True):
        show(f"the tree {times} times in a row", one[0], once[0], f"{one[1] / once[1]:.2f} times the nodes")


def alternate(*runs: Callable[[], tuple[float, float]]) -> list[tuple[float, float]]:
    """Median (seconds, MB) of each, run in turn so that a busy moment meets all of them."""
    for run in runs:
        run()
    rounds = [[run() for run in runs] for _ in range(ROUNDS)]
    return [
        (statistics.median(one[0] for one in column), max(one[1] for one in column))
        for column in zip(*rounds, strict=True)
    ]


def show(what: str, seconds: float, against: float | None = None, note: str = "") -> None:
    """One line of the table."""
    ratio = f"{seconds / against:8.2f} times" if against is not None else ""
    print(f"{what:<46}{seconds * 1000:8.1f} ms{ratio}{f'  ({note})' if note else ''}", flush=True)


def weigh(what: str, megabytes: float, against: float | None = None) -> None:
    """One line of the table."""
    ratio = f"{megabytes / against:8.2f} times" if against is not None else ""
    print(f"{what:<46}{megabytes:8.1f} MB{ratio}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
