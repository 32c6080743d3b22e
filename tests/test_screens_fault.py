"""A fault inside the screens ends as a fault of any command does: one line, a log, and the terminal as it was."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

if os.name != "posix":
    pytest.skip("needs a Unix terminal", allow_module_level=True)

from command_terminal import SEQUENCES, Terminal

from switchleg.command.shell.crash_report import LOG_NAME

BROKEN = """
import sys
from switchleg.command.main import main
from switchleg.screens.showing.records import RecordsScreen

def behind_a_key(self):
    raise ZeroDivisionError("half a fan")

RecordsScreen.action_new = behind_a_key
sys.exit(main([]))
"""


def test_a_fault_behind_a_key_is_one_line_and_a_log(tmp_path: Path) -> None:
    """The terminal is given back, one line without a traceback stands on it, and the details are in the log."""
    screen = Terminal([sys.executable, "-c", BROKEN], tmp_path)
    try:
        screen.see("No fan on record")
        screen.type("n")
        assert screen.code() == 1
        screen.calm()
        assert screen.modes() == screen.before
        _, switched_back, left = screen.output.rpartition("\x1b[?1049l")
    finally:
        screen.close()
    assert switched_back
    said = SEQUENCES.sub("", left)
    assert "half a fan" in said
    assert str(tmp_path / LOG_NAME) in said
    assert "Traceback" not in screen.output
    assert len([line for line in said.splitlines() if line.strip()]) == 1
    assert "in behind_a_key" in (tmp_path / LOG_NAME).read_text()
