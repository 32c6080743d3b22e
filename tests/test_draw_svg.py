"""The drawing as an SVG file: valid, self-contained, true, and readable without its colours."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from draw_world import picture
from wiring_world import houses, plans

from switchleg.wiring.drawing.colours import INK
from switchleg.wiring.drawing.layout import LETTER, lay_out
from switchleg.wiring.drawing.model import CAUTION, picture_of
from switchleg.wiring.drawing.svg import draw_svg, draw_svg_pair
from switchleg.wiring.netlist import ConductorEnd

NS = "{http://www.w3.org/2000/svg}"
KNOWN = {f"{NS}{tag}" for tag in ("svg", "title", "desc", "g", "rect", "polyline", "circle", "text")}
SOME = [
    *(house.wired for house in (*houses()[::6], *houses(other_load=True)[::40])),
    *(house.wired for region in ("uk", "eu", "au_nz", "in") for house in houses(region=region)[::50]),
]
PLANS = list(plans(80, seed=8))


def root(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def points(line: ElementTree.Element) -> list[tuple[int, int]]:
    return [(int(x), int(y)) for x, y in (pair.split(",") for pair in line.get("points", "").split())]


@dataclass
class Upright:
    x: int
    top: int
    bottom: int
    dots: list[int] = field(default_factory=list)


def uprights(svg: str) -> list[Upright]:
    """Uprights with the dots on them, read from the file alone; they are the strokes of width 3."""
    found = []
    for line in root(svg).iter(f"{NS}polyline"):
        if line.get("stroke-width") == "3":
            _, corner, end = points(line)
            found.append(Upright(corner[0], corner[1], end[1]))
    for dot in root(svg).iter(f"{NS}circle"):
        x, y = int(dot.get("cx", "")), int(dot.get("cy", ""))
        on = [u for u in found if u.x == x and u.top <= y <= u.bottom]
        assert len(on) == 1, "a dot stands on just one upright"
        on[0].dots.append(y)
    return found


def line_ends(svg: str) -> Counter[tuple[int, int]]:
    """Where conductors (dark edge of width 6) and leads (width 1.6) end."""
    lines = [e for e in root(svg).iter(f"{NS}polyline") if e.get("stroke-width") in ("6", "1.6")]
    return Counter(points(line)[-1] for line in lines)


def test_every_joint_has_its_upright_with_a_dot_for_each_end() -> None:
    """In the file itself, uprights and dots are as many as joints and ends, and a line ends at every dot."""
    for wired in (*SOME, *(w for *_, w in PLANS)):
        shown = picture(wired)
        svg = draw_svg(shown, title="Room 4")
        found = uprights(svg)
        expected = [column.ends for box in reversed(shown.boxes) for column in box.columns]
        assert sorted(len(u.dots) for u in found) == sorted(expected)
        assert sum(expected) == sum(len(j.ends) for j in wired.joints)
        stops = line_ends(svg)
        assert all(stops[u.x, y] == 1 for u in found for y in u.dots)


def test_no_two_lines_lie_on_each_other() -> None:
    """In a box every conductor and every lead runs at a height of its own, so that no false joint appears."""
    for wired in (*SOME, *(w for *_, w in PLANS)):
        plan = lay_out(picture(wired))
        heights = [line.points[-1][1] for line in (*plan.conductors, *plan.leads)]
        assert len(heights) == len(set(heights))
        for upright in plan.uprights:
            (_, y), (x, _), _ = upright.points
            over = [u for u in plan.uprights if u != upright and u.points[1][1] < y < u.points[2][1]]
            assert all(u.points[1][0] > x for u in over), "the line from a joint's name crosses no upright"


def test_conductors_meet_the_uprights_of_their_nets() -> None:
    """Each line of a conductor's colour ends on the upright whose place is its joint's column."""
    for wired in SOME:
        shown = picture(wired)
        plan = lay_out(shown)
        xs = sorted({u.points[1][0] for u in plan.uprights})
        rows = [row for b in reversed(shown.boxes) for g in b.groups if g.kind == "cable" for row in g.rows]
        assert len(rows) == len(plan.conductors)
        for row, line in zip(rows, plan.conductors, strict=True):
            assert isinstance(row.end, ConductorEnd)
            assert line.colour == row.end.colour
            assert (line.points[-1][0] in xs) == bool(row.joints)
            if row.joints:
                assert line.points[-1][0] == xs[row.joints[-1]]
                column = next(b for b in shown.boxes if b.id == row.end.box).columns[row.joints[-1]]
                assert column.net == wired.conductors[row.end.cable, row.end.colour]


def test_the_file_is_valid_and_stands_alone() -> None:
    """It parses as XML, holds only plain shapes and words, and points to nothing outside itself."""
    for _, house, _, wired in PLANS:
        today = picture(house.wired)
        for svg in (draw_svg(today, title="a"), draw_svg_pair(today, picture(wired, house.wired), title="b")):
            tree = root(svg)
            assert {e.tag for e in tree.iter()} <= KNOWN
            assert not re.search(r"href|url\(|@import|<script|<!|<\?|data:|on\w+=", svg)
            assert svg.count("http") == 1, "only the namespace"
            ids = [e.get("id") for e in tree.iter() if e.get("id")]
            assert len(ids) == len(set(ids))
            assert tree.get("aria-labelledby", "").split() == ids


def test_it_sizes_itself_to_hold_everything() -> None:
    """Every line, dot and word lies inside the page, words by a generous measure."""
    for wired in (*SOME, *(w for *_, w in PLANS)):
        plan = lay_out(picture(wired))
        drawn = [p for lines in (plan.conductors, plan.leads, plan.uprights, plan.sheaths) for ln in lines
                 for p in ln.points]  # fmt: skip
        assert all(0 < x < plan.width and 0 < y < plan.height for x, y in (*drawn, *plan.dots, *plan.caps))
        for spot in plan.words:
            long = round(LETTER * len(spot.text) * spot.size / 13)
            start, end = (spot.x - long, spot.x) if spot.ends_here else (spot.x, spot.x + long)
            assert start >= 0
            assert end <= plan.width


def test_words_do_not_lie_on_words() -> None:
    """No two texts of a picture overlap, measured generously."""
    for wired in (*SOME, *(w for *_, w in PLANS)):
        spots = lay_out(picture(wired)).words
        boxes = []
        for s in spots:
            long = LETTER * len(s.text) * s.size / 13
            left = s.x - long if s.ends_here else s.x
            boxes.append((left, s.y - s.size * 0.8, left + long, s.y))
        for i, (left, top, right, bottom) in enumerate(boxes):
            for other in boxes[i + 1 :]:
                assert right <= other[0] or other[2] <= left or bottom <= other[1] or other[3] <= top


def test_every_colour_is_told_in_letters() -> None:
    """Each conductor's code and colour word stand in the drawing at both ends, and in the words for listeners."""
    for wired in SOME:
        shown = picture(wired)
        tree = root(draw_svg(shown, title="Room 4"))
        texts = Counter(t for e in tree.iter(f"{NS}text") for t in [(e.text or "").partition(",")[0]])
        here = [(cable.id, colour) for box in wired.site.boxes for cable in wired.site.at(box)
                for id_, colour in wired.conductors if id_ == cable.id]  # fmt: skip
        named = Counter(f"{shown.letters[colour]} {colour}" for _, colour in here)
        assert named == Counter({k: n for k, n in texts.items() if k in named})
        said = tree.findtext(f"{NS}desc") or ""
        assert all(words in said for words in named)


