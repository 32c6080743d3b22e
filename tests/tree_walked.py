"""Which looks the session's own way takes with somebody who answers right, for every row of a table of looks."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal

from switchleg.advice.looks.look_table import Case
from switchleg.knowledge.load import Knowledge
from switchleg.schema.questions import CARD, Again, Door, Question, Reply, Station, Value
from switchleg.session.gate_hints import SETTLED, hint, other_station
from switchleg.session.remaining import Memory, Way, way

NOW = datetime(2026, 1, 1, tzinfo=UTC)
SOUND: dict[str, Value] = {
    "damage_seen": False,
    "ceiling_damage_seen": False,
    "ceiling_wire": "sound",
    "wire_metal": "copper",
    "wire_age": "plastic",
    "circuits_in_box": 1,
    "wall_ground": True,
    "ceiling_ground": True,
    "fan_box_marked": True,
    "control_1_kind": "on_off",
    "control_2_kind": "on_off",
    "breaker": "15 A",
    "wire_size": "14 AWG",
    "wall_gangs": 1,
}
"""Answers that stop nothing, for the walk only."""


def as_walked(
    knowledge: Knowledge, one: Case, *, advised: bool = False, to_its_end: bool = True, memory: Memory | None = None
) -> list[tuple[int, ...]]:
    """The looks of the table that the walk takes, in turn, for each row: the tree, its stop rule and its gates.

    `advised`: a gate is left shut where the walk says that what to do is settled, and the other station is opened
    first where the walk says so. Else every gate is opened in the order of the tree. `to_its_end`: those too that
    come after one recommendation is left.
    """
    places = {look.name: i for i, look in enumerate(one.table.looks)}
    orders: list[tuple[int, ...]] = [()] * len(one.rows)
    given = {**SOUND, **one.given}
    rows = [{**given, **row} for row in one.rows]
    walked = _Walked(
        knowledge, rows, None if to_its_end else one.table.classes, {} if memory is None else memory, advised
    )
    for looks, members in walked.on(list(range(len(rows))), {}, ()):
        order = tuple(dict.fromkeys(places[name] for name in looks if name in places))
        for member in members:
            orders[member] = order
    return orders


@dataclass(frozen=True)
class _Walked:
    """`classes`: what each row comes to; a walk ends where only one is left. None: it goes on to the card."""

    knowledge: Knowledge
    rows: Sequence[Mapping[str, Value]]
    classes: Sequence[Hashable] | None
    memory: Memory
    advised: bool

    def on(
        self, members: list[int], replies: dict[str, Reply], looks: tuple[str, ...]
    ) -> Iterator[tuple[tuple[str, ...], list[int]]]:
        """Rows that have shown the same so far go on together; at the end each group's looks are told."""
        tree = self.knowledge.tree
        if self.classes is not None and len({self.classes[member] for member in members}) == 1:
            yield looks, members
            return
        while True:
            here = way(self.knowledge, replies, memory=self.memory)
            at = here.walk.at
            if at == CARD:
                yield looks, members
                return
            node, station = tree.nodes[at], tree.station_of[at]
            if isinstance(node, Door):
                kind = _at_door(self.knowledge, here, node, replies) if self.advised else "open"
                replies = {**replies, at: Reply(kind=kind, at=NOW, station=station)}
                looks += (f"open {node.opens}",) * (kind == "open")
                continue
            assert isinstance(node, Question | Again)
            looks += (f"{node.fact}@{station}",)
            groups: dict[Value | None, list[int]] = {}
            for member in members:
                groups.setdefault(self.rows[member].get(node.fact), []).append(member)
            if len(groups) == 1:
                replies = {**replies, at: _said(next(iter(groups)), station)}
                continue
            for value, group in groups.items():
                yield from self.on(group, {**replies, at: _said(value, station)}, looks)
            return


def _said(value: Value | None, station: Station) -> Reply:
    return Reply(kind="cant_tell" if value is None else "value", value=value, at=NOW, station=station)


def _at_door(
    knowledge: Knowledge, here: Way, door: Door, replies: Mapping[str, Reply]
) -> Literal["open", "later", "after"]:
    """What somebody does at a gate who takes the walk at its word."""
    other = other_station(knowledge.tree, here, replies, door)
    opened = frozenset(
        node.opens
        for at, reply in replies.items()
        if isinstance(node := knowledge.tree.nodes[at], Door) and reply.kind == "open"
    )
    said = hint(knowledge, here, other, opened)
    if said.text == SETTLED:
        return "later"
    return "after" if said.first and other is not None and other.id not in replies else "open"
