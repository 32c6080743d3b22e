"""Deliberately broken trees: each fault is found, with its file, its key and the nearest right spelling."""

from __future__ import annotations

import shutil
import tomllib
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from switchleg.checking.check import Promised, check_all, examine
from switchleg.checking.promised_names import Fixed

HERE = Path(__file__).parent / "broken_trees"
FAULTS = sorted(folder.name for folder in HERE.iterdir() if (folder / "fault.toml").is_file())
REAL = Path(str(files("switchleg.decision_tree")))
BORROWED = ("sources.toml", "wiring.toml", "regions/us.toml")

PROMISED = Promised(
    facts={
        "region": Fixed("choice", ("us",)),
        "wall_controls": Fixed("count"),
        "motor_label": Fixed("choice", ("ac", "dc")),
        "receiver": Fixed("yes_no"),
    },
    schemes={"wall_speed"},
    preparations={"cap_unused"},
    looks={"wall_controls", "hot_at_wall_always"},
)


def build(folder: Path, changes: list[dict[str, Any]]) -> Path:
    """The sound tree in a folder of its own, with the changes of a fault."""
    root = folder / "tree"
    shutil.copytree(HERE / "sound", root)
    for file in BORROWED:
        (root / file).parent.mkdir(exist_ok=True)
        shutil.copy(REAL / file, root / file)
    for change in changes:
        path = root / change["file"]
        if change.get("remove"):
            path.unlink()
        elif "write" in change:
            path.write_text(change["write"], encoding="utf-8")
        elif "latin" in change:
            path.write_text(change["latin"], encoding="latin-1")
        else:
            text = path.read_text(encoding="utf-8")
            assert text.count(change["find"]) == 1, f"{change['find']} must stand once in {change['file']}"
            path.write_text(text.replace(change["find"], change["put"]), encoding="utf-8")
    return root


def test_the_sound_tree_has_no_problem(tmp_path: Path) -> None:
    """What the faults are measured against is sound."""
    assert [problem.line() for problem in check_all(build(tmp_path, []), PROMISED)] == []


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_reported(name: str, tmp_path: Path) -> None:
    """Exactly the expected problems are reported, all at once, each in one line with file and key."""
    fault = tomllib.loads((HERE / name / "fault.toml").read_text(encoding="utf-8"))
    problems = check_all(build(tmp_path, fault["change"]), PROMISED)
    lines = [problem.line() for problem in problems]
    expected = sorted(fault["expect"], key=lambda item: (item["file"], item["key"]))
    found = [(problem.file, problem.key, problem.nearest) for problem in problems]
    assert found == [(item["file"], item["key"], item.get("nearest", "")) for item in expected], lines
    for item, problem in zip(expected, problems, strict=True):
        assert item["says"] in problem.message
        assert problem.line().startswith(f"{problem.file}: ")
        assert "\n" not in problem.line()
        assert not problem.nearest or f'did you mean "{problem.nearest}"?' in problem.line()


def test_a_broken_tree_is_examined_without_raising(tmp_path: Path) -> None:
    """Examining gives the problems and no knowledge; the sound parts are not passed off as the whole."""
    root = build(tmp_path, [{"file": "rules.toml", "write": "x = ["}])
    knowledge, problems = examine(root)
    assert knowledge is None
    assert any(problem.file == "rules.toml" for problem in problems)


def test_there_are_many_broken_trees() -> None:
    """Every kind of fault that the check knows has a tree of its own."""
    assert len(FAULTS) >= 50
