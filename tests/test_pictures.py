"""The drawings that help to recognise a thing: they fit a phone, say the same in words, and no line is off."""

from __future__ import annotations

import shutil
import unicodedata
from importlib.resources import files
from pathlib import Path

import pytest
from session_world import empty_record

from switchleg.checking.picture_rules import check_pictures
from switchleg.knowledge.load import load, read_models
from switchleg.schema.pictures import Picture
from switchleg.session.views import build
from switchleg.tree.walk import walk

REAL = Path(str(files("switchleg.decision_tree")))
PICTURES = dict(load().pictures)
EACH = pytest.mark.parametrize("name", sorted(PICTURES))

RECOGNISED = {
    "light_kit", "wall_boxes", "switches_work_together", "wall_controls", "wall_gangs", "control_1_kind",
    "control_2_kind", "breaker", "motor_label", "fan_amps", "fan_watts_high", "pull_chain_fan",
    "pull_chain_light", "reverse_slide", "blade_height", "wire_metal", "wire_age", "wire_size", "wall_cables",
    "run_conductors", "leg_on_each_control", "run_and_link_conductors",
    "neutral_bundle", "white_on_control", "run_spare", "wall_ground", "wall_box_volume",
    "wall_box_clamps", "able_to_test_live", "hot_at_wall_always", "neutral_reading", "receiver",
    "receiver_label", "receiver_motor_plug", "receiver_motor_leads", "motor_leads_alike",
    "receiver_light_lead", "light_joined_to", "capacitor_in", "ceiling_cables", "capped_end_at_ceiling",
    "ceiling_ground",
    "fan_box_marked", "fan_box_rating", "canopy_space", "hot_at_ceiling_switch_off", "lamp_kind", "wall_box_depth",
    "ceiling_box_volume", "ceiling_wire",
}  # fmt: skip
"""Facts that are settled by recognising a thing."""


def both(name: str) -> tuple[list[str], list[str]]:
    return PICTURES[name].drawing.split("\n"), PICTURES[name].ascii.split("\n")


@EACH
def test_a_picture_fits_a_phone(name: str) -> None:
    """No picture is wider than 36 columns or higher than 14 lines, in either form."""
    for lines in both(name):
        assert len(lines) <= 14
        assert max(map(len, lines)) <= 36
        assert all(line == line.rstrip() for line in lines)


@EACH
def test_both_forms_have_the_same_shape(name: str) -> None:
    """Line by line the ASCII form is as long as the drawing, and says the same letters at the same places."""
    drawn, typed = both(name)
    assert [len(line) for line in drawn] == [len(line) for line in typed]
    for one, other in zip(drawn, typed, strict=True):
        assert [b for a, b in zip(one, other, strict=True) if a.isascii()] == [a for a in one if a.isascii()]
        assert all(" " < b <= "~" for a, b in zip(one, other, strict=True) if not a.isascii())


@EACH
def test_a_picture_is_told_in_words(name: str) -> None:
    """Title and sentences are there, short, in plain letters, and end like sentences."""
    picture = PICTURES[name]
    assert 0 < len(picture.title) <= 40
    assert not picture.title.endswith(".")
    assert 40 < len(picture.says) <= 300
    assert picture.says.endswith(".")
    assert (picture.title + picture.says).isascii()
    assert "  " not in picture.says


@EACH
def test_every_sign_takes_one_column(name: str) -> None:
    """No sign is wide or combining by the Unicode Character Database (UAX #11, unicodedata)."""
    for sign in set("".join(both(name)[0])):
        assert unicodedata.east_asian_width(sign) in ("N", "Na", "A")
        assert not unicodedata.combining(sign)


@EACH
def test_no_line_leads_into_nothing(name: str) -> None:
    """Every arm of a corner or branch, by the sign's name in Unicode, meets something."""
    assert loose_arms(both(name)[0]) == []


def loose_arms(lines: list[str]) -> list[tuple[int, int, str]]:
    """Row and column, from 1, of each corner or branch that leads into a blank."""

    def at(row: int, column: int) -> str:
        inside = 0 <= row < len(lines) and 0 <= column < len(lines[row])
        return lines[row][column] if inside else " "

    return [
        (row + 1, column + 1, sign)
        for row, line in enumerate(lines)
        for column, sign in enumerate(line)
        if any(at(row + down, column + right) == " " for down, right in arms(sign))
    ]


def arms(sign: str) -> list[tuple[int, int]]:
    """Where a corner or branch leads, as (down, right); nothing for a straight line, whose end may be free."""
    words = unicodedata.name(sign).split()
    if words[:2] != ["BOX", "DRAWINGS"] or not {"AND", "ARC"} & set(words):
        return []
    ways = {"UP": [(-1, 0)], "DOWN": [(1, 0)], "LEFT": [(0, -1)], "RIGHT": [(0, 1)]}
    ways |= {"HORIZONTAL": ways["LEFT"] + ways["RIGHT"], "VERTICAL": ways["UP"] + ways["DOWN"]}
    return [way for word in words for way in ways.get(word, [])]


def test_the_arms_come_from_the_names() -> None:
    """The reader of the names knows corners, branches and straight lines."""
    assert arms("┌") == [(1, 0), (0, 1)]
    assert arms("╨") == [(-1, 0), (0, -1), (0, 1)]
    assert len(arms("╪")) == 4
    assert arms("─") == arms("█") == arms("a") == []
    assert loose_arms(["┌─┐", "└─┘"]) == []
    assert loose_arms(["┌─┐ ", " └─┘"]) == [(1, 1, "┌"), (2, 4, "┘")]


