"""A picture of a wired site, ready to be drawn: in each box rows are ends and columns are joints.

Nothing is decided here about lines and letters; both drawings, in text and as SVG, show the same picture.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Literal

from switchleg.wiring.drawing.changes import Change, Changes, compare
from switchleg.wiring.drawing.colours import letters_of
from switchleg.wiring.netlist import ConductorEnd, End, Terminal, Wired
from switchleg.wiring.site import CEILING, GROUND, HOT, NEUTRAL

CAUTION = "Test every conductor dead before you touch it. A colour proves nothing; the tester does."
CAPPED, CAPPED_HERE, BARE, EMPTY = "capped", "capped here only", "neither joined nor capped", "left empty"
LONE_GROUND = "to a metal box, else capped"
FURTHER = "Wires of a cable that is not drawn stay joined as they are."
HALF_CAPPED = "Capped here only: its other end is joined. Take it for live."
MARK = "Mark as: it does not carry what its colour says. Mark it all around wherever it is seen."
PIGTAIL = "Where three or more ends meet, use a connector, and a short piece of wire from it to a screw terminal."
SIGNS: Mapping[str, str] = {"new": "+", "moved": ">", "as_today": "="}


@dataclass(frozen=True)
class Row:
    """One end. `joints`: the columns it meets; none: a conductor is capped, a terminal stays empty."""

    end: End
    colour: str
    """Empty for a terminal."""
    name: str
    joints: tuple[int, ...]
    change: Change
    mark_as: str = ""
    """What a conductor that does not carry what its colour says must be marked as."""
    alone: str = ""
    """What is done with an end that meets nothing."""

    @property
    def words(self) -> str:
        return ", ".join(filter(None, (self.name, self.mark_as and f"mark as {self.mark_as}", self.alone)))


@dataclass(frozen=True)
class Group:
    """The ends of one cable or of one part in a box. Conductors stand in the same order in every box."""

    id: str
    kind: Literal["cable", "part"]
    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Column:
    """One joint. `as_today`: the same ends meet today, so that it can be left alone."""

    net: str
    name: str
    ends: int
    as_today: bool

    @property
    def words(self) -> str:
        return f"{self.name}, {self.ends} ends"


@dataclass(frozen=True)
class BoxPicture:
    """One box. `taken_out`: parts and cables that are there today and leave."""

    id: str
    title: str
    columns: tuple[Column, ...]
    groups: tuple[Group, ...]
    taken_out: tuple[str, ...]


@dataclass(frozen=True)
class CablePicture:
    """A cable between two boxes of the picture: where it goes, its conductors as `words` in order."""

    id: str
    boxes: tuple[str, str]
    colours: tuple[str, ...]
    words: str


@dataclass(frozen=True)
class Picture:
    """Everything that is drawn. `letters`: colour -> its short code; `compared`: against today's wiring."""

    boxes: tuple[BoxPicture, ...]
    cables: tuple[CablePicture, ...]
    letters: Mapping[str, str]
    compared: bool
    ground: str
    """A sentence about what of the ground is not drawn."""

    def legend(self) -> tuple[tuple[str, str], ...]:
        """Signs that occur, and what they mean."""
        rows = [row for box in self.boxes for group in box.groups for row in group.rows]
        changes = {row.change for row in rows} | {"as_today" for b in self.boxes for c in b.columns if c.as_today}
        meaning = {
            "new": "new",
            "moved": "joined or capped differently than today",
            "as_today": "joint as it is today",
        }
        return tuple((SIGNS[key], words) for key, words in meaning.items() if key in changes)

    def notes(self) -> tuple[str, ...]:
        """Sentences that belong under every drawing."""
        rows = [row for box in self.boxes for group in box.groups for row in group.rows]
        many = any(len(ends) > 2 for box in self.boxes for ends in _terminal_joints(box))
        found = (
            MARK if any(row.mark_as for row in rows) else "",
            HALF_CAPPED if any(row.alone == CAPPED_HERE for row in rows) else "",
            PIGTAIL if many else "",
            self.ground,
            FURTHER,
            CAUTION,
        )
        return tuple(filter(None, found))


def picture_of(
    wired: Wired,
    titles: Mapping[str, str],
    box_words: Mapping[str, str],
    cable_words: Callable[[str, str], str],
    today: Wired | None = None,
    *,
    net_words: Mapping[str, str] | None = None,
    replaced: Collection[str] = (),
) -> Picture:
    """The picture of a wiring.

    `titles` names parts, `box_words` boxes, `cable_words(cable, box)` a cable as seen from a box, `net_words`
    joints; a name that is missing is made from the id. With `today` every change is marked, and parts that
    leave are told of if they have a title (today's wiring may show a lead that another part takes over);
    `replaced` names parts and cables that bear an id of today's but are other things (a new fan, a new cable).
    """
    nets = net_words or {}
    changes = compare(wired, today, replaced) if today else None
    letters = letters_of(colour for _, colour in wired.conductors)
    order = [b for b in wired.site.boxes if b != CEILING] + [b for b in wired.site.boxes if b == CEILING]
    names = {box: plain(box_words.get(box, _spaced(box))) for box in order}

    names_now = _titles(wired, titles)
    names_then = _titles(today, titles) if today else {}
    boxes = []
    for box in order:
        columns = sorted((i for i, j in enumerate(wired.joints) if j.box == box), key=lambda i: _rank(wired, i))
        groups = _groups(wired, box, columns, letters, changes, names_now, cable_words)
        gone = _gone(changes, box, titles, names_then, cable_words) if changes else ()
        boxes.append(BoxPicture(box, names[box], _columns(wired, columns, nets, changes), groups, gone))
    cables = []
    for cable in wired.site.cables:
        colours = tuple(colour for id_, colour in wired.conductors if id_ == cable.id)
        words = ", ".join(f"{letters[c]} {plain(c)}" for c in colours)
        cables.append(CablePicture(cable.id, cable.ends, colours, words))
    drawn = any(joint.net == GROUND for joint in wired.joints)
    word = plain(nets.get(GROUND, "ground"))
    if drawn:
        ground = f"A metal box, and the fan's bracket and rod, belong to the {word} joint too."
    else:
        ground = f"Not drawn: the {word} of every cable, joined in each box with every metal part, never switched."
    return Picture(tuple(boxes), tuple(cables), letters, today is not None, ground)


