"""A home at one look: every fan's state and what is waited for, one trip, one list of parts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Static
from textual.worker import Worker, WorkerState, get_current_worker

from switchleg.errors import SwitchlegError

from ..pages.scrolling_page import ScrollingPage
from ..parts.body import Body
from ..parts.dialogs import plain
from ..parts.words.fit_text import wrap
from ..parts.words.standing import standing_words

if TYPE_CHECKING:
    from switchleg.home.overview import HomeView
    from switchleg.home.trip import Errand
    from switchleg.paper.fan import Kind
    from switchleg.record.summary import Summary

WORK = {"begun": "work begun", "proved": "work done and proved"}
Told = Iterator[tuple[str, str]]
"""(kind, text) line by line; kind "title", "fan" or "item"."""


class Left(Exception):
    """Nobody looks at this home any more."""


def at_once(fans: Iterable[Summary]) -> Told:
    """What the list knows already, while the rest is being worked out."""
    yield "title", "The fans"
    for fan in fans:
        yield "fan", fan.name
        yield "item", standing_words(fan)
        if fan.headline:
            yield "item", fan.headline


def home_lines(view: HomeView) -> Told:
    """Everything about the home."""
    yield "title", "The fans"
    for fan in view.fans:
        yield "fan", fan.name
        yield "item", f"{fan.headline}{f' ({WORK[fan.work]})' if fan.work in WORK else ''}"
        for waits in fan.waits_for:
            yield "item", f"waits for {waits}"
    if view.first:
        yield "title", "First, with nothing opened"
        yield from _errands(view.first)
    for trip in view.off:
        yield "title", trip.title
        for box in trip.boxes:
            yield "fan", f"{box.fan}, {box.place}"
            yield from (("item", one.text) for one in box.errands)
    if view.on:
        yield "title", "Power on again, everything closed"
        yield from _errands(view.on)
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
    if any(not trip.breaker for trip in view.off):
        yield "title", "Breakers without a name"
        yield "item", "Name the breaker of each fan from the list (e): fans that hang on the same one are put together."


def _errands(errands: tuple[Errand, ...]) -> Told:
    place = ("", "")
    for errand in errands:
        if (errand.fan, errand.place) != place:
            place = (errand.fan, errand.place)
            yield "fan", f"{errand.fan}, {errand.place}"
        yield "item", errand.text


def words_of(told: Told, width: int) -> Content:
    """The lines as text at `width` cells."""
    parts: list[Content] = []
    for kind, text in told:
        if kind == "title":
            parts += [Content(""), Content.styled("\n".join(wrap(text, width)), "bold $primary")]
        elif kind == "fan":
            parts.append(Content.styled("\n".join(wrap(text, width)), "bold"))
        else:
            first, *others = wrap(text, width - 4)
            parts.append(Content("\n".join([f"  - {first}", *(f"    {other}" for other in others)])))
    return Content("\n").join(parts[1:])


class HomeScreen(ScrollingPage):
    """One home. Its fans stand there at once, the rest when it is worked out; the records are only read."""

    CSS_PATH = "home.tcss"
    HELP = "What each fan comes to, what to do in one trip, and what to buy for all of them. Nothing is changed here."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b,escape", "leave", "List", key_display="b", id="home.leave", tooltip="Back to the list of fans"),
        Binding("e", "export", "Export", id="home.export", tooltip="Write the whole home into one file"),
        Binding("p", "parts", "Parts", id="home.parts", tooltip="To the list of parts"),
        Binding("t", "trip", "Trip", id="home.trip", tooltip="To the trip, breaker by breaker"),
    ]

    def __init__(self, home: str, fans: Iterable[Summary] = ()) -> None:
        super().__init__()
        self.home = home
        self.fans = sorted(fans, key=lambda fan: fan.name.casefold())
        self.found: HomeView | None = None

    def body(self) -> ComposeResult:
        with Body(id="body"):
            yield Static("", id="home", markup=False)

    def on_mount(self) -> None:
        super().on_mount()
        self.run_worker(self._work_out, name="home", thread=True, exit_on_error=False)

    def _work_out(self) -> HomeView:
        from switchleg.home.overview import home_view

        worker = get_current_worker()
        many = len(self.fans)

        def told(number: int) -> None:
            if worker.is_cancelled or not self.app.is_running:
                raise Left
            if number % 5 == 0:
                self.app.call_from_thread(self._progress, f"trip and parts: {number} of {many}")

        records = self.ui.store.records_of(self.home)
        return home_view(self.ui.knowledge(), self.home, records, lambda: datetime.now().astimezone(), told)

    def _progress(self, text: str) -> None:
        if self.alive and self.found is None:
            self.head(self.home, text)

    def paint(self) -> None:
        self.head(self.home, "working out the trip")
        self.banner(self.ui.demo_remark())
        self.draw()

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.worker.name != "home" or not event.worker.is_finished or not self.alive:
            return
        if event.state is WorkerState.SUCCESS and event.worker.result is not None:
            self.found = event.worker.result
            self.head(self.home, f"{len(event.worker.result.fans)} fans")
            self.draw()
        elif (error := event.worker.error) is not None and not isinstance(error, Left):
            self.head(self.home, "")
            what = plain(error) if isinstance(error, SwitchlegError) else f"{type(error).__name__}: {error}"
            self.say(f"The trip could not be worked out. {what}", error=True)
        self.keys.refresh_keys()

    def draw(self) -> None:
        told = home_lines(self.found) if self.found is not None else at_once(self.fans)
        self.query_one("#home", Static).update(words_of(told, self.reading_width))
        self.call_after_refresh(self.show_more_cue)

    def _to(self, *starts: str) -> None:
        """Bring the first title that begins so to the top."""
        rows = str(self.query_one("#home", Static).render()).split("\n")
        row = next((row for row, text in enumerate(rows) if text.startswith(starts)), None)
        if row is not None:
            self.query_one("#body", Body).scroll_to(y=row, animate=False)

    def action_parts(self) -> None:
        self._to("Parts for all")

    def action_trip(self) -> None:
        self._to("First, with", "Breaker ", "The breaker of")

    def action_export(self) -> None:
        home, store, knowledge = self.home, self.ui.store, self.ui.knowledge()

        def paper(kind: Kind) -> str:
            from switchleg.paper.fan import home_paper

            return home_paper(home, list(store.records_of(home)), kind, knowledge)

        self.ui.open_screen("export", home, paper)

    def action_leave(self) -> None:
        self.ui.close(self)

    def can(self, action: str) -> bool:
        if action in {"parts", "trip"}:
            return self.found is not None
        return super().can(action)
