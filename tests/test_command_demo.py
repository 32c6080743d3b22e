"""`switchleg demo`: an invented house, made by walking the real tree, and thrown away."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from command_paths import knowledge, plan, session
from command_runs import here, run

from switchleg.command.demo.command import furnish
from switchleg.command.demo.script import Room, examine_plan, play, read_plan
from switchleg.record.store import Store

KNOWLEDGE = Path(__file__).parent.parent / "decision_tree"
ROOMS = plan().room


def test_house_without_a_terminal(tmp_path: Path) -> None:
    """Through a pipe the demo lists its rooms and headlines, keeps nothing, and says so; exit code 0."""
    temporary, home = tmp_path / "tmp", tmp_path / "data"
    temporary.mkdir()
    done = run(home, "demo", TMPDIR=str(temporary))
    assert (done.code, done.err) == (0, "")
    for told in ROOMS:
        assert f"\n{told.name}, the guesthouse: " in done.out
    assert "thrown away" in done.out
    assert list(temporary.iterdir()) == []
    assert not home.exists()


def test_rooms_stand_at_different_places(tmp_path: Path) -> None:
    """Of six rooms or more some are finished, some wait for the canopy, and one is stopped."""
    store = Store(tmp_path)
    furnish(store, plan(), knowledge())
    lines = {line.name: line for line in store.list()}
    assert len(lines) == len(ROOMS) >= 6
    stages = [line.stage for line in lines.values()]
    assert stages.count("waiting") >= 2
    assert stages.count("done") >= 3
    assert [name for name, line in lines.items() if line.status == "stop"] == ["linen room"]
    assert lines["front parlour"].status == "recommended"
    assert lines["breakfast room"].status == "needs_checks"
    assert all(line.headline for line in lines.values())
    assert len({line.changed for line in lines.values()}) == len(lines)


@pytest.mark.parametrize("told", ROOMS, ids=[room.name for room in ROOMS])
def test_everything_told_is_asked(told: Room) -> None:
    """Each fact in the plan is asked on its room's way, what is left out when enough is known too, and settled as told:
    nothing stands idle."""
    walk = session()
    play(walk, told)
    walk.ask_the_rest()
    play(walk, told)
    facts = {**told.floor, **told.wall, **told.canopy}
    assert {fact: walk.facts.get(fact) for fact in facts} == facts
    assert set(told.notes) <= set(facts)


def test_rooms_differ_in_wiring_and_motor() -> None:
    """No two rooms tell the same of motor, wiring and controls."""
    facts = ("motor_label", "receiver", "wall_controls", "control_1_does", "run_conductors", "damage_seen")
    seen = [tuple({**room.floor, **room.wall, **room.canopy}.get(fact) for fact in facts) for room in ROOMS]
    assert len(set(seen)) == len(seen)


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ('home = "the guesthouse"', "", "home", "is missing"),
        ('home = "the guesthouse"', 'house = "x"', "house", "nothing reads this key"),
        ('name = "attic room"', 'name = "front parlour"', "room.front parlour", "twice"),
        ('canopy_door = "later"', 'canopy_door = "latr"', "canopy_door", "did you mean"),
        ('region = "us"', 'regoin = "us"', "floor.regoin", 'did you mean "region"?'),
        ('region = "us"', 'region = "usa"', "floor.region", "usa"),
        ("wall_boxes = 1", 'wall_boxes = "1"', "floor.wall_boxes", "1"),
        ('breaker = "15 A"', "breaker = 15", "floor.breaker", "unit"),
        ("[room.notes]\nfan_amps", "[room.notes]\nfan_amp", "notes.fan_amp", 'did you mean "fan_amps"?'),
        ("[room.wall]", "[room.walls]", "walls", "did you mean"),
        ("[[room]]", "[[room]", "line", "TOML"),
    ],
)
def test_broken_plan_is_told_with_its_place(old: str, new: str, key: str, words: str, tmp_path: Path) -> None:
    """Each fault in demo.toml is a problem with the file, the key and the nearest spelling."""
    text = (KNOWLEDGE / "demo.toml").read_text(encoding="utf-8")
    assert old in text
    (tmp_path / "demo.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    found, problems = read_plan(tmp_path, knowledge())
    assert found is None
    told = [problem.line() for problem in problems if key in problem.key]
    assert told
    assert words in told[0]
    assert told[0].startswith("demo.toml: ")


def test_every_fault_at_once(tmp_path: Path) -> None:
    """Several faults in demo.toml are all told in one go."""
    text = (KNOWLEDGE / "demo.toml").read_text(encoding="utf-8")
    bad = text.replace('region = "us"', 'region = "usa"').replace("wall_gangs = 1", "wall_gangs = true")
    (tmp_path / "demo.toml").write_text(bad, encoding="utf-8")
    assert len(examine_plan(tmp_path, knowledge())) == bad.count('"usa"') + bad.count("wall_gangs = true")


def test_a_folder_without_a_demo_has_no_fault(tmp_path: Path) -> None:
    """A folder of knowledge need not have a demo; the installed one has."""
    assert examine_plan(tmp_path, knowledge()) == []
    assert examine_plan(KNOWLEDGE, knowledge()) == []


def test_check_covers_the_plan(tmp_path: Path) -> None:
    """`switchleg check DIR` tells a fault in demo.toml beside those of the knowledge."""
    folder = tmp_path / "tree"
    shutil.copytree(Path(__file__).parent / "broken_trees" / "sound", folder)
    (folder / "demo.toml").write_text('home = "the guesthouse"\nrooms = 3\n')
    done = here(tmp_path / "data", "check", str(folder))
    assert done.code == 2
    assert "demo.toml: rooms: nothing reads this key" in done.out
