"""Schemes side by side against the wants; suppositions are tried out here and touch no record."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from ..pages.scrolling_page import ScrollingPage
from ..parts.body import Body
from ..parts.widgets import Pick
from ..parts.words.fit_text import wrap

if TYPE_CHECKING:
    from collections.abc import Iterable

    from switchleg.advice.compare import Compared
    from switchleg.advice.compare_table import TableRow
    from switchleg.advice.model import Advice

Answer = tuple["Advice", tuple["Compared", ...]]
WIDEST_TABLE = 112
NARROW = 64


def table_words(rows: Iterable[TableRow]) -> Content:
    """The rows of the table, the strong ones bold."""
    return Content("\n").join(Content.styled(row.text, "bold" if row.strong else "") for row in rows)


def scheme_words(scheme: Compared, width: int) -> Content:
    """One scheme in words: its verdict, what it keeps, loses and needs, or what would make it possible."""
    parts: list[str | tuple[str, str]] = [
        (f"{scheme.title}: {'recommended, ' if scheme.recommended else ''}{scheme.verdict}", "bold")
    ]
    lines = [
        *(f"✓ keeps: {text}" for text in scheme.kept),
        *(f"✗ loses: {text}" for text in scheme.lost),
        *(f"- needs: {text}" for text in scheme.needs),
    ]
    if scheme.why_not:
        lines.append(f"! {scheme.why_not}")
    if scheme.possible_if:
        lines.append(f"? possible if {' and '.join(scheme.possible_if)}")
    elif scheme.verdict == "not possible":
        lines.append("? nothing that can be supposed here makes it possible")
    for line in lines:
        first, *others = wrap(line, width - 2)
        parts.append("\n" + "\n".join(["  " + first, *("    " + other for other in others)]))
    return Content.assemble(*parts)


class CompareScreen(ScrollingPage):
    """The comparison on the answers, or on what is supposed; its numbers turn suppositions on and off."""

    CSS_PATH = "compare.tcss"
    HELP = (
        "A row for each scheme, a column for each want; below, each in words. A number supposes something and shows "
        "what follows. Nothing here changes your answers."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b,escape", "leave", "Back", key_display="b", id="compare.leave", tooltip="Back to the card"),
        Binding("w", "words", "In words", id="compare.words", tooltip="To what each scheme keeps, loses and needs"),
        Binding("x", "clear", "As it is", id="compare.clear", tooltip="Suppose nothing any more"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.supposed: set[str] = set()
        self.answer: Answer | None = None

    def body(self) -> ComposeResult:
        with Body(id="body"):
            yield Vertical(id="ifs")
            yield Static("", id="headline", markup=False)
            yield Static("Comparing…", id="table", markup=False)
            yield Vertical(id="schemes")

    def paint(self) -> None:
        """Compare anew for what is supposed now."""
        session = self.ui.session
        if session is None:
            return
        from switchleg.advice.advise import advise
        from switchleg.advice.compare import SHORTLY, compare, supposed, what_ifs

        narrow = self.app.size.width < NARROW
        self.head(f"{session.record.name} · compare", "what if" if self.supposed else "")
        self.banner("What if: nothing is kept." if self.supposed else self.ui.standing_remark())
        knowledge, today, untold = self.ui.knowledge(), session.facts, session.untold
        facts = supposed(today, self.supposed)
        box = self.query_one("#ifs", Vertical)
        ifs = [one for one in what_ifs(today) if not one.so_already]
        if not box.children:
            box.mount_all([Pick(str(number), "", id=f"if-{one.id}") for number, one in enumerate(ifs, 1)])
        for number, one in enumerate(ifs, 1):
            mark = "[x]" if one.id in self.supposed else "[ ]"
            words = SHORTLY[one.id] if narrow else one.words
            self.query_one(f"#if-{one.id}", Pick).show(str(number), f"What if {words}?", mark=mark)
        self.keys.refresh_keys()

        def work_out() -> Answer:
            open_still = untold - facts.keys()
            advice = advise(knowledge, facts, open_still)
            return advice, compare(knowledge, facts, advice, open_still)

        self.run_worker(work_out, name="compare", thread=True, exclusive=True, exit_on_error=False)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.worker.name != "compare" or not event.worker.is_finished or not self.alive:
            return
        if event.state is WorkerState.SUCCESS and event.worker.result is not None:
            self.answer = event.worker.result
            self.draw()
            self.keys.refresh_keys()
        elif event.state is WorkerState.ERROR:
            self.query_one("#table", Static).update("It could not be compared on these answers.")

    def draw(self) -> None:
        from switchleg.advice.card.build import headline
        from switchleg.advice.compare_table import table

        session = self.ui.session
        if self.answer is None or session is None:
            return
        advice, schemes = self.answer
        self.query_one("#headline", Static).update(headline(advice))
        whole = max(20, min(WIDEST_TABLE, self.query_one("#body").size.width - 2))
        self.query_one("#table", Static).update(table_words(table(schemes, session.facts, whole)))
        box = self.query_one("#schemes", Vertical)
        box.remove_children()
        width = self.reading_width
        box.mount_all([Static(scheme_words(scheme, width), classes="scheme", markup=False) for scheme in schemes])
        self.call_after_refresh(self.show_more_cue)

    def on_key(self, event: events.Key) -> None:
        for pick in self.query("#ifs > Pick").results(Pick):
            if pick.key == event.character and self.awake:
                event.stop()
                self.turn(pick)

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if self.awake:
            self.turn(event.pick)

    def turn(self, pick: Pick) -> None:
        """Suppose this, or no longer."""
        self.supposed ^= {(pick.id or "").removeprefix("if-")}
        self.set_focus(pick)
        self.paint()

    def action_words(self) -> None:
        box = self.query_one("#schemes", Vertical)
        self.query_one("#body", Body).scroll_to(y=box.virtual_region.y, animate=False)

    def action_clear(self) -> None:
        self.supposed = set()
        self.paint()

    def action_leave(self) -> None:
        self.ui.close(self)

    def can(self, action: str) -> bool:
        if action == "clear":
            return bool(self.supposed)
        if action == "words":
            return self.answer is not None
        return super().can(action)
