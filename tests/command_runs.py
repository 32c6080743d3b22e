"""Runs the real program, in a process of its own or in this one, for the tests of the command line."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from switchleg.command.main import main

PROGRAM = (sys.executable, "-m", "switchleg")


@dataclass(frozen=True)
class Run:
    """How a run ended."""

    code: int
    out: str
    err: str


def surroundings(home: Path, **more: str) -> dict[str, str]:
    """An environment with records in `home`, a UTF-8 terminal and no width of its own."""
    told = ("COLUMNS", "LINES", "PYTHONIOENCODING")
    env = {key: text for key, text in os.environ.items() if key not in told}
    return {**env, "SWITCHLEG_HOME": str(home), "LANG": "C.UTF-8", "TERM": "xterm-256color", **more}


def run(home: Path, *args: str, typed: str | bytes = "", **env: str) -> Run:
    """`switchleg ARGS` with `typed` on its standard input, through pipes."""
    done = subprocess.run(
        [*PROGRAM, *args],
        input=typed.encode() if isinstance(typed, str) else typed,
        capture_output=True,
        env=surroundings(home, **env),
        timeout=60,
        check=False,
    )
    return Run(done.returncode, done.stdout.decode(), done.stderr.decode())


def here(home: Path, *args: str, typed: str = "", **env: str) -> Run:
    """The same in this process, where the knowledge is loaded already; the environment's letters stay UTF-8."""
    streams = [io.TextIOWrapper(io.BytesIO(text), encoding="utf-8") for text in (typed.encode(), b"", b"")]
    with pytest.MonkeyPatch.context() as patch:
        for name, stream in zip(("stdin", "stdout", "stderr"), streams, strict=True):
            patch.setattr(sys, name, stream)
        for key in set(os.environ) | set(told := surroundings(home, **env)):
            patch.setenv(key, told[key]) if key in told else patch.delenv(key)
        code = main(args)
    said = []
    for stream in streams[1:]:
        stream.flush()
        stream.seek(0)
        said.append(stream.read())
    return Run(code, *said)


def one_line(err: str) -> str:
    """The only line on stderr, in the form that every error has."""
    assert err.endswith("\n")
    assert err.count("\n") == 1, err
    assert err.startswith("switchleg: ")
    assert "Traceback" not in err
    return err.removeprefix("switchleg: ").rstrip("\n")
