"""The folder of records: list, create, open, save, delete. The only place that touches record files.

The models and the strict reading are imported when a record is opened or written: the list, which is
the first screen, needs neither.
"""

from __future__ import annotations

import contextlib
import os
import threading
import time
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from switchleg.errors import COULD_NOT, SwitchlegError
from switchleg.record import atomic_write, ids, index, lock
from switchleg.record.index import Summaries
from switchleg.record.migrate import FORMAT
from switchleg.record.opened import Opened
from switchleg.record.summary import Summary

if TYPE_CHECKING:
    from switchleg.record.model import Record

MOST_OTHERS = 40
"""Fans of a home that are looked through for answers; a landlord's building has more, and says no more."""


def local_now() -> datetime:
    """The time on this machine with its offset, to the second: what stands on the paper export."""
    return datetime.now().astimezone().replace(microsecond=0)


class Store:
    """The records in one folder, which is made by the first save and never by a question about it."""

    def __init__(self, root: Path, clock: Callable[[], datetime] = local_now) -> None:
        self.root = root
        self._clock = clock
        self._writing = threading.Lock()

    @classmethod
    def default(cls, clock: Callable[[], datetime] = local_now) -> Store:
        """The user's own folder: SWITCHLEG_HOME, else where the system keeps a program's data."""
        chosen = os.environ.get("SWITCHLEG_HOME", "")
        if chosen:
            return cls(Path(os.path.abspath(os.path.expanduser(chosen))), clock)
        import platformdirs  # a third of the start of `switchleg list` when a folder was chosen

        return cls(platformdirs.user_data_path("switchleg", appauthor=False), clock)

    # Reading

    def list(self) -> Summaries:
        """Every record, the latest changed first. Damaged files are listed with their problem, not moved."""
        return index.summaries(self.root)

    def deleted(self) -> Summaries:
        """What `undelete` can bring back, the latest deleted first."""
        return sorted(index.summaries(self._bin), key=self._gone_since, reverse=True)

    def has_deleted(self) -> bool:
        """Whether `undelete` could bring anything back; quick."""
        try:
            with os.scandir(self._bin) as entries:
                return any(entry.name.endswith(".json") for entry in entries)
        except OSError:
            return False

    def _gone_since(self, line: Summary) -> int:
        try:
            return os.stat(self._bin / f"{line.id}.json").st_mtime_ns
        except OSError:
            return 0

    def find(self, name: str) -> Summary:
        """The one record with this id, else this name, else either in other letter case.

        Raises SwitchlegError (exit 2) when there is none, with the nearest spelling, or several.
        """
        return index.find(name, self.list())

    def records_of(self, home: str, most: int | None = None) -> Iterator[Record]:
        """The sound records of a home, the latest changed first, at most `most`; read only, no lock taken."""
        from switchleg.record import codec, homes

        for line in homes.in_home(home, self.list())[:most]:
            try:
                yield codec.from_bytes(self._path(line.id).read_bytes(), line.id)
            except (OSError, codec.Unreadable):
                continue

    def others(self, record: Record) -> Iterator[Record]:
        """Other fans of the record's home, whose answers may be offered to it; the latest changed first."""
        if record.home:
            yield from (one for one in self.records_of(record.home, MOST_OTHERS) if one.id != record.id)

    def open(self, name: str, *, write: bool) -> Opened:
        """The record called `name` (see `find`). With `write`, also its lock, when that can be had.

        A damaged file is set aside under a free name, and SwitchlegError (exit 2) says which. A newer
        format, another writer or a folder that cannot be written gives a read-only record with the reason.
        """
        id_ = self.find(name).id
        path = self._path(id_)
        held, reason = self._lock(id_, path) if write else (None, "")
        try:
            record = self._read(path, id_, held)
        except BaseException:
            if held is not None:
                held.release()
            raise
        if record.format > FORMAT:
            if held is not None:
                held.release()
            newer = f"it was written by a newer switchleg (format {record.format}); it opens for reading only"
            return Opened(record, True, newer, None)
        if held is not None:
            atomic_write.sweep(self.root, id_)
            if not held.sure:
                reason = "this folder knows no locks; do not open the record in a second program"
        return Opened(record, held is None, reason, held)

    # Writing

    def create(self, name: str, home: str = "", *, knowledge_version: str = "") -> Record:
        """A new, empty record, saved at once under an id of its own. NotSaved when the disk refuses."""
        from switchleg.record.model import Record

        name, home = ids.typed_text(name).strip(), ids.typed_text(home).strip()
        now = self._clock()
        self._make_folder(self.root)
        for id_ in ids.candidates(name):
            path = self._path(id_)
            if os.path.lexists(path):
                continue
            try:
                held = lock.take(self._lock_path(id_))
            except lock.Busy:
                continue
            except OSError as error:
                raise atomic_write.not_saved(error, self.root) from None
            with held:
                if os.path.lexists(path):
                    continue
                record = Record(
                    id=id_,
                    name=name or "unnamed fan",
                    home=home,
                    created=now,
                    changed=now,
                    knowledge_version=knowledge_version,
                )
                self.save(record)
                return record
        raise AssertionError("candidates never end")

    def save(self, record: Record) -> None:
        """Write the record, whole and durably. NotSaved (exit 1) when refused: the old file stands."""
        path = self._path(record.id)
        if record.format != FORMAT:
            raise SwitchlegError(
                f"not saved: the record has format {record.format}, this version writes {FORMAT}",
                where=str(path),
                mend="use the newer switchleg",
                exit_code=COULD_NOT,
            )
        from switchleg.record.codec import to_bytes

        data = to_bytes(record)
        with self._writing:
            self._make_folder(self.root)
            try:
                atomic_write.write_whole(path, data)
            except OSError as error:
                raise atomic_write.not_saved(error, path) from None

    def relabel(self, id_: str, *, name: str, home: str, breaker_label: str) -> Summary:
        """Give a record another name, home and breaker label; its id stays. SwitchlegError when open elsewhere."""
        name, home, label = (ids.typed_text(text).strip() for text in (name, home, breaker_label))
        if not name:
            raise SwitchlegError("a record needs a name", expected="a room or a fan")
        with self.open(id_, write=True) as opened:
            if opened.read_only:
                raise SwitchlegError(opened.reason, mend="close it there first", exit_code=COULD_NOT)
            changed = {"name": name, "home": home, "breaker_label": label, "changed": self._clock()}
            self.save(opened.record.model_copy(update=changed))
        return self.find(id_)

    def delete(self, name: str) -> Path:
        """Move the record to the bin, where `undelete` finds it; returns its place there."""
        id_ = self.find(name).id
        with self._exclusive(id_):
            self._make_folder(self._bin)
            gone = self._move(self._path(id_), self._bin, id_, ".json")
            with contextlib.suppress(OSError):
                now = time.time_ns()  # the bin is listed by when a record came into it
                os.utime(gone, ns=(now, now))
            return gone

    def undelete(self, name: str) -> Summary:
        """Bring a deleted record back; under a new id when its own is taken meanwhile."""
        found = index.find(name, self.deleted())
        for id_ in ids.candidates(found.name):
            if not os.path.lexists(self._path(id_)):
                with self._exclusive(id_):
                    self._move(self._bin / f"{found.id}.json", self.root, id_, ".json")
                return self.find(id_)
        raise AssertionError("candidates never end")

    # Inside

    @property
    def _bin(self) -> Path:
        return self.root / ".deleted"

    def _path(self, id_: str) -> Path:
        if not ids.is_plain(id_):
            raise SwitchlegError(
                f"{id_!r} cannot name a record", expected="a plain file name", mend="run `switchleg list`"
            )
        return self.root / f"{id_}.json"

    def _lock_path(self, id_: str) -> Path:
        return self.root / ".locks" / f"{id_}.lock"

    def _make_folder(self, folder: Path) -> None:
        try:
            if not folder.is_dir():
                os.makedirs(folder, atomic_write.FOLDER_MODE, exist_ok=True)
                folder.chmod(atomic_write.FOLDER_MODE)
        except OSError as error:
            raise atomic_write.not_saved(error, folder) from None

    def _lock(self, id_: str, path: Path) -> tuple[lock.Lock | None, str]:
        if not os.access(self.root, os.W_OK) or not os.access(path, os.W_OK):
            return None, "the folder or the record is write-protected; it opens for reading only"
        try:
            return lock.take(self._lock_path(id_)), ""
        except lock.Busy as busy:
            who = f"another program (process {busy.holder})" if busy.holder else "another program"
            return None, f"{who} has this record open; it opens for reading only"
        except OSError as error:
            return None, f"it opens for reading only: {error.strerror or 'the folder cannot be written'}"

    def _exclusive(self, id_: str) -> lock.Lock:
        try:
            return lock.take(self._lock_path(id_))
        except lock.Busy:
            raise SwitchlegError(
                f"record {id_!r} is open in another program", mend="close it there first", exit_code=COULD_NOT
            ) from None
        except OSError as error:
            raise atomic_write.not_saved(error, self.root) from None

    def _move(self, path: Path, folder: Path, stem: str, suffix: str) -> Path:
        try:
            return atomic_write.move_to_free_name(path, folder, stem, suffix)
        except OSError as error:
            raise atomic_write.not_saved(error, path) from None

    def _read(self, path: Path, id_: str, held: lock.Lock | None) -> Record:
        from switchleg.record import codec

        try:
            data = path.read_bytes()
        except OSError as error:
            raise index.unreadable(error, path) from None
        try:
            return codec.from_bytes(data, id_)
        except codec.Unreadable as damage:
            raise SwitchlegError(
                f"the record is damaged ({damage}); {self._set_aside(path, id_, held)}",
                where=str(path),
                mend="start a new record, or mend that file and give it its old name back",
            ) from None

    def _set_aside(self, path: Path, id_: str, held: lock.Lock | None) -> str:
        """Move the file out of the way, unless somebody else is at work on it; says what was done."""
        mine = None
        try:
            mine = held or lock.take(self._lock_path(id_))
            stamp = self._clock().strftime("%Y%m%d-%H%M%S")
            aside = atomic_write.move_to_free_name(path, self.root, f"{id_}.damaged-{stamp}", ".json")
        except (lock.Busy, OSError):
            return "it was left as it is, because it cannot be moved now"
        finally:
            if mine is not None and mine is not held:
                mine.release()
        return f"it was kept as {aside.name}"
