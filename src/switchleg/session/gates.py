"""The safety gates of a walk: opened check by check, put off, refused, or taken in the other order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from switchleg.errors import SwitchlegError
from switchleg.record.model import GateEntry, Record
from switchleg.schema.questions import Door, Reply, Station
from switchleg.session import gate_hints, replies
from switchleg.session.gate_hints import DoorHint
from switchleg.session.navigation import Moving
from switchleg.session.views import build
from switchleg.session.views.model import DoorView


class Gates(Moving):
    """A session that lets nobody past a gate unconfirmed."""

    _hint: tuple[str, Record, DoorHint] | None = None
    _order: tuple[object, tuple[Station, ...]] | None = None

    @property
    def waiting(self) -> tuple[DoorView, ...]:
        """Gates on the way that were answered "not now", the one first that brings most for its trouble."""
        put_off = [door for door in map(self._tree.nodes.get, self._walk.later) if isinstance(door, Door)]
        if len(put_off) > 1 and self._way.needed is not None and not self._way.needed.ended:
            order = self._worth(frozenset(door.opens for door in put_off))
            put_off.sort(key=lambda door: order.index(door.opens))
        return tuple(build.door_view(self._tree, self.record, {}, door) for door in put_off)

    def open_door(self, confirmed: Sequence[bool]) -> None:
        """Open the gate in view: one confirmation for each of its checks, all True; else it stays shut."""
        door = self._door()
        if len(confirmed) != len(door.checks) or not all(done is True for done in confirmed):
            raise SwitchlegError(
                "it stays shut: not every check is confirmed",
                expected=f"all {len(door.checks)} of them",
                mend="do the check that is missing, or choose not now",
            )
        self._at_work.add(door.opens)
        self._pass(door, "open")

    def later(self) -> None:
        """Answer the gate in view with "not now"."""
        self._pass(self._door(), "later")

    def decline(self) -> None:
        """Answer the gate in view with "I'd rather not"."""
        self._pass(self._door(), "decline")

    def other_first(self) -> None:
        """Take the other station first (`DoorView.other`); the walk comes back here if this one is still needed.

        Raises SwitchlegError when there is no other.
        """
        door = self._door()
        other = self._other(door)
        if other is None:
            raise SwitchlegError("there is no other place to open first", mend="open it, or choose not now")
        if other.id in self.record.replies:
            self.go_to(other.id)
        else:
            self._pass(door, "after")

    def door_hint(self) -> DoorHint:
        """Whether the gate in view may as well wait, and which station is better opened first."""
        door = self._door()
        if self._hint is None or self._hint[:2] != (door.id, self.record):
            opened = frozenset(
                node.opens
                for step in self._walk.steps
                if isinstance(node := self._tree.nodes[step.node_id], Door) and step.reply.kind == "open"
            )
            found = gate_hints.hint(self._knowledge, self._way, self._other(door), opened)
            self._hint = (door.id, self.record, found)
        return self._hint[2]

    def reopen(self, door: str) -> None:
        """Show a gate that waits ("the canopy is open now"); `open_door` then goes to its questions."""
        if not isinstance(self._tree.nodes.get(door), Door):
            raise SwitchlegError(f"{door!r} is no gate", mend="choose one that waits")
        self.go_to(door)

    # Inside

    def _worth(self, shut: frozenset[Station]) -> tuple[Station, ...]:
        from switchleg.advice.looks.station_order import by_worth

        if self._order is None or self._order[0] != (shut, self.record.replies):
            found = by_worth(self._knowledge, self._way.facts, self._way.untold, shut)
            self._order = ((shut, self.record.replies), found)
        return self._order[1]

    def _other(self, door: Door) -> Door | None:
        return gate_hints.other_station(self._tree, self._way, replies.trusted(self._tree, self.record), door)

    def _door(self) -> Door:
        door = self._tree.nodes.get(self._cursor or self._walk.at)
        if not isinstance(door, Door):
            raise SwitchlegError("no gate is to be opened now", mend="answer the question in view")
        return door

    def _pass(self, door: Door, outcome: Literal["open", "later", "after", "decline"]) -> None:
        self._writable()
        now = self._clock()
        checks = door.checks if outcome == "open" else ()
        kept: Literal["open", "later", "decline"] = "later" if outcome == "after" else outcome
        entry = GateEntry(at=now, door=door.id, opens=door.opens, outcome=kept, checks=checks)
        reply = Reply(kind=outcome, at=now, station=self._tree.station_of[door.id])
        if outcome == "open":
            self._at_work.add(door.opens)
        self._cursor = None
        self._change(now, **self._replied(door.id, reply), gates=[*self.record.gates, entry])
