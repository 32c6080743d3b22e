"""The safety checks of the work: confirmed before the next step, and anew after each pause."""

from __future__ import annotations

from collections.abc import Sequence

from switchleg.session.views import DoorView, WorkView

from .station import StationScreen


class WorkGateScreen(StationScreen):
    """The safety checks before the next step, every one confirmed anew after each pause."""

    CSS_PATH = "station.tcss"
    HELP = (
        "Power may have come back while you were away. Do each check, then confirm it. "
        '"Not now" keeps your place in the work.'
    )

    @property
    def work(self) -> WorkView | None:
        return self.ui.session.work if self.ui.session is not None else None

    @property
    def door(self) -> DoorView | None:
        return work.gate if (work := self.work) is not None else None

    @property
    def shown(self) -> DoorView | None:
        return self.door

    def unlock(self, confirmed: Sequence[bool]) -> None:
        self.session.open_work(confirmed)
        self.ui.show_work()

    def action_later(self) -> None:
        self.ui.leave_work()

    def action_back(self) -> None:
        self.ui.leave_work()

    def can(self, action: str) -> bool:
        return action != "decline" and super().can(action)

    def _reply(self, act: object, opens: str = "") -> None:  # noqa: ARG002
        if callable(act):
            self.say("")
            with self.calmly():
                act()
