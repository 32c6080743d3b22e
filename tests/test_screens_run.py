"""The one door into the screens, in a real terminal: a clean end whatever ends it."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from switchleg.errors import COULD_NOT, SwitchlegError
from switchleg.record.store import Store

posix = pytest.mark.skipif(os.name != "posix", reason="terminals of this kind are a POSIX thing")

START = """
import sys
from pathlib import Path
from switchleg.record.store import Store
from switchleg.screens.app import run
sys.exit(run(Store(Path(sys.argv[1])), start="new", name="Attic"))
"""


def test_without_a_terminal_it_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a pipe the screens do not start; the error names the way without them."""
    from switchleg.screens.app import run

    monkeypatch.setattr(sys, "stdin", io.StringIO())
    with pytest.raises(SwitchlegError, match="need a terminal") as caught:
        run(Store(tmp_path))
    assert caught.value.exit_code == COULD_NOT
    assert "switchleg ask" in caught.value.line()


@posix
@pytest.mark.parametrize(("ending", "code"), [("SIGTERM", 128 + 15), ("SIGHUP", 128 + 1), ("ctrl+q", 0), ("ctrl+c", 0)])
def test_the_terminal_is_restored_and_the_answers_are_kept(tmp_path: Path, ending: str, code: int) -> None:
    """Termination, hang-up and leaving by key put the terminal back as it was; the last answer is on disk."""
    import pty
    import termios

    outer, inner = pty.openpty()
    before = termios.tcgetattr(inner)
    env = {**os.environ, "TERM": "xterm-256color", "LANG": "C.UTF-8", "COLUMNS": "80", "LINES": "24"}
    program = subprocess.Popen(
        [sys.executable, "-c", START, str(tmp_path)],
        stdin=inner, stdout=inner, stderr=inner, env=env, start_new_session=True,
    )  # fmt: skip
    shown = b""
    try:
        shown += read_until(outer, b"Begin")
        os.write(outer, b"o")
        shown += read_until(outer, b"Where is the house?")
        os.write(outer, b"1")
        shown += read_until(outer, b"Is there a fan")
        if ending.startswith("SIG"):
            program.send_signal(getattr(signal, ending))
        else:
            os.write(outer, b"\x11" if ending == "ctrl+q" else b"\x03")
        shown += read_until(outer, b"\x1b[?1049l")
        assert program.wait(10) == code
        assert termios.tcgetattr(inner) == before
    finally:
        if program.poll() is None:
            program.kill()
            program.wait()
        os.close(outer)
        os.close(inner)
    assert b"Traceback" not in shown
    with Store(tmp_path).open("Attic", write=False) as opened:
        assert opened.record.replies["region"].value == "us"


def read_until(terminal: int, wanted: bytes, seconds: float = 10) -> bytes:
    """What the terminal shows until `wanted` stands there."""
    import select

    shown = b""
    end = time.monotonic() + seconds
    while wanted not in shown and time.monotonic() < end:
        if select.select([terminal], [], [], 0.05)[0]:
            shown += os.read(terminal, 65536)
    assert wanted in shown, shown[-600:]
    return shown
