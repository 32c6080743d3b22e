"""Writes the whole summary into a text file; a file that is there already is never overwritten."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input, Static

from .page import Body, Page
from .widgets import Pick

if TYPE_CHECKING:
    from switchleg.advice.card import Card


def default_name(name: str) -> str:
    """A file name made of the record's name that every system takes."""
    plain = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:60]
    return f"{plain or 'fan'}.txt"


def free_path(path: Path) -> Path:
    """`path`, or the first of name-2, name-3 … that does not exist."""
    number = 2
    free = path
    while free.exists() or free.is_symlink():
        free = path.with_name(f"{path.stem}-{number}{path.suffix}")
        number += 1
    return free


class ExportScreen(Page[None]):
    """Asks where to write; says where it was written."""

    CSS_PATH = "export.tcss"
    AUTO_FOCUS = "#path"
    HELP = "A plain text of the card and all answers, to print or to send to an electrician."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Back", key_display="esc", id="export.leave", tooltip="Back to the card"),
    ]

    def __init__(self, card: Card) -> None:
        super().__init__()
        self.card = card
        self.written: Path | None = None

    def body(self) -> ComposeResult:
        with Body(id="body"):
            yield Static(
                "Write the card and all answers as plain text. Into which file?",
                classes="label",
                markup=False,
            )
            session = self.ui.session
            name = session.record.name if session is not None else "fan"
            line = Input(str(free_path(Path.cwd() / default_name(name))), id="path")
            line.cursor_blink = False
            yield line
            yield Static("", id="path-error", classes="error-line", markup=False)
            yield Pick("enter", "Write it", id="write")
            yield Pick("esc", "Back to the card", id="back")
            yield Static("", id="written", markup=False)

    def paint(self) -> None:
        session = self.ui.session
        self.head(f"{session.record.name} · export" if session is not None else "export")
        self.banner(self.ui.standing_remark())

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self.write()

    def on_pick_chosen(self, event: Pick.Chosen) -> None:
        event.stop()
        if event.pick.id == "write":
            self.write()
        else:
            self.action_leave()

    def write(self) -> None:
        """Write to the path that stands in the line; on any trouble say what to do and write nothing."""
        from switchleg.record.export import export_text

        session, line = self.ui.session, self.query_one("#path", Input)
        if session is None or not self.awake:
            return
        typed = line.value.strip()
        if not typed:
            self._fault("Type a file name first.")
            return
        try:
            path = Path(typed).expanduser()
            if path.is_dir():
                path = path / default_name(session.record.name)
            text = export_text(session.record, session.review, self.card)
            with path.open("x", encoding="utf-8", newline="\n") as file:
                file.write(text)
        except FileExistsError:
            line.value = str(free_path(path))
            self._fault(f"{path.name} is there already and stays as it is. This name is free.")
        except FileNotFoundError:
            self._fault(f"There is no folder {path.parent}. Choose one that is there.")
        except (OSError, RuntimeError, ValueError) as error:
            reason = getattr(error, "strerror", None) or str(error)
            self._fault(f"It cannot be written there: {reason}. Choose another place.")
        else:
            self.written = path.absolute()
            self._fault("")
            self.query_one("#written", Static).update(f"✓ Written: {self.written}")

    def _fault(self, text: str) -> None:
        self.query_one("#path-error", Static).update(f"! {text}" if text else "")
        self.query_one("#written", Static).update("")

    def action_leave(self) -> None:
        self.ui.close(self)
