"""Writes a fan or a whole home on paper: what kind, where to, and never over a file without a yes."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Static
from textual.worker import Worker, WorkerState

from switchleg.errors import SwitchlegError

from ..pages.page import Page
from ..parts.body import Body
from ..parts.widgets import Pick
from ..parts.words.fit_text import wrap

if TYPE_CHECKING:
    from switchleg.paper.fan import Kind

    Paper = Callable[[Kind], str]

KINDS: tuple[tuple[Kind, str], ...] = (
    ("html", "Page with drawings, to read and print"),
    ("txt", "Plain text"),
    ("md", "Markdown"),
)
ENDINGS = {"html": ".html", "txt": ".txt", "md": ".md", "json": ".json"}
MARK = {True: "(o)", False: "( )"}


def default_name(name: str, kind: Kind = "html") -> str:
    """A file name made of the record's name that every system takes."""
    bare = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:60]
    return f"{bare or 'fan'}{ENDINGS[kind]}"


def default_folder() -> Path:
    """Where one stands, when that can be written to; else one's own folder."""
    try:
        here = Path.cwd()
    except OSError:
        return Path.home()
    return here if here != Path(here.anchor) and os.access(here, os.W_OK) else Path.home()


def free_path(path: Path) -> Path:
    """`path`, or the first of name-2, name-3 … that does not exist."""
    number = 2
    free = path
    while os.path.lexists(free):
        free = path.with_name(f"{path.stem}-{number}{path.suffix}")
        number += 1
    return free


def _told(error: BaseException | None) -> str:
    """The error without its place: the path stands above it."""
    if not isinstance(error, SwitchlegError):
        return f"{type(error).__name__}: {error}"
    return f"{error.what[:1].upper()}{error.what[1:]}. {error.mend[:1].upper()}{error.mend[1:]}."


