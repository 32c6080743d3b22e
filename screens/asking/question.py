"""One question at a time: one key or one tap for each answer, and what is settled always in sight."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic
from typing import ClassVar

from rich.cells import cell_len
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, Static

from switchleg.errors import SwitchlegError
from switchleg.session.views.model import TYPE_KEY, Change, Choice, QuestionView

from ..pages.question_page import QuestionPage
from ..parts.answers import Answers
from ..parts.body import Body
from ..parts.dialogs import plain
from ..parts.typed_answer import TypedAnswer
from ..parts.widgets import Pick
from ..parts.words.fit_text import rows
from ..parts.words.settled_facts import one_line, open_panel, panel

CANT_TELL = "Can't tell from here"
ECHO_S = 0.3
"""A tap, Space or Enter that comes sooner after a gate was opened was meant for the gate."""
PANEL_FROM = 72
"""Columns from which what is settled stands beside the question instead of above it."""


class QuestionScreen(QuestionPage):
    """The question in view; every answer is saved before the next one shows."""

    CSS_PATH = "question.tcss"
    HELP = (
        "Press the key in front of an answer, or tap it. Every answer is saved at once; you can stop at any "
        'time and go on later. "Can\'t tell" is a good answer: it is asked again where it can be seen.'
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "back", "Back", id="question.back", tooltip="Show the question before this one"),
        Binding("g", "onward", "Go on", id="question.onward", tooltip="Leave this answer as it is and go on"),
        Binding("w", "why", "Why?", id="question.why", tooltip="Why this is asked and what it settles"),
        Binding("l", "look", "Look", id="question.look", tooltip="Where to look"),
        Binding("p", "picture", "Picture", id="question.picture", tooltip="A drawing of it, in words too"),
        Binding("o", "note", "Note", id="question.note", tooltip="Write a note to this question"),
        Binding("r", "review", "Review", id="question.review", tooltip="See all answers and change any"),
        Binding(
            "f",
            "offers",
            "From this home",
            show=False,
            id="question.offers",
            tooltip="What other fans of this home answered",
        ),
        Binding("k", "card", "Card", id="question.card", tooltip="The card on what is known so far"),
        Binding(
            "escape",
            "leave",
            "List",
            key_display="esc",
            id="question.leave",
            tooltip="Stop here and go to the list of fans; all is saved",
        ),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.since = monotonic()

    def body(self) -> ComposeResult:
        yield Static("", id="settled-line", markup=False)
        with Horizontal(id="main"):
            with Body(id="body"):
                yield Static("", id="reminder", classes="caution", markup=False)
                yield Static("", id="second-look", classes="quiet", markup=False)
                yield Static("", id="ask", markup=False)
                yield Static("", id="caution", classes="caution", markup=False)
                yield Static("", id="earlier", classes="quiet", markup=False)
                yield Answers()
                yield TypedAnswer()
                yield Static("", id="note", classes="quiet", markup=False)
                yield Static("", id="look", classes="aside", markup=False)
                yield Static("", id="picture", classes="picture", markup=False)
                yield Static("", id="why", classes="aside", markup=False)
            with Vertical(id="side"):
                yield Static("", id="picture-beside", classes="picture", markup=False)
                with VerticalScroll(id="settled-panel", can_focus=False):
                    yield Static("", id="settled", markup=False)
                yield Static("", id="open", markup=False)

    @property
    def typing(self) -> TypedAnswer:
        return self.query_one(TypedAnswer)

    @property
    def picks(self) -> list[Pick]:
        return list(self.query_one(Answers).picks)

    def paint(self) -> None:
        """Show the question in view, in the widgets that are there already."""
        view = self.view
        if view is None:
            return
        with self.app.batch_update():
            self._paint_around(view)
            self.put("reminder", view.reminder)
            self.put("second-look", "Asked again: it could not be told before." if view.second_look else "")
            self.put("ask", view.ask)
            power = "Power is ON for this reading. " if view.power_on else ""
            self.put("caution", f"! {power}{view.caution}".rstrip() if power or view.caution else "")
            self.put("earlier", f"Your answer so far: {view.earlier}" if view.earlier else "")
            self.put("note", f"Note: {view.note}" if view.note else "")
            self._show_answers(view)
            self.typing.close()
            self.fit()
            self.query_one("#body", Body).scroll_home(animate=False)
            self.keys.refresh_keys()
        self.call_after_refresh(self.show_more_cue)

    def _paint_around(self, view: QuestionView) -> None:
        session, record = self.session, self.session.record
        progress = session.progress
        least, most = progress.least_left, progress.most_left
        left = f"{least}" if least == most else f"{least}–{most}"
        wide = self.app.size.width >= PANEL_FROM
        answered = f"{progress.answered} answered, " if wide else ""
        place = view.station_title if wide else view.station
        self.head(f"{record.name} · {place}", f"{answered}{left} left")
        self.banner(self.ui.standing_remark())
        if wide:
            self.query_one("#settled", Static).update(panel(session.settled))
            self.query_one("#settled-panel").scroll_end(animate=False)
            side = self.query_one("#side")
            still_open = open_panel(session.still_open, side.size.width - 3, max(4, side.size.height // 3))
            self.query_one("#open", Static).update(still_open)
            self.query_one("#open").display = bool(still_open)
        else:
            told = one_line(session.settled, session.still_open, self.app.size.width - 2)
            self.query_one("#settled-line", Static).update(told)

    def _show_answers(self, view: QuestionView) -> None:
        wanted = [(choice.key, choice.label, self._is_earlier(view, choice)) for choice in view.choices]
        wanted.append((view.cant_tell_key, CANT_TELL, view.earlier == "can't tell"))
        self.query_one(Answers).show([(key, label, "(now)" if earlier else "") for key, label, earlier in wanted])
        chosen = [pick for pick, (_, _, earlier) in zip(self.picks, wanted, strict=True) if earlier]
        self.set_focus((chosen or self.picks)[0], scroll_visible=False)

    @staticmethod
    def _is_earlier(view: QuestionView, choice: Choice) -> bool:
        return bool(view.earlier) and choice.label == view.earlier

    def fit(self) -> None:
        """Lay the answers out as targets of three rows; show "look", drawing and "why" in what room is left."""
        view = self.view
        body = self.query_one("#body", Body)
        width, height = body.size.width - 2, body.size.height
        if view is None or width <= 0:
            return
        shown = ("reminder", "second-look", "ask", "caution", "earlier", "note")
        texts = [str(self.query_one(f"#{id}", Static).content) for id in shown if self.query_one(f"#{id}").display]
        needed = sum(rows(text, width) for text in texts) + 1
        look = rows(f"Where to look: {view.look}", width) + 1
        answers = self.query_one(Answers)
        if self.typing.is_open:
            answers.lay_out("plain", width)
            spare = height - needed - answers.rows("plain", width) - 5
        else:
            spare = height - needed - answers.fit(width, height - needed, look, self.app.size.height)
        beside = self.drawing_beside()
        self.put("picture-beside", beside)
        drawn = "" if beside else self.titled_drawing()
        for id, text, wide, high in (
            ("look", f"Where to look: {view.look}", 0, look),
            ("picture", drawn, cell_len(max(drawn.split("\n"), key=cell_len)), drawn.count("\n") + 2),
            ("why", f"Why: {view.why}", 0, rows(f"Why: {view.why}", width) + 1),
        ):
            shows = bool(text) and high <= spare and wide <= width
            self.put(id, text if shows else "")
            spare -= high if shows else 0

    def on_resize(self) -> None:
        self.call_after_refresh(self._resized)

    def _resized(self) -> None:
        view = self.view
        if view is not None and self.alive:
            self._paint_around(view)
            self.fit()
            self.call_after_refresh(self.show_more_cue)

    def on_key(self, event: events.Key) -> None:
        """A digit or letter that stands in front of an answer gives that answer."""
        if not self.awake or isinstance(self.focused, Input):
            return
        key = event.character or ""
        for pick in self.picks:
            if pick.key == key:
                event.stop()
                self.choose(pick)
                return
        typed = next((pick for pick in self.picks if pick.key == TYPE_KEY), None)
        if key.isdigit() and typed is not None:
            event.stop()
            self._type(key)

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if monotonic() - self.since > ECHO_S:
            self.choose(event.pick)

    def choose(self, pick: Pick) -> None:
        """Give the answer that `pick` stands for, or open the line to type it."""
        view = self.view
        if view is None or not self.awake:
            return
        if pick.key == view.cant_tell_key:
            self._reply(self.session.cant_tell, lambda: self.session.preview(None))
            return
        choice = next((choice for choice in view.choices if choice.key == pick.key), None)
        if choice is None:
            return
        if choice.typed:
            self._type(choice.key if choice.key.isdigit() else "")
        elif (value := choice.value) is not None:
            self._reply(lambda: self.session.answer(value), lambda: self.session.preview(value))

    def _reply(self, act: Callable[[], object], weigh: Callable[[], Change]) -> None:
        """Give an answer; one that was picked from the review is weighed first."""
        self.say("")
        if (view := self.view) and view.node == self.ui.weighing and not self.session.read_only:
            self.ui.open_screen("change", weigh, act)
            return
        with self.calmly():
            act()
        self.ui.show_place()

    def _type(self, text: str) -> None:
        """Open the line for typed answers with `text` in it."""
        if view := self.view:
            self.typing.open(view.typed_hint, text, replace=view.kind == "count")
            self.fit()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        text = event.value.strip()
        if not self.awake:
            return
        if not text:
            self.typing.fault("Type a value first, or press Esc.")
            return
        if (view := self.view) and view.node == self.ui.weighing and not self.session.read_only:
            self._weigh_text(text)
            return
        try:
            self.session.answer_text(text)
        except SwitchlegError as error:
            if self.session.save_error is None:
                self.typing.fault(plain(error))
                return
            self.say(plain(error), error=True)
        else:
            self.say("")
        self.ui.show_place()

    def _weigh_text(self, text: str) -> None:
        try:
            change = self.session.preview_text(text)
        except SwitchlegError as error:
            self.typing.fault(plain(error))
            return
        self.ui.open_screen("change", lambda: change, lambda: self.session.answer_text(text))

    def action_back(self) -> None:
        self.say("")
        if self.session.back():
            self.ui.show_place()
        else:
            self.say("This is the first question.")

    def action_onward(self) -> None:
        self.say("")
        self.session.onward()
        self.ui.show_place()

    def action_leave(self) -> None:
        """Close the typing line; without one, go to the list."""
        if self.typing.is_open:
            self.typing.close()
            self.set_focus(self.picks[0])
            self.fit()
        else:
            self.ui.show_list()

    def can(self, action: str) -> bool:
        if action == "onward":
            return bool((view := self.view) and view.earlier)
        return super().can(action)
