"""`completion SHELL`: a script for bash, zsh or fish, which asks this program for the words that fit."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from switchleg.command.shell import output

if TYPE_CHECKING:
    from argparse import Namespace

BASH = """\
# switchleg completion for bash: add   eval "$(switchleg completion bash)"   to ~/.bashrc
_switchleg() {
    local word
    COMPREPLY=()
    while IFS=$'\\t' read -r word _; do
        COMPREPLY+=("$word")
    done < <(switchleg complete -- "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null)
}
complete -o filenames -o bashdefault -o default -F _switchleg switchleg
"""
ZSH = """\
#compdef switchleg
# switchleg completion for zsh: add   eval "$(switchleg completion zsh)"   to ~/.zshrc, after compinit
_switchleg() {
    local -a found
    local line
    while IFS= read -r line; do
        found+=("${${line%%$'\\t'*}//:/\\\\:}:${line#*$'\\t'}")
    done < <(switchleg complete -- "${(@)words[2,CURRENT]}" 2>/dev/null)
    if (( ${#found} )); then
        _describe switchleg found
    else
        _files
    fi
}
compdef _switchleg switchleg
"""
FISH = """\
# switchleg completion for fish: switchleg completion fish > ~/.config/fish/completions/switchleg.fish
function __switchleg_words
    set -l typed (commandline -opc) (commandline -ct)
    switchleg complete -- $typed[2..-1] 2>/dev/null
end
complete -c switchleg -a '(__switchleg_words)'
"""
SCRIPTS = {"bash": BASH, "zsh": ZSH, "fish": FISH}


def run(args: Namespace) -> int:
    """Prints a shell's script, or, for the scripts themselves, the words that fit with what they mean."""
    if args.command == "completion":
        output.put(SCRIPTS[args.shell].rstrip("\n"))
        return 0
    for word, meaning in words(args.typed or [""]):
        # A tab parts word and meaning; names hold none once they are tidied.
        output.put(f"{_plain(word)}\t{_plain(meaning)}")
    return 0


def words(typed: Sequence[str]) -> Iterator[tuple[str, str]]:
    """What may stand in the place of the last of `typed` (the words after `switchleg`), with its meaning."""
    from switchleg.command import parser

    *before, last = typed
    last = last.lstrip("\"'").replace("\\", "")
    tree = parser.build()
    commands = parser.subcommands(tree)
    command = next((word for word in before if not word.startswith("-")), None)
    found: Iterator[tuple[str, str]]
    if command is None:
        found = ((name, meaning) for name, (_, meaning) in commands.items())
        chosen: argparse.ArgumentParser = tree
    elif command in commands:
        chosen = commands[command][0]
        found = _values(chosen, command, before)
    else:
        return
    if last.startswith("-"):
        found = _options(chosen)
    wanted = last.casefold()
    yield from ((word, meaning) for word, meaning in found if word.casefold().startswith(wanted))


def _options(chosen: argparse.ArgumentParser) -> Iterator[tuple[str, str]]:
    for action in chosen._actions:
        for name in action.option_strings:
            yield name, action.help or ""


def _values(chosen: argparse.ArgumentParser, command: str, before: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Values of the option just typed, else of the argument that comes next."""
    expecting = next((a for a in chosen._actions if before[-1] in a.option_strings and a.nargs != 0), None)
    if expecting is None:
        given = len([word for word in before[before.index(command) + 1 :] if not word.startswith("-")])
        places = [action for action in chosen._actions if not action.option_strings]
        expecting = places[given] if given < len(places) else None
    if expecting is None:
        return
    if expecting.choices is not None:
        yield from ((str(choice), "") for choice in expecting.choices)
    metavar = expecting.metavar if isinstance(expecting.metavar, str) else ""
    if metavar == "NAME" and command not in ("new",):
        yield from _names(deleted=command == "undelete")
    elif metavar == "HOME":
        yield from _homes()
    elif metavar == "SCHEME":
        from switchleg.knowledge.load import load

        yield from ((scheme.id, scheme.title) for scheme in load().schemes.scheme)
    elif metavar == "THIS":
        from switchleg.advice.compare import WHAT_IFS

        yield from ((name, words) for name, (words, _) in WHAT_IFS.items())
    elif metavar == "KIND":
        yield from ((kind, "") for kind in ("txt", "md", "html", "json"))


def _names(*, deleted: bool) -> Iterator[tuple[str, str]]:
    from switchleg.record.store import Store

    store = Store.default()
    for line in store.deleted() if deleted else store.list():
        yield line.id, ", ".join(part for part in (line.name, line.home) if part)


def _homes() -> Iterator[tuple[str, str]]:
    from switchleg.record.homes import homes
    from switchleg.record.store import Store

    for home, fans in homes(Store.default().list()).items():
        if home:
            yield home, f"{len(fans)} {'fan' if len(fans) == 1 else 'fans'}"


def _plain(text: str) -> str:
    return " ".join(output.fitted(text, sys.stdout).split())
