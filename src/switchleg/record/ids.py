"""Record ids: file names made from whatever a fan is called."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

LONGEST = 48
_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(-.*)?")
"""Names that one widespread system keeps for devices."""


def base_id(name: str) -> str:
    """Lower-case letters, digits and single hyphens, at most LONGEST long, never empty.

    "Room 3/b" gives room-3-b; a name without any such letter gives fan.
    """
    plain = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", name).casefold())
    slug = re.sub(r"[^a-z0-9]+", "-", re.sub(r"[\u0300-\u036f]", "", plain)).strip("-")[:LONGEST].strip("-")
    if not slug:
        return "fan"
    return f"fan-{slug}" if _RESERVED.fullmatch(slug) else slug


def candidates(name: str) -> Iterator[str]:
    """`base_id`, then the same with -2, -3, …, without end."""
    base = base_id(name)
    yield base
    number = 2
    while True:
        yield f"{base}-{number}"
        number += 1


def is_plain(id_: str) -> bool:
    """True when `id_` names a record file inside the folder and nothing else."""
    return (
        bool(id_)
        and not id_.startswith(".")
        and not re.search(r'[/\\:*?"<>|\x00-\x1f\x7f]', id_)
        and ".damaged-" not in id_
        and len(id_.encode("utf-8", "surrogateescape")) <= 200
    )


def typed_text(text: str) -> str:
    """Text that can be written as UTF-8: what the terminal could not decode becomes a replacement sign."""
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