def _gone(
    changes: Changes,
    box: str,
    titles: Mapping[str, str],
    names: Mapping[str, str],
    cable_words: Callable[[str, str], str],
) -> tuple[str, ...]:
    parts = [names[p.id] for p in changes.gone if p.box == box and p.id in titles]
    cables = [plain(cable_words(c.id, box)) for c in changes.cables_gone if box in c.ends]
    return (*parts, *cables)


def _terminal_joints(box: BoxPicture) -> list[list[Row]]:
    """The rows of each joint that a terminal takes part in."""
    rows = [row for group in box.groups for row in group.rows]
    joints = [[row for row in rows if k in row.joints] for k in range(len(box.columns))]
    return [ends for ends in joints if any(not row.colour for row in ends)]


def plain(text: str) -> str:
    """One line of printable signs: what is typed or found in data can break no drawing."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _spaced(name: str) -> str:
    return name.replace("_", " ").lower()


def _titles(wired: Wired, titles: Mapping[str, str]) -> dict[str, str]:
    """A title for each part; parts with the same title in a box are counted."""
    found = {p.id: plain(titles.get(p.id, _spaced(p.id))) for p in wired.parts}
    alike: dict[tuple[str, str], list[str]] = {}
    for p in wired.parts:
        alike.setdefault((p.box, found[p.id]), []).append(p.id)
    for (_, title), ids in alike.items():
        if len(ids) > 1:
            found |= {id_: f"{title} ({n} of {len(ids)})" for n, id_ in enumerate(ids, 1)}
    return found


def _rank(wired: Wired, index: int) -> tuple[int, str, int]:
    """Columns from left to right: the joints with most ends first, so that few lines cross; hot last."""
    net = wired.joints[index].net
    place = {GROUND: 0, NEUTRAL: 1, HOT: 3}
    return place.get(net, 2), net, index


def _columns(wired: Wired, columns: list[int], nets: Mapping[str, str], changes: Changes | None) -> tuple[Column, ...]:
    found = []
    for i in columns:
        joint = wired.joints[i]
        name = plain(nets.get(joint.net, _spaced(joint.net)))
        found.append(Column(joint.net, name, len(joint.ends), changes is not None and i in changes.as_today))
    return tuple(found)


def _groups(
    wired: Wired,
    box: str,
    columns: list[int],
    letters: Mapping[str, str],
    changes: Changes | None,
    titles: Mapping[str, str],
    cable_words: Callable[[str, str], str],
) -> tuple[Group, ...]:
    """Cables first (those that leave the picture before those between boxes), then parts as they are placed."""
    joined = [end for i in columns for end in wired.joints[i].ends]
    cables: dict[str, list[End]] = {}
    inside = {c.id for c in wired.site.cables}
    at = sorted((c.id for c in wired.site.at(box)), key=lambda id_: id_ in inside)
    for id_ in at:
        cables[id_] = [ConductorEnd(id_, colour, box) for cable, colour in wired.conductors if cable == id_]
    parts: dict[str, list[End]] = {
        p.id: [Terminal(p.id, name) for name, _ in p.nets] for p in wired.parts if p.box == box
    }
    for end in joined:
        known = parts.setdefault(end.part, []) if isinstance(end, Terminal) else cables.setdefault(end.cable, [])
        if end not in known:
            known.append(end)

    def row(end: End) -> Row:
        meets = tuple(place for place, i in enumerate(columns) if end in wired.joints[i].ends)
        change: Change = changes.ends.get(end, "") if changes else ""
        if isinstance(end, Terminal):
            return Row(end, "", plain(_spaced(end.name)), meets, change, alone="" if meets else EMPTY)
        name = f"{letters[end.colour]} {plain(end.colour)}"
        return Row(end, end.colour, name, meets, change, _mark(wired, end), "" if meets else _capped(wired, end))

    found = [Group(i, "cable", plain(cable_words(i, box)), tuple(map(row, ends))) for i, ends in cables.items()]
    found += [Group(i, "part", titles.get(i, _spaced(i)), tuple(map(row, ends))) for i, ends in parts.items()]
    return tuple(found)


def _capped(wired: Wired, end: ConductorEnd) -> str:
    """What becomes of an end that meets nothing. With a net on it, its conductor is joined at the other end."""
    if end in wired.bare:
        return BARE
    if wired.conductors.get((end.cable, end.colour)) == GROUND:
        return LONE_GROUND
    return CAPPED if wired.conductors.get((end.cable, end.colour)) is None else CAPPED_HERE


def _mark(wired: Wired, end: ConductorEnd) -> str:
    key = (end.cable, end.colour)
    if key not in wired.relabelled:
        return ""
    return "neutral" if wired.conductors[key] == NEUTRAL else "hot"
