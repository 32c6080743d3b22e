"""The program `switchleg`: one command in, one exit code out, and never a traceback.

Each command lives in a module of its own that is imported when it is asked for, so that a quick
command stays quick.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence
from importlib import import_module
from types import SimpleNamespace
from typing import TYPE_CHECKING, NoReturn, Protocol, cast

from switchleg.command.shell import output
from switchleg.command.shell.signals import Ended, end_on_signals
from switchleg.errors import SwitchlegError

if TYPE_CHECKING:
    from argparse import Namespace

DONE = 0
INTERRUPTED = 130
"""128 + 2, what a shell expects after Ctrl-C."""

_HOMES = {
    None: "start_screens",
    "new": "start_screens",
    "resume": "start_screens",
    "list": "saved.records",
    "card": "saved.records",
    "export": "saved.export",
    "home": "saved.home",
    "compare": "saved.compare",
    "delete": "saved.remove",
    "undelete": "saved.remove",
    "rename": "saved.remove",
    "completion": "completion",
    "complete": "completion",
    "advise": "advise",
    "why": "saved.why",
    "draw": "saved.draw",
    "figures": "figures.command",
    "ask": "talk.command",
    "check": "check",
    "demo": "demo.command",
}
"""Which module of this package carries a command out."""


class _Command(Protocol):
    def run(self, args: Namespace) -> int: ...


def entry() -> NoReturn:
    """The console script: exits with the code of `main`."""
    gc.set_threshold(50_000, 20, 20)  # what is worked out is kept, so looking through it for waste finds none
    sys.exit(main(sys.argv[1:]))


def main(argv: Sequence[str]) -> int:
    """Carries out one command and returns its exit code; whatever goes wrong is one line on stderr."""
    output.prepare_streams()
    end_on_signals()
    code = DONE
    try:
        code = _guarded(argv)
        output.flush()
    except BrokenPipeError:
        # Whoever reads has had enough, as in `switchleg list | head -1`; that is no fault.
        output.silence(sys.stdout)
    except Ended as asked:
        # Whoever hung up may be the terminal itself: nothing more is said.
        output.silence(sys.stdout)
        return int(asked.code or DONE)
    except KeyboardInterrupt:
        output.silence(sys.stdout)
        return INTERRUPTED
    except SwitchlegError as unwritten:
        output.complain(unwritten.line())
        return unwritten.exit_code
    return code


def _told(argv: Sequence[str]) -> Namespace:
    if not argv:
        # The bare program opens the screens: it need not wait for the parser.
        return cast("Namespace", SimpleNamespace(command=None))
    from switchleg.command import parser

    return parser.parse(argv)


def _guarded(argv: Sequence[str]) -> int:
    try:
        args = _told(argv)
        command = import_module(f"switchleg.command.{_HOMES[args.command]}")
        return cast(_Command, command).run(args)
    except Ended:
        raise
    except SystemExit as asked:
        return asked.code if isinstance(asked.code, int) else DONE
    except SwitchlegError as fault:
        output.complain(fault.line())
        return fault.exit_code
    except BrokenPipeError:
        raise
    except Exception as fault:
        from switchleg.command.shell import crash_report

        error = crash_report.explain(fault)
        output.complain(error.line())
        return error.exit_code