class ExportScreen(Page[None]):
    """Asks what kind of file and where; says where it was written. `paper` makes the text, beside the screen."""

    CSS_PATH = "export.tcss"
    AUTO_FOCUS = ""
    HELP = (
        "Choose a kind, look at the place, and write it. A page for the browser holds the drawings and needs nothing "
        "else. A file that is there is written over only when you say so."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("w", "write", "Write", id="export.write", tooltip="Write the file"),
        Binding("t", "place", "Type a place", id="export.place", tooltip="Change the folder or the file's name"),
        Binding("y", "over", "Write over", id="export.over", tooltip="Write over the file that is there"),
        Binding("n", "beside", "Another name", id="export.beside", tooltip="Take a free name beside it"),
        Binding("escape,b", "leave", "Back", key_display="esc", id="export.leave", tooltip="Back to where you were"),
    ]

    def __init__(self, title: str, paper: Paper) -> None:
        super().__init__()
        self.name_of = title
        self.paper = paper
        self.taken: Path | None = None
        """The file that is there already and waits for a yes."""
        self.written: Path | None = None
        self.working = False

    def body(self) -> ComposeResult:
        with Body(id="body"):
            with Vertical(id="kinds"):
                for number, (kind, words) in enumerate(KINDS, 1):
                    yield Pick(str(number), words, id=f"kind-{kind}")
            yield Static("Where to? A folder or a file.", classes="label", markup=False)
            line = Input(str(default_folder() / default_name(self.name_of)), id="path")
            line.cursor_blink = False
            yield line
            yield Static("", id="place", classes="quiet", markup=False)
            yield Static("", id="path-error", classes="error-line", markup=False)
            yield Pick("y", "Write over it", id="over")
            yield Pick("n", "", id="beside")
            yield Static("", id="written", markup=False)
            yield Pick("w", "Write it", id="write")

    @property
    def line(self) -> Input:
        return self.query_one("#path", Input)

    @property
    def kind(self) -> str:
        """The kind that the file's ending promises; "" for none that can be made."""
        from switchleg.paper.fan import kind_of

        try:
            return kind_of(None, self.line.value.strip())
        except SwitchlegError:
            return ""

    def on_mount(self) -> None:
        super().on_mount()
        self.set_focus(self.query_one("#write", Pick))

    def paint(self) -> None:
        self.head(f"{self.name_of} · export")
        self.banner(self.ui.standing_remark())
        here = self.kind
        for kind, words in KINDS:
            pick = self.query_one(f"#kind-{kind}", Pick)
            pick.show(pick.key, words, mark=MARK[kind == here])
        path = self.path
        self.query_one("#place", Static).update("\n".join(wrap(f"The file: {path}", self.room)) if path else "")
        for id in ("over", "beside"):
            self.query_one(f"#{id}").display = self.taken is not None
        self.query_one("#write").display = self.taken is None
        self.keys.refresh_keys()
        self.call_after_refresh(self.show_more_cue)

    @property
    def room(self) -> int:
        return max(20, self.app.size.width - 4)

    @property
    def path(self) -> Path | None:
        """Where it would be written; None while nothing is typed. A folder gets the usual name."""
        typed = self.line.value.strip()
        if not typed:
            return None
        try:
            path = Path(typed).expanduser().absolute()
            return path / default_name(self.name_of) if path.is_dir() else path
        except (OSError, RuntimeError, ValueError):
            return Path(typed)

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        self.taken = None
        self._fault("")
        self.paint()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self.action_write()

    def on_key(self, event: events.Key) -> None:
        if self.awake and self.focused is not self.line:
            for kind, _ in KINDS:
                pick = self.query_one(f"#kind-{kind}", Pick)
                if pick.key == event.character:
                    event.stop()
                    self.choose(kind)

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if not self.awake:
            return
        id = event.pick.id or ""
        if id.startswith("kind-"):
            self.choose(next(kind for kind, _ in KINDS if id == f"kind-{kind}"))
        else:
            {"write": self.action_write, "over": self.action_over, "beside": self.action_beside}[id]()

    def choose(self, kind: Kind) -> None:
        """Another kind: the file's ending follows."""
        path = self.path or default_folder() / default_name(self.name_of)
        self.line.value = str(path.with_suffix(ENDINGS[kind]))
        self.paint()

    def action_place(self) -> None:
        self.set_focus(self.line)

    def action_write(self) -> None:
        """Write to the place in the line; a file that is there is asked about first."""
        path = self.path
        if not self.awake or self.working:
            return
        if path is None:
            self._fault("Type a file name first.")
        elif path.is_file() or path.is_symlink():
            self.taken = path
            beside = self.query_one("#beside", Pick)
            beside.show("n", f"Leave it; call this one {free_path(path).name}")
            self._fault(f"{path.name} is there already.")
            self.paint()
            self.set_focus(beside)
        else:
            self._write(path, over=False)

    def action_over(self) -> None:
        if self.taken is not None:
            self._write(self.taken, over=True)

    def action_beside(self) -> None:
        if self.taken is not None:
            free = free_path(self.taken)
            with self.prevent(Input.Changed):
                self.line.value = str(free)
            self._write(free, over=False)

    def _write(self, path: Path, *, over: bool) -> None:
        from switchleg.paper.fan import kind_of
        from switchleg.paper.write import write

        self._fault("")
        try:
            kind = kind_of(None, str(path))
        except SwitchlegError as error:
            self._fault(_told(error))
            return
        self.working, self.taken = True, None
        self.query_one("#written", Static).update("One moment, it is being written…")
        self.paint()
        self.run_worker(
            lambda: write(str(path), self.paper(kind), force=over), name="export", thread=True, exit_on_error=False
        )

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.worker.name != "export" or not event.worker.is_finished:
            return
        self.working = False
        if not self.alive:
            return
        if event.state is WorkerState.SUCCESS and event.worker.result is not None:
            self.written = Path(event.worker.result)
            told = wrap(f"✓ Written: {self.written}", self.room)
            self.query_one("#written", Static).update("\n".join(told))
            self.call_after_refresh(self.query_one("#written", Static).scroll_visible, animate=False)
            self.set_focus(self.query_one("#write", Pick), scroll_visible=False)
        else:
            error = event.worker.error
            self._fault(f"{_told(error)} Nothing was written.")
        self.paint()

    def _fault(self, text: str) -> None:
        """What went wrong stays until the next try."""
        line = self.query_one("#path-error", Static)
        line.update(f"! {text}" if text else "")
        self.query_one("#written", Static).update("")
        if text:
            self.call_after_refresh(line.scroll_visible, animate=False)

    def action_leave(self) -> None:
        """From the typing line back to the kinds; from there back to where one came from."""
        if self.focused is self.line:
            self.set_focus(self.query_one("#write", Pick))
        else:
            self.ui.close(self)

    def can(self, action: str) -> bool:
        if action in {"over", "beside"}:
            return self.taken is not None
        if action == "write":
            return self.taken is None and not self.working
        return super().can(action)
