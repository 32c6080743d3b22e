"""A page whose question or gate may have a drawing: one key away, and in words."""

from __future__ import annotations

from switchleg.session.views.model import DoorView, QuestionView

from ..parts.dialogs import TextDialog
from .page import Page

BESIDE_FROM = 110
"""Columns from which a drawing has room beside the text."""


class PicturePage(Page[None]):
    """What shows a drawing tells by `pictured` whose it is."""

    @property
    def pictured(self) -> QuestionView | DoorView | None:
        """What is in view; None when nothing is."""
        raise NotImplementedError

    def drawing(self) -> str:
        """The drawing in the signs that this terminal shows; "" when there is none."""
        view = self.pictured
        if view is None:
            return ""
        return view.picture_ascii if self.ui.plain_signs else view.picture

    def titled_drawing(self) -> str:
        drawn, view = self.drawing(), self.pictured
        return f"{view.picture_title}\n{drawn}" if drawn and view is not None else ""

    def drawing_beside(self) -> str:
        """The drawing with its title where the window is wide and high enough for it, else ""."""
        drawn, size = self.titled_drawing(), self.app.size
        return drawn if size.width >= BESIDE_FROM and drawn.count("\n") < size.height // 2 else ""

    def action_picture(self) -> None:
        """The drawing with what it shows in words, for whoever cannot see it."""
        if (view := self.pictured) and view.picture:
            self.app.push_screen(TextDialog(view.picture_title, view.picture_says, drawn=self.drawing()))

    def can(self, action: str) -> bool:
        if action == "picture":
            return bool((view := self.pictured) and view.picture)
        return super().can(action)
