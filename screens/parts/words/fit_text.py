"""How much text fits: wrapping with a hanging indent and shortening, counted in terminal cells."""

from __future__ import annotations

from rich.cells import cell_len, chop_cells, set_cell_size


def wrap(text: str, width: int) -> list[str]:
    """The lines of `text` at `width` cells; words are kept whole where they fit. Never empty."""
    width = max(1, width)
    lines: list[str] = []
    line = ""
    for word in text.split():
        joined = f"{line} {word}" if line else word
        if cell_len(joined) <= width:
            line = joined
            continue
        if line:
            lines.append(line)
        *full, line = chop_cells(word, width) or [""]
        lines.extend(full)
    lines.append(line)
    return lines


def rows(text: str, width: int) -> int:
    """How many rows `text` takes at `width` cells; an empty text takes none."""
    return len(wrap(text, width)) if text.strip() else 0


def shorten(text: str, width: int) -> str:
    """`text` in one line of at most `width` cells, ending in "…" when something was left out."""
    text = " ".join(text.split())
    if cell_len(text) <= width:
        return text
    if width <= 1:
        return "…"[: max(0, width)]
    return set_cell_size(text, width - 1).rstrip() + "…"
