"""Schemes side by side against the wants; suppositions are tried out here and touch no record."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rich.cells import cell_len
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from .fit import shorten, wrap
from .page import Body, Page
from .widgets import Pick

if TYPE_CHECKING:
    from collections.abc import Sequence

    from switchleg.advice.compare import Compared
    from switchleg.advice.model import Advice

HEADS = {
    "want_wall_control": "wall",
    "want_speed_from_app": "speeds",
    "want_light_apart": "apart",
    "want_light_dimming": "dims",
    "want_keep_remote": "remote",
    "want_keep_wall_look": "look",
}
"""Heads of the table's columns; a want without one shows the end of its name."""
SIGNS = {True: "yes", False: "no", None: "?"}
TABLE_FROM = 76
NAME = 34
Answer = tuple["Advice", tuple["Compared", ...]]


def table(schemes: Sequence[Compared]) -> Content:
    """A row for each scheme, a column for each want."""
    wants = list(dict.fromkeys(want for scheme in schemes for want, _ in scheme.keeps))
    heads = [HEADS.get(want, want.rpartition("_")[2]) for want in wants]
    wide = [max(cell_len(head), 3) + 2 for head in heads]
    rows: list[str | tuple[str, str]] = [
        (" " * (NAME + 2) + "".join(head.ljust(room) for head, room in zip(heads, wide, strict=True)) + "\n", "bold")
    ]
    for scheme in schemes:
        keeps = dict(scheme.keeps)
        cells = "".join(SIGNS[keeps.get(want)].ljust(room) for want, room in zip(wants, wide, strict=True))
        cells = cells if keeps else scheme.verdict
        mark = "* " if scheme.recommended else "  "
        rows.append((f"{mark}{shorten(scheme.title, NAME - 1).ljust(NAME)}{cells}\n", "bold" if mark == "* " else ""))
    return Content.assemble(*rows, "* recommended")


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


class CompareScreen(Page[None]):
    """The comparison on the answers, or on what is supposed; its numbers turn suppositions on and off."""

    CSS_PATH = "compare.tcss"
    HELP = "Each number supposes something and shows what follows. Nothing here changes your answers."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b,escape", "leave", "Back", key_display="b", id="compare.leave", tooltip="Back to the card"),
        Binding("down", "line_down", "Down", show=False, id="compare.down", tooltip="One row down"),
        Binding("up", "line_up", "Up", show=False, id="compare.up", tooltip="One row up"),
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
        from switchleg.advice.compare import compare, supposed, what_ifs

        self.head(f"{session.record.name} · compare", "what if" if self.supposed else "")
        self.banner("What if: nothing is kept." if self.supposed else self.ui.standing_remark())
        knowledge, today = self.ui.knowledge(), session.facts
        facts = supposed(today, self.supposed)
        box = self.query_one("#ifs", Vertical)
        ifs = [one for one in what_ifs(today) if not one.so_already]
        if not box.children:
            box.mount_all([Pick(str(number), "", id=f"if-{one.id}") for number, one in enumerate(ifs, 1)])
        for number, one in enumerate(ifs, 1):
            mark = "[x]" if one.id in self.supposed else "[ ]"
            self.query_one(f"#if-{one.id}", Pick).show(str(number), f"What if {one.words}?", mark=mark)

        def work_out() -> Answer:
            advice = advise(knowledge, facts)
            return advice, compare(knowledge, facts, advice)

        self.run_worker(work_out, name="compare", thread=True, exclusive=True, exit_on_error=False)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.worker.name != "compare" or not event.worker.is_finished or not self.alive:
            return
        if event.state is WorkerState.SUCCESS and event.worker.result is not None:
            self.answer = event.worker.result
            self.draw()
        elif event.state is WorkerState.ERROR:
            self.query_one("#table", Static).update("It could not be compared on these answers.")

    def draw(self) -> None:
        from switchleg.advice.card import headline

        if self.answer is None:
            return
        advice, schemes = self.answer
        width = max(20, min(88, self.query_one("#body").size.width - 2))
        self.query_one("#headline", Static).update(headline(advice))
        grid = self.query_one("#table", Static)
        grid.display = self.app.size.width >= TABLE_FROM
        grid.update(table(schemes))
        box = self.query_one("#schemes", Vertical)
        box.remove_children()
        box.mount_all([Static(scheme_words(scheme, width), classes="scheme", markup=False) for scheme in schemes])
        self.call_after_refresh(self.show_more_cue)

    def on_resize(self) -> None:
        self.call_after_refresh(self._resized)

    def _resized(self) -> None:
        if self.alive:
            self.draw()

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

    def action_leave(self) -> None:
        self.ui.close(self)

    def action_line_down(self) -> None:
        self.query_one("#body", Body).scroll_down(animate=False)

    def action_line_up(self) -> None:
        self.query_one("#body", Body).scroll_up(animate=False)
