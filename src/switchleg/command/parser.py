"""The command line's words: what may be typed, and how its help reads."""

from __future__ import annotations

import argparse
import difflib
import re
from collections.abc import Sequence
from typing import Any, NoReturn

from switchleg import __version__
from switchleg.command.figures import arguments
from switchleg.errors import SwitchlegError

EXAMPLES = """\
examples:
  switchleg                          open the screens
  switchleg new "garden room"        start with one fan
  switchleg resume                   go on where you left
  switchleg ask "garden room"        the same, line by line
  switchleg advise fan.toml          the verdict for a file of facts
  switchleg card "garden room" --page       verdict, do this, on one page
  switchleg export "garden room" -o garden-room.html
  switchleg home                     every fan, one trip, one parts list
  switchleg completion bash          words that fit, on the Tab key
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


SHELLS = ("bash", "zsh", "fish")


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
        wrong = re.match(r"argument .*: invalid choice: '(.*)' \(choose from (.*)\)$", message)
        if wrong:
            known = re.findall(r"[\w-]+", wrong[2])
            near = difflib.get_close_matches(wrong[1], known, n=1)
            raise SwitchlegError(
                f"there is no {wrong[1]!r} here",
                where=command or "command line",
                expected="one of " + ", ".join(known),
                mend=f"did you mean {near[0]}?" if near else mend,
            )
        wrong = re.match(r"unrecognized arguments: (--\S+)", message)
        if wrong:
            known = sorted({name for one in _below(self) for action in one._actions for name in action.option_strings})
            near = difflib.get_close_matches(wrong[1], known, n=1)
            mend = f"did you mean {near[0]}?" if near else mend
        raise SwitchlegError(message, where=command or "command line", mend=mend)


def build() -> Parser:
    """The parser with every command of the program."""
    parser = Parser(prog="switchleg", description=ABOUT, epilog=EXAMPLES)
    parser.add_argument("--version", action="version", version=f"switchleg {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands", parser_class=Parser)

    def command(name: str, help: str, about: str, *examples: str, epilog: str = "") -> Parser:
        return commands.add_parser(name, help=help, description=about, epilog=epilog or _examples(*examples))

    new = command(
        "new",
        "start a new record",
        "Starts a record for one fan.",
        *('new "garden room"', 'new porch --home "the guesthouse"'),
    )
    new.add_argument("name", metavar="NAME", help="a name for this fan, such as its room")
    new.add_argument("--home", metavar="HOME", default="", help="the home it hangs in")

    resume = command("resume", "go on where you left", "Opens a record again.", "resume", 'resume "garden room"')
    resume.add_argument("name", metavar="NAME", nargs="?", help="which record; the latest without NAME")

    command("list", "the records, a line each", "Lists the records, the latest first.", "list", "list | grep porch")

    home = command(
        "home",
        "every fan of a home, one trip, one parts list",
        "Tells what each fan of a home waits for, which boxes to do while each\n"
        "breaker is off once, and what to buy for all of them.",
        *("home", 'home "the guesthouse"', 'export --home "the guesthouse" -o house.html'),
    )
    home.add_argument("home", metavar="HOME", nargs="?", help="which home; the only one without HOME")

    card = command(
        "card", "a record's card, in text", "Prints the card.", 'card "garden room"', 'card "garden room" --page | lpr'
    )
    card.add_argument("name", metavar="NAME", help="which record")
    card.add_argument("--page", action="store_true", help="only what fits on one sheet")

    export = command(
        "export",
        "the whole summary: text, Markdown, HTML or JSON",
        "Prints or writes the whole summary of a fan, or of a home with --home.\n"
        "The ending of FILE says which kind: .txt .md .html .json",
        *('export "garden room"', 'export "garden room" -o garden.html', "export porch --as md -o -"),
    )
    export.add_argument("name", metavar="NAME", nargs="?", help="which record")
    export.add_argument("--home", metavar="HOME", help="every fan of this home")
    export.add_argument("-o", "--output", metavar="FILE", help="write it here; - is standard output")
    export.add_argument("--as", dest="kind", metavar="KIND", help="txt, md, html or json, whatever FILE ends in")
    export.add_argument("--page", action="store_true", help="only what fits on one sheet, as text")
    export.add_argument("--json", action="store_true", help="the same as --as json")
    export.add_argument("--force", action="store_true", help="write over FILE if it is there")

    compare = command(
        "compare",
        "schemes side by side against the wants, and what if",
        "Tells what each scheme keeps, loses and needs, and what would make another\n"
        "one possible. Nothing that is supposed is kept.",
        *("compare porch", "compare porch --if cable --if spare"),
    )
    compare.add_argument("name", metavar="NAME", help="which record")
    compare.add_argument(
        "--if", dest="ifs", metavar="THIS", action="append", default=[], help="suppose: fan, cable, canopy or spare"
    )

    rename = command(
        "rename",
        "another name, home or breaker for a record",
        "Changes what a record is called, its home, and the label of its breaker.",
        *('rename "fan 3" "garden room"', 'rename porch --home "the guesthouse" --breaker 7'),
    )
    rename.add_argument("name", metavar="NAME", help="which record")
    rename.add_argument("new_name", metavar="NEWNAME", nargs="?", help="what it is called from now on")
    rename.add_argument("--home", metavar="HOME", help="the home it hangs in")
    rename.add_argument("--breaker", metavar="LABEL", help="the breaker that feeds it, as the panel calls it")

    delete = command(
        "delete",
        "delete a record; it can be brought back",
        "Moves a record to the bin, after a yes.",
        *('delete "garden room"', "delete porch --yes"),
    )
    delete.add_argument("name", metavar="NAME", help="which record")
    delete.add_argument("--yes", action="store_true", help="do not ask")

    undelete = command(
        "undelete",
        "bring a deleted record back",
        "Brings a record back; without NAME, lists what was deleted.",
        *("undelete", "undelete porch"),
    )
    undelete.add_argument("name", metavar="NAME", nargs="?", help="which record; lists them without NAME")

    advise = command(
        "advise",
        "the verdict for a file of facts",
        "Prints the card for the facts in a TOML file. Exit code 3: further checks\n"
        "needed; 4: stop and call a licensed electrician.",
        epilog='facts stand at the top or under [facts], for example:\n  motor_label = "dc"\n'
        '  wall_boxes = 1\n  white_on_control = true\n  fan_amps = "0.6 A"\n'
        'name = "..." and home = "..." may stand at the top.',
    )
    advise.add_argument("file", metavar="FILE", help="a TOML file; - reads from standard input")
    advise.add_argument("--json", action="store_true", help="everything, as one JSON object")

    why = command(
        "why",
        "why a scheme was judged as it was",
        "Prints the steps behind a verdict, with the facts, numbers and sources\nthat were read.",
        *("why porch", "why porch canopy_relay"),
    )
    why.add_argument("name", metavar="NAME", help="which record")
    why.add_argument("scheme", metavar="SCHEME", nargs="?", help="which scheme; all without SCHEME")

    draw = command(
        "draw",
        "today's wiring and the planned one, drawn",
        "Draws the joints of every box: today's, and those of the recommended scheme.",
        *("draw porch", "draw porch -o porch.svg", "draw porch --ascii | less"),
    )
    draw.add_argument("name", metavar="NAME", help="which record")
    draw.add_argument("scheme", metavar="SCHEME", nargs="?", help="another scheme than the recommended one")
    draw.add_argument("-o", "--output", metavar="FILE.svg", help="write an SVG picture here; - is standard output")
    draw.add_argument("--ascii", action="store_true", help="draw with plain signs only")
    draw.add_argument("--force", action="store_true", help="write over FILE if it is there")

    arguments.add_to(commands, Parser)

    ask = command(
        "ask",
        "the questions line by line",
        "The same questions in plain lines, for screen readers and pipes. Type help in it\n"
        "for every word: review, change, card, why, draw, work, home, export and more.",
        *('ask "garden room" --home "the guesthouse"', "ask porch < answers.txt"),
    )
    ask.add_argument("name", metavar="NAME", nargs="?", help="an old record or a new name")
    ask.add_argument("--home", metavar="HOME", default="", help="the home it hangs in, for a new record")

    check = command(
        "check",
        "check the knowledge",
        "Checks questions, tables, schemes, rules and texts.",
        *("check", "check --quick", "check my/decision_tree"),
    )
    check.add_argument("--quick", action="store_true", help="do not try every way of the schemes in houses")
    check.add_argument("folder", metavar="DIR", nargs="?", help="a folder like decision_tree")

    command("demo", "an invented guesthouse", "Opens an invented home; nothing of it is kept.", "demo", "demo | less")

    completion = command(
        "completion",
        "a script that completes words on the Tab key",
        "Prints a script for your shell; its first line says where to put it.",
        *("completion bash", "completion fish > ~/.config/fish/completions/switchleg.fish"),
    )
    completion.add_argument("shell", metavar="SHELL", choices=SHELLS, help="bash, zsh or fish")
    complete = commands.add_parser("complete", description="What the scripts of `completion` ask for.")
    complete.add_argument("typed", metavar="WORD", nargs="*")
    return parser


def _below(parser: argparse.ArgumentParser) -> list[argparse.ArgumentParser]:
    """The parser and those of its commands: unknown options come to light only in the outermost."""
    inner = [action for action in parser._actions if isinstance(action, argparse._SubParsersAction)]
    return [parser, *(choice for action in inner for choice in action.choices.values())]


def subcommands(parser: argparse.ArgumentParser) -> dict[str, tuple[argparse.ArgumentParser, str]]:
    """Command -> its own parser and what it is for, in the order of the help."""
    action = next(a for a in parser._actions if isinstance(a, argparse._SubParsersAction))
    return {choice.dest: (action.choices[choice.dest], choice.help or "") for choice in action._choices_actions}


def _examples(*lines: str) -> str:
    return "\n".join(["examples:", *(f"  switchleg {line}" for line in lines)])


COMMANDS = (
    *("new", "resume", "list", "home", "card", "export", "compare", "advise", "why", "draw", "figures", "ask"),
    *("rename", "delete", "undelete", "check", "demo", "completion", "complete"),
)
SHOWN = COMMANDS[:-1]


def parse(argv: Sequence[str]) -> argparse.Namespace:
    """What was asked for; `command` is None for the bare program.

    Raises SwitchlegError for wrong usage and SystemExit after --help and --version.
    """
    if argv and not argv[0].startswith("-") and argv[0] not in COMMANDS:
        near = difflib.get_close_matches(argv[0], SHOWN, n=1)
        raise SwitchlegError(
            f"there is no command {argv[0]!r}",
            where="command line",
            expected="one of " + ", ".join(SHOWN),
            mend=f"did you mean `switchleg {near[0]}`?" if near else "`switchleg --help` shows how",
        )
    arguments.check_name(argv)
    return build().parse_args(list(argv))
