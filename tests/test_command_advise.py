"""`switchleg advise`: a file of facts in, a verdict and an exit code out; bad files are one line."""

from __future__ import annotations

import io
import json
import re
import sys
from pathlib import Path
from typing import Any

import pytest

from switchleg.command.facts_file import LARGEST
from switchleg.command.main import main as switchleg

PARLOUR = """\
name = "front parlour"
home = "the guesthouse"
region = "us"
fan_installed = true
light_kit = "lamps"
handheld_remote = false
want_wall_control = "must"
want_speed_from_app = "nice"
want_light_apart = "must"
want_light_dimming = "no"
may_open_canopy = true
may_pull_cable = false
may_replace_fan = false
wall_boxes = 1
wall_controls = 2
wall_gangs = 2
control_1_does = "fan"
control_1_kind = "on_off"
control_2_does = "light"
control_2_kind = "on_off"
acts_on_other_loads = false
want_keep_wall_look = "no"
only_room_light = true
breaker = "15 A"
place_rating_needed = "dry"
motor_label = "ac"
pull_chain_fan = true
pull_chain_light = true
fan_amps = "0.6 A"
blade_height = "8 ft"
wire_metal = "copper"
wire_age = "plastic"
circuits_in_box = 1
wall_cables = 2
run_conductors = 3
neutral_bundle = true
white_on_control = false
run_spare = false
wall_ground = true
wire_size = "14 AWG"
wall_box_volume = "34 in3"
wall_box_clamps = false
able_to_test_live = true
hot_at_wall_always = true
neutral_reading = true
ceiling_damage_seen = false
receiver = false
ceiling_cables = 1
ceiling_ground = true
fan_box_marked = true
fan_weight = "19 lb"
fan_box_rating = "35 lb"
hot_at_ceiling_switch_off = false
damage_seen = false
"""
"""Two switches, two legs, an AC motor that its label names, everything looked at: the easy case."""

KEYS = {
    *("format", "status", "motor", "motor_settled", "wirings", "wiring_settled", "recommendation", "schemes"),
    *("stops", "contradictions", "next_checks", "box_fill", "warnings", "sources"),
}
"""What `advise --json` promises to print; more may be added."""


