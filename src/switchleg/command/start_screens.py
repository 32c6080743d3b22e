"""The one place that starts the screens; everything else in this package runs without them."""

from __future__ import annotations

import os
import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any

from switchleg.errors import COULD_NOT, SwitchlegError

if TYPE_CHECKING:
    from argparse import Namespace

    from switchleg.record.store import Store

SMALLEST = (30, 10)
"""Columns and rows below which a question and its answers cannot both be seen."""


def run(args: Namespace) -> int:
    """The bare program, `new` and `resume`: opens the screens on the person's own records."""
    from switchleg.command.saved.records import tidy_name
    from switchleg.record.store import Store

    if args.command is None:
        return start(Store.default())
    if args.command == "resume":
        return start(Store.default(), start="resume", name=args.name)
    from switchleg.command.saved.records import refuse_twin

    store = Store.default()
    name, home = tidy_name(args.name), tidy_name(args.home, may_be_empty=True)
    refuse_twin(store, name, home)
    return start(store, start="new", name=name, home=home)


def start(store: Store, **options: Any) -> int:
    """Shows the screens over `store` until the person leaves; the exit code.

    Raises SwitchlegError, exit code 1, when this terminal cannot show them.
    """
    fit_for_screens()
    from switchleg.command.shell.signals import terminal_kept

    with terminal_kept():
        code: int = import_module("switchleg.screens.app").run(store, **options)
    return code


def fit_for_screens() -> None:
    """Raises SwitchlegError when there is no terminal, or it is too small."""
    if not can_show_screens():
        raise SwitchlegError(
            "the screens need a terminal",
            where="this terminal",
            mend="run it in one, or answer line by line with `switchleg ask`",
            exit_code=COULD_NOT,
        )
    size = _size()
    if size is not None and (size[0] < SMALLEST[0] or size[1] < SMALLEST[1]):
        raise SwitchlegError(
            f"the terminal is too small: {size[0]} columns, {size[1]} rows",
            where="this terminal",
            expected=f"at least {SMALLEST[0]} columns and {SMALLEST[1]} rows",
            mend="make it larger, use a smaller font, or use `switchleg ask`",
            exit_code=COULD_NOT,
        )


def can_show_screens() -> bool:
    """Whether both ends are a terminal that can move its cursor."""
    ends = (sys.stdin, sys.stdout)
    try:
        return all(end is not None and end.isatty() for end in ends) and os.environ.get("TERM") != "dumb"
    except ValueError:
        return False


def _size() -> tuple[int, int] | None:
    try:
        size = os.get_terminal_size(sys.stdout.fileno())
    except (OSError, ValueError):
        return None
    return (size.columns, size.lines) if size.columns and size.lines else None
