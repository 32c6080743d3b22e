"""The real program in a real terminal: from its first screen to an exported card."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

if os.name != "posix":
    pytest.skip("needs a Unix terminal", allow_module_level=True)

from command_paths import lines, room, session
from command_terminal import Terminal, terminal

from switchleg.record.model import Record
from switchleg.record.store import Store
from switchleg.session.session import Session
from switchleg.session.views.model import CardView, DoorView, QuestionView, View

ENTER, CLEAR = "\r", "\x15"


def on_disk(home: Path, id_: str) -> Record:
    """The record as the program has saved it."""
    with Store(home).open(id_, write=False) as opened:
        return opened.record


def place(record: Record) -> View:
    """Where somebody with this record stands."""
    template = session()
    return Session(template._knowledge, record, None, template._clock).view


def fill(screen: Terminal, text: str) -> None:
    """Types a line into the field that has the cursor, in place of what stands there."""
    for keys in (CLEAR, text, ENTER):
        screen.type(keys)


def answer(screen: Terminal, home: Path, id_: str, view: View) -> None:
    """Answers what is in view as the front parlour's person would, but leaves the canopy for later."""
    told = room("front parlour")
    assert not isinstance(view, CardView)
    screen.see(view.ask)
    if isinstance(view, DoorView):
        if view.opens == "canopy":
            screen.type("n")
        else:
            for number in range(1, len(view.checks) + 1):
                screen.type(str(number))
            screen.type("o")
    else:
        assert isinstance(view, QuestionView)
        value = told.told(view.station).get(view.fact)
        listed = {repr(choice.value): choice.key for choice in view.choices if not choice.typed}
        if value is None:
            screen.type("c")
        elif repr(value) in listed:
            screen.type(listed[repr(value)])
        else:
            screen.type("t")
            fill(screen, str(value))
    node = view.node
    screen.wait(lambda: node in on_disk(home, id_).replies, f"answer to {node} in the record")


def restored(screen: Terminal) -> None:
    """The terminal is as a shell left it: its modes, the main screen, the cursor, the mouse."""
    assert screen.modes() == screen.before
    for mode in ("1049", "1000"):
        assert screen.output.rfind(f"\x1b[?{mode}l") > screen.output.rfind(f"\x1b[?{mode}h"), mode
    assert screen.output.rfind("\x1b[?25h") > screen.output.rfind("\x1b[?25l")


def test_whole_job_from_start_to_export(tmp_path: Path) -> None:
    """Started bare: a fan is named, every question answered by keys, the card exported; it ends with 0, the
    terminal restored and everything in the record."""
    home, paper = tmp_path / "data", tmp_path / "parlour.txt"
    with terminal(home) as screen:
        screen.wait(lambda: "\x1b[?1049h" in screen.output, "screen")
        screen.type("n")
        screen.see("What is this fan called?")
        fill(screen, "parlour")
        fill(screen, "the guesthouse")
        screen.see("From the floor")
        screen.type("o")
        while not isinstance(view := place(on_disk(home, "parlour")), CardView):
            answer(screen, home, "parlour", view)
        screen.wait(lambda: on_disk(home, "parlour").standing.headline, "verdict in the record")
        screen.see(on_disk(home, "parlour").standing.headline)
        screen.type("e")
        screen.see("Where to?")
        screen.type("t")
        fill(screen, str(paper))
        screen.wait(paper.exists, "exported file")
        screen.wait(lambda: paper.stat().st_size > 500, "whole exported file")
        screen.type("\x1b")
        screen.type("\x1b")
        screen.type("q")
        assert screen.code() == 0
        restored(screen)
    kept = on_disk(home, "parlour")
    assert (kept.name, kept.home) == ("parlour", "the guesthouse")
    assert kept.standing.stage in ("done", "waiting")
    text = paper.read_text(encoding="utf-8")
    assert "parlour" in text
    assert max(len(line) for line in text.splitlines()) <= 80
    assert all(sign == "\n" or ord(sign) >= 32 for sign in text)


