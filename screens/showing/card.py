"""The card: the verdict first, then what to do, what not to do and why, read from the top down."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from switchleg.session.views.model import CardView, LookNow

from ..pages.computed_page import ComputedPage
from ..parts.body import Body
from ..parts.reason_list import ReasonList
from ..parts.tab_bar import TABS, TabBar
from ..parts.widgets import Pick
from ..parts.words.card_lines import STATUS, drawing_words, section_words

if TYPE_CHECKING:
    from switchleg.session.card_tabs import Sheets

NOW = {
    "floor": "Go on in the room",
    "wall": "The wall box can be opened now: go on there",
    "canopy": "The canopy can be opened now: go on there",
}
WIDEST = 88
"""Columns beyond which lines get hard to follow."""
FRAME = 3
"""Columns of the body's padding and scroll bar."""


def more_words(many: int) -> str:
    """The way on to what was left out. Where no answer takes a stop away it is no way on: the key alone stays."""
    if many == 1:
        return "One more question would only refine this: answer it"
    return f"{many} more questions would only refine this: answer them"


def _look_words(look: LookNow) -> str:
    """The answer to check again stands in whole right below; of a new look the question is told."""
    return f"Check again: {look.label}" if look.again else f"Look now: {look.ask}"


class CardScreen(ComputedPage):
    """Shows the card of the answers so far; it is worked out beside the screen, which stays awake."""

    CSS_PATH = "card.tcss"
    AUTO_FOCUS = ""
    HELP = (
        "The first tab is the verdict: what to do and what not. The others hold the plan with its drawings, the "
        "numbers, the parts, what to check, and why. Nothing here is lost."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "back", "Back", id="card.back", tooltip="Back to the questions"),
        Binding("l", "work", "Ladder", id="card.work", tooltip="Do the plan: its steps one at a time"),
        Binding("v", "compare", "Compare", id="card.compare", tooltip="Schemes side by side, and what if"),
        Binding("r", "review", "Review", id="card.review", tooltip="See all answers and change any"),
        Binding("s", "sums", "Sums", id="card.sums", tooltip="Show or hide each number's sum, edition and sources"),
        Binding("e", "export", "Export", id="card.export", tooltip="Write all of it: a page, text or Markdown"),
        Binding(
            "n",
            "open_now",
            "Open now",
            id="card.open_now",
            tooltip="What was left shut is open now: go on with its questions",
        ),
        Binding("a", "look_now", "Answer", id="card.look_now", tooltip="Go to the next look that can be taken now"),
        Binding(
            "f",
            "more",
            "Further",
            id="card.more",
            tooltip="Ask what was left out because it would not change what this says",
        ),
        Binding("escape", "leave", "List", key_display="esc", id="card.leave", tooltip="Go to the list of fans"),
        Binding("down", "line_down", "Down", show=False, id="card.down", tooltip="One row down"),
        Binding("up", "line_up", "Up", show=False, id="card.up", tooltip="One row up"),
        Binding("space", "page_down", "Further down", show=False, id="card.space"),
        Binding("home", "top", "Top", show=False, id="card.top", tooltip="To the verdict"),
        Binding("end", "bottom", "End", show=False, id="card.bottom", tooltip="To the end of the card"),
        Binding("tab", "tab(1)", "Next tab", show=False, id="card.next", tooltip="To the next tab"),
        Binding("shift+tab", "tab(-1)", "Tab before", show=False, id="card.previous", tooltip="To the tab before"),
        Binding("right", "sideways(1)", "Right", show=False, id="card.right", tooltip="Show what is to the right"),
        Binding("left", "sideways(-1)", "Left", show=False, id="card.left", tooltip="Show what is to the left"),
        *(
            Binding(key, f"to_tab('{tab}')", title, show=False, id=f"card.{tab}", tooltip=f"The tab {title}")
            for tab, key, title in TABS
        ),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.tab = TABS[0][0]
        self.sums = False
        self.drawn_for = 0

    def body(self) -> ComposeResult:
        yield TabBar(TABS)
        yield ReasonList()
        with Body(id="body"):
            yield Static("Working it out…", id="status", markup=False)
            yield Static("", id="headline", markup=False)
            yield Pick("a", id="look-now")
            yield Vertical(id="waiting")

    def paint(self) -> None:
        """Work the card out for the answers as they are now."""
        session = self.ui.session
        if session is None or self.working:
            return
        view = session.view
        self.head(session.record.name, "card" if isinstance(view, CardView) else "card so far")
        self.banner(self.ui.standing_remark())
        box = self.query_one("#waiting", Vertical)
        box.remove_children()
        picks = [Pick(str(number), NOW[door.opens]) for number, door in enumerate(session.waiting, 1)]
        if isinstance(view, CardView) and view.left_out and not view.stopped:
            picks.append(Pick("f", more_words(view.left_out)))
        box.mount_all(picks)
        self.work_out()

    @property
    def reading_width(self) -> int:
        """Columns for text; a body that is hidden behind the reasons has no width of its own."""
        return max(10, min(WIDEST, (self.query_one("#body").size.width or self.size.width - FRAME) - 2))

    def draw(self) -> None:
        """Put the open tab on the screen at the present width."""
        sheets = self.sheets
        if sheets is None:
            return
        width = self.drawn_for = self.reading_width
        first = self.tab == TABS[0][0]
        self.query_one(TabBar).show(self.tab)
        status, body, why = self.query_one("#status", Static), self.query_one("#body", Body), self.query_one(ReasonList)
        why.display = self.tab == "why" and bool(sheets.whys)
        body.display = not why.display
        status.display = self.query_one("#headline").display = self.query_one("#waiting").display = first
        look = sheets.look_now
        self.query_one("#look-now", Pick).display = first and look is not None
        if look is not None:
            self.query_one("#look-now", Pick).show("a", _look_words(look))
        status.update(STATUS.get(sheets.card.status, sheets.card.status))
        status.set_classes(sheets.card.status)
        self.query_one("#headline", Static).update(sheets.card.headline)
        body.styles.overflow_x = "auto" if self.tab == "plan" else "hidden"  # only a drawing may be too wide
        body.query(".section").remove()
        if why.display:
            why.load(sheets.whys, sheets.source, self.app.size.width)
            self.set_focus(why)
        else:
            body.mount_all([Static(words, classes="section", markup=False) for words in self._parts(sheets, width)])
            self.set_focus(None)
        self.keys.refresh_keys()
        self.call_after_refresh(self._resized)

    def _parts(self, sheets: Sheets, width: int) -> list[Content | str]:
        """What stands on the open tab, part by part."""
        tab = next(tab for tab in sheets.tabs if tab.id == self.tab)
        found: list[Content | str] = [section_words(section, width, under=self.sums) for section in tab.sections]
        if self.tab == "plan":
            if sheets.drawn is not None:
                scheme = sheets.chosen.title if sheets.chosen is not None else ""
                whole = self.query_one("#body").size.width - 2
                drawn = drawing_words(sheets.drawn, scheme, whole, ascii_only=self.ui.plain_signs)
                found.insert(min(1, len(found)), drawn)
            elif found:
                found.append(sheets.not_drawn)
        return found or [tab.nothing]

    def on_tab_bar_chosen(self, event: TabBar.Chosen) -> None:
        event.stop()
        self.action_to_tab(event.tab)

    def action_to_tab(self, tab: str) -> None:
        if tab == self.tab or self.sheets is None:
            return
        self.tab = tab
        self.say("")
        self.draw()
        self.query_one("#body", Body).scroll_home(animate=False)

    def action_sums(self) -> None:
        """Show or hide what stands beneath each number."""
        self.sums = not self.sums
        self.draw()
        self.say("Each number with its sum, edition and sources." if self.sums else "")

    def action_tab(self, step: int) -> None:
        names = [tab for tab, _, _ in TABS]
        self.action_to_tab(names[(names.index(self.tab) + step) % len(names)])

    def action_sideways(self, step: int) -> None:
        """Move over a drawing that is wider than the window."""
        body = self.query_one("#body", Body)
        body.scroll_relative(x=step * max(1, body.size.width // 2), animate=False)

    def on_option_list_option_selected(self, event: ReasonList.OptionSelected) -> None:
        event.stop()
        if isinstance(event.option_list, ReasonList):
            event.option_list.toggle()

    def on_resize(self) -> None:
        self.call_after_refresh(self._resized)

    def _resized(self) -> None:
        if self.alive and self.card is not None and self.reading_width != self.drawn_for:
            self.draw()
        self.show_more_cue()

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if event.pick.key == "a":
            self.action_look_now()
        elif event.pick.key == "f":
            self.action_more()
        else:
            self.go_on_at(event.pick.key)

    def on_key(self, event: events.Key) -> None:
        """The number in front of something that waits goes on there."""
        if event.character and event.character.isdigit():
            event.stop()
            self.go_on_at(event.character)

    def go_on_at(self, key: str) -> None:
        """Go on at the gate that stands at this number."""
        session = self.ui.session
        if session is None or self.working or not self.awake:
            return
        waiting = {str(number): door.node for number, door in enumerate(session.waiting, 1)}
        if key in waiting:
            with self.calmly():
                session.reopen(waiting[key])
                self.ui.show_place()

    def action_look_now(self) -> None:
        """Ask the question of the next look that can be taken without opening anything more."""
        session = self.ui.session
        if session is not None and not self.working and self.can("look_now"):
            with self.calmly():
                session.take_look()
                self.ui.show_place()

    def action_more(self) -> None:
        """Ask the questions that were left out too."""
        session = self.ui.session
        if session is None or self.wait_for(self.action_more):
            return
        with self.calmly():
            session.ask_the_rest()
        self.ui.show_place()

    def action_back(self) -> None:
        session = self.ui.session
        if session is None or self.wait_for(self.action_back):
            return
        if isinstance(session.view, CardView) and not session.back():
            self.say("There is nothing before this.")
            return
        self.ui.show_place()

    def action_work(self) -> None:
        """Begin the work on the recommended plan, or go on with it where it was left."""
        session = self.ui.session
        if session is None or self.wait_for(self.action_work):
            return
        with self.calmly():
            if session.record.progress is None:
                session.start_work()
            self.ui.show_work()

    def action_compare(self) -> None:
        self.ui.open_screen("compare")

    def action_review(self) -> None:
        self.ui.open_screen("review")

    def action_export(self) -> None:
        if self.card is not None:
            self.ui.show_export()

    def action_open_now(self) -> None:
        """With one gate waiting go on there; with several, ask which."""
        picks = list(self.query("#waiting > Pick").results(Pick))
        if len(picks) == 1:
            self.go_on_at(picks[0].key)
        elif picks:
            self.set_focus(picks[0])
            self.say("Which one is open now? Press its number.")

    def action_leave(self) -> None:
        if not self.wait_for(self.action_leave):
            self.ui.show_list()

    def action_top(self) -> None:
        self.query_one("#body", Body).scroll_home(animate=False)

    def action_bottom(self) -> None:
        self.query_one("#body", Body).scroll_end(animate=False)

    def can(self, action: str) -> bool:
        """While the card is being worked out the record stays as it is."""
        session = self.ui.session
        if action in {"review", "compare"}:
            return not self.working
        if action == "work":
            begun = session is not None and session.record.progress is not None
            return not self.working and (begun or self.has_plan)
        if action == "look_now":
            return not self.working and self.sheets is not None and self.sheets.look_now is not None
        if action == "open_now":
            return not self.working and session is not None and bool(session.waiting)
        if action == "sums":
            return self.sheets is not None and self.tab == "numbers"
        if action == "more":
            view = session.view if session is not None else None
            return not self.working and isinstance(view, CardView) and bool(view.left_out)
        if action == "export":
            return not self.working and self.card is not None
        return super().can(action)
