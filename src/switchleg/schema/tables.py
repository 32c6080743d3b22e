"""Published tables as data: every number with its unit, edition and source, and whether it was read there.

A number stands in TOML as text ("12.5") or as a whole number and is kept as an exact fraction.
"""

from __future__ import annotations

import difflib
import functools
import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, PlainSerializer, model_validator

from switchleg.errors import SwitchlegError
from switchleg.schema.questions import Strict

Standing = Literal["seen", "memory", "doubtful", "computed", "practice", "estimate"]
"""How a number is known: read in a public copy, from memory, doubtful, computed, habit, own estimate."""


def exact(raw: object) -> Fraction:
    """The number written in the file, exactly; a float is read by its shortest spelling."""
    if isinstance(raw, Fraction):
        return raw
    if isinstance(raw, bool) or not isinstance(raw, int | str | Decimal | float):
        raise ValueError("a number is expected, as text such as '12.5'")
    try:
        return Fraction(repr(raw) if isinstance(raw, float) else str(raw).strip())
    except (ValueError, ZeroDivisionError):
        raise ValueError(f"{raw!r} is not a number; write it like '12.5'") from None


Exact = Annotated[Fraction, BeforeValidator(exact), PlainSerializer(str)]


class Column(Strict):
    """A column of numbers; `unit` is a name of units.reading, "count", "share" or a compound ("cfm/W")."""

    id: str
    unit: str
    means: str = Field(max_length=120)


class Row(Strict):
    """A row: `values` under the columns (a missing one is not printed), `words` for what is no number."""

    name: str
    also: tuple[str, ...] = ()
    """Other spellings by which a person may name the row."""
    values: dict[str, Exact] = Field(default_factory=dict)
    words: dict[str, str] = Field(default_factory=dict)
    standing: Standing | None = None
    source: str | None = None
    note: str = Field(default="", max_length=200)

    def number(self, column: str) -> Fraction | None:
        """The value under a column, or None where nothing is printed."""
        return self.values.get(column)


class Table(Strict):
    """A table with the edition it was taken from and its source (an id in sources.toml).

    `regions` are the regions whose rules it belongs to; empty for a table that holds anywhere.
    """

    id: str
    title: str = Field(max_length=100)
    edition: str = Field(max_length=100)
    source: str
    standing: Standing
    regions: tuple[str, ...] = ()
    note: str = Field(default="", max_length=400)
    columns: tuple[Column, ...] = ()
    row: tuple[Row, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _sound(self) -> Table:
        known = {column.id for column in self.columns}
        taken: dict[str, str] = {}
        for row in self.row:
            if strange := set(row.values) - known:
                raise ValueError(f"row {row.name!r} has a value under {sorted(strange)}, no column of this table")
            for name in {plain_name(spelling) for spelling in (row.name, *row.also)}:
                if name in taken:
                    raise ValueError(f"rows {taken[name]!r} and {row.name!r} share the name {name!r}")
                taken[name] = row.name
        return self

    @property
    def names(self) -> tuple[str, ...]:
        """The rows' names, in printed order."""
        return tuple(row.name for row in self.row)

    def find(self, name: str) -> Row | None:
        """The row of that name or spelling; case, blanks and signs such as × do not matter."""
        wanted = plain_name(name)
        for row in self.row:
            if wanted in (plain_name(spelling) for spelling in (row.name, *row.also)):
                return row
        return None

    def named(self, name: str, where: str = "") -> Row:
        """As `find`, but a SwitchlegError with the nearest name when there is none."""
        row = self.find(name)
        if row is None:
            near = difflib.get_close_matches(name, self.names, n=1, cutoff=0.3)
            raise SwitchlegError(
                f"{name!r} is not in the table {self.title!r}",
                where=where,
                expected=f"one of its {len(self.row)} rows",
                mend=f"did you mean {near[0]!r}?" if near else f"for instance {self.row[0].name!r}",
            )
        return row

    def standing_of(self, row: Row) -> Standing:
        """How the row's numbers are known."""
        return row.standing or self.standing

    def source_of(self, row: Row) -> str:
        """The id of the row's source."""
        return row.source or self.source

    def source_ids(self) -> frozenset[str]:
        """Every source that the table names."""
        return frozenset({self.source, *(row.source for row in self.row if row.source)})


Tables = Mapping[str, Table]


@functools.lru_cache(maxsize=1024)
def plain_name(name: str) -> str:
    """A row's name without what people write differently: case, blanks, ×, inch signs, 1 1/2 for 1-1/2."""
    text = name.lower().replace("×", "x").replace('"', "").replace("½", "-1/2").replace("¼", "-1/4")
    text = re.sub(r"\b(?:in|inch|inches)\b\.?", " ", text)
    text = re.sub(r"(?<=[0-9])\s+(?=[0-9]+/)", "-", text)
    return re.sub(r"\s+", "", text)


def number_of(tables: Tables, table: str, row: str, column: str) -> Fraction:
    """One number that must be there; SwitchlegError names the table and row when it is not."""
    if table not in tables:
        raise SwitchlegError(
            f"the table {table!r} is missing", where="decision_tree/tables", mend="run `switchleg check`"
        )
    value = tables[table].named(row, where=f"tables/{table}.toml").number(column)
    if value is None:
        raise SwitchlegError(
            f"row {row!r} has no {column!r}", where=f"tables/{table}.toml", mend="run `switchleg check`"
        )
    return value


def tables_for(tables: Tables, prefix: str, region: str) -> Table | None:
    """The table of a family (ids that begin with `prefix`) that belongs to the region, or None."""
    for name, table in tables.items():
        if name.startswith(prefix) and region in table.regions:
            return table
    return None
