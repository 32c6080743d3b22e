"""The safety checks of the work: confirmed before the next step, and anew after each pause."""

from __future__ import annotations

from switchleg.session.views.model import DoorView, WorkView

from ..pages.gate_page import GatePage


class WorkGateScreen(GatePage):
    """The safety checks before the next step, every one confirmed anew after each pause."""

    HELP = (
        "Power may have come back while you were away. Do each check, then confirm it. "
        '"Not now" keeps your place in the work.'
    )

    @property
    def work(self) -> WorkView | None:
        return self.ui.session.work if self.ui.session is not None else None

    @property
    def door(self) -> DoorView | None:
        """The gate before the next step; None when none is shut."""
        return work.gate if (work := self.work) is not None else None

    def go_through(self, door: DoorView) -> None:  # noqa: ARG002
        self.say("")
        with self.calmly():
            self.session.open_work(self.confirmed)
            self.ui.show_work()

    def action_later(self) -> None:
        self.ui.leave_work()

    def action_back(self) -> None:
        self.ui.leave_work()