def test_new_and_resume_go_straight_to_the_question(tmp_path: Path) -> None:
    """`new NAME` opens on the first station; killed and resumed, the first answer is still there."""
    with terminal(tmp_path, "new", "porch") as screen:
        screen.see("From the floor")
        screen.type("o")
        screen.see("Where is the house?")
        screen.type("1")
        screen.wait(lambda: on_disk(tmp_path, "porch").replies, "answer in the record")
        screen.send(signal.SIGKILL)
        screen.code()
    view = place(on_disk(tmp_path, "porch"))
    assert isinstance(view, QuestionView)
    with terminal(tmp_path, "resume") as screen:
        screen.see(view.ask)
        screen.type("c")
        node = view.node
        screen.wait(lambda: node in on_disk(tmp_path, "porch").replies, "second answer in the record")
        screen.type("\x03")
        screen.code()
        restored(screen)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_being_ended_restores_the_terminal(number: int, tmp_path: Path) -> None:
    """Ended from outside, the program still gives the terminal back."""
    with terminal(tmp_path) as screen:
        screen.wait(lambda: "\x1b[?1049h" in screen.output, "screen")
        screen.calm()
        screen.send(number)
        screen.code()
        restored(screen)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"columns": 12, "rows": 4}, "too small"),
        ({"TERM": "dumb"}, "switchleg ask"),
    ],
)
def test_terminal_that_cannot_show_the_screens(options: dict[str, object], words: str, tmp_path: Path) -> None:
    """A terminal too small or without a cursor gets one line, exit code 1, and no screen."""
    with terminal(tmp_path, **options) as screen:
        assert screen.code() == 1
        screen.calm()
        assert words in " ".join(screen.output.split())
        assert "\x1b" not in screen.output
        assert screen.output.count("\n") == 1


def test_a_terminal_without_utf8_shows_the_screens_in_ascii(tmp_path: Path) -> None:
    """Where letters are not UTF-8 the list, a question with its drawing and the card are painted in ASCII alone, and
    the key for other signs says why it does nothing."""
    with terminal(tmp_path, "new", "Café", PYTHONIOENCODING="latin-1") as screen:
        screen.see("From the floor")
        screen.type("o")
        screen.see("Where is the house?")
        screen.type("1")
        screen.type("y")
        screen.see("Does the fan have")
        screen.type("\x1bOR")
        screen.see("This terminal's letters")
        screen.type("k")
        screen.see("MORE TO CHECK")
        screen.type("q")
        assert screen.code() == 0
        restored(screen)
        assert screen.output.isascii()


def test_ask_in_a_terminal(tmp_path: Path) -> None:
    """`switchleg ask` at a keyboard prints no control sequence and leaves the terminal alone."""
    with terminal(tmp_path, "ask", "parlour") as screen:
        for line in [*lines(room("front parlour"))[:3], "quit"]:
            screen.wait(lambda: screen.output.rstrip(" ").endswith(("Answer:", "You:", "no:")), "prompt")
            screen.type(f"{line}\n")
        assert screen.code() == 0
        assert "\x1b" not in screen.output
        assert screen.modes() == screen.before
    assert len(on_disk(tmp_path, "parlour").replies) == 3


def test_ctrl_c_while_asked_is_quiet(tmp_path: Path) -> None:
    """Ctrl-C at a question ends with 130 and no traceback; the answers before it are kept."""
    with terminal(tmp_path, "ask", "parlour") as screen:
        screen.wait(lambda: screen.output.endswith("Answer: "), "prompt")
        screen.type("us\n")
        screen.wait(lambda: screen.output.count("Answer: ") == 2, "second prompt")
        screen.send(signal.SIGINT)
        assert screen.code() == 130
        screen.calm()
        assert "Traceback" not in screen.output
    assert list(on_disk(tmp_path, "parlour").replies) == ["region"]


def test_demo_in_a_terminal_keeps_nothing(tmp_path: Path) -> None:
    """The demo shows its rooms on the screens, says that nothing is kept, and leaves no file behind."""
    temporary = tmp_path / "tmp"
    temporary.mkdir()
    with terminal(tmp_path / "data", "demo", TMPDIR=str(temporary)) as screen:
        screen.wait(lambda: "attic room" in screen.words, "rooms on the screen")
        screen.type("q")
        assert screen.code() == 0
        screen.wait(lambda: "is gone again" in " ".join(screen.output.split()), "last line")
        restored(screen)
    assert list(temporary.iterdir()) == []
    assert not (tmp_path / "data").exists()
