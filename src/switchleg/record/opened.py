"""A record in somebody's hands: with the right to change it, or the reason why not."""

from __future__ import annotations

from dataclasses import dataclass
from types import TracebackType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from switchleg.record.lock import Lock
    from switchleg.record.model import Record


@dataclass
class Opened:
    """A record with the right to change it, or the reason why not. Close it to let others write."""

    record: Record
    read_only: bool
    reason: str
    """One sentence; also set when writing is possible but nobody else can be kept out."""
    lock: Lock | None

    def close(self) -> None:
        """Give the lock back; harmless twice."""
        if self.lock is not None:
            self.lock.release()
            self.lock = None

    def __enter__(self) -> Opened:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()
