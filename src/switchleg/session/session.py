"""One person's way through the tree: what to show, what was said, saved after every change.

A session owns no files and no screens. It holds the knowledge, the record and a `save` function;
`save` None means that the record is read-only. Every method that changes something either refuses
with a SwitchlegError and changes nothing, or changes the record and saves it at once. When only the
saving fails, the change stands in memory, `NotSaved` (a SwitchlegError) is raised, and the next
change or `save_again` writes everything.
"""

from __future__ import annotations

from typing import Literal

from switchleg.errors import SwitchlegError
from switchleg.record.ids import typed_text
from switchleg.record.model import Event
from switchleg.schema.questions import Again, Door, Fork, Question, Reply, Value
from switchleg.session import replies as fitting
from switchleg.session.gates import Gates
from switchleg.session.views import build
from switchleg.session.views.model import (
    CardView,
    Change,
    DoorView,
    OpenLine,
    Progress,
    QuestionView,
    ReviewRow,
    SettledLine,
    View,
)
from switchleg.session.views.regional import in_words
from switchleg.tree.values import check_value, parse_typed
from switchleg.tree.walk import remaining


class Session(Gates):
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
            return build.door_view(self._tree, self.record, drawn, node, self._other(node))
        question = build.question_at(self._tree, at)
        pictures = self._knowledge.pictures if question is not None and question.picture else {}
        station = self._tree.station_of[at]
        reminder = "" if station in self._at_work else build.reminder(self.record, station)
        return build.question_view(self._tree, self._walk, self.record, pictures, at, reminder)

    @property
    def settled(self) -> tuple[SettledLine, ...]:
        """The facts known so far as words, in the order they were settled."""
        return build.settled_lines(self._tree, self._walk)

    @property
    def still_open(self) -> tuple[OpenLine, ...]:
        """The facts that could not be told so far, each with where it is asked again."""
        return build.open_lines(self._tree, self._walk)

    @property
    def progress(self) -> Progress:
        """How far, and how much may still come."""
        replies, sparing = fitting.trusted(self._tree, self.record), self._way.sparing
        least, most = remaining(self._tree, self._walk, replies, sparing)
        return Progress(fitting.answered(self._tree, self._walk), least, most)

    @property
    def review(self) -> tuple[ReviewRow, ...]:
        """Every step of the way so far, gates included; pass a row's `node` to `go_to`."""
        return tuple(build.review_row(self._tree, self.record, step) for step in self._walk.steps)

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

    # Inside

    def _left_out(self) -> int:
        if self._walk.declined:
            return 0
        nodes = (self._tree.nodes[at] for at in self._walk.passed)
        return sum(isinstance(node, Question | Again) and node.fact not in self._way.facts for node in nodes)

    def _question(self) -> tuple[str, Question]:
        view = self.view
        if not isinstance(view, QuestionView):
            raise SwitchlegError(
                "no question is being asked now",
                mend="answer the gate first" if isinstance(view, DoorView) else "choose one from the review",
            )
        return view.node, self._tree.questions[view.fact]

    def _say(self, node: str, kind: Literal["value", "cant_tell"], value: Value | None = None) -> None:
        self._writable()
        now = self._clock()
        station = self._tree.station_of[node]
        changes = self._replied(node, Reply(kind=kind, value=value, at=now, station=station))
        self._at_work.add(station)
        self._cursor = None
        if changes:
            self._change(now, **changes)
