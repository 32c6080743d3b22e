"""The known word nearest to one that somebody wrote."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def nearest_of(word: object, known: Iterable[object]) -> str:
    """The known word most like `word`, or "" when none is near. Case, spaces and hyphens do not count."""
    plain = {_plain(str(item)): str(item) for item in known}
    close = difflib.get_close_matches(_plain(str(word)), plain, n=1, cutoff=0.6)
    return plain[close[0]] if close else ""


def _plain(word: str) -> str:
    return word.casefold().replace("-", "_").replace(" ", "_")
