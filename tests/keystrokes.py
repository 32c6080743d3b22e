"""Walks three awkward houses by keys in a real terminal and counts them: `python tests/keystrokes.py [--show]`.

Needs tmux. The houses stand in keystrokes.toml. Every key that reaches the program counts, from the empty list
of records to the card: naming the fan, the way into a station, every check of a gate, every answer, every
scroll that a gate asks for. `--show` prints every screen with the key that was pressed on it. Not collected by
pytest.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
import tomllib
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from tmux_terminal import Tmux

from switchleg.command.demo.script import Room
from switchleg.knowledge.load import load
from switchleg.record.store import Store
from switchleg.session.session import Session
from switchleg.session.views.model import CardView, DoorView, QuestionView

HOUSES = Path(__file__).with_name("keystrokes.toml")
SIZES = {"phone": (40, 20), "usual": (80, 24), "wide": (120, 40)}
ANSWER_S = 4.0
"""Seconds after which a key that changed nothing on the screen counts as one without effect."""
MOST = 400
"""Keys after which a walk counts as lost."""


@dataclass
class Walk:
    """One house on its way; `counts` says what the keys were for."""

    what: str
    room: Room
    stop_at: str
    changes: dict[str, Any]
    terminal: Tmux
    show: bool
    counts: Counter[str] = field(default_factory=Counter)
    idle: list[str] = field(default_factory=list)
    """Where a key changed nothing on the screen."""
    verdict: str = ""
    """The card's first screen."""

    def session(self) -> Session:
        """The record as it is on disk, for looking only."""
        store = Store(self.terminal.home)
        with store.open(self.room.name, write=False) as opened:
            return Session(load(), opened.record, None, lambda: datetime.now(UTC))

    def press(self, *keys: str, why: str) -> None:
        for key in keys:
            before = self.terminal.rows_shown()
            if self.show:
                print(*before, f"=== {key} ({why})", sep="\n")
            self.terminal.press(key)
            self.terminal.answered(before, 0.3 if key == "Space" else ANSWER_S)
            self.counts[why] += 1
            if self.terminal.keys > MOST:
                raise AssertionError("lost:\n" + "\n".join(self.terminal.rows_shown()))
            if key != "Space" and self.terminal.rows_shown() == before:
                self.idle.append(f"{key} ({why}) on: {' '.join(' '.join(before).split())[:60]}")

    def begin(self) -> None:
        self.terminal.start()
        self.press("n", why="name")
        self.press(*keys_of(self.room.name), "Enter", "Enter", why="name")
        self.terminal.until(lambda: "A new fan" not in self.terminal.words, "first screen")

    def to_card(self) -> None:
        """Answer until the card stands there."""
        while not isinstance(view := self.session().view, CardView):
            if isinstance(view, DoorView):
                self.at_gate(view)
            else:
                self.at_question(view)
        self.terminal.until(self.card_shown, "card")

    def card_shown(self) -> bool:
        words = self.terminal.words
        return ("[Card]" in words or "[c Card]" in words) and "Working it out" not in words

    def at_question(self, view: QuestionView) -> None:
        if "Begin" in self.terminal.words:
            self.press("o", why="into a station")
            return
        assert view.ask.split()[0] in self.terminal.words, "\n".join(self.terminal.rows_shown())
        value = self.room.told(view.station).get(view.fact)
        if view.fact in self.changes and view.earlier:
            value = self.changes[view.fact]
        choice = next((choice for choice in view.choices if choice.value == value and value is not None), None)
        if value is None:
            self.press(view.cant_tell_key, why="can't tell")
        elif choice is not None:
            self.press(choice.key, why="answers")
        else:
            typed = str(value)
            opens = next(choice.key for choice in view.choices if choice.typed)
            first = () if typed[0].isdigit() else (opens,)
            self.press(*first, *keys_of(typed), "Enter", why="typed")

    def at_gate(self, view: DoorView) -> None:
        """Space confirms the marked check and opens at the end."""
        if view.opens == self.stop_at:
            self.stop_at = ""
            self.press("n", why="gates")
            return
        said = self.room.at_door(view.opens)
        if said == "open":
            self.press("Space", why="gates")
        else:
            self.press({"later": "n", "decline": "x"}[said], why="gates")

    def interrupted(self) -> None:
        """The program dies; started again, the first line of the list goes on, and what waits is opened."""
        self.terminal.kill()
        self.terminal.start()
        self.press("Enter", why="resume")
        self.terminal.until(self.card_shown, "card")
        self.press("n", why="resume")
        while "safety gate" in self.terminal.words:  # not on disk until it is open
            self.press("Space", why="gates")
        self.to_card()

    def change(self, fact: str) -> None:
        """From the card through the review to another answer, weighed and taken."""
        self.press("r", why="change of mind")
        rows = [row.node for row in self.session().review]
        place, from_end = rows.index(fact), len(rows) - 1 - rows.index(fact)
        way = ["Up"] * from_end if from_end <= place else ["Home", *["Down"] * place]
        self.press(*way, why="change of mind")
        self.press("Enter", why="change of mind")
        view = self.session().knowledge.tree.questions[fact]
        number = next(n for n, answer in enumerate(view.answers, 1) if answer.value == self.changes[fact])
        self.press(str(number), why="change of mind")
        self.terminal.until(lambda: "Working out" not in self.terminal.words, "comparison")
        self.press("y", why="change of mind")
        self.to_card()


def keys_of(text: str) -> list[str]:
    """The keys that type `text`, as tmux names them."""
    return ["Space" if letter == " " else letter for letter in text]


def walk(told: dict[str, Any], size: str, show: bool) -> Walk:
    """One house at one size, from the empty list to the card."""
    with tempfile.TemporaryDirectory() as folder:
        terminal = Tmux(Path(folder), *SIZES[size])
        room = Room.model_validate(told["room"])
        one = Walk(told["what"], room, told.get("stop_at", ""), told.get("changes", {}), terminal, show)
        interrupted = bool(one.stop_at)
        try:
            one.begin()
            one.to_card()
            if interrupted:
                one.interrupted()
            for fact in one.changes:
                one.change(fact)
            one.verdict = terminal.words.partition("Why ")[2][:100]
        finally:
            terminal.close()
    return one


def main() -> int:
    """Prints the keys of every walk at every size; 1 without tmux."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", 1)[0])
    parser.add_argument("--show", action="store_true", help="print every screen and the key pressed on it")
    parser.add_argument("--size", choices=SIZES, action="append", help="only this size")
    asked = parser.parse_args()
    if shutil.which("tmux") is None:
        print("This walk needs tmux.", file=sys.stderr)
        return 1
    for told in tomllib.loads(HOUSES.read_text(encoding="utf-8"))["walk"]:
        print(f"{told['what']}:")
        for size in asked.size or SIZES:
            done = walk(told, size, asked.show)
            parts = ", ".join(f"{count} {what}" for what, count in done.counts.most_common())
            columns, rows = SIZES[size]
            print(f"  {columns}x{rows}: {done.terminal.keys} keys ({parts})")
            if done.idle:
                print(f"    no visible effect: {'; '.join(done.idle)}")
            print(f"    {done.verdict}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
