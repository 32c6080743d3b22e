"""What stands beside a question, one key away: why, where to look, a note, the review, the card."""

from __future__ import annotations

from switchleg.session.session import Session
from switchleg.session.views.model import QuestionView

from ..parts.dialogs import LineDialog, TextDialog
from .picture_page import PicturePage


class QuestionPage(PicturePage):
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

    @property
    def pictured(self) -> QuestionView | None:
        return self.view

    def action_why(self) -> None:
        if view := self.view:
            self.app.push_screen(TextDialog("Why this is asked", f"{view.why}\n\nIt settles: {view.settles}"))

    def action_look(self) -> None:
        if view := self.view:
            self.app.push_screen(TextDialog("Where to look", view.look))

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
        self.ui.open_screen("review")

    def action_card(self) -> None:
        self.ui.open_screen("card")
