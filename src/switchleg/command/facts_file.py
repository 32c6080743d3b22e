"""The answers file of `switchleg advise`: TOML facts, at the top or under [facts]."""

from __future__ import annotations

import re
import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from switchleg.errors import SwitchlegError
from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

LARGEST = 1_000_000
"""Bytes; facts of one fan fit a hundred times over."""


@dataclass(frozen=True)
class FactsFile:
    """The known facts of one fan, and the names its card is headed with."""

    facts: dict[str, Value]
    untold: frozenset[str]
    """Facts that somebody looked for and could not tell."""
    name: str = ""
    home: str = ""


def read_text(file: str) -> tuple[str, str]:
    """(where, text) of FILE, "-" being stdin; raises SwitchlegError for whatever is not UTF-8 text."""
    where = "standard input" if file == "-" else file
    try:
        if file == "-":
            data = sys.stdin.buffer.read(LARGEST + 1) if sys.stdin is not None else b""
        else:
            with Path(file).open("rb") as stream:
                data = stream.read(LARGEST + 1)
    except FileNotFoundError:
        raise SwitchlegError(
            "there is no such file", where=where, expected="a TOML file of facts", mend="check the path"
        ) from None
    except IsADirectoryError:
        raise SwitchlegError(
            "this is a folder", where=where, expected="a TOML file of facts", mend="name the file inside it"
        ) from None
    except (OSError, ValueError) as fault:
        if Path(file).is_dir():
            raise SwitchlegError("this is a folder", where=where, expected="a TOML file of facts") from None
        said = (fault.strerror if isinstance(fault, OSError) else None) or str(fault)
        raise SwitchlegError(
            f"could not be read ({said})", where=where, expected="a file you may read", mend="check the path"
        ) from None
    if len(data) > LARGEST:
        raise SwitchlegError(
            "the file is larger than 1 MB", where=where, expected="a short TOML file", mend="check the path"
        )
    try:
        return where, data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        column = fault.start - (data.rfind(b"\n", 0, fault.start) + 1) + 1
        raise SwitchlegError(
            "the file is not UTF-8 text",
            where=f"{where}: line {line}, column {column}",
            expected="UTF-8",
            mend="save it again as UTF-8",
        ) from None


def read_table(where: str, text: str) -> dict[str, Any]:
    """The TOML table in `text`; a fault in it is told with its line and column."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        said = str(fault)
        place = re.search(r"\(at (?:line (\d+), column (\d+)|end of document)\)", said)
        at = ""
        if place:
            said = said[: place.start()].strip()
            lines = text.split("\n")
            line, column = place.groups() if place[1] else (len(lines), len(lines[-1]) + 1)
            at = f": line {line}, column {column}"
        said = said[:1].lower() + said[1:]
        raise SwitchlegError(
            f"this is not TOML ({said})",
            where=where + at,
            expected='lines such as motor_label = "dc"',
            mend="mend that line",
        ) from None
    except RecursionError:
        raise SwitchlegError(
            "brackets are nested too deeply", where=where, expected="plain facts", mend="take them out"
        ) from None
    except ValueError:
        raise SwitchlegError("a number in it is too long", where=where, expected="plain facts") from None


def read_facts(file: str, knowledge: Knowledge) -> FactsFile:
    """The facts in FILE, every one checked; raises SwitchlegError for the first that cannot be used."""
    from switchleg.knowledge.facts import parse_facts, untold_in

    where, text = read_text(file)
    table = read_table(where, text)
    titles: dict[str, str] = {}
    for key in ("name", "home"):
        words = table.pop(key, "")
        if not isinstance(words, str):
            raise SwitchlegError(f"{key} is not text", where=where, expected=f'{key} = "..."', mend="put it in quotes")
        titles[key] = words
    under = table.pop("facts", {})
    if not isinstance(under, dict):
        raise SwitchlegError("facts is not a table", where=where, expected="a line [facts] with the facts under it")
    twice = sorted(set(under) & set(table))
    if twice:
        raise SwitchlegError(
            f"{twice[0]} stands twice, at the top and under [facts]",
            where=where,
            expected="every fact once",
            mend="take one of them out",
        )
    said = {**table, **under}
    facts = parse_facts(knowledge, said, where)
    return FactsFile(facts, untold_in(said) - facts.keys(), **titles)
