"""The questionnaire as a talk: says what the session shows, hears a line, tells the session."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from switchleg.command.saved.card_text import card_text
from switchleg.command.shell.output import complain, say, say_wrapped
from switchleg.command.talk import on_demand, orders, understand, work
from switchleg.command.talk import say as ask_say
from switchleg.command.talk.hear import LONGEST, Quit, hear
from switchleg.command.talk.orders import Outside
from switchleg.command.talk.understand import Command
from switchleg.errors import SwitchlegError
from switchleg.record.atomic_write import NotSaved
from switchleg.session.session import Session
from switchleg.session.views.model import CardView, Choice, DoorView, QuestionView, View


@dataclass
class Conversation:
    """One talk over one session, with what it may do beyond it."""

    session: Session
    outside: Outside
    _said: tuple[str, int] | None = None
    _introduced: set[str] = field(default_factory=set)
    _offered: set[str] = field(default_factory=set)
    _to_change: str = ""
    _card_said: object = None
    _changes: int = 0

    def go_on(self) -> None:
        """Talks until the person leaves; raises Quit, or EndOfInput when nothing more is typed."""
        while True:
            view = self.session.view
            if self._offer(view):
                continue
            self._show(view)
            line = hear("Answer:" if isinstance(view, QuestionView) else "You:")
            if len(line) > LONGEST:
                say_wrapped(f"That line is longer than {LONGEST} signs. Please say it shorter.")
            elif not line:
                say_wrapped("Nothing was typed. Type an answer, c for can't tell, or help.")
            else:
                try:
                    self._hear(view, line)
                except NotSaved as unsaved:
                    complain(unsaved.line())
                    self._changes += 1
                except SwitchlegError as fault:
                    say_wrapped(f"{fault.line().rstrip('.')}. Please try again, or type help.")

    def _show(self, view: View) -> None:
        place = (view.node if isinstance(view, QuestionView | DoorView) else "card", self._changes)
        if place == self._said:
            return
        self._said = place
        if isinstance(view, QuestionView):
            ask_say.question(view, self._number(view), introduced=view.station in self._introduced)
            self._introduced.add(view.station)
        elif isinstance(view, DoorView):
            ask_say.door(view, self.session.door_hint().text)
            self._introduced.add(view.opens)
        else:
            card = self.session.card()
            if card != self._card_said:
                self._card()
            ask_say.end(view, self.session.record.id, self.session.look_now())

    def _number(self, view: QuestionView) -> int:
        asked = [row.node for row in self.session.review if row.kind != "door"]
        return asked.index(view.node) + 1 if view.node in asked else len(asked) + 1

    def _hear(self, view: View, line: str) -> None:
        if isinstance(view, QuestionView):
            self._at_question(view, line)
        elif isinstance(view, DoorView):
            self._at_door(view, line)
        else:
            self._at_card(view, line)

    def _at_question(self, view: QuestionView, line: str) -> None:
        option = understand.choice(view, line)
        if option is not None and option.typed:
            say_wrapped(f"Please type {view.typed_hint or 'it'}.".replace("..", "."))
            return
        if option is None and understand.fold(line) in understand.CANT_TELL:
            if self._to_change == view.node and view.earlier and not self._accepted(None, None):
                return
            self._tell(self.session.cant_tell, "Noted: can't tell from here.")
            return
        if option is None:
            order = understand.command(line)
            if order is not None:
                self._obey(view, order)
                return
        if self._to_change == view.node and view.earlier and not self._accepted(option, line):
            return
        if option is not None and option.value is not None:
            value = option.value
            self._tell(lambda: self.session.answer(value))
        elif view.kind == "choice" and not view.typed_hint:
            say_wrapped(understand.unclear(view, line))
            return
        else:
            self._tell(lambda: self.session.answer_text(line))
        for settled in self.session.settled:
            if settled.fact == view.fact:
                say_wrapped(f"Noted: {settled.label}: {settled.text}.")

    def _at_door(self, view: DoorView, line: str) -> None:
        said = understand.gate(line)
        if said == "open":
            self._checks(view)
        elif said == "later":
            self._tell(self.session.later, "Noted: not now. It can be opened later.")
        elif said == "decline":
            self._tell(self.session.decline, "Noted. That is a good answer.")
        elif said == "other":
            self._tell(self.session.other_first, "Good. This place waits.")
        else:
            order = understand.command(line)
            if order is None:
                other = f", {view.other} first" if view.other else ""
                say_wrapped(f"Please type open, not now{other}, or rather not; or help.")
            else:
                self._obey(view, order)

    def _checks(self, view: DoorView) -> None:
        confirmed: list[bool] = []
        while len(confirmed) < len(view.checks):
            say_wrapped(f"Check {len(confirmed) + 1} of {len(view.checks)}: {view.checks[len(confirmed)]}")
            line = hear("Done, yes or no:")
            said = understand.fold(line)
            order = understand.command(line)
            if said in understand.YES:
                confirmed.append(True)
            elif said in understand.NO or (order and order.word == "back"):
                say_wrapped("Then it stays shut for now. Nothing is lost.")
                self._changes += 1
                return
            elif understand.gate(line) in ("later", "decline", "other"):
                self._at_door(view, line)
                return
            elif order and order.word == "quit":
                raise Quit
            else:
                say_wrapped("Please type yes when it is done, or no; not now and rather not are fine too.")
        self._tell(lambda: self.session.open_door(confirmed), "Every check is confirmed.")

    def _at_card(self, view: CardView, line: str) -> None:
        order = understand.command(line)
        if order is not None:
            self._obey(view, order)
        else:
            say_wrapped("All questions are answered. Type review, change, export, help or quit.")

    def _tell(self, change: Callable[[], None], words: str = "") -> None:
        self._changes += 1
        try:
            change()
        except NotSaved:
            raise
        except SwitchlegError:
            self._changes -= 1
            raise
        if words:
            say_wrapped(words)

    def _obey(self, view: View, order: Command) -> None:
        word, rest = order.word, order.rest
        if word == "quit":
            raise Quit
        if word == "change":
            self._change(rest)
        elif word == "note":
            orders.note(self.session, view, rest)
        elif word in ("name", "circuit", "export"):
            getattr(orders, word)(self.outside, self.session, rest)
        elif word == "back":
            if self.session.back():
                self._changes += 1
            else:
                say_wrapped("This is the first step.")
        elif word in ("keep", "again"):
            if word == "keep":
                self.session.onward()
                self._to_change = ""
            self._changes += 1
        elif word == "open":
            self._open(view)
        elif word == "next":
            self._tell(self.session.take_look)
        elif word == "more":
            self._more(view)
        elif isinstance(view, QuestionView) and word in ("why", "look", "picture", "drawing") and not rest:
            on_demand.explain(view, word)
        elif isinstance(view, DoorView) and word in ("picture", "drawing"):
            on_demand.depict(view, word)
        elif word in ("look", "picture", "drawing"):
            say_wrapped("That word belongs to a question. Type again to hear where you are.")
        elif word == "offers":
            self._offered.clear()
            if not self._offer(view):
                say_wrapped("No other fan of this home has answered what is still open here.")
        elif word == "work":
            work.work_through(self.session)
            self._changes += 1
        else:
            self._report(word, rest)
            if isinstance(view, QuestionView):
                say()
                say_wrapped(f"The question was: {view.ask}")

    def _report(self, word: str, rest: str) -> None:
        """What is told without changing anything."""
        if word in ("settled", "progress", "review"):
            getattr(ask_say, word)(self.session)
        elif word == "why":
            on_demand.reasons(self.session, rest)
        elif word == "draw":
            on_demand.drawing(self.session, rest)
        elif word == "help":
            ask_say.help_words()
        elif word == "card":
            self._card()
        elif word == "compare":
            orders.compare(self.session, rest)
        elif not self.session.record.home:
            say_wrapped("This record has no home.")
        else:
            say(self.outside.home())

    def _offer(self, view: View) -> bool:
        """Offers what other fans of the home answered, once a station in a talk; True when something was said."""
        if not isinstance(view, QuestionView) or view.station in self._offered or view.earlier:
            return False
        offers = self.session.offers(view.station)
        self._offered.add(view.station)
        if not offers:
            return False
        taken = on_demand.choose_offers(offers)
        if taken:
            self._tell(lambda: self.session.take(taken), f"Taken over: {len(taken)}. The review says from where.")
        else:
            say_wrapped("None is taken over. Each is asked in its turn.")
        return True

    def _accepted(self, option: Choice | None, line: str | None) -> bool:
        """Whether a changed answer is wanted once it is said what it changes; `line` None is "can't tell"."""
        session = self.session
        if line is None:
            change = session.preview(None)
        elif option is not None and option.value is not None:
            change = session.preview(option.value)
        else:
            change = session.preview_text(line)
        if change.after == change.before:
            self._to_change = ""
            return True
        on_demand.change(change)
        said = understand.fold(hear("Take it, yes or no:"))
        if said == "quit":
            raise Quit
        self._to_change = ""
        if said in understand.YES:
            return True
        session.onward()
        self._changes += 1
        say_wrapped("Then it stays as it was.")
        return False

    def _card(self) -> None:
        say()
        self._card_said = self.session.card()
        say(card_text(self._card_said))

    def _open(self, view: View) -> None:
        if isinstance(view, DoorView):
            self._checks(view)
        elif self.session.waiting:
            self._tell(lambda: self.session.reopen(self.session.waiting[0].node))
            say_wrapped("Good. Its safety checks come first.")
        else:
            say_wrapped("Nothing was left for later.")

    def _more(self, view: View) -> None:
        if not isinstance(view, CardView) or not view.left_out:
            say_wrapped("Nothing was left out.")
            return
        self._tell(self.session.ask_the_rest, "Good. What was left out is asked too from here on.")

    def _change(self, text: str) -> None:
        node = orders.step_named(self.session, text)
        if node:
            self.session.go_to(node)
            self._to_change = node
            self._changes += 1
