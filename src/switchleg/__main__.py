"""`python -m switchleg` is the same program as `switchleg`."""

from __future__ import annotations

from switchleg.command.main import entry

if __name__ == "__main__":
    entry()