def test_the_description_tells_every_joint() -> None:
    """The words for listeners name each joint with all its ends, the changes and the caution."""
    _, house, _, wired = next(p for p in PLANS if "canopy_relay" in p[0])
    shown = picture(wired, house.wired)
    said = root(draw_svg(shown, title="Room 4")).findtext(f"{NS}desc") or ""
    for box in shown.boxes:
        for k, column in enumerate(box.columns):
            ends = [f"{r.words} of {g.title}" for g in box.groups for r in g.rows if k in r.joints]
            assert len(ends) == column.ends
            assert all(end in said for end in ends)
    assert "(new)" in said
    assert CAUTION in said


def test_pale_conductors_have_dark_edges() -> None:
    """Under each coloured line lies a wider dark one of the same way, so that white shows on paper."""
    for wired in SOME[::10]:
        strokes = list(root(draw_svg(picture(wired), title="x")).iter(f"{NS}polyline"))
        for before, line in pairwise(strokes):
            if line.get("stroke-width") == "3.6" and not line.get("stroke-dasharray"):
                assert before.get("stroke-width") == "6"
                assert before.get("points") == line.get("points")
                assert before.get("stroke") == "#222222"


@pytest.mark.parametrize("bad", ["url(http://a.example/x)", '"/><script>', "", "red;x", "var(--x)"])
def test_only_plain_colours_are_taken(bad: str) -> None:
    """A colour that is no colour is not written into the file; the ordinary one stands instead."""
    shown = picture(SOME[0])
    assert draw_svg(shown, title="x", colours={"black": bad}) == draw_svg(shown, title="x")
    assert 'stroke="#123456"' in draw_svg(shown, title="x", colours={"black": "#123456"})


def test_words_are_escaped() -> None:
    """Titles with markup, quotes and control signs come out as words."""
    wired = SOME[0]
    nasty = "<b>\"&'\x00\x1b]0;x\x07</b>\ufffe"
    titles = {p.id: nasty for p in wired.parts}
    svg = draw_svg(picture_of(wired, titles, {"ceiling": nasty}, lambda *_: nasty), title=nasty)
    tree = root(svg)
    assert {e.tag for e in tree.iter()} <= KNOWN
    assert tree.findtext(f"{NS}title") == "<b>\"&' ]0;x </b>"


def test_colours_of_every_region_can_be_drawn() -> None:
    """Each colour of an ordinary cable in each region has an ink of its own."""
    for wired in SOME:
        assert {colour for _, colour in wired.conductors if not colour.startswith("extra")} <= set(INK)


def test_a_pair_shows_both_and_says_which_is_which() -> None:
    """Today's and the new drawing stand side by side under their headings; shared sentences come once."""
    _, house, _, wired = PLANS[0]
    today, new = picture(house.wired), picture(wired, house.wired)
    svg = draw_svg_pair(today, new, title="Room 4", headings=("Now", "Then"))
    texts = [e.text for e in root(svg).iter(f"{NS}text")]
    assert texts.count("Now") == texts.count("Then") == 1
    assert texts.count(CAUTION) == 1
    files = (svg, draw_svg(today, title=""), draw_svg(new, title=""))
    shapes = [sum(1 for _ in root(file).iter(f"{NS}circle")) for file in files]
    assert shapes[0] == shapes[1] + shapes[2]
    assert draw_svg_pair(today, new, title="Room 4", headings=("Now", "Then")) == svg