@pytest.fixture(autouse=True)
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to stand in, and a data folder that must stay unmade."""
    monkeypatch.setenv("SWITCHLEG_HOME", str(tmp_path / "data"))
    monkeypatch.delenv("COLUMNS", raising=False)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def write(text: str | bytes) -> str:
    """fan.toml with this content, in the folder stood in."""
    Path("fan.toml").write_bytes(text.encode() if isinstance(text, str) else text)
    return "fan.toml"


@pytest.mark.parametrize(
    ("text", "status", "code"),
    [
        (PARLOUR, "recommended", 0),
        ('region = "us"\nwall_boxes = 0\n', "needs_checks", 3),
        (PARLOUR.replace("damage_seen = false", "damage_seen = true"), "stop", 4),
        (PARLOUR.replace('"copper"', '"aluminum"'), "stop", 4),
    ],
    ids=["all known", "little known", "damage", "aluminum"],
)
def test_exit_code_follows_the_verdict(text: str, status: str, code: int, capsys: pytest.CaptureFixture[str]) -> None:
    """The exit code tells a shell the verdict: 0 recommended, 3 further checks needed, 4 stop."""
    file = write(text)
    assert switchleg(["advise", file, "--json"]) == code
    said = capsys.readouterr()
    advice = json.loads(said.out)
    assert (advice["status"], said.err) == (status, "")
    assert switchleg(["advise", file]) == code


def test_json_has_every_promised_key(capsys: pytest.CaptureFixture[str]) -> None:
    """--json prints one object in ASCII, with format 1 and every key that the design promises."""
    switchleg(["advise", write(PARLOUR), "--json"])
    out = capsys.readouterr().out
    advice = json.loads(out)
    assert out.isascii()
    assert advice["format"] == 1
    assert set(advice) >= KEYS
    assert {"scheme", "preparations", "keeps"} <= set(advice["recommendation"])
    for scheme in advice["schemes"]:
        assert {"id", "verdict", "preparations", "reasons", "keeps", "plan"} <= set(scheme)
    assert sum(advice["motor"].values()) == pytest.approx(1)


def test_text_is_the_card(capsys: pytest.CaptureFixture[str]) -> None:
    """Without --json the card is printed in 80 columns, headed with the names in the file."""
    assert switchleg(["advise", write(PARLOUR)]) == 0
    out = capsys.readouterr().out
    assert "front parlour" in out
    assert "the guesthouse" in out
    assert max(len(line) for line in out.splitlines()) <= 80
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]", out)


def test_width_follows_columns(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """In a narrow terminal the card is set to its width."""
    monkeypatch.setenv("COLUMNS", "40")
    switchleg(["advise", write(PARLOUR)])
    assert max(len(line) for line in capsys.readouterr().out.splitlines()) <= 40


def test_facts_may_stand_under_a_heading(capsys: pytest.CaptureFixture[str]) -> None:
    """Facts under [facts] give the same verdict as facts at the top."""
    switchleg(["advise", write(PARLOUR), "--json"])
    flat = capsys.readouterr().out
    names, facts = PARLOUR.split("\n", 2)[:2], PARLOUR.split("\n", 2)[2]
    switchleg(["advise", write("\n".join([*names, "[facts]", facts])), "--json"])
    assert capsys.readouterr().out == flat


def test_unknown_as_a_value_leaves_the_fact_out(capsys: pytest.CaptureFixture[str]) -> None:
    """The word "unknown" as a value means the same as leaving the fact out."""
    little = 'region = "us"\nwall_boxes = 0\n'
    switchleg(["advise", write(little), "--json"])
    without = capsys.readouterr().out
    switchleg(["advise", write(little + 'light_kit = "unknown"\n'), "--json"])
    assert capsys.readouterr().out == without


def test_names_with_control_characters_come_out_clean(capsys: pytest.CaptureFixture[str]) -> None:
    """An escape sequence in a name does not reach the terminal."""
    switchleg(["advise", write('name = "attic\\u001b[2J\\u0007 room"\n' + PARLOUR)])
    assert "\x1b" not in capsys.readouterr().out


def test_dash_reads_standard_input(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """FILE "-" reads the facts from standard input, and errors there are placed in it."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(PARLOUR.encode())))
    assert switchleg(["advise", "-"]) == 0
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"region = \n")))
    assert switchleg(["advise", "-"]) == 2
    assert "standard input: line 1" in capsys.readouterr().err


