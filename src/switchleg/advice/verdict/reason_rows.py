"""A tree of reasons as the rows that are in sight: what is folded keeps its steps to itself. Pure."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass

from switchleg.advice.model import Why

Path = tuple[int, ...]
"""Where a step stands: its place among the roots, then among the steps of each one above it."""


@dataclass(frozen=True)
class WhyRow:
    """One step in sight; `open` is None where there is nothing to unfold."""

    path: Path
    text: str
    open: bool | None

    @property
    def depth(self) -> int:
        return len(self.path) - 1


def why_rows(roots: Sequence[Why], opened: Collection[Path], source: Callable[[str], str] = str) -> Iterator[WhyRow]:
    """The rows from the top down; `opened` holds the unfolded paths, `source` names a source by its id."""
    for number, root in enumerate(roots):
        yield from _rows(root, (number,), opened, source)


def _rows(step: Why, path: Path, opened: Collection[Path], source: Callable[[str], str]) -> Iterator[WhyRow]:
    is_open = path in opened if step.steps else None
    yield WhyRow(path, told(step, source), is_open)
    if is_open:
        for number, below in enumerate(step.steps):
            yield from _rows(below, (*path, number), opened, source)


def told(step: Why, source: Callable[[str], str] = str) -> str:
    """The step's sentence with what it rests on; sources of one name are named once."""
    text = step.text
    if step.facts:
        text += f" [seen: {', '.join(fact.replace('_', ' ') for fact in step.facts)}]"
    if step.sources:
        text += f" [source: {'; '.join(dict.fromkeys(map(source, step.sources)))}]"
    return text
