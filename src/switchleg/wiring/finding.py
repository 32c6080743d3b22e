"""What a rule finds: which rule is broken, where, and the words that fill its sentence."""

from __future__ import annotations

from dataclasses import dataclass

FULL = 0.92
NONE = 0.08
"""Shares of nominal voltage: above FULL a load works, below NONE it is off, between them something is wrong."""

Words = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Finding:
    """A broken rule. `words` fill the rule's sentence."""

    rule: str
    box: str
    words: Words
