"""Writing a file whole or not at all, and saying in a person's words why it did not work."""

from __future__ import annotations

import contextlib
import errno
import os
from pathlib import Path

from switchleg.errors import COULD_NOT, SwitchlegError

FILE_MODE = 0o600
FOLDER_MODE = 0o700
_NO_FOLDER_SYNC = {errno.EINVAL, errno.EBADF, errno.ENOTSUP, errno.EACCES, errno.EISDIR}


class NotSaved(SwitchlegError):
    """The disk refused; what was to be saved is still in memory and the old file is untouched."""

    def __init__(self, what: str, *, where: str, mend: str) -> None:
        super().__init__(what, where=where, mend=mend, exit_code=COULD_NOT)


def not_saved(error: OSError, path: Path) -> NotSaved:
    """What a failed write means for the person at the keyboard."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return NotSaved(
            "not saved: the disk is full",
            where=str(path),
            mend="free some space and go on; nothing is lost yet",
        )
    if error.errno in (errno.EROFS, errno.EACCES, errno.EPERM):
        return NotSaved(
            "not saved: the folder cannot be written",
            where=str(path),
            mend="let yourself write there, or set SWITCHLEG_HOME to another folder",
        )
    if error.errno in (errno.ENOTDIR, errno.EEXIST):
        return NotSaved(
            "not saved: a file stands where the folder should be",
            where=str(path),
            mend="set SWITCHLEG_HOME to a folder",
        )
    return NotSaved(
        f"not saved: {error.strerror or 'the system refused'}",
        where=str(path),
        mend="look at the disk and try again; nothing is lost yet",
    )


def write_whole(path: Path, data: bytes) -> None:
    """Put `data` at `path`, durably: whoever reads sees the old file or the new one, never a part.

    Raises OSError; the old file then stands, and the half-written one is gone. A program killed in
    between leaves a hidden temporary file, which `sweep` removes.
    """
    temporary = path.with_name(f".{path.stem}.{os.getpid()}.tmp")
    flags = os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
    try:
        descriptor = os.open(temporary, flags, FILE_MODE)
        try:
            rest = memoryview(data)
            while rest:
                rest = rest[os.write(descriptor, rest) :]
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
        os.replace(temporary, path)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Make a rename in `folder` durable, where the system can."""
    if os.name != "posix":
        return
    try:
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
    except OSError as error:
        if error.errno not in _NO_FOLDER_SYNC:
            raise


def sweep(folder: Path, stem: str) -> None:
    """Remove what killed writers of this record left behind; call it with the record's lock held."""
    with contextlib.suppress(OSError):
        for path in folder.glob(f".{_literal(stem)}.*.tmp"):
            path.unlink()


def move_to_free_name(path: Path, folder: Path, stem: str, suffix: str) -> Path:
    """Move `path` to folder/stem+suffix, or stem-2, stem-3, …: never onto a file that is there. OSError."""
    number = 1
    while True:
        target = folder / (f"{stem}{suffix}" if number == 1 else f"{stem}-{number}{suffix}")
        try:
            os.link(path, target, follow_symlinks=False)
        except FileExistsError:
            number += 1
            continue
        except (OSError, NotImplementedError):
            if os.path.lexists(target):
                number += 1
                continue
            os.rename(path, target)  # a file system without hard links
        else:
            os.unlink(path)
        sync_folder(folder)
        return target


def _literal(stem: str) -> str:
    return "".join(f"[{sign}]" if sign in "*?[" else sign for sign in stem)
