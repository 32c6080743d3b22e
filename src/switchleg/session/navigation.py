"""Moving about in a walk: earlier steps are looked at, and left as they are. Nothing here changes the record."""

from __future__ import annotations

from collections.abc import Set

from switchleg.errors import SwitchlegError
from switchleg.session.views import build
from switchleg.session.views.model import LookNow
from switchleg.session.work_progress import Ladder


class Moving(Ladder):
    """A session in which any step of the way can be shown again."""

    _offered: Set[str] = frozenset()
    """Facts whose looks were taken from the card in this round."""

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

    def look_now(self) -> LookNow | None:
        """The look that the card names first and that can be taken now; each is offered once before any comes again.

        None when there is none, or nothing can be answered. Works the verdict out if it is not there yet.
        """
        looks = () if self.read_only else build.looks_now(self._tree, self._walk, self.advice().next_checks)
        return next((look for look in looks if look.fact not in self._offered), looks[0] if looks else None)

    def take_look(self) -> None:
        """Show the question of `look_now`; SwitchlegError when there is none."""
        look = self.look_now()
        if look is None:
            raise SwitchlegError("no look that the card names can be taken now", mend="choose one from the review")
        self._offered = {*(() if look.fact in self._offered else self._offered), look.fact}
        self.go_to(look.node)
