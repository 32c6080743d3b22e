"""The list of records: every fan with its home and where it stands; new, open, delete with undo."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets.option_list import Option

from switchleg.errors import SwitchlegError

from ..pages.page import Page
from ..parts.dialogs import plain
from ..parts.option_lines import Entry, Lines
from ..parts.words.standing import standing_words

if TYPE_CHECKING:
    from switchleg.record.summary import Summary


class RecordsScreen(Page[None]):
    """Every fan on record; the marked one opens with Enter or a tap."""

    AUTO_FOCUS = "#records"
    HELP = (
        "One line for each fan, under its home. Open one to go on where it stopped. What was deleted comes back with "
        "u, also after the program was closed."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "open",
            "Open",
            key_display="enter",
            id="records.open",
            tooltip="Go on with the marked fan where it stopped",
        ),
        Binding("n", "new", "New", id="records.new", tooltip="Begin with another fan"),
        Binding("h", "home", "Home", id="records.home", tooltip="The marked fan's home: one trip, one list of parts"),
        Binding("e", "edit", "Edit", id="records.edit", tooltip="The marked fan's name, home and breaker"),
        Binding("slash", "find", "Find", key_display="/", id="records.find", tooltip="Find a fan by its name or home"),
        Binding("d", "delete", "Delete", id="records.delete", tooltip="Delete the marked record; u brings it back"),
        Binding("u", "undo", "Undo", id="records.undo", tooltip="Bring back what was deleted, also long ago"),
        Binding("escape,q", "app.quit", "Quit", key_display="q", id="records.quit", tooltip="Close the program"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.summaries: dict[str, Summary] = {}
        self.deleted: list[str] = []
        self.gone = False
        """Something was deleted, now or in an earlier run."""
        self.stale = True

    def body(self) -> ComposeResult:
        yield Lines(id="records", markup=False)

    @property
    def options(self) -> Lines:
        return self.query_one("#records", Lines)

    def on_mount(self) -> None:
        """The list is read when it is looked at: `resume` and `new` need none of it."""

    def on_screen_resume(self) -> None:
        if self.stale:
            self.paint()

    def on_screen_suspend(self) -> None:
        self.stale = True

    def paint(self) -> None:
        """Read the store again; the mark stays on the record where it was."""
        if self.app.screen is not self:
            return
        self.stale = False
        marked = self.marked()
        try:
            found = self.ui.store.list()
        except SwitchlegError as error:
            found = []
            self.say(plain(error), error=True)
        self.summaries = {summary.id: summary for summary in found}
        self.gone = self.ui.store.has_deleted()
        self.head("switchleg", f"{len(found)} fan{'' if len(found) == 1 else 's'}")
        self.banner(self.ui.demo_remark())
        options = self.options
        options.clear_options()
        options.add_options(self._lines(found))
        if not found:
            options.add_option(Option(Content("No fan on record yet.\nPress n to begin with the first one.")))
        options.highlighted = self._place_of(marked)
        self.keys.refresh_keys()

    def _place_of(self, id: str | None) -> int | None:
        options = self.options
        if id is not None and id in self.summaries:
            return options.get_option_index(id)
        return next(
            (place for place in range(options.option_count) if not options.get_option_at_index(place).disabled),
            None,
        )

    @staticmethod
    def _lines(found: list[Summary]) -> list[Option]:
        """An option for each record, under the name of its home when any has one."""
        homes: dict[str, list[Summary]] = {}
        for summary in found:
            homes.setdefault(summary.home, []).append(summary)
        lines = []
        for home, fans in homes.items():
            if list(homes) != [""]:
                lines.append(Option(Entry((home or "No home named", "bold $secondary")), disabled=True))
            for summary in fans:
                told = [(summary.name, "bold"), (f"  {standing_words(summary)}", "")]
                if summary.headline and summary.stage == "done":
                    told.append((f"  {summary.headline}", ""))
                lines.append(Option(Entry(*told), id=summary.id))
        return lines

    def marked(self) -> str | None:
        """The id of the marked record."""
        place = self.options.highlighted
        return None if place is None else self.options.get_option_at_index(place).id

    def on_option_list_option_selected(self, event: Lines.OptionSelected) -> None:
        event.stop()
        self.action_open()

    def on_option_list_option_highlighted(self) -> None:
        self.keys.refresh_keys()

    def action_open(self) -> None:
        id = self.marked()
        if not self.awake:
            return
        if id is None:
            self.action_new()
            return
        self.say("")
        with self.calmly():
            self.ui.open_record(id)
            self.ui.show_place()
            self.ui.tell_next_look()

    def action_new(self) -> None:
        self.say("")
        id = self.marked()
        self.ui.ask_for_new(self.summaries[id].home if id in self.summaries else "")

    def action_home(self) -> None:
        id = self.marked()
        if id in self.summaries and self.awake:
            from switchleg.record.homes import in_home

            home = self.summaries[id].home
            self.ui.open_screen("home", home, in_home(home, self.summaries.values()))

    def action_delete(self) -> None:
        id = self.marked()
        if id is None:
            return
        with self.calmly():
            self.ui.store.delete(id)
            self.deleted.append(id)
            self.say(f"Deleted: {self.summaries[id].name}. Press u to bring it back.")
        self.paint()

    def action_edit(self) -> None:
        id = self.marked()
        if id in self.summaries and self.awake:
            self.say("")
            self.ui.open_screen("labels", self.summaries[id])

    def action_find(self) -> None:
        from ..parts.dialogs import LineDialog

        names = list(dict.fromkeys(summary.name for summary in self.summaries.values()))
        dialog = LineDialog("Find", "", self.find, prompt="The fan's name, or its home", known=names, done="Find it")
        self.app.push_screen(dialog)

    def find(self, text: str) -> None:
        """Mark the fan that is called so, else one that holds the words, else the nearest spelling."""
        from switchleg.record.index import folded, nearest

        wanted = folded(text)
        if not wanted:
            return
        fans = list(self.summaries.values())
        tests: tuple[Callable[[Summary], bool], ...] = (
            lambda fan: wanted in (folded(fan.name), fan.id),
            lambda fan: folded(fan.name).startswith(wanted),
            lambda fan: wanted in folded(f"{fan.name} {fan.home}"),
        )
        hits = next((found for test in tests if (found := [fan for fan in fans if test(fan)])), [])
        told = f"{len(hits)} fans hold these words; this is the first." if len(hits) > 1 else ""
        if not hits and (close := nearest(text, [fan.name for fan in fans])):
            hits = [fan for fan in fans if fan.name == close]
            told = f"No fan is called {text!r}. The nearest: {close}."
        if hits:
            self.options.highlighted = min(self.options.get_option_index(fan.id) for fan in hits)
        self.say(told if hits else f"No fan is called {text!r}.")

    def action_undo(self) -> None:
        if not self.deleted:
            self.say("")
            self.ui.open_screen("deleted")
            return
        with self.calmly():
            back = self.ui.store.undelete(self.deleted.pop())
            self.say(f"Back again: {back.name}.")
        self.paint()

    def can(self, action: str) -> bool:
        if action == "undo":
            return self.gone
        if action == "find":
            return len(self.summaries) > 1
        if action == "home":
            return self.is_mounted and (id := self.marked()) in self.summaries and bool(self.summaries[id].home)
        if action in {"delete", "open", "edit"}:
            return self.is_mounted and self.marked() is not None
        return super().can(action)