def test_byte_order_mark_is_no_fault() -> None:
    """A file saved with a byte order mark is read as any other."""
    assert switchleg(["advise", write(b"\xef\xbb\xbf" + PARLOUR.encode())]) == 0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("region = us\n", ["line 1, column 10", "TOML"]),
        ('region = "us"\nwall_boxes 1\n', ["line 2, column 12"]),
        ("[facts\n", ["line 1"]),
        ('region = "us', ["TOML"]),
        ('region = "us"\nregion = "ca"\n', ["line 2"]),
        (b'name = "caf\xe9"\n', ["line 1, column 12", "UTF-8"]),
        (b"\xff\xfer\x00e\x00", ["UTF-8"]),
        (b"\x00", ["TOML"]),
        (b"a" * (LARGEST + 1), ["1 MB"]),
        ("a = " + "[" * 5000, ["nested"]),
        ("wall_boxes = " + "9" * 5000, [""]),
        ("moter_label = 'dc'", ["moter_label", 'did you mean "motor_label"?']),
        ("[facts]\nmoter_label = 'dc'", ["moter_label", 'did you mean "motor_label"?']),
        ("[fax]\nmotor_label = 'dc'", ["fax"]),
        ("motor_label = 'dcc'", ["motor_label", 'did you mean "dc"?']),
        ("motor_label = true", ["motor_label"]),
        ("motor_label = ''", ["motor_label"]),
        ("wall_boxes = '1'", ["wall_boxes"]),
        ("wall_boxes = true", ["wall_boxes"]),
        ("wall_boxes = -1", ["wall_boxes"]),
        ("wall_boxes = 1.5", ["wall_boxes"]),
        ("wall_boxes = nan", ["wall_boxes"]),
        ("wall_boxes = 2024-01-01", ["wall_boxes"]),
        ("wall_boxes = [1]", ["wall_boxes"]),
        ("wall_boxes = 10000000000000000000000", ["wall_boxes"]),
        ("receiver = 'yes'", ["receiver", "true or false"]),
        ("receiver = 1", ["receiver"]),
        ("fan_amps = 1.2", ["fan_amps", "unit"]),
        ("fan_amps = '1.2'", ["fan_amps", "unit"]),
        ("fan_amps = '1.2 kg'", ["fan_amps"]),
        ("fan_amps = '-1 A'", ["fan_amps"]),
        ("fan_amps = 'lots of A'", ["fan_amps"]),
        ("fan_amps = '1e999999 A'", ["fan_amps"]),
        ("wall_box_volume = '18'", ["wall_box_volume", "unit"]),
        ("name = 3", ["name", "quotes"]),
        ("facts = 3", ["facts"]),
        ("region = 'us'\n[facts]\nregion = 'us'", ["region", "twice"]),
    ],
)
def test_bad_file_is_one_line(
    text: str | bytes, words: list[str], capsys: pytest.CaptureFixture[str], place: Path
) -> None:
    """A file that cannot be used is one line with the file, the place and the way to mend it; exit code 2."""
    assert switchleg(["advise", write(text)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1, said.err
    assert said.err.startswith("switchleg: fan.toml: ")
    assert len(said.err) < 600
    for word in words:
        assert word in said.err
    assert not (place / "data").exists()


@pytest.mark.parametrize(
    ("file", "words"),
    [("missing.toml", "no such file"), (".", "folder"), ("missing/fan.toml", "no such file"), ("a\0b", "")],
)
def test_file_that_cannot_be_opened(file: str, words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A missing file, a folder or an impossible name is one line and exit code 2."""
    assert switchleg(["advise", file]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert words in err


def numbers_of(facts: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, dict[str, Any]]:
    """The calculations that `advise --json` lists, by their names."""
    path = folder / "facts.toml"
    path.write_text(facts, encoding="utf-8")
    switchleg(["advise", str(path), "--json"])
    return {one["calculation"]: one for one in json.loads(capsys.readouterr().out)["numbers"]}


def test_json_carries_every_number_with_its_sum_edition_and_sources(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Boxes before and after, ratings, support, heights: exact values beside the sum, the edition and the sources."""
    more = 'wall_box_volume = "22.5 in3"\nceiling_box_volume = "15.5 in3"\nfan_watts_high = "60 W"\n'
    lines = [line for line in PARLOUR.splitlines() if not line.startswith("wall_box_volume")]
    found = numbers_of("\n".join([*lines, more]), tmp_path, capsys)
    for name in ("wall-box-today", "wall-box-after", "ceiling-box-today", "breaker-and-wire", "yearly-cost"):
        assert found[name]["editions"], name
        assert found[name]["sources"], name
    needed = {one["id"]: one for one in found["ceiling-box-today"]["numbers"]}
    assert needed["available"] == {"id": "available", "value": 15.5, "exact": "31/2", "unit": "in3"}
    assert found["wall-box-after"]["lines"]


def test_json_says_what_is_not_covered(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """In the United Kingdom no ceiling box, breaker or yearly cost is judged, and no number stands there."""
    facts = PARLOUR.replace('region = "us"', 'region = "uk"').replace("14 AWG", "1.5 mm2").replace("15 A", "6 A")
    facts = "\n".join(line for line in facts.splitlines() if "in3" not in line) + '\nfan_watts_high = "60 W"\n'
    found = numbers_of(facts, tmp_path, capsys)
    for name in ("ceiling-box", "breaker-and-wire", "yearly-cost"):
        assert found[name]["covered"] is False, name
        assert not found[name]["numbers"], name
    assert found["wall-box-depth"]["covered"]


def test_where_law_reserves_the_work_the_card_is_the_licensed_persons(capsys: pytest.CaptureFixture[str]) -> None:
    """In Australia the verdict begins with whom the card addresses, and steps, joints and cautions are theirs."""
    facts = PARLOUR.replace('region = "us"', 'region = "au_nz"').replace("14 AWG", "1.5 mm2").replace("15 A", "10 A")
    switchleg(["advise", write("\n".join(line for line in facts.splitlines() if "in3" not in line))])
    out = capsys.readouterr().out
    assert out.index("To the licensed electrician") < out.index("WHAT YOU KEEP")
    for heading in ("BEFORE YOU TOUCH ANYTHING", "THE WORK, BOX BY BOX", "JOINTS, BOX BY BOX"):
        assert f"{heading} (FOR THE LICENSED ELECTRICIAN)" in out
    assert "ground" not in out.lower()
