"""What stands beside a question, one key away: why, where to look, a drawing, a note, the review, the card."""

from __future__ import annotations

from switchleg.session.session import Session
from switchleg.session.views import QuestionView

from .dialogs import LineDialog, TextDialog
from .page import Page


class AsidesPage(Page[None]):
    """A page with a question in view; what it opens changes no answer."""

    @property
    def session(self) -> Session:
        assert self.ui.session is not None
        return self.ui.session

    @property
    def view(self) -> QuestionView | None:
        """The question in view; None for the moment in which the screen is being replaced."""
        view = self.ui.session.view if self.ui.session is not None else None
        return view if isinstance(view, QuestionView) else None

    def drawing(self, view: QuestionView) -> str:
        """The drawing in the signs that this terminal shows; "" when there is none."""
        return view.picture_ascii if self.ui.plain_signs else view.picture

    def titled_drawing(self, view: QuestionView) -> str:
        drawn = self.drawing(view)
        return f"{view.picture_title}\n{drawn}" if drawn else ""

    def action_why(self) -> None:
        if view := self.view:
            self.app.push_screen(TextDialog("Why this is asked", f"{view.why}\n\nIt settles: {view.settles}"))

    def action_look(self) -> None:
        if view := self.view:
            self.app.push_screen(TextDialog("Where to look", view.look))

    def action_picture(self) -> None:
        """The drawing with what it shows in words, for whoever cannot see it."""
        if (view := self.view) and view.picture:
            self.app.push_screen(TextDialog(view.picture_title, view.picture_says, drawn=self.drawing(view)))

    def action_note(self) -> None:
        if (view := self.view) is None:
            return
        node = view.node

        def keep(text: str) -> None:
            if self.ui.session is not None:
                with self.calmly():
                    self.session.note(node, text)
                self.ui.show_place()

        self.app.push_screen(LineDialog("A note", view.note, keep, prompt=view.ask))

    def action_offers(self) -> None:
        if not self.ui.show_offers():
            self.notice.say("No other fan of this home has answered what is still open here.")

    def action_review(self) -> None:
        from .review import ReviewScreen

        self.app.push_screen(ReviewScreen())

    def action_card(self) -> None:
        from .card import CardScreen

        self.app.push_screen(CardScreen())
