"""Where one is: what is settled and what is still open, in one line for a narrow window or a panel for a wide one."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual.content import Content

from switchleg.schema.questions import STATIONS
from switchleg.session.views.model import OpenLine, SettledLine

from .fit_text import shorten, wrap

STATION_WORDS = {"floor": "From the floor", "wall": "Behind the plate", "canopy": "Under the canopy"}
AGAIN_WORDS = {"wall": "at the wall", "canopy": "at the canopy"}
NOTHING = "Nothing settled yet."


def one_line(settled: Sequence[SettledLine], still_open: Sequence[OpenLine], width: int) -> str:
    """How many facts are settled and the newest of them, and how many are open, in `width` cells."""
    right = f"? {len(still_open)} open" if still_open else ""
    if not settled:
        left = NOTHING
    else:
        newest = settled[-1]
        left = f"= {len(settled)} settled, {newest.label}: {newest.text}"
    left = shorten(left, width - cell_len(right) - (2 if right else 0))
    return f"{left}{' ' * (width - cell_len(left) - cell_len(right))}{right}".rstrip()


def panel(settled: Sequence[SettledLine]) -> Content:
    """Every settled fact, by the station where it was settled; the newest stands last."""
    parts: list[str | tuple[str, str]] = [(f"Settled so far: {len(settled)}\n", "bold $secondary")]
    station = ""
    for fact in settled:
        if fact.station != station:
            station = fact.station
            parts.append((f"\n{STATION_WORDS[station]}\n", "bold"))
        parts += [(f"= {fact.label}: ", "$text-muted"), f"{fact.text}\n"]
    return Content.assemble(*parts)


def open_panel(still_open: Sequence[OpenLine], width: int, most: int) -> Content:
    """What could not be told, first what is asked again and where; as much of it as `most` rows hold."""
    if not still_open:
        return Content("")
    ordered = sorted(still_open, key=lambda fact: STATIONS.index(fact.again) if fact.again else len(STATIONS))
    for shown in range(len(ordered), -1, -1):
        lines = _open_lines(ordered[:shown], len(ordered) - shown, width)
        if len(lines) < most:
            break
    return Content.assemble((f"Still open: {len(still_open)}\n", "bold $secondary"), "\n".join(lines))


def _open_lines(facts: Sequence[OpenLine], more: int, width: int) -> list[str]:
    groups: dict[str, list[str]] = {}
    for fact in facts:
        groups.setdefault(f"again {AGAIN_WORDS[fact.again]}" if fact.again else "not told", []).append(fact.label)
    lines = [line for words, labels in groups.items() for line in wrap(f"? {words}: {', '.join(labels)}", width)]
    return [*lines, f"and {more} more"] if more else lines
