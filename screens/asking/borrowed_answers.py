"""Answers of the home's other fans, offered to this one: each is taken only when it is marked and said."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from switchleg.session.views.model import Offer

from ..pages.page import Page
from ..parts.body import Body
from ..parts.checks import DONE, NOT_YET
from ..parts.widgets import Pick

KEYS = "123456789acdefghijk"


class BorrowedAnswersScreen(Page[None]):
    """Nothing is marked at the start: what holds here too is marked by whoever stands here."""

    CSS_PATH = "borrowed_answers.tcss"
    AUTO_FOCUS = ""
    HELP = "Mark what holds for this fan too, then take it. The rest is asked as usual. Each can be changed later."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("x", "all", "Mark all", id="offers.all", tooltip="Mark every answer, or none"),
        Binding("t", "take", "Take", id="offers.take", tooltip="Take the marked answers over"),
        Binding("n,escape,b", "leave", "None", key_display="n", id="offers.leave", tooltip="Take none: ask me all"),
    ]

    def __init__(self, offers: tuple[Offer, ...]) -> None:
        super().__init__()
        self.offers = offers[: len(KEYS)]
        self.marked: set[str] = set()

    def body(self) -> ComposeResult:
        with Body(id="body"):
            yield Static("Other fans of this home have answered these. What holds here too?", id="ask", markup=False)
            with Vertical(id="offers"):
                for key, offer in zip(KEYS, self.offers, strict=False):
                    yield Pick(key, "", id=f"offer-{offer.fact}")
        yield Pick("t", "", id="take")

    def on_mount(self) -> None:
        super().on_mount()
        self.set_focus(self.query_one("#offers").query(Pick).first(), scroll_visible=False)

    def paint(self) -> None:
        session = self.ui.session
        self.head(f"{session.record.name} · from this home" if session is not None else "from this home")
        self.banner(self.ui.standing_remark())
        for key, offer in zip(KEYS, self.offers, strict=False):
            other = f" (but {'; '.join(offer.otherwise)})" if offer.otherwise else ""
            text = f"{offer.ask} {offer.text}, as in {offer.fan}{other}"
            self.query_one(f"#offer-{offer.fact}", Pick).show(
                key, text, mark=DONE if offer.fact in self.marked else NOT_YET
            )
        self.query_one("#take", Pick).show("t", f"Take the {len(self.marked)} that are marked")
        self.keys.refresh_keys()
        self.call_after_refresh(self.show_more_cue)

    def on_key(self, event: events.Key) -> None:
        for pick in self.query("#offers > Pick").results(Pick):
            if pick.key == event.character and self.awake:
                event.stop()
                self.turn(pick)

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if not self.awake:
            return
        if event.pick.id == "take":
            self.action_take()
        else:
            self.turn(event.pick)

    def turn(self, pick: Pick) -> None:
        """Mark one, or take the mark away."""
        self.marked ^= {(pick.id or "").removeprefix("offer-")}
        self.set_focus(pick)
        self.paint()

    def action_all(self) -> None:
        every = {offer.fact for offer in self.offers}
        self.marked = set() if self.marked == every else every
        self.paint()

    def action_take(self) -> None:
        session = self.ui.session
        if session is not None:
            with self.calmly():
                session.take([offer for offer in self.offers if offer.fact in self.marked])
        self.ui.show_place()

    def action_leave(self) -> None:
        self.ui.show_place()
