"""Every answer of the way so far; pick one to change it, and come back to where you were."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets.option_list import Option

from switchleg.session.views.model import ReviewRow

from ..pages.page import Page
from ..parts.option_lines import Lines
from ..parts.words.settled_facts import STATION_WORDS


def row_words(row: ReviewRow) -> Content:
    """One answer as it stands in the list."""
    answer = "can't tell yet" if row.cant_tell else row.answer_text
    sign = "?" if row.cant_tell else "="
    remark = " (changed)" if row.changed else f" (from {row.from_fan})" if row.from_fan else ""
    parts: list[str | tuple[str, str]] = [row.ask, "\n  ", (f"{sign} {answer}", "bold"), remark]
    if row.note:
        parts.append(f"\n  Note: {row.note}")
    return Content.assemble(*parts)


class ReviewScreen(Page[None]):
    """All answers by station. Enter or a tap asks one again; nothing changes until it is answered."""

    AUTO_FOCUS = "#rows"
    HELP = "Pick an answer to change it. Answers that still apply are kept, and you come back to where you were."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "change",
            "Change",
            key_display="enter",
            id="review.change",
            tooltip="Ask the marked question again",
        ),
        Binding("b,escape", "leave", "Back", key_display="b", id="review.leave", tooltip="Change nothing"),
    ]

    def body(self) -> ComposeResult:
        yield Lines(id="rows", markup=False)

    def paint(self) -> None:
        session = self.ui.session
        if session is None:
            return
        found = session.review
        self.head(f"{session.record.name} · all answers", str(len(found)))
        self.banner(self.ui.standing_remark())
        rows = self.query_one("#rows", Lines)
        rows.clear_options()
        station = ""
        for row in found:
            if row.station != station:
                station = row.station
                rows.add_option(Option(Content.styled(STATION_WORDS[station], "bold $secondary"), disabled=True))
            rows.add_option(Option(row_words(row), id=row.node))
        if found:
            rows.highlighted = rows.get_option_index(found[-1].node)
        else:
            rows.add_option(Option("Nothing answered yet.", disabled=True))

    def on_option_list_option_selected(self, event: Lines.OptionSelected) -> None:
        event.stop()
        self.action_change()

    def action_change(self) -> None:
        rows, session = self.query_one("#rows", Lines), self.ui.session
        if rows.highlighted is None or session is None or not self.awake:
            return
        node = rows.get_option_at_index(rows.highlighted).id
        if node is None:
            return
        with self.calmly():
            session.go_to(node)
            self.ui.weighing = node
            self.ui.show_place()

    def action_leave(self) -> None:
        self.ui.show_place()
