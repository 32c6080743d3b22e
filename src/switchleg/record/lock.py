"""One writer a record: an advisory lock that the system drops when its holder dies."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
from pathlib import Path
from types import TracebackType

_TAKEN = {errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK}
_NO_LOCKS_HERE = {errno.ENOLCK, errno.ENOSYS, errno.EOPNOTSUPP, errno.EINVAL}


class Busy(Exception):
    """Another program holds the lock; `holder` is its process number as text, or ""."""

    def __init__(self, holder: str) -> None:
        super().__init__(holder)
        self.holder = holder


class Lock:
    """A lock that is held until `release`; harmless to release twice.

    `sure` is False where the file system knows no locks: then nobody is kept out.
    """

    def __init__(self, descriptor: int, sure: bool) -> None:
        self._descriptor: int | None = descriptor
        self.sure = sure

    def release(self) -> None:
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None

    def __enter__(self) -> Lock:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.release()


def take(path: Path) -> Lock:
    """Lock the file at `path`, creating it and its folder at need. Busy when held, OSError when impossible.

    The file stays when the lock is released: removing it could take the lock from under somebody.
    """
    path.parent.mkdir(mode=0o700, exist_ok=True)
    descriptor = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_CLOEXEC", 0), 0o600)
    try:
        sure = _lock(descriptor)
    except OSError as error:
        holder = _holder(descriptor)
        os.close(descriptor)
        if error.errno in _TAKEN:
            raise Busy(holder) from None
        raise
    with contextlib.suppress(OSError):  # the number only makes a message kinder
        os.ftruncate(descriptor, 0)
        os.lseek(descriptor, 0, os.SEEK_SET)
        os.write(descriptor, str(os.getpid()).encode())
    return Lock(descriptor, sure)


def _lock(descriptor: int) -> bool:
    try:
        if sys.platform == "win32":
            import msvcrt

            os.lseek(descriptor, 4096, os.SEEK_SET)
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in _NO_LOCKS_HERE:
            return False
        raise
    return True


def _holder(descriptor: int) -> str:
    with contextlib.suppress(OSError):
        os.lseek(descriptor, 0, os.SEEK_SET)
        text = os.read(descriptor, 32).decode("ascii", "replace").strip()
        return text if text.isdigit() else ""
    return ""
