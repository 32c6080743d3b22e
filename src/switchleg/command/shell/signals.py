"""A clean end whatever ends the program: hang-up, termination, or a crash under the screens."""

from __future__ import annotations

import contextlib
import os
import signal
import sys
import threading
from collections.abc import Iterator
from types import FrameType
from typing import Any

RESET = (
    "\x1b[?1049l\x1b[?1000l\x1b[?1002l\x1b[?1003l\x1b[?1006l\x1b[?1015l"
    "\x1b[?1004l\x1b[?2004l\x1b[?2026l\x1b[<u\x1b[?25h\x1b[0m"
)
"""Main screen, no mouse or focus reports, no pasting marks, cursor shown, plain letters (ECMA-48 and xterm)."""


class Ended(SystemExit):
    """The system asks the program to end; its code is 128 and the signal's number, as a shell expects."""


def end_on_signals() -> None:
    """Lets hang-up and termination unwind the program as `sys.exit` does, so that nothing is left half done."""
    if threading.current_thread() is not threading.main_thread():
        return
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        # A program started with nohup has hang-up ignored, and goes on ignoring it.
        if number is not None and signal.getsignal(number) == signal.SIG_DFL:
            signal.signal(number, _end)


def _end(number: int, frame: FrameType | None) -> None:  # noqa: ARG001 - the shape of a handler
    raise Ended(128 + number)


@contextlib.contextmanager
def terminal_kept() -> Iterator[None]:
    """Puts the terminal's modes back afterwards; when something was raised, its screen and cursor too."""
    modes = _modes()
    try:
        yield
    except BaseException:
        stream = sys.__stdout__
        if stream is not None and modes is not None:
            with contextlib.suppress(OSError, ValueError):
                stream.write(RESET)
                stream.flush()
        raise
    finally:
        if modes is not None and modes != _modes():
            import termios

            with contextlib.suppress(termios.error, OSError, ValueError):
                termios.tcsetattr(sys.stdin.fileno(), termios.TCSANOW, modes)


def _modes() -> list[Any] | None:
    """The terminal's settings; None where there are none to keep."""
    if os.name != "posix":
        return None
    import termios

    try:
        return termios.tcgetattr(sys.stdin.fileno())
    except (termios.error, OSError, ValueError, AttributeError):
        return None
