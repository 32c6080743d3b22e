"""Whether every picture can be read on a phone, and is shown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from switchleg.knowledge.problems import Problem
from switchleg.schema.pictures import Picture
from switchleg.schema.questions import StationFile
from switchleg.spelling import nearest_of

COLUMNS = 36
"""What is left of a phone's 40 columns inside a frame."""
LINES = 14
"""What a phone's 20 lines hold beside a title and a way out."""

SIGNS = frozenset(chr(code) for code in range(0x2500, 0x25A0)) | frozenset("●○■□▲▼")
"""Beside ASCII: lines, blocks and a few marks, all one column wide and none of them an emoji."""


def check_pictures(pictures: Mapping[str, Picture]) -> Iterator[Problem]:
    """Every picture (path -> model) has its words and fits a phone, and both forms of it agree."""
    for file, picture in pictures.items():
        for key in ("title", "says", "drawing", "ascii"):
            if not getattr(picture, key).strip():
                yield Problem(file, key, "is empty")
            elif key in ("title", "says") and "\n" in getattr(picture, key):
                yield Problem(file, key, "has more than one line; it is wrapped where it is shown")
        if picture.drawing.strip():
            yield from _paper(file, "drawing", picture.drawing)
            if picture.ascii.strip():
                yield from _paper(file, "ascii", picture.ascii)
                yield from _twins(file, picture)


def check_shown(pictures: Mapping[str, Picture], files: Mapping[str, StationFile]) -> Iterator[Problem]:
    """Every picture is named by a question or a gate; a misspelt name counts for the picture nearest to it."""
    asked = {question.picture for station in files.values() for question in station.question}
    wanted = (asked | {door.picture for station in files.values() for door in station.door}) - {None}
    names = {_stem(file) for file in pictures}
    meant = {nearest_of(name, names) for name in wanted - names}
    for file in pictures:
        if _stem(file) not in wanted | meant:
            yield Problem(file, "", "no question shows this picture")


def _paper(file: str, key: str, text: str) -> Iterator[Problem]:
    lines = text.split("\n")
    if len(lines) > LINES:
        yield Problem(file, key, f"is too high: {len(lines)} lines, at most {LINES}")
    for number, line in enumerate(lines, 1):
        if len(line) > COLUMNS:
            yield Problem(file, f"{key}.{number}", f"is too wide: {len(line)} columns, at most {COLUMNS}")
        if line != line.rstrip():
            yield Problem(file, f"{key}.{number}", "ends in blanks")
        for sign in sorted({sign for sign in line if not _allowed(key, sign)}):
            kind = "no printable ASCII sign" if key == "ascii" else "not a line, block or ASCII sign"
            yield Problem(file, f"{key}.{number}", f"{sign!r} (U+{ord(sign):04X}) is {kind}")


def _allowed(key: str, sign: str) -> bool:
    return " " <= sign <= "~" or (key == "drawing" and sign in SIGNS)


def _twins(file: str, picture: Picture) -> Iterator[Problem]:
    drawn, typed = picture.drawing.split("\n"), picture.ascii.split("\n")
    if len(drawn) != len(typed):
        yield Problem(file, "ascii", f"has {len(typed)} lines; the drawing has {len(drawn)}")
        return
    for number, (one, other) in enumerate(zip(drawn, typed, strict=True), 1):
        if len(one) != len(other):
            yield Problem(file, f"ascii.{number}", f"has {len(other)} columns; the drawing has {len(one)}")
        elif any(a.isascii() and a != b for a, b in zip(one, other, strict=True)):
            yield Problem(file, f"ascii.{number}", "differs from the drawing in a letter or a blank")


def _stem(file: str) -> str:
    return file.rpartition("/")[2].rpartition(".")[0]
