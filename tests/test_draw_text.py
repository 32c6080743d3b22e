"""The drawing in text, read back by a small reader: it shows the joints there are, and nothing else."""

from __future__ import annotations

from dataclasses import replace

import networkx as nx
import pytest
from draw_world import as_seen, expected, picture, read, shown_joints
from wiring_world import houses, plans

from switchleg.advice.wording.names import box_names
from switchleg.wiring.drawing.model import picture_of
from switchleg.wiring.drawing.text import draw_text
from switchleg.wiring.netlist import Joint, Placed, Wired, join
from switchleg.wiring.site import CEILING, GROUND, HOT, NEUTRAL, Site, Stub

HOUSES = [house.wired for house in (*houses(), *houses(other_load=True)[::7], *houses(has_light=False)[::5])]
ELSEWHERE = [house.wired for region in ("uk", "au_nz") for house in houses(region=region)[::9]]
PLANS = list(plans(120, seed=3))


def test_every_candidate_house_reads_back_as_the_joints_it_has() -> None:
    """Read from its lines alone, the drawing of every wiring gives its joints, no end missing or doubled."""
    for wired in (*HOUSES, *ELSEWHERE):
        shown = picture(wired)
        assert shown_joints(draw_text(shown)) == expected(wired, shown)


def test_every_plan_reads_back_as_the_joints_it_has() -> None:
    """New wirings, with their marks of change, read back as truly as today's."""
    for _, house, _, wired in PLANS:
        shown = picture(wired, house.wired)
        assert shown_joints(draw_text(shown)) == expected(wired, shown)


def test_ends_that_meet_nothing_are_shown_as_capped() -> None:
    """Every conductor end that no joint takes up stands in its box, capped, and no other does."""
    some = 0
    for wired in (*HOUSES[::3], *(w for *_, w in PLANS)):
        shown = picture(wired)
        seen, boxes = as_seen(wired, shown), read(draw_text(shown))
        for box in wired.site.boxes:
            alone = [s for s in boxes[box_names(wired.site)[box]].alone if "capped" in s[1]]
            assert sorted(alone) == sorted(seen[e] for e in wired.capped(box))
            some += len(alone)
    assert some > 100


def test_following_the_drawing_from_box_to_box_finds_the_nets() -> None:
    """With like-named conductors taken as one, what hangs together on paper is a net (networkx referees)."""
    for wired in HOUSES[::3]:
        shown = picture(wired)
        graph: nx.Graph[object] = nx.Graph()
        for title, box in read(draw_text(shown)).items():
            for place, (name, ends) in enumerate(box.joints):
                for heading, words in ends:
                    graph.add_edge((title, place), (title, heading, words))
                    far = heading.removeprefix("the cable to ")
                    if far != heading and far in box_names(wired.site).values():
                        graph.add_edge((title, heading, words), (far, f"the cable to {title}", words))
                graph.nodes[title, place]["net"] = name.rpartition(", ")[0]
        for part in nx.connected_components(graph):
            nets = {graph.nodes[n]["net"] for n in part if "net" in graph.nodes[n]}
            assert len(nets) == 1
        pieces = [p for p in nx.connected_components(graph) if any("net" in graph.nodes[n] for n in p)]
        assert len(pieces) == len({j.net for j in wired.joints})


def test_wrong_joints_are_drawn_as_they_are() -> None:
    """A joint that lost an end, or swallowed another joint, is drawn so: the drawing hides no mistake."""
    wired = next(w for w in HOUSES if len(w.joints) > 6)
    for i, joint in enumerate(wired.joints):
        others = wired.joints[:i] + wired.joints[i + 1 :]
        less = Joint(joint.box, joint.net, joint.ends[1:])
        broken = [replace(wired, joints=(*others, less))]
        for k, other in enumerate(others):
            if other.box == joint.box:
                both = Joint(joint.box, joint.net, joint.ends + other.ends)
                broken.append(replace(wired, joints=(*others[:k], *others[k + 1 :], both)))
        for wrong in broken:
            shown = picture(wrong)
            assert shown_joints(draw_text(shown)) == expected(wrong, shown)


def test_an_end_under_two_connectors_shows_two_dots() -> None:
    """An end that stands in two joints, which no plan has, meets both on paper."""
    wired = HOUSES[0]
    first, second = [j for j in wired.joints if j.box == wired.joints[0].box][:2]
    bridged = Joint(second.box, second.net, (*second.ends, first.ends[0]))
    wrong = replace(wired, joints=tuple(bridged if j is second else j for j in wired.joints))
    assert shown_joints(draw_text(picture(wrong))) == expected(wrong, picture(wrong))


def test_ordinary_houses_fit_forty_columns() -> None:
    """Every candidate house and every plan is at most 40 columns wide; a wider page changes no joint of a sample."""
    for wired in (*HOUSES, *ELSEWHERE, *(w for *_, w in PLANS)):
        assert max(map(len, draw_text(picture(wired)).splitlines())) <= 40
    for wired in (*HOUSES[::9], *(w for *_, w in PLANS[::3])):
        shown = picture(wired)
        assert shown_joints(draw_text(shown, width=80)) == shown_joints(draw_text(shown))


def test_an_end_left_bare_is_called_so() -> None:
    """An end that is neither joined nor capped, which no plan has, is not passed off as capped."""
    wired = next(w for w in HOUSES if w.capped("wall"))
    end = wired.capped("wall")[0]
    boxes = read(draw_text(picture(replace(wired, bare=frozenset({end})))))
    assert [words for _, words in boxes["the wall box"].alone if "neither joined nor capped" in words]


