"""Reads what a person types, line by line, from a keyboard or a pipe."""

from __future__ import annotations

import sys

from switchleg.command.shell import output

LONGEST = 2000
"""Characters in one line; nobody types more at a wall switch."""


class EndOfInput(Exception):
    """Nothing more will be typed."""


class Quit(Exception):
    """The person wants to leave."""


def hear(prompt: str) -> str:
    """One typed line, without its line break and control characters; raises EndOfInput at the end.

    What comes through a pipe is printed after the prompt, so that the page reads like a talk.
    A line longer than LONGEST comes back cut to LONGEST + 1 characters.
    """
    stream = sys.stdin
    output.put(prompt, end=" ")
    output.flush()
    try:
        line = "" if stream is None else stream.readline(LONGEST + 1)
        rest = line
        while len(rest) > LONGEST and not rest.endswith("\n") and stream is not None:
            rest = stream.readline(LONGEST + 1)
        by_hand = stream is not None and stream.isatty()
    except (OSError, ValueError):
        line, by_hand = "", False
    if not line:
        output.say()
        raise EndOfInput
    words = output.clean(line, keep_lines=False).strip()
    if not by_hand:
        output.say(words[:200])
    return words
