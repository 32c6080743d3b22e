"""Contents of a box as a person types them: "14/2", "5 x 14 AWG", "14 AWG, 4 cm deep", "2 gangs"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NoReturn

from switchleg.errors import SwitchlegError
from switchleg.figures.boxes.contents import Module, Wires, Yoke
from switchleg.units.reading import Measure, parse_measure

CABLE = re.compile(r"(?:(?P<times>[0-9]{1,2})\s*[x×]\s*)?(?P<gauge>[0-9]{1,2})\s*/\s*(?P<cores>[1-5])", re.I)
TIMES = re.compile(r"(?P<count>[0-9]{1,2})\s*[x×]\s*(?P<wire>.+)", re.I)
GANGS = re.compile(r"(?P<gangs>[1-9])\s*(?:gang|gangs|-gang)\s*(?:wide)?", re.I)


def wires_typed(texts: Sequence[str], where: str) -> Wires:
    """ "5 x 14 AWG", or "14 AWG" for one; sizes named twice are added up. SwitchlegError without a unit."""
    found: dict[str, int] = {}
    for text in texts:
        match = TIMES.fullmatch(text.strip())
        wire = str(parse_measure(match["wire"] if match else text, "wire", where))
        count = int(match["count"]) if match else 1
        if count == 0:
            _refuse(text, where, "one wire or more", "leave out what is not there")
        found[wire] = found.get(wire, 0) + count
    return tuple(found.items())


def cables_typed(texts: Sequence[str], where: str) -> tuple[Wires, Wires]:
    """Insulated wires and grounds of cables such as "14/2" or "2 x 12/3": gauge / insulated wires, one ground each."""
    wires: dict[str, int] = {}
    grounds: dict[str, int] = {}
    for text in texts:
        match = CABLE.fullmatch(text.strip())
        if match is None:
            _refuse(text, where, "a cable as gauge / insulated wires", 'write it like "14/2" or "2 x 14/3"')
        wire = str(parse_measure(f"{match['gauge']} AWG", "wire", where))
        times = int(match["times"] or 1)
        if times == 0:
            _refuse(text, where, "one cable or more", "leave out what is not there")
        wires[wire] = wires.get(wire, 0) + times * int(match["cores"])
        grounds[wire] = grounds.get(wire, 0) + times
    return tuple(wires.items()), tuple(grounds.items())


def added(*lists: Wires) -> Wires:
    """Several lists as one, each size once."""
    found: dict[str, int] = {}
    for wires in lists:
        for wire, count in wires:
            found[wire] = found.get(wire, 0) + count
    return tuple(found.items())


def yoke_typed(text: str, where: str) -> Yoke:
    """ "14 AWG", "14 AWG, 2 gangs", "14 AWG, 4 cm deep": the largest wire on the device, then what else is known."""
    first, *rest = (piece.strip() for piece in text.split(","))
    wire = str(parse_measure(first, "wire", where))
    gangs, depth = 1, None
    for piece in rest:
        match = GANGS.fullmatch(piece)
        if match:
            gangs = int(match["gangs"])
        else:
            depth = parse_measure(re.sub(r"\s*deep$", "", piece, flags=re.I), "length", where)
    return Yoke(wire, gangs, depth)


def module_typed(text: str, where: str) -> Module:
    """ "14 AWG" or "14 AWG, 30 cm3" or "14 AWG, 45 x 40 x 20 mm": the wire joined to it, then its outside."""
    first, _, rest = (piece.strip() for piece in text.partition(","))
    wire = str(parse_measure(first, "wire", where))
    return Module(wire, _outside(rest, where) if rest else None)


def _outside(text: str, where: str) -> Measure:
    space = parse_measure(text, "space", where)
    return Measure(space.to("cm3"), "cm3", "volume") if space.sides else Measure(space.amount, space.unit, "volume")


def box_typed(text: str) -> str | Measure:
    """A trade size as it stands in the table, or a marked volume. A bare number is refused later, with the sizes."""
    try:
        return parse_measure(text, "volume", "--box")
    except SwitchlegError as fault:
        if re.fullmatch(r"\s*[0-9.,]+\s*", text):
            raise fault from None
        return text


def _refuse(text: str, where: str, expected: str, mend: str) -> NoReturn:
    raise SwitchlegError(f"{text.strip()[:40]!r} cannot be read", where=where, expected=expected, mend=mend)