def test_too_narrow_a_page_lets_the_drawing_grow_and_loses_nothing() -> None:
    """Where the joints need more room than there is, lines grow; what they say stays."""
    shown = picture(PLANS[0][3])
    assert shown_joints(draw_text(shown, width=12)) == shown_joints(draw_text(shown, width=60))


def test_the_ascii_form_is_the_same_drawing_in_ascii() -> None:
    """Stroke for stroke the ASCII form is the drawing, and holds nothing but ASCII."""
    strokes = str.maketrans("─│┐●═", "-|.o=")
    for _, house, _, wired in PLANS:
        shown = picture(wired, house.wired)
        text = draw_text(shown, ascii_only=True)
        assert text.isascii()
        assert text == draw_text(shown).translate(strokes)


def test_words_outside_ascii_are_spelt_in_it() -> None:
    """Titles with other letters are flattened, or shown as question marks, and break no line."""
    wired = HOUSES[0]
    titles = {p.id: "le café “d’été” 灯" for p in wired.parts}
    shown = picture_of(wired, titles, {}, lambda c, b: f"{c}→{b}")
    text = draw_text(shown, ascii_only=True)
    assert text.isascii()
    assert "le cafe ?d'ete? ?" in " ".join(text.split())


def test_every_conductor_is_named_by_letters_and_word() -> None:
    """No colour stands without its code and its whole name; codes in one drawing all differ."""
    for wired in (*HOUSES[::9], *ELSEWHERE):
        shown = picture(wired)
        text = " ".join(draw_text(shown).split())
        assert len(set(shown.letters.values())) == len(shown.letters)
        assert all(f"{shown.letters[colour]} {colour}" in text for _, colour in wired.conductors)


@pytest.mark.parametrize(
    ("colours", "codes"),
    [
        (("black", "white", "red"), ("BK", "WH", "RD")),
        (("brown", "grey", "blue", "green-yellow"), ("BN", "GY", "BU", "GNYE")),
        (("light blue", "dark blue", "extra 1", "extra 2", "grey", "gray"), ("LB", "DB", "E1", "E2", "GY", "GY2")),
    ],
)
def test_codes_are_those_of_the_standard(colours: tuple[str, ...], codes: tuple[str, ...]) -> None:
    """Plain colours bear the letters of IEC 60757 (from memory); others get letters of their own."""
    stubs = (Stub("feed", CEILING, tuple("ABCDEF"[: len(colours)])),)
    wired = Wired(Site((CEILING,), (), stubs), (), {("feed", c): None for c in colours}, (), frozenset())
    assert tuple(picture_of(wired, {}, {}, lambda c, _: c).letters.values()) == codes


def grounded() -> Wired:
    """A feed, a fan and a ground, as a netlist that knows grounds would hold them."""
    nets = (("hot", HOT), ("neutral", NEUTRAL), ("ground", GROUND))
    fan = (Placed("fan", "fan_motor", CEILING, nets),)
    site = Site((CEILING,), (), (Stub("feed", CEILING, (HOT, NEUTRAL)),))
    conductors: dict[tuple[str, str], str | None] = {
        ("feed", "black"): HOT,
        ("feed", "white"): NEUTRAL,
        ("feed", "ground"): GROUND,
    }
    return Wired(site, fan, conductors, join(site, fan, conductors), frozenset())


def test_a_ground_in_the_netlist_is_drawn_and_else_is_told() -> None:
    """The ground is its own joint where the wiring holds one; without it a sentence says that it is not drawn."""
    conductors = {key: net for key, net in grounded().conductors.items() if net != GROUND}
    with_it = draw_text(picture(grounded()))
    without = draw_text(picture(replace(grounded(), conductors=conductors, joints=grounded().joints[:2])))
    assert ("ground, 2 ends", 2) in [(name, len(ends)) for name, ends in read(with_it)["the ceiling box"].joints]
    assert "Not drawn" not in with_it
    assert "belong to the ground joint too" in " ".join(with_it.split())
    assert "ground, left empty" in without
    assert "Not drawn: the ground" in " ".join(without.split())


def test_marks_and_cautions_are_explained_where_they_occur() -> None:
    """Each sign in a drawing is explained under it, a re-marked conductor too, and the caution is always there."""
    for _, house, _, wired in PLANS:
        text = draw_text(picture(wired, house.wired))
        body, _, legend = text.partition("● joined here")
        signs = {sign for box in read(text).values() for sign in box.signs}
        assert signs == {line[0] for line in legend.splitlines() if line[:2] in ("+ ", "> ", "= ")}
        assert ("mark as" in " ".join(body.split())) == ("Mark as" in legend)
        assert ("here only" in " ".join(body.split())) == ("Capped here only" in " ".join(legend.split()))
        assert "Test every conductor dead" in " ".join(legend.split())


def test_the_same_wiring_gives_the_same_drawing() -> None:
    """Drawing is a pure function: the same picture twice is the same text."""
    for wired in HOUSES[::50]:
        assert draw_text(picture(wired)) == draw_text(picture(wired))


def test_control_signs_in_words_reach_no_terminal() -> None:
    """Escape sequences and line breaks in a title come out as plain spaces."""
    wired = HOUSES[0]
    titles = {p.id: "x\x1b[31m\ny\u202e" for p in wired.parts}
    text = draw_text(picture_of(wired, titles, {}, lambda c, _: c))
    assert all(c.isprintable() or c == "\n" for c in text)
    assert "x [31m y" in text
