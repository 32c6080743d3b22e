"""The real program in tmux, a terminal that keeps its screen: keys in, rows out. Not collected by pytest."""

from __future__ import annotations

import os
import shlex
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

from command_runs import PROGRAM

PATIENCE_S = 30.0
CALM_S = 0.12
"""A screen that stays the same for so long is painted."""
MARKS = frozenset("│┃╭╮╰╯─━┏┓┗┛▸▌")


class Tmux:
    """One tmux server of its own with one window of `columns` by `rows`; `keys` counts what was pressed."""

    def __init__(self, home: Path, columns: int, rows: int, **env: str) -> None:
        self.home, self.columns, self.rows = home, columns, rows
        self.keys = 0
        self.pressed: list[str] = []
        self._env = {"SWITCHLEG_HOME": str(home), "LANG": "C.UTF-8", **env}
        self._started = 0

    def start(self, *args: str) -> None:
        """`switchleg ARGS` in a new window."""
        self._started += 1
        told = " ".join(f"{name}={shlex.quote(value)}" for name, value in self._env.items())
        command = f"env {told} {shlex.join([*PROGRAM, *args])}"
        size = ("-x", str(self.columns), "-y", str(self.rows))
        self._tmux("-f", "/dev/null", "new-session", "-d", "-s", "walk", *size, command)
        self.calm()

    @property
    def _socket(self) -> str:
        """One for each start: a server that is going down is not asked again."""
        return str(self.home / f"tmux-{self._started}")

    def press(self, key: str) -> None:
        """One key: a letter, or a name as tmux has it (Enter, Space, Escape, Down)."""
        self._tmux("send-keys", "-t", "walk", *(() if len(key) > 1 else ("-l",)), key)
        self.keys += 1
        self.pressed.append(key)

    def rows_shown(self) -> list[str]:
        return self._tmux("capture-pane", "-p", "-t", "walk").split("\n")

    @property
    def words(self) -> str:
        """The screen in one line, without frames and marks of lists."""
        bare = "".join(" " if sign in MARKS else sign for sign in " ".join(self.rows_shown()))
        return " ".join(bare.split())

    def calm(self) -> None:
        """Waits until something stands there and stays."""
        seen, since, end = "", time.monotonic(), time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            now = "\n".join(self.rows_shown())
            if now != seen:
                seen, since = now, time.monotonic()
            elif now.strip() and time.monotonic() - since > CALM_S:
                return
            time.sleep(0.03)
        raise AssertionError(f"the screen does not settle:\n{seen}")

    def answered(self, before: list[str], patience_s: float) -> None:
        """Waits until the screen differs from `before` and is calm, or until nothing came for `patience_s`."""
        end = time.monotonic() + patience_s
        while self.rows_shown() == before and time.monotonic() < end:
            time.sleep(0.02)
        self.calm()

    def until(self, come: Callable[[], object], what: str) -> None:
        """Waits until `come` is true; AssertionError with the screen when it never is."""
        end = time.monotonic() + PATIENCE_S
        while not come():
            if time.monotonic() > end:
                raise AssertionError(f"no {what}:\n" + "\n".join(self.rows_shown()))
            time.sleep(0.05)
        self.calm()

    def kill(self) -> None:
        """SIGKILL to the program in the window, as a dead battery does it."""
        pid = self._tmux("list-panes", "-t", "walk", "-F", "#{pane_pid}").strip()
        os.kill(int(pid), signal.SIGKILL)
        self.close()

    def close(self) -> None:
        subprocess.run(["tmux", "-S", self._socket, "kill-server"], check=False, capture_output=True)

    def _tmux(self, *args: str) -> str:
        done = subprocess.run(["tmux", "-S", self._socket, *args], check=False, capture_output=True, text=True)
        if done.returncode:
            raise AssertionError(f"tmux {args[0]}: {done.stderr.strip()}")
        return done.stdout
