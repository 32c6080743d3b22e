"""The last net: a fault nobody foresaw becomes one line, and its details a file."""

from __future__ import annotations

import os
import platform
import traceback
from datetime import UTC, datetime
from pathlib import Path

from switchleg import __version__
from switchleg.errors import COULD_NOT, SwitchlegError

LOG_NAME = "unexpected-errors.log"
LARGEST_LOG = 200_000
"""Bytes; a log that has grown past this starts anew."""


def explain(fault: BaseException) -> SwitchlegError:
    """The fault as an error with one line, after its details were written to the log; never raises."""
    kind = type(fault).__name__
    words = str(fault).strip().splitlines()
    what = f"something went wrong that should not have ({kind}{': ' + words[0][:120] if words else ''})"
    try:
        written = _write(fault)
    except Exception as no_log:
        return SwitchlegError(
            what,
            mend=f"records are as they were last saved; the details could not be written ({no_log})",
            exit_code=COULD_NOT,
        )
    return SwitchlegError(
        what, mend=f"records are as they were last saved; the details are in {written}", exit_code=COULD_NOT
    )


def _write(fault: BaseException) -> Path:
    from switchleg.record.store import Store

    folder = Store.default().root
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    path = folder / LOG_NAME
    full = path.exists() and path.stat().st_size > LARGEST_LOG
    flags = os.O_WRONLY | os.O_CREAT | (os.O_TRUNC if full else os.O_APPEND)
    about = f"{datetime.now(UTC).isoformat(timespec='seconds')} switchleg {__version__}"
    about += f" python {platform.python_version()} {platform.system()}\n"
    details = about + "".join(traceback.format_exception(fault)) + "\n"
    with os.fdopen(os.open(path, flags, 0o600), "wb") as log:
        log.write(details.encode("utf-8", "backslashreplace"))
    return path
