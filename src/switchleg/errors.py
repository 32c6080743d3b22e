"""The one error a person may see: what is wrong, where, what was expected, how to mend it."""

from __future__ import annotations

COULD_NOT = 1
"""Exit code: the command was understood but could not be carried out."""
UNUSABLE = 2
"""Exit code: wrong usage or unusable input."""


class SwitchlegError(Exception):
    """A fault that a person can act on. `line()` is what they read; `exit_code` is what a shell reads."""

    def __init__(
        self, what: str, *, where: str = "", expected: str = "", mend: str = "", exit_code: int = UNUSABLE
    ) -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.expected = expected
        self.mend = mend
        self.exit_code = exit_code

    def line(self) -> str:
        """Everything in one line: `where: what; expected …; mend`."""
        parts = [self.what]
        if self.expected:
            parts.append(f"expected {self.expected}")
        if self.mend:
            parts.append(self.mend)
        text = "; ".join(parts)
        text = f"{self.where}: {text}" if self.where else text
        return " ".join(text.split())
