"""What the commands print: plain text that any terminal, pipe or screen reader takes.

Two faults are met here once: control characters in what people typed, and an output that cannot
show every sign. Nothing here fails because of a letter.
"""

from __future__ import annotations

import codecs
import io
import os
import sys
import unicodedata
from typing import TextIO

from switchleg.errors import COULD_NOT, SwitchlegError
from switchleg.paper import safe_text

WIDEST = 80
"""Columns; paper and most terminals hold that."""
NARROWEST = 20

_ENDINGS = "\u2028\u2029\u0085"


def plain(text: str) -> str:
    """`text` in ASCII: signs by their usual stand-ins, accents dropped, anything else a question mark."""
    return "".join(sign if sign.isascii() else _ascii(sign) for sign in text)


def clean(text: str, *, keep_lines: bool = True) -> str:
    """`text` without control characters, direction marks or lone surrogates; line breaks stay if asked."""
    pieces: list[str] = []
    for sign in text:
        if sign == "\n":
            pieces.append("\n" if keep_lines else " ")
        elif sign in "\t\r" or sign in _ENDINGS:
            pieces.append(" ")
        elif unicodedata.category(sign) == "Cs":
            pieces.append("?")
        elif unicodedata.category(sign) not in ("Cc", "Cf"):
            pieces.append(sign)
    return "".join(pieces)


def fitted(text: str, stream: TextIO | None) -> str:
    """`text` cleaned, and in signs that `stream` can show."""
    text = clean(text)
    encoding = getattr(stream, "encoding", None) or "ascii"
    try:
        text.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return plain(text)
    return text


def columns() -> int:
    """How wide text is set: 80 columns, or COLUMNS where that is narrower."""
    try:
        asked = int(os.environ.get("COLUMNS", ""))
    except ValueError:
        return WIDEST
    return max(NARROWEST, min(WIDEST, asked)) if asked > 0 else WIDEST


def wrapped(text: str, *, first: str = "", rest: str | None = None, width: int | None = None) -> str:
    """`text` set in lines of `width` columns, `first` before the first line and `rest` before the others."""
    body = safe_text.typed(fitted(text, sys.stdout))
    return "\n".join(safe_text.wrap(body, first, first if rest is None else rest, width or columns()))


def put(text: str, end: str = "\n") -> None:
    """Prints a line on stdout as it is. SwitchlegError when it cannot be written; a closed pipe stays
    BrokenPipeError."""
    try:
        print(text, end=end)
    except BrokenPipeError:
        raise
    except OSError as fault:
        silence(sys.stdout)
        raise _unwritten(fault) from None


def say(text: str = "") -> None:
    """Prints lines on stdout without control characters, in signs that it can show."""
    put(fitted(text, sys.stdout))


def say_wrapped(text: str, *, first: str = "", rest: str | None = None) -> None:
    """Prints `text` wrapped to the width in use."""
    put(wrapped(text, first=first, rest=rest))


def flush() -> None:
    """Sends out what is still held back; errors as for `put`."""
    try:
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as fault:
        silence(sys.stdout)
        raise _unwritten(fault) from None


def complain(line: str) -> None:
    """Prints one line on stderr, led by the program's name; never raises."""
    if sys.stderr is None:
        return
    text = fitted(f"switchleg: {' '.join(clean(line, keep_lines=False).split())}", sys.stderr)
    try:
        print(text, file=sys.stderr, flush=True)
    except (OSError, ValueError):
        silence(sys.stderr)


def prepare_streams() -> None:
    """Makes the standard streams forgiving: no sign that cannot be shown or read ends the program."""
    codecs.register_error("switchleg", _stand_in)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="switchleg")
    if isinstance(sys.stdin, io.TextIOWrapper):
        if codecs.lookup(sys.stdin.encoding or "ascii").name == "ascii":
            sys.stdin.reconfigure(encoding="utf-8", errors="replace")
        else:
            sys.stdin.reconfigure(errors="replace")


def silence(stream: TextIO | None) -> None:
    """Lets what is still unwritten fall on the floor, so that leaving the program stays quiet."""
    try:
        if stream is not None:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, stream.fileno())
            os.close(nowhere)
    except (OSError, ValueError):
        pass


def _ascii(sign: str) -> str:
    if sign.isspace():
        return " "
    stand_in = safe_text.plain(sign)
    bare = unicodedata.normalize("NFKD", stand_in).encode("ascii", "ignore").decode("ascii")
    return bare or ("" if unicodedata.category(sign) in ("Mn", "Cf") else "?")


def _unwritten(fault: OSError) -> SwitchlegError:
    return SwitchlegError(
        f"the output could not be written ({fault.strerror or fault})",
        where="standard output",
        mend="make room and try again",
        exit_code=COULD_NOT,
    )


def _stand_in(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return plain(error.object[error.start : error.end]), error.end
