"""The command line's words: what may be typed, and how its help reads."""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Sequence
from typing import Any, NoReturn

from switchleg import __version__
from switchleg.command import figures_words
from switchleg.errors import SwitchlegError

EXAMPLES = """\
examples:
  switchleg                          open the screens
  switchleg new "garden room"        start with one fan
  switchleg resume                   go on where you left
  switchleg ask "garden room"        the same, line by line
  switchleg advise fan.toml          the verdict for a file of facts
  switchleg export "garden room" -o garden-room.txt
  switchleg demo                     an invented house to look around in

exit codes: 0 done; 1 could not; 2 wrong usage or unusable input;
advise: 3 further checks needed, 4 stop and call a licensed electrician

Records are kept in your data folder; SWITCHLEG_HOME names another one.
"""

ABOUT = """\
Finds out, from what you can see, how a ceiling fan is wired and which
smart control can work there. It replaces no local code and no licensed
electrician.
"""


class Parser(argparse.ArgumentParser):
    """An argument parser whose faults are SwitchlegErrors: one line, as everywhere."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("allow_abbrev", False)
        options.setdefault("formatter_class", argparse.RawDescriptionHelpFormatter)
        super().__init__(**options)

    def error(self, message: str) -> NoReturn:
        command = self.prog.removeprefix("switchleg").strip()
        mend = f"`{self.prog} --help` shows how"
        if message.startswith("unrecognized arguments") and not message.partition(": ")[2].startswith("-"):
            mend = f"put a name of several words in quotes; {mend}"
        raise SwitchlegError(message, where=command or "command line", mend=mend)


def build() -> Parser:
    """The parser with every command of the program."""
    parser = Parser(prog="switchleg", description=ABOUT, epilog=EXAMPLES)
    parser.add_argument("--version", action="version", version=f"switchleg {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands", parser_class=Parser)

    new = commands.add_parser("new", help="start a new record", description="Starts a record for one fan.")
    new.add_argument("name", metavar="NAME", help="a name for this fan, such as its room")
    new.add_argument("--home", metavar="HOME", default="", help="the home it hangs in")

    resume = commands.add_parser("resume", help="go on where you left", description="Opens a record again.")
    resume.add_argument("name", metavar="NAME", nargs="?", help="which record; the latest without NAME")

    commands.add_parser("list", help="the records, a line each", description="Lists the records.")

    card = commands.add_parser("card", help="a record's card, in text", description="Prints the card.")
    card.add_argument("name", metavar="NAME", help="which record")

    export = commands.add_parser(
        "export", help="the whole summary as plain text", description="Prints or writes the whole summary."
    )
    export.add_argument("name", metavar="NAME", help="which record")
    export.add_argument("-o", "--output", metavar="FILE", help="write it here instead of printing it")
    export.add_argument("--json", action="store_true", help="the record itself, as JSON")
    export.add_argument("--force", action="store_true", help="write over FILE if it is there")

    advise = commands.add_parser(
        "advise",
        help="the verdict for a file of facts",
        description="Prints the card for the facts in a TOML file. Exit code 3: further checks\n"
        "needed; 4: stop and call a licensed electrician.",
        epilog='facts stand at the top or under [facts], for example:\n  motor_label = "dc"\n'
        '  wall_boxes = 1\n  white_on_control = true\n  fan_amps = "0.6 A"\n'
        'name = "..." and home = "..." may stand at the top.',
    )
    advise.add_argument("file", metavar="FILE", help="a TOML file; - reads from standard input")
    advise.add_argument("--json", action="store_true", help="everything, as one JSON object")

    why = commands.add_parser(
        "why",
        help="why a scheme was judged as it was",
        description="Prints the steps behind a verdict, with the facts, numbers and sources\nthat were read.",
    )
    why.add_argument("name", metavar="NAME", help="which record")
    why.add_argument("scheme", metavar="SCHEME", nargs="?", help="which scheme; all without SCHEME")

    draw = commands.add_parser(
        "draw",
        help="today's wiring and the planned one, drawn",
        description="Draws the joints of every box: today's, and those of the recommended scheme.",
    )
    draw.add_argument("name", metavar="NAME", help="which record")
    draw.add_argument("scheme", metavar="SCHEME", nargs="?", help="another scheme than the recommended one")
    draw.add_argument("-o", "--output", metavar="FILE.svg", help="write an SVG picture here instead")
    draw.add_argument("--ascii", action="store_true", help="draw with plain signs only")
    draw.add_argument("--force", action="store_true", help="write over FILE if it is there")

    figures_words.add_to(commands, Parser)

    ask = commands.add_parser(
        "ask",
        help="the questions line by line",
        description="The same questions in plain lines, for screen readers and pipes.",
    )
    ask.add_argument("name", metavar="NAME", nargs="?", help="an old record or a new name")
    ask.add_argument("--home", metavar="HOME", default="", help="the home it hangs in, for a new record")

    check = commands.add_parser(
        "check", help="check the knowledge", description="Checks questions, tables, schemes, rules and texts."
    )
    check.add_argument("folder", metavar="DIR", nargs="?", help="a folder like decision_tree")

    commands.add_parser(
        "demo", help="an invented guesthouse", description="Opens an invented home; nothing of it is kept."
    )
    return parser


COMMANDS = ("new", "resume", "list", "card", "export", "advise", "why", "draw", "figures", "ask", "check", "demo")


def parse(argv: Sequence[str]) -> argparse.Namespace:
    """What was asked for; `command` is None for the bare program.

    Raises SwitchlegError for wrong usage and SystemExit after --help and --version.
    """
    if argv and not argv[0].startswith("-") and argv[0] not in COMMANDS:
        near = difflib.get_close_matches(argv[0], COMMANDS, n=1)
        raise SwitchlegError(
            f"there is no command {argv[0]!r}",
            where="command line",
            expected="one of " + ", ".join(COMMANDS),
            mend=f"did you mean `switchleg {near[0]}`?" if near else "`switchleg --help` shows how",
        )
    figures_words.check_name(argv)
    return build().parse_args(list(argv))
