"""What is settled so far, as two lines for a narrow window or as a panel for a wide one."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual.content import Content

from switchleg.session.views import SettledLine

from .fit import shorten

STATION_WORDS = {"floor": "From the floor", "wall": "Behind the plate", "canopy": "Under the canopy"}
NOTHING = "Nothing settled yet."


def two_lines(settled: Sequence[SettledLine], width: int) -> str:
    """The newest facts that fit into two lines of `width` cells; how many there are in all stands first."""
    if not settled:
        return f"{NOTHING}\n"
    lines = [f"{len(settled)} settled:", ""]
    row = 0
    for position, fact in enumerate(reversed(settled)):
        piece = f"{fact.label}: {fact.text}"
        last = position == len(settled) - 1
        joined = f"{lines[row]} {piece}" if lines[row] else piece
        if cell_len(joined) + (0 if last else 1) > width and row == 0 and cell_len(lines[0]) > width // 2:
            row = 1
            joined = piece
        if cell_len(joined) > width - (0 if last else 1):
            if row == 0:
                lines[0] = shorten(joined, width)
                row = 1
                continue
            lines[1] = shorten(joined, width)
            break
        lines[row] = joined if last else f"{joined};"
    return "\n".join(lines)


def panel(settled: Sequence[SettledLine]) -> Content:
    """Every settled fact, by the station where it was settled; the newest stands last."""
    parts: list[str | tuple[str, str]] = [("Settled so far\n", "bold $secondary")]
    if not settled:
        parts.append(NOTHING)
    station = ""
    for fact in settled:
        if fact.station != station:
            station = fact.station
            parts.append((f"\n{STATION_WORDS[station]}\n", "bold"))
        parts += [(f"{fact.label}: ", "$text-muted"), f"{fact.text}\n"]
    return Content.assemble(*parts)
