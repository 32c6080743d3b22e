"""What the tests of the drawings share: pictures of wirings, and a small reader of the drawing in text."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from switchleg.advice.wording.names import box_names
from switchleg.advice.wording.phrases import NET
from switchleg.advice.work.joints import cable_words
from switchleg.wiring.drawing.model import SIGNS, Picture, picture_of
from switchleg.wiring.netlist import ConductorEnd, End, Wired
from switchleg.wiring.site import GROUND, NEUTRAL

Seen = tuple[str, str]
"""An end as it is read: the heading above it and its own words."""


def picture(wired: Wired, today: Wired | None = None) -> Picture:
    parts = (*wired.parts, *(today.parts if today else ()))
    titles = {p.id: p.control.replace("_", " ") for p in parts}
    boxes = box_names(wired.site)
    return picture_of(wired, titles, boxes, lambda c, b: cable_words(wired.site, c, b), today, net_words=NET)


@dataclass
class ReadBox:
    joints: list[tuple[str, list[Seen]]] = field(default_factory=list)
    alone: list[Seen] = field(default_factory=list)
    signs: list[str] = field(default_factory=list)


Open = tuple[str, list[str]]
"""An end whose words may go on in the lines below."""


def closed(end: Open) -> Seen:
    return end[0], " ".join(end[1])


def unbroken(lines: list[str]) -> bool:
    """Each upright runs from its corner to its last dot without a gap, and no further."""
    columns = ["".join(column) for column in zip(*(line.ljust(200) for line in lines), strict=True)]
    drawn = [c.strip(" ─") for c in columns if "│" in c or "●" in c or "┐" in c]
    return all(c[0] == "┐" and c[-1] == "●" and set(c[1:]) <= {"│", "●"} for c in drawn)


def read(text: str) -> dict[str, ReadBox]:
    """The boxes of a drawing: joints by following uprights from their names down to the dots on them."""
    boxes: dict[str, ReadBox] = {}
    names: dict[int, list[str]] = {}
    ends: dict[int, list[Open]] = {}
    alone: list[Open] = []
    box, heading, was = ReadBox(), "", ""
    last: list[str] = []
    lines: list[str] = []
    drawn = text.split("\nBetween")[0].split("\n●")[0]
    for line in [*drawn.splitlines(), "══ end"]:
        words = line
        for stroke in "─│┐●":
            words = words.split(stroke)[0]
        words = words.rstrip()
        end = max(line.rfind("┐"), line.rfind("●"))
        assert set(line[len(words) + 1 : max(end, 0)]) <= set("─│●"), "a line runs from the words to its mark"
        lines.append(" " * len(words) + line[len(words) :] if not line.startswith("══") else "")
        if line.startswith("══"):
            assert unbroken(lines)
            lines = []
            box.joints = [(" ".join(names[x]), [closed(end) for end in ends[x]]) for x in sorted(names)]
            box.alone = [closed(end) for end in alone]
            box = boxes[line.strip("═ ")] = ReadBox()
            names, ends, alone, was = {}, {}, [], ""
        elif "┐" in line:
            last = names[line.index("┐")] = [words[2:].strip()]
            ends[line.index("┐")] = []
            box.signs += words[0].strip()
            was = "name"
        elif words.startswith("Taken out"):
            was = "taken out"
        elif words.startswith("    "):
            last.append(words.strip())
        elif words.startswith(("  ", *(f"{sign} " for sign in SIGNS.values()))):
            last = [words[2:].strip()]
            seen = (heading, last)
            dots = [x for x, sign in enumerate(line) if sign == "●"]
            for x in dots:
                ends[x].append(seen)
            if not dots:
                alone.append(seen)
            box.signs += words[0].strip()
            was = "row"
        elif words and was != "taken out":
            heading = f"{heading} {words}" if was == "heading" else words
            was = "heading"
    boxes.pop("end")
    return boxes


LONE = {None: ", capped", GROUND: ", to a metal box, else capped"}


def as_seen(wired: Wired, shown: Picture) -> dict[End, Seen]:
    """How an end should read, written from the netlist; titles of like parts are counted by the picture."""
    titles = {(g.id, b.id): g.title for b in shown.boxes for g in b.groups}
    seen: dict[End, Seen] = {}
    joined = {e for j in wired.joints for e in j.ends}
    for box in wired.site.boxes:
        for cable in wired.site.at(box):
            for (name, colour), net in wired.conductors.items():
                if name == cable.id:
                    end = ConductorEnd(name, colour, box)
                    mark = f", mark as {'neutral' if net == NEUTRAL else 'hot'}"
                    words = f"{shown.letters[colour]} {colour}" + (mark if (name, colour) in wired.relabelled else "")
                    capped = LONE.get(net, ", capped here only")
                    seen[end] = (cable_words(wired.site, name, box), words + ("" if end in joined else capped))
    for joint in wired.joints:
        for other in joint.ends:
            if not isinstance(other, ConductorEnd):
                seen[other] = (titles[other.part, joint.box], other.name.replace("_", " "))
    return seen


def expected(wired: Wired, shown: Picture) -> dict[str, Counter[tuple[str, tuple[Seen, ...]]]]:
    seen = as_seen(wired, shown)
    titles = box_names(wired.site)
    found: dict[str, Counter[tuple[str, tuple[Seen, ...]]]] = {titles[box]: Counter() for box in wired.site.boxes}
    for joint in wired.joints:
        name = f"{NET.get(joint.net, joint.net.lower())}, {len(joint.ends)} ends"
        found[titles[joint.box]][name, tuple(sorted(seen[e] for e in joint.ends))] += 1
    return found


def shown_joints(text: str) -> dict[str, Counter[tuple[str, tuple[Seen, ...]]]]:
    return {
        title: Counter((name, tuple(sorted(ends))) for name, ends in box.joints) for title, box in read(text).items()
    }
