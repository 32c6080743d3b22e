"""What was deleted, also long ago: pick one to bring it back."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets.option_list import Option

from ..pages.page import Page
from ..parts.option_lines import Lines

if TYPE_CHECKING:
    from switchleg.record.summary import Summary


class DeletedScreen(Page[None]):
    """The deleted records, the latest first. Nothing is ever destroyed here."""

    AUTO_FOCUS = "#gone"
    HELP = "Deleted fans, the latest first. Enter brings the marked one back with all its answers."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "restore", "Bring back", key_display="enter", id="bin.restore", tooltip="Bring it back"),
        Binding("b,escape", "leave", "List", key_display="b", id="bin.leave", tooltip="Back to the list of fans"),
    ]

    def body(self) -> ComposeResult:
        yield Lines(id="gone", markup=False)

    def paint(self) -> None:
        with self.calmly():
            self._fill(self.ui.store.deleted())

    def _fill(self, found: list[Summary]) -> None:
        self.head("Deleted", f"{len(found)} fan{'' if len(found) == 1 else 's'}")
        lines = self.query_one("#gone", Lines)
        lines.clear_options()
        for line in found:
            home = f"\n  {line.home}" if line.home else ""
            lines.add_option(Option(Content.assemble((line.name, "bold"), home), id=line.id))
        if found:
            lines.highlighted = 0
        else:
            lines.add_option(Option("Nothing was deleted.", disabled=True))
        self.keys.refresh_keys()

    def on_option_list_option_selected(self, event: Lines.OptionSelected) -> None:
        event.stop()
        self.action_restore()

    def action_restore(self) -> None:
        lines = self.query_one("#gone", Lines)
        if lines.highlighted is None or not self.awake:
            return
        id = lines.get_option_at_index(lines.highlighted).id
        if id is not None:
            with self.calmly():
                back = self.ui.store.undelete(id)
                self.say(f"Back again: {back.name}.")
            self.paint()

    def action_leave(self) -> None:
        self.ui.close(self)

    def can(self, action: str) -> bool:
        if action == "restore":
            return self.is_mounted and self.query_one("#gone", Lines).highlighted is not None
        return super().can(action)
