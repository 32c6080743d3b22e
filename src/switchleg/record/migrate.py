"""Old formats, brought up one step at a time.

A step takes the JSON object of format N and returns that of format N + 1. To change the format: raise
`FORMAT`, add the step here, and keep a record of the old format in tests/old_records/.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

FORMAT = 3
"""The format this version writes."""

Raw = dict[str, Any]
Step = Callable[[Raw], Raw]

STEPS: Mapping[int, Step] = {1: lambda raw: raw, 2: lambda raw: raw}
"""1 to 2: work under way and where answers came from were added; 2 to 3: the label of the breaker. A record without
them has none of these."""


def format_of(raw: Raw) -> int:
    """The format number of a record's JSON object; ValueError when there is none."""
    number = raw.get("format")
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise ValueError("it has no format number")
    return number


def migrate(raw: Raw, steps: Mapping[int, Step] = STEPS, to: int = FORMAT) -> Raw:
    """The object in format `to`; the given one is not touched. ValueError when a step is missing."""
    number = format_of(raw)
    while number < to:
        if number not in steps:
            raise ValueError(f"format {number} cannot be brought to format {to}")
        raw = {**steps[number](dict(raw)), "format": number + 1}
        number += 1
    return raw
