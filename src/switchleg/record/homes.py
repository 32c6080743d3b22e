"""Records grouped by the home they hang in, and finding a home by what it is called."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from switchleg.errors import SwitchlegError
from switchleg.record.index import folded, nearest
from switchleg.record.summary import Summary


def homes(lines: Iterable[Summary]) -> dict[str, list[Summary]]:
    """Home -> its fans, homes by name, fans by name; "" holds those without a home. Damaged ones are left out.

    Homes that differ only in letter case are one, under the spelling met first.
    """
    found: dict[str, tuple[str, list[Summary]]] = {}
    for line in lines:
        if not line.problem or line.newer:
            found.setdefault(folded(line.home), (line.home.strip(), []))[1].append(line)
    return {found[key][0]: sorted(found[key][1], key=lambda fan: (folded(fan.name), fan.id)) for key in sorted(found)}


def in_home(home: str, lines: Iterable[Summary]) -> list[Summary]:
    """The sound records of a home in the order given."""
    wanted = folded(home)
    return [line for line in lines if folded(line.home) == wanted and (not line.problem or line.newer)]


def find_home(name: str | None, lines: Sequence[Summary]) -> str:
    """The home called `name`; without a name the only one there is.

    Raises SwitchlegError (exit 2) with the nearest spelling, or the homes to choose from.
    """
    known = [home for home in homes(lines) if home]
    if not known:
        raise SwitchlegError("no record has a home yet", mend="give one with `switchleg new NAME --home HOME`")
    if name is None:
        if len(known) > 1:
            listed = ", ".join(known[:8]) + (", and others" if len(known) > 8 else "")
            raise SwitchlegError(f"there are {len(known)} homes", mend=f"say which: {listed}")
        return known[0]
    for home in known:
        if folded(home) == folded(name):
            return home
    close = nearest(name, known)
    hint = f"did you mean {close!r}?" if close else "run `switchleg list`"
    raise SwitchlegError(f"no home is called {name!r}", mend=hint)
