"""One person's way through the tree: what to show, what was said, saved after every change.

A session owns no files and no screens. It holds the knowledge, the record and a `save` function;
`save` None means that the record is read-only. Every method that changes something either refuses
with a SwitchlegError and changes nothing, or changes the record and saves it at once. When only the
saving fails, the change stands in memory, `NotSaved` (a SwitchlegError) is raised, and the next
change or `save_again` writes everything.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from typing import Literal

from switchleg.errors import SwitchlegError
from switchleg.record.ids import typed_text
from switchleg.record.model import Event, GateEntry, Record
from switchleg.session import doors, fitting, present
from switchleg.session.doors import DoorHint
from switchleg.session.in_words import in_words
from switchleg.session.ladder import Ladder
from switchleg.session.views import (
    CardView,
    Change,
    DoorView,
    LookNow,
    OpenLine,
    Progress,
    QuestionView,
    ReviewRow,
    SettledLine,
    View,
)
from switchleg.tree.model import Again, Door, Fork, Question, Reply, Station, Value
from switchleg.tree.values import check_value, parse_typed
from switchleg.tree.walk import remaining


class Session(Ladder):
    """The questionnaire on one record."""

    # What there is to show

    @property
    def view(self) -> View:
        """What to show now, in the region's words: a question, a gate or the card."""
        return in_words(self._view(), self._knowledge, self._walk.facts.get("region"))

    def _view(self) -> View:
        at = self._cursor or self._walk.at
        node = self._tree.nodes.get(at)
        if node is None:
            left_out = self._left_out()
            return CardView(self._walk.declined, self.waiting, left_out, stopped=bool(left_out) and self._ended)
        if isinstance(node, Door):
            drawn = self._knowledge.pictures if node.picture else {}
            return present.door_view(self._tree, self.record, drawn, node, self._other(node))
        question = present.question_at(self._tree, at)
        pictures = self._knowledge.pictures if question is not None and question.picture else {}
        station = self._tree.station_of[at]
        reminder = "" if station in self._at_work else present.reminder(self.record, station)
        return present.question_view(self._tree, self._walk, self.record, pictures, at, reminder)

    @property
    def settled(self) -> tuple[SettledLine, ...]:
        """The facts known so far as words, in the order they were settled."""
        return present.settled_lines(self._tree, self._walk)

    @property
    def still_open(self) -> tuple[OpenLine, ...]:
        """The facts that could not be told so far, each with where it is asked again."""
        return present.open_lines(self._tree, self._walk)

    @property
    def progress(self) -> Progress:
        """How far, and how much may still come."""
        replies, sparing = fitting.trusted(self._tree, self.record), self._way.sparing
        least, most = remaining(self._tree, self._walk, replies, sparing)
        return Progress(fitting.answered(self._tree, self._walk), least, most)

    @property
    def review(self) -> tuple[ReviewRow, ...]:
        """Every step of the way so far, gates included; pass a row's `node` to `go_to`."""
        return tuple(present.review_row(self._tree, self.record, step) for step in self._walk.steps)

    @property
    def waiting(self) -> tuple[DoorView, ...]:
        """Gates on the way that were answered "not now", the one first that brings most for its trouble."""
        put_off = [door for door in map(self._tree.nodes.get, self._walk.later) if isinstance(door, Door)]
        if len(put_off) > 1 and self._way.needed is not None and not self._way.needed.ended:
            order = self._worth(frozenset(door.opens for door in put_off))
            put_off.sort(key=lambda door: order.index(door.opens))
        return tuple(present.door_view(self._tree, self.record, {}, door) for door in put_off)

    # Answers

    def answer(self, value: Value) -> None:
        """Answer the question in view with a value (a Choice's `value`).

        Raises SwitchlegError when no question is in view or the value does not suit it.
        """
        node, question = self._question()
        tables = self._knowledge.tables if question.kind == "measure" else {}
        self._say(node, "value", check_value(question, value, tables))

    def answer_text(self, text: str) -> None:
        """Answer the question in view with typed text ("yes", "3", "1.2 a"); errors as for `answer`."""
        node, question = self._question()
        tables = self._knowledge.tables if question.kind == "measure" else {}
        self._say(node, "value", parse_typed(question, typed_text(text), tables))

    def cant_tell(self) -> None:
        """Say "can't tell from here" to the question in view."""
        node, _ = self._question()
        self._say(node, "cant_tell")

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
            found = doors.hint(self._knowledge, self._way, self._other(door), opened)
            self._hint = (door.id, self.record, found)
        return self._hint[2]

    def ask_the_rest(self) -> None:
        """Ask the questions too that were left out, from the first of them on."""
        self._writable()
        self._cursor = None
        if not self.record.asks_everything:
            self._change(self._clock(), asks_everything=True)

    def note(self, node: str, text: str) -> None:
        """Keep a note with a node (any question, second look or gate); "" takes it away."""
        self._writable()
        if node not in self._tree.nodes or isinstance(self._tree.nodes[node], Fork):
            raise SwitchlegError(f"there is no question {node!r} to keep a note with")
        text = typed_text(text).strip()
        old = self.record.notes.get(node, "")
        if text == old:
            return
        now = self._clock()
        notes = {key: kept for key, kept in self.record.notes.items() if key != node}
        history = self.record.history
        self._change(
            now,
            notes={**notes, node: text} if text else notes,
            history=[*history, Event(at=now, node=node, note=old)] if old else history,
        )

    def rename(self, name: str, home: str | None = None, breaker: str | None = None) -> None:
        """Give the record another name, and another home or breaker label when given; its id stays."""
        self._writable()
        name = typed_text(name).strip()
        if not name:
            raise SwitchlegError("a record needs a name", expected="a room or a fan")
        home = self.record.home if home is None else typed_text(home).strip()
        label = self.record.breaker_label if breaker is None else typed_text(breaker).strip()
        if (name, home, label) != (self.record.name, self.record.home, self.record.breaker_label):
            self._change(self._clock(), name=name, home=home, breaker_label=label)

    def preview(self, value: Value | None) -> Change:
        """What another answer to the earlier question in view would change, before it is taken; None is "can't
        tell". Nothing is changed or saved. Errors as for `answer`, and when the question has no answer yet."""
        from switchleg.session.preview import preview

        node, question = self._question()
        if self._cursor is None:
            raise SwitchlegError("this question has no answer to change yet", mend="answer it, or choose one earlier")
        if value is not None:
            tables = self._knowledge.tables if question.kind == "measure" else {}
            value = check_value(question, value, tables)
        return preview(self._copy, node, value)

    def preview_text(self, text: str) -> Change:
        """`preview` for typed text."""
        _, question = self._question()
        tables = self._knowledge.tables if question.kind == "measure" else {}
        return self.preview(parse_typed(question, typed_text(text), tables))

    def _copy(self) -> Session:
        """A session on the same record that saves nowhere."""
        copy = Session(self._knowledge, self.record, lambda _: None, self._clock)
        copy._advice = self._advice
        return copy

    # Moving about

    def back(self) -> bool:
        """Show the step before the one in view; False when there is none. Nothing is changed."""
        path = [step.node_id for step in self._walk.steps]
        here = path.index(self._cursor) if self._cursor in path else len(path)
        if here == 0:
            return False
        self._cursor = path[here - 1]
        return True

    def go_to(self, node: str) -> None:
        """Show an earlier step of the way, to change it. SwitchlegError when it is not on the way."""
        if node == self._walk.at:
            self._cursor = None
        elif any(step.node_id == node for step in self._walk.steps) or node in self._walk.after:
            self._cursor = node
        else:
            raise SwitchlegError(f"{node!r} was not asked on this way", mend="choose one from the review")

    def onward(self) -> None:
        """Leave an earlier step as it is and show what is to be asked next."""
        self._cursor = None

    def reopen(self, door: str) -> None:
        """Show a gate that waits ("the canopy is open now"); `open_door` then goes to its questions."""
        if not isinstance(self._tree.nodes.get(door), Door):
            raise SwitchlegError(f"{door!r} is no gate", mend="choose one that waits")
        self.go_to(door)

    def look_now(self) -> LookNow | None:
        """The look that the card names first and that can be taken now; each is offered once before any comes again.

        None when there is none, or nothing can be answered. Works the verdict out if it is not there yet.
        """
        looks = () if self.read_only else present.looks_now(self._tree, self._walk, self.advice().next_checks)
        return next((look for look in looks if look.fact not in self._offered), looks[0] if looks else None)

    def take_look(self) -> None:
        """Show the question of `look_now`; SwitchlegError when there is none."""
        look = self.look_now()
        if look is None:
            raise SwitchlegError("no look that the card names can be taken now", mend="choose one from the review")
        self._offered = {*(() if look.fact in self._offered else self._offered), look.fact}
        self.go_to(look.node)

    # Inside

    _offered: Set[str] = frozenset()
    """Facts whose looks were taken from the card in this round."""
    _hint: tuple[str, Record, DoorHint] | None = None
    _order: tuple[object, tuple[Station, ...]] | None = None

    def _worth(self, shut: frozenset[Station]) -> tuple[Station, ...]:
        from switchleg.advice.door_order import by_worth

        if self._order is None or self._order[0] != (shut, self.record.replies):
            found = by_worth(self._knowledge, self._way.facts, self._way.untold, shut)
            self._order = ((shut, self.record.replies), found)
        return self._order[1]

    def _left_out(self) -> int:
        if self._walk.declined:
            return 0
        nodes = (self._tree.nodes[at] for at in self._walk.passed)
        return sum(isinstance(node, Question | Again) and node.fact not in self._way.facts for node in nodes)

    def _other(self, door: Door) -> Door | None:
        return doors.other_station(self._tree, self._way, fitting.trusted(self._tree, self.record), door)

    def _question(self) -> tuple[str, Question]:
        view = self.view
        if not isinstance(view, QuestionView):
            raise SwitchlegError(
                "no question is being asked now",
                mend="answer the gate first" if isinstance(view, DoorView) else "choose one from the review",
            )
        return view.node, self._tree.questions[view.fact]

    def _door(self) -> Door:
        door = self._tree.nodes.get(self._cursor or self._walk.at)
        if not isinstance(door, Door):
            raise SwitchlegError("no gate is to be opened now", mend="answer the question in view")
        return door

    def _say(self, node: str, kind: Literal["value", "cant_tell"], value: Value | None = None) -> None:
        self._writable()
        now = self._clock()
        station = self._tree.station_of[node]
        changes = self._replied(node, Reply(kind=kind, value=value, at=now, station=station))
        self._at_work.add(station)
        self._cursor = None
        if changes:
            self._change(now, **changes)

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
