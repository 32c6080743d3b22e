"""Writes an export where the person said, and never over a file they did not mean."""

from __future__ import annotations

import os
from pathlib import Path

from switchleg.errors import COULD_NOT, UNUSABLE, SwitchlegError


def write(target: str, text: str, *, force: bool = False) -> str:
    """Writes `text` as UTF-8 to the file `target` and returns its path.

    A file that is there is kept unless `force`; then it is replaced whole. Raises SwitchlegError.
    """
    try:
        path = Path(target).expanduser()
        if path.is_dir():
            raise SwitchlegError("this is a folder", where=target, expected="a file name", mend="add a name after it")
        if not path.parent.is_dir():
            raise SwitchlegError(
                f"there is no folder {str(path.parent)!r}", where=target, mend="make it, or name another"
            )
        data = text.encode("utf-8", "replace")
        if not force:
            with path.open("xb") as file:
                file.write(data)
        elif path.exists() and not path.is_file():
            path.write_bytes(data)
        else:
            from switchleg.record.atomic_write import write_whole

            write_whole(path.resolve(), data)
    except FileExistsError:
        raise SwitchlegError(
            "there is a file of that name already",
            where=target,
            mend="name another, or write over it with `switchleg export NAME -o FILE --force`",
            exit_code=COULD_NOT,
        ) from None
    except (OSError, RuntimeError) as fault:
        said = (fault.strerror if isinstance(fault, OSError) else None) or str(fault)
        raise SwitchlegError(
            f"could not be written ({said})", where=target, mend="name another place", exit_code=COULD_NOT
        ) from None
    except ValueError:
        raise SwitchlegError(
            "this cannot be a file name", where=target, mend="name another", exit_code=UNUSABLE
        ) from None
    return os.fspath(path)
