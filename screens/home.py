"""A home at one look: every fan's state and what is waited for, one trip, one list of parts."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from switchleg.errors import SwitchlegError

from .dialogs import plain
from .fit import wrap
from .page import Body, Page

if TYPE_CHECKING:
    from switchleg.session.home import Errand, HomeView
    from switchleg.session.papers import Kind

WORK = {"begun": "work begun", "proved": "work done and proved"}
WIDEST = 88


def home_lines(view: HomeView) -> Iterator[tuple[str, str]]:
    """(kind, text) line by line; kind "title", "fan", "item" or "text"."""
    yield "title", "The fans"
    for fan in view.fans:
        yield "fan", fan.name
        yield "item", f"{fan.headline}{f' ({WORK[fan.work]})' if fan.work in WORK else ''}"
        for waits in fan.waits_for:
            yield "item", f"waits for {waits}"
    for title, errands in (
        ("First, with nothing opened", view.first),
        ("Breaker off once, tested dead in every box", view.off),
        ("Power on again, everything closed", view.on),
    ):
        if errands:
            yield "title", title
            yield from _errands(errands)
    if view.parts.buy or view.parts.open_fans:
        yield "title", "Parts for all of them"
        yield from (("item", article.line()) for article in view.parts.buy)
    if view.parts.open_fans:
        yield "item", f"Not settled yet, so nothing is bought for: {', '.join(view.parts.open_fans)}."
    if view.parts.avoid:
        yield "title", "What not to buy"
        yield from (("item", article.line()) for article in view.parts.avoid)
    if view.left_alone:
        yield "title", "Left alone on this trip"
        for fan_name, why in view.left_alone:
            yield "item", f"{fan_name}: {why}"


def _errands(errands: tuple[Errand, ...]) -> Iterator[tuple[str, str]]:
    place = ("", "")
    for errand in errands:
        if (errand.fan, errand.place) != place:
            place = (errand.fan, errand.place)
            yield "fan", f"{errand.fan}, {errand.place}"
        yield "item", errand.text


def home_words(view: HomeView, width: int) -> Content:
    """The whole home as text at `width` cells."""
    parts: list[Content] = []
    for kind, text in home_lines(view):
        if kind == "title":
            parts += [Content(""), Content.styled("\n".join(wrap(text, width)), "bold $primary")]
        elif kind == "fan":
            parts.append(Content.styled("\n".join(wrap(text, width)), "bold"))
        else:
            first, *others = wrap(text, width - 4)
            parts.append(Content("\n".join([f"  - {first}", *(f"    {other}" for other in others)])))
    return Content("\n").join(parts[1:])


class HomeScreen(Page[None]):
    """One home, worked out beside the screen; it reads the records and changes none."""

    CSS_PATH = "home.tcss"
    HELP = "What each fan comes to, what to do in one trip, and what to buy for all of them. Nothing is changed here."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b,escape", "leave", "List", key_display="b", id="home.leave", tooltip="Back to the list of fans"),
        Binding("e", "export", "Export", id="home.export", tooltip="Write the whole home into one file"),
        Binding("down", "line_down", "Down", show=False, id="home.down", tooltip="One row down"),
        Binding("up", "line_up", "Up", show=False, id="home.up", tooltip="One row up"),
        Binding("space", "page_down", "Further down", show=False, id="home.space"),
    ]

    def __init__(self, home: str) -> None:
        super().__init__()
        self.home = home
        self.found: HomeView | None = None

    def body(self) -> ComposeResult:
        with Body(id="body"):
            yield Static("Putting it together…", id="home", markup=False)

    def on_mount(self) -> None:
        super().on_mount()
        knowledge, store = self.ui.knowledge(), self.ui.store

        def work_out() -> HomeView:
            from switchleg.session.home import home_view

            return home_view(knowledge, self.home, store.records_of(self.home), lambda: datetime.now().astimezone())

        self.run_worker(work_out, name="home", thread=True, exit_on_error=False)

    def paint(self) -> None:
        self.head(self.home, "the home")
        self.banner(self.ui.demo_remark())

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.worker.name != "home" or not event.worker.is_finished or not self.alive:
            return
        if event.state is WorkerState.SUCCESS and event.worker.result is not None:
            self.found = event.worker.result
            self.head(self.home, f"{len(event.worker.result.fans)} fans")
            self.draw()
        elif (error := event.worker.error) is not None:
            self.query_one("#home", Static).update("The home could not be put together.")
            what = plain(error) if isinstance(error, SwitchlegError) else f"{type(error).__name__}: {error}"
            self.say(what, error=True)

    def draw(self) -> None:
        if self.found is not None:
            width = max(20, min(WIDEST, self.query_one("#body").size.width - 2))
            self.query_one("#home", Static).update(home_words(self.found, width))
            self.call_after_refresh(self.show_more_cue)

    def on_resize(self) -> None:
        self.call_after_refresh(self._resized)

    def _resized(self) -> None:
        if self.alive:
            self.draw()

    def action_export(self) -> None:
        from .export import ExportScreen

        home, store, knowledge = self.home, self.ui.store, self.ui.knowledge()

        def paper(kind: Kind) -> str:
            from switchleg.session.papers import home_paper

            return home_paper(home, list(store.records_of(home)), kind, knowledge)

        self.app.push_screen(ExportScreen(home, paper))

    def action_leave(self) -> None:
        self.ui.close(self)

    def action_line_down(self) -> None:
        self.query_one("#body", Body).scroll_down(animate=False)

    def action_line_up(self) -> None:
        self.query_one("#body", Body).scroll_up(animate=False)