def test_every_question_of_recognising_shows_a_picture() -> None:
    """Where a thing has to be recognised the question names a picture, and no other question names one idly."""
    shown = {fact for fact, question in load().tree.questions.items() if question.picture}
    assert shown - {"ceiling_height"} == RECOGNISED


def test_every_picture_is_shown() -> None:
    """Each picture belongs to a question, and each name to a picture."""
    assert {q.picture for q in load().tree.questions.values()} - {None} == set(PICTURES)


def test_what_is_counted_is_drawn_so_often() -> None:
    """Two leads are drawn as two, three as three, a plug with three pins; one to three widths; one to three cables."""
    joints = next(line for line in both("receiver_leads")[0] if "●" in line)
    assert (joints[:11].count("●"), joints[11:22].count("●"), joints.count("■")) == (2, 3, 3)
    widths = next(line for line in both("gang_widths")[0] if "█" in line)
    assert [plate.count("█") for plate in widths.split("││")] == [1, 2, 3]
    boxes = [column for line in both("cables_in_box")[0] for column, sign in enumerate(line) if sign in "╨╥"]
    assert len(boxes) == 1 + 2 + 3


def test_the_live_drawings_say_so() -> None:
    """A drawing for a reading with the power on says it in its first line and in its words."""
    for question in load().tree.questions.values():
        if question.power_on:
            picture = PICTURES[question.picture or ""]
            assert "POWER IS ON" in picture.drawing.split("\n")[0]
            assert "power is on" in picture.says


def picture(**changes: str) -> Picture:
    sound = {"title": "A box", "says": "A small box.", "drawing": "┌─┐\n└─┘", "ascii": "+-+\n+-+"}
    return Picture.model_validate(sound | changes)


@pytest.mark.parametrize(
    ("changes", "key", "says"),
    [
        ({"title": " "}, "title", "is empty"),
        ({"says": ""}, "says", "is empty"),
        ({"says": "One.\nTwo."}, "says", "more than one line"),
        ({"drawing": "\n"}, "drawing", "is empty"),
        ({"ascii": ""}, "ascii", "is empty"),
        ({"drawing": "─" * 37, "ascii": "-" * 37}, "drawing.1", "too wide: 37"),
        ({"drawing": "│\n" * 14 + "│", "ascii": "|\n" * 14 + "|"}, "ascii", "too high: 15"),
        ({"drawing": "┌─┐ \n└─┘", "ascii": "+-+ \n+-+"}, "drawing.1", "ends in blanks"),
        ({"ascii": "+-+\n└-+"}, "ascii.2", "no printable ASCII sign"),
        ({"ascii": "+-+\n+\t+"}, "ascii.2", "no printable ASCII sign"),
        ({"drawing": "┌─┐\n└\u26a1┘"}, "drawing.2", "U+26A1"),
        ({"ascii": "+-+"}, "ascii", "has 1 lines; the drawing has 2"),
        ({"ascii": "+-+\n+--+"}, "ascii.2", "has 4 columns; the drawing has 3"),
        ({"drawing": "15 A", "ascii": "16 A"}, "ascii.1", "differs"),
        ({"drawing": "a ─", "ascii": "a--"}, "ascii.1", "differs"),
    ],
)
def test_a_faulty_picture_is_reported(changes: dict[str, str], key: str, says: str) -> None:
    """Each fault of a picture is named with its file, the key and the line in it."""
    found = list(check_pictures({"pictures/box.toml": picture(**changes)}))
    assert any(p.file == "pictures/box.toml" and p.key == key and says in p.message for p in found), found


def test_a_sound_picture_is_not_blamed() -> None:
    """What the faults are measured against has none."""
    assert list(check_pictures({"pictures/box.toml": picture()})) == []


def test_a_broken_picture_has_all_its_faults_told(tmp_path: Path) -> None:
    """Too long a title, a missing form and a key nobody reads are all found at once."""
    root = Path(shutil.copytree(REAL, tmp_path / "tree", ignore=shutil.ignore_patterns("__pycache__")))
    broken = f'title = "{"x" * 41}"\nsays = "It."\ndrawing = "x"\nsay = 1\n'
    (root / "pictures" / "depths.toml").write_text(broken, encoding="utf-8")
    found = {(p.key, p.message) for p in read_models(root).problems}
    assert ("title", "is too long: 41 characters, at most 40") in found
    assert ("ascii", "is missing") in found
    assert ("say", "nothing reads this key") in found


def test_a_view_carries_drawing_and_words() -> None:
    """What a screen or reader gets holds both forms, the title and the words; all are empty without a picture."""
    knowledge = load()
    record = empty_record()
    shown = build.question_view(knowledge.tree, walk(knowledge.tree, {}), record, knowledge.pictures, "receiver", "")
    own = PICTURES["receiver_box"]
    assert (shown.picture, shown.picture_ascii) == (own.drawing, own.ascii)
    assert (shown.picture_title, shown.picture_says) == (own.title, own.says)
    bare = build.question_view(knowledge.tree, walk(knowledge.tree, {}), record, knowledge.pictures, "region", "")
    assert (bare.picture, bare.picture_ascii, bare.picture_title, bare.picture_says) == ("", "", "", "")
