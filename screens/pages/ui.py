"""What a page may ask of the app it stands in, so that no page needs to know the app or another screen."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, Literal, Protocol, overload

from textual.screen import Screen

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.paper.fan import Kind
    from switchleg.record.store import Store
    from switchleg.record.summary import Summary
    from switchleg.session.session import Session
    from switchleg.session.views.model import Change


class Ui(Protocol):
    """The open record, what the app knows, and the ways to other screens."""

    store: Store
    session: Session | None
    introduced: set[str]
    """Stations that have been introduced since the record was opened."""
    weighing: str
    """The question that was picked from the review: another answer is weighed before it is taken."""

    @property
    def plain_signs(self) -> bool:
        """Nothing but ASCII goes to the terminal."""

    def knowledge(self) -> Knowledge: ...

    def open_record(self, name: str) -> None:
        """Open a record by id or name and stand where it stopped; SwitchlegError when it cannot be opened."""

    def create_record(self, name: str, home: str) -> None:
        """Begin a new record and open it."""

    def demo_remark(self) -> str:
        """What stands under the top line while the records are thrown away at the end."""

    def standing_remark(self) -> str:
        """What stands under the top line of an open record: read-only and why, not saved, a demo."""

    @overload
    def open_screen(self, name: Literal["card", "compare", "deleted", "review"], /) -> None: ...
    @overload
    def open_screen(
        self, name: Literal["change"], work_out: Callable[[], Change], accept: Callable[[], object], /
    ) -> None: ...
    @overload
    def open_screen(self, name: Literal["export"], title: str, paper: Callable[[Kind], str], /) -> None: ...
    @overload
    def open_screen(self, name: Literal["home"], home: str, fans: Iterable[Summary], /) -> None: ...
    @overload
    def open_screen(self, name: Literal["labels"], fan: Summary, /) -> None: ...
    def open_screen(self, name: str, /, *about: Any) -> None:
        """Open the screen of this name above the present one, with what it is about."""

    def ask_for_new(self, home: str = "") -> None:
        """Ask for the name of a new fan and its home."""

    def show_place(self) -> None:
        """Show the screen for where the session stands, in place of everything above the list."""

    def tell_next_look(self) -> None:
        """Say which look brings the decision closest, once that is worked out."""

    def show_offers(self) -> bool:
        """Show what other fans of this home answered, when there is any to offer."""

    def show_work(self) -> None:
        """Show the work where it was left, above the card."""

    def leave_work(self) -> None:
        """From the work back to the card under it."""

    def show_export(self) -> None:
        """Ask where to write the open fan's paper."""

    def show_list(self) -> None:
        """Back to the list of records; the open one is let go."""

    def close(self, screen: Screen[Any]) -> None:
        """Leave a screen for the one below; a second key that asks for it finds it gone."""
