"""A page with checks: each is confirmed by itself, and none that cannot be read."""

from __future__ import annotations

from ..parts.body import Body
from ..parts.checks import Checks
from ..parts.widgets import Pick
from .picture_page import PicturePage


class ChecksPage(PicturePage):
    """Marks the first check to act on, and confirms what is in sight."""

    @property
    def checks(self) -> list[Pick]:
        return self.query_one(Checks).picks

    @property
    def confirmed(self) -> list[bool]:
        return self.query_one(Checks).confirmed

    def show_more_cue(self) -> None:
        super().show_more_cue()
        if self.alive and self.focused is None:
            self.call_after_refresh(self.mark_first)

    def mark_first(self) -> None:
        """Mark the first line to act on as soon as it can be read."""
        if self.alive and self.focused is None:
            lines = self.checks or [self.query_one("#open", Pick)]
            readable = next((line for line in lines if self.in_sight(line)), None)
            if readable is not None:
                self.set_focus(readable, scroll_visible=False)

    def in_sight(self, pick: Pick) -> bool:
        body = self.query_one("#body", Body)
        return body.region.contains_region(pick.region)

    def confirm(self, pick: Pick) -> None:
        """Confirm one check, or take it back; one that cannot be read is only brought into sight."""
        self.say("")
        self.set_focus(pick)
        if not self.in_sight(pick):
            pick.scroll_visible(animate=False)
            self.say(f"Check {pick.key} is in sight now: read it, then press again.")
            return
        checks = self.query_one(Checks)
        checks.turn(pick)
        self.show_state()
        following = checks.missing_after(pick) or self.query_one("#open", Pick)
        if checks.is_confirmed(pick):
            self.set_focus(following)
            following.scroll_visible(animate=False)
        self.call_after_refresh(self.show_more_cue)

    def show_state(self) -> None:
        """Bring the marks and the way in up to date with what is confirmed."""
        raise NotImplementedError
