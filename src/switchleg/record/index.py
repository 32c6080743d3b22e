"""The list of records, read from the head of each file, and finding one of them by what it is called."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Callable, Iterable
from pathlib import Path

from switchleg.errors import COULD_NOT, SwitchlegError
from switchleg.record import ids
from switchleg.record.summary import HEAD_BYTES, Summary, summary_from

Summaries = list[Summary]
_TAIL_BYTES = 16


def summaries(folder: Path) -> Summaries:
    """A line for every record in `folder`, the latest changed first; none when there is no such folder."""
    try:
        with os.scandir(folder) as entries:
            paths = [
                (entry.path, entry.name[:-5])
                for entry in entries
                if entry.name.endswith(".json") and ids.is_plain(entry.name[:-5]) and entry.is_file()
            ]
    except FileNotFoundError:
        return []
    except OSError as error:
        raise unreadable(error, folder) from None
    lines = [line for path, id_ in paths if (line := _summary(path, id_)) is not None]
    return sorted(lines, key=lambda line: (line.changed, line.id), reverse=True)


def _summary(path: str, id_: str) -> Summary | None:
    """The line for one file; None when it has gone meanwhile."""
    try:
        with open(path, "rb", buffering=0) as file:
            head = file.read(HEAD_BYTES)
            tail = head
            if len(head) == HEAD_BYTES:
                file.seek(-_TAIL_BYTES, os.SEEK_END)
                tail = file.read(_TAIL_BYTES)
            line = summary_from(head, tail, id_)
            if line is None:
                from switchleg.record import codec  # slow to import, and sound files have a head that does

                file.seek(0)
                line = codec.summary_of_whole(file.readall(), id_)
    except FileNotFoundError:
        return None
    except OSError as error:
        return Summary(id=id_, name=id_, problem=f"cannot be read: {error.strerror or 'the system refused'}")
    return line


def find(name: str, lines: Summaries) -> Summary:
    """The line called `name`, as `Store.find` says."""
    ways: tuple[Callable[[str], str], ...] = (str, folded)
    for exactly in ways:
        wanted = exactly(name)
        for field in ("id", "name"):
            found = [line for line in lines if exactly(getattr(line, field)) == wanted]
            if len(found) == 1:
                return found[0]
            if found:
                names = ", ".join(sorted(line.id for line in found)[:5])
                raise SwitchlegError(f"{len(found)} records are called {name!r}", mend=f"say which: {names}")
    if not lines:
        raise SwitchlegError(f"no record is called {name!r}; there are none yet", mend="run `switchleg new`")
    close = nearest(name, [text for line in lines for text in (line.id, line.name)])
    hint = f"did you mean {close!r}?" if close else "run `switchleg list`"
    raise SwitchlegError(f"no record is called {name!r}", mend=hint)


def nearest(name: str, known: Iterable[str]) -> str:
    """The spelling in `known` that is nearest to `name`; "" when none is near."""
    import difflib  # a fault is the only one to wait for it

    spellings = {folded(text): text for text in known}
    near = difflib.get_close_matches(folded(name)[:200], spellings, n=1, cutoff=0.5)
    return spellings[near[0]] if near else ""


def folded(text: str) -> str:
    """A name as it is compared: letter case and runs of blanks do not count."""
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


def unreadable(error: OSError, path: Path) -> SwitchlegError:
    """Why a file or folder could not be read, with what to do."""
    return SwitchlegError(
        f"cannot be read: {error.strerror or 'the system refused'}",
        where=str(path),
        mend="look at the folder's permissions, or set SWITCHLEG_HOME to another folder",
        exit_code=COULD_NOT,
    )
