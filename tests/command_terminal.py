"""A real terminal for the real program: a pseudo-terminal, typed into and read from."""

from __future__ import annotations

import contextlib
import fcntl
import os
import re
import select
import struct
import subprocess
import termios
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

from command_runs import PROGRAM, surroundings

PATIENCE = 30.0
"""Seconds until something that was waited for counts as missing."""
CALM = 0.1
"""Seconds without output after which the screen counts as painted."""


SEQUENCES = re.compile(r"\x1b(\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(\x07|\x1b\\)|[P_^X].*?\x1b\\|.)")
"""Control sequences of a terminal (ECMA-48)."""


class Terminal:
    """One program in one pseudo-terminal."""

    def __init__(self, command: Sequence[str], home: Path, *, columns: int = 100, rows: int = 48, **env: str) -> None:
        self.master, self._slave = os.openpty()
        fcntl.ioctl(self._slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self.before = self.modes()
        self._heard = bytearray()
        self._mark = 0
        self._last = time.monotonic()
        self.started = time.perf_counter()
        self._program = subprocess.Popen(
            command,
            stdin=self._slave,
            stdout=self._slave,
            stderr=self._slave,
            env=surroundings(home, **env),
            start_new_session=True,
        )
        self._going = True
        self._reader = threading.Thread(target=self._listen, daemon=True)
        self._reader.start()

    def modes(self) -> list[Any]:
        """The terminal's settings, as a shell would find them."""
        return termios.tcgetattr(self._slave)

    @property
    def output(self) -> str:
        """Everything the program has written, with its control sequences."""
        return bytes(self._heard).decode("utf-8", "replace")

    @property
    def words(self) -> str:
        """What was written without the control sequences, on one line."""
        return " ".join(SEQUENCES.sub(" ", self.output).split())

    @property
    def since(self) -> str:
        """`words`, but only those written since the last key was pressed."""
        return " ".join(SEQUENCES.sub(" ", self.output[self._mark :]).split())

    def see(self, text: str) -> None:
        """Waits until the first words of `text` are painted anew."""
        head = " ".join(text.split()[:3])
        self.wait(lambda: head in self.since, f'"{head}" on the screen')

    def type(self, keys: str) -> None:
        """Presses keys, once the screen is calm."""
        self.calm()
        self._mark = len(self.output)
        os.write(self.master, keys.encode())
        self._last = time.monotonic()

    def calm(self) -> None:
        """Waits until the program has stopped painting."""
        self.wait(lambda: time.monotonic() - self._last > CALM, "a calm screen")

    def wait(self, come: Callable[[], object], what: str) -> None:
        """Waits until `come` is true; AssertionError with the end of the output when it never is."""
        end = time.monotonic() + PATIENCE
        while not come():
            assert time.monotonic() < end, f"no {what}; last seen: …{self.words[-1500:]}"
            time.sleep(0.01)

    def code(self) -> int:
        """The exit code, once the program has ended."""
        return self._program.wait(PATIENCE)

    def send(self, number: int) -> None:
        """Sends a signal to the program."""
        self._program.send_signal(number)

    def peak_memory(self) -> float:
        """The largest resident set so far, in MB; 0 where the system does not say."""
        try:
            status = Path(f"/proc/{self._program.pid}/status").read_text()
        except OSError:
            return 0.0
        return int(status.partition("VmHWM:")[2].split()[0]) / 1024

    @property
    def running(self) -> bool:
        return self._program.poll() is None

    def close(self) -> None:
        """Ends the program, if it still runs, and gives the terminal back."""
        if self.running:
            self._program.kill()
            self._program.wait()
        self._going = False
        self._reader.join(5)
        for end in (self.master, self._slave):
            with contextlib.suppress(OSError):
                os.close(end)

    def _listen(self) -> None:
        while self._going:
            ready, _, _ = select.select([self.master], [], [], 0.05)
            if ready:
                try:
                    self._heard += os.read(self.master, 65536)
                except OSError:
                    return
                self._last = time.monotonic()


@contextlib.contextmanager
def terminal(home: Path, *args: str, **options: Any) -> Iterator[Terminal]:
    """`switchleg ARGS` in a terminal that is closed at the end."""
    opened = Terminal([*PROGRAM, *args], home, **options)
    try:
        yield opened
    finally:
        opened.close()
