"""A table cut into what decides and what only leans, so that far fewer beliefs have to be told apart.

A label or a chain need not be there: hypotheses that differ in nothing else fill up a table. Such looks are put
aside when no class depends on them: the rest of the table is the rows, each answer to all of the looks put aside
together a sign, and rows that show the signs equally often are of one type. A belief is then a set of rows and a set
of signs, and among rows of one type the signs tell nothing. Nothing is lost by it: every value stays exact.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass

from switchleg.diagnosis.looks import Look, Table, masks_of

MOST_TYPES = 16
ALIKE = 8
"""Decimals in which shares of signs agree when rows are of one type."""


@dataclass(frozen=True)
class Check:
    """A look as the search takes it. `parts`: sets of rows, or of signs where it only leans."""

    cost: float
    stands_in: int
    parts: tuple[int, ...]


class Factored:
    """Rows, signs and types of a table; sets of them are bit masks."""

    def __init__(self, table: Table) -> None:
        self.table = table
        looks = _worth_taking(table)
        columns = list(dict.fromkeys(table.looks[i].answers for i in looks))
        leaning: list[tuple[Hashable, ...]] = []
        rows = _rows(table, columns, leaning)
        assert rows is not None
        for column in columns:
            more = _rows(table, columns, [*leaning, column])
            if more and len(more.weights) <= 0.7 * len(rows.weights) and len(more.types) <= MOST_TYPES:
                leaning.append(column)
                rows = more
        self.weights = rows.weights
        self.type_of = rows.type_of
        self.types = _masks(rows.type_of, len(rows.types))
        self.class_of = _class_masks(rows.classes)
        signs = list(dict.fromkeys(sign for shown in rows.types for sign in shown))
        self.shown = [[shown.get(sign, 0.0) for shown in rows.types] for sign in signs]
        self.all_rows, self.all_signs = (1 << len(rows.weights)) - 1, (1 << len(signs)) - 1
        hard = [c for c in columns if c not in leaning]
        self.hard, self.soft = [], []
        for look in looks:
            column = table.looks[look].answers
            own = table.looks[look].cost, table.opens(look, 0)
            if column in leaning:
                place = leaning.index(column)
                self.soft.append(Check(*own, masks_of([sign[place] for sign in signs])))
            else:
                place = hard.index(column)
                self.hard.append(Check(*own, masks_of([row[place] for row in rows.answers])))
        names = {sign: i for i, sign in enumerate(signs)}
        self._of_row = _masks(rows.row_of, len(rows.weights))
        self._of_sign = _masks([names[tuple(c[h] for c in leaning)] for h in range(len(table.shares))], len(signs))
        self._by_byte = _sums_by_byte(rows.weights)
        self._masses: dict[int, float] = {}
        self._by_type: dict[int, tuple[float, ...]] = {}
        self._odds: dict[int, tuple[float, ...]] = {}
        self._kinds: dict[int, tuple[tuple[int, int], ...]] = {}

    def belief(self, hypotheses: int) -> tuple[int, int]:
        """The rows and signs of a set of hypotheses that looks have left."""
        rows = sum(1 << i for i, own in enumerate(self._of_row) if own & hypotheses)
        signs = sum(1 << i for i, own in enumerate(self._of_sign) if own & hypotheses)
        return self.possible(rows, signs)

    def possible(self, rows: int, signs: int) -> tuple[int, int]:
        """The belief without rows that never show such signs; signs that tell nothing are all the same."""
        for own, odds in zip(self.types, self.odds(signs), strict=True):
            if not odds:
                rows &= ~own
        return rows, self.all_signs if rows and self.of_one_type(rows) else signs

    def mass(self, rows: int, signs: int) -> float:
        shares = self._by_type.get(rows)
        if shares is None:
            shares = self._by_type[rows] = tuple([self._weight(rows & own) for own in self.types])
        return sum([share * odds for share, odds in zip(shares, self.odds(signs), strict=True)])

    def odds(self, signs: int) -> tuple[float, ...]:
        """For each type, how often it shows one of the signs."""
        found = self._odds.get(signs)
        if found is None:
            chosen = [shown for i, shown in enumerate(self.shown) if signs >> i & 1]
            found = self._odds[signs] = tuple([sum(column) for column in zip(*chosen, strict=True)])
        return found

    def kinds_of_signs(self, signs: int) -> tuple[tuple[int, int], ...]:
        """The signs put together by which types can show them: (rows that can, signs)."""
        found = self._kinds.get(signs)
        if found is None:
            kinds: dict[int, int] = {}
            for i, shown in enumerate(self.shown):
                if signs >> i & 1:
                    rows = sum(own for own, odds in zip(self.types, shown, strict=True) if odds)
                    kinds[rows] = kinds.get(rows, 0) | 1 << i
            found = self._kinds[signs] = tuple(kinds.items())
        return found

    def settled(self, rows: int) -> bool:
        """Whether one class is left."""
        return not rows or rows & ~self.class_of[(rows & -rows).bit_length() - 1] == 0

    def of_one_type(self, rows: int) -> bool:
        return rows & ~self.types[self.type_of[(rows & -rows).bit_length() - 1]] == 0

    def classes_in(self, rows: int) -> Iterator[int]:
        """The rows cut up by class."""
        while rows:
            part = rows & self.class_of[(rows & -rows).bit_length() - 1]
            yield part
            rows &= ~part

    def told_apart(self, opened: int) -> list[int]:
        """For each row, those that all looks in these stations together leave with it, signs left out."""
        groups = [self.all_rows]
        for check in self.hard:
            if check.stands_in & ~opened == 0:
                groups = [left for g in groups for part in check.parts if (left := part & g)]
        found = [0] * len(self.weights)
        for group in groups:
            for row in _bits(group):
                found[row] = group
        return found

    def _weight(self, rows: int) -> float:
        found = self._masses.get(rows)
        if found is None:
            if rows.bit_count() < 40:
                found = sum([self.weights[row] for row in _bits(rows)])
            else:
                sums = self._by_byte
                found = sum([s[b] for s, b in zip(sums, rows.to_bytes(len(sums), "little"), strict=True) if b])
            self._masses[rows] = found
        return found


@dataclass(frozen=True)
class _Rows:
    row_of: list[int]
    answers: list[tuple[Hashable, ...]]
    weights: list[float]
    classes: list[Hashable]
    type_of: list[int]
    types: list[dict[tuple[Hashable, ...], float]]


def _rows(
    table: Table, columns: Sequence[tuple[Hashable, ...]], leaning: Sequence[tuple[Hashable, ...]]
) -> _Rows | None:
    """The rows that are left when some looks are put aside; None when a class depends on one of these."""
    hard = [c for c in columns if c not in leaning]
    answers = list(zip(*hard, strict=True)) if hard else [()] * len(table.shares)
    signs = list(zip(*leaning, strict=True)) if leaning else [()] * len(table.shares)
    shown: dict[tuple[Hashable, ...], dict[tuple[Hashable, ...], float]] = {}
    places: dict[tuple[Hashable, ...], int] = {}
    row_of: list[int] = []
    classes: dict[tuple[Hashable, ...], Hashable] = {}
    for row, sign, share, decided in zip(answers, signs, table.shares, table.classes, strict=True):
        if leaning and classes.setdefault(row, decided) != decided:
            return None
        key = row if leaning else (*row, decided)
        classes[key] = decided
        row_of.append(places.setdefault(key, len(places)))
        into = shown.setdefault(key, {})
        into[sign] = into.get(sign, 0.0) + share
    types: dict[frozenset[tuple[tuple[Hashable, ...], float]], int] = {}
    odds: list[dict[tuple[Hashable, ...], float]] = []
    found = _Rows(row_of, [], [], [], [], odds)
    for key, by_sign in shown.items():
        whole = sum(by_sign.values())
        rounded = frozenset((sign, round(p / whole, ALIKE)) for sign, p in by_sign.items())
        kind = types.setdefault(rounded, len(types))
        if kind == len(odds):
            odds.append({sign: p / whole for sign, p in by_sign.items()})
        found.answers.append(key)
        found.weights.append(whole)
        found.classes.append(classes[key])
        found.type_of.append(kind)
    return found


def _worth_taking(table: Table) -> list[int]:
    """Looks that tell something, without those that another look is never worse than.

    A look that parts the hypotheses more finely, costs no more and needs no station besides is never worse.
    """
    telling = [i for i, parts in enumerate(table.parts) if len(parts) > 1]
    kept: list[int] = []
    for i in sorted(telling, key=lambda i: (table.looks[i].cost, -len(table.parts[i]), table.opens(i, 0), i)):
        look = table.looks[i]
        if not any(table.opens(k, 0) & ~table.opens(i, 0) == 0 and _finer(table.looks[k], look) for k in kept):
            kept.append(i)
    return sorted(kept)


def _finer(one: Look, other: Look) -> bool:
    means: dict[Hashable, Hashable] = {}
    return all(means.setdefault(a, b) == b for a, b in zip(one.answers, other.answers, strict=True))


def _masks(labels: Sequence[int], count: int) -> list[int]:
    masks = [0] * count
    for i, label in enumerate(labels):
        masks[label] |= 1 << i
    return masks


def _class_masks(classes: Sequence[Hashable]) -> list[int]:
    masks = dict(zip(dict.fromkeys(classes), masks_of(classes), strict=True))
    return [masks[c] for c in classes]


def _bits(mask: int) -> Iterator[int]:
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def _sums_by_byte(weights: Sequence[float]) -> list[list[float]]:
    sums = []
    for start in range(0, len(weights), 8):
        eight = (*weights[start : start + 8], *[0.0] * 8)[:8]
        sums.append([sum(p for i, p in enumerate(eight) if byte >> i & 1) for byte in range(256)])
    return sums
