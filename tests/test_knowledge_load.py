"""The knowledge is read strictly, quickly, and only as far as it is asked for."""

from __future__ import annotations

import shutil
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest

from switchleg.checking.check import examine
from switchleg.checking.promised_names import FIXED
from switchleg.errors import SwitchlegError
from switchleg.knowledge.load import Knowledge, load, read_models
from switchleg.spelling import nearest_of

REAL = Path(str(files("switchleg.decision_tree")))


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    return Path(shutil.copytree(REAL, tmp_path / "tree", ignore=shutil.ignore_patterns("__pycache__")))


def test_the_installed_knowledge_is_read_once() -> None:
    """Two readers share one knowledge, and a part is built once."""
    assert load() is load()
    assert load().tree is load().tree


def test_a_folder_gives_the_same_knowledge(copy: Path) -> None:
    """A copy elsewhere is the same knowledge, by its version and its questions."""
    there = load(copy)
    assert there.version == load().version
    assert list(there.tree.questions) == list(load().tree.questions)


def test_the_version_follows_every_byte(copy: Path) -> None:
    """A change in any data file, a comment even, is another version of the knowledge."""
    with (copy / "rules.toml").open("a", encoding="utf-8") as rules:
        rules.write("# one more line\n")
    assert load(copy).version != load().version


def test_a_broken_folder_is_refused_in_one_line(copy: Path) -> None:
    """Loading names the first problem, how many there are and the command that shows them all."""
    (copy / "rules.toml").write_text("[[", encoding="utf-8")
    (copy / "clues.toml").unlink()
    with pytest.raises(SwitchlegError) as caught:
        load(copy)
    assert "switchleg check" in caught.value.line()
    assert "and 1 more" in caught.value.line()
    assert "\n" not in caught.value.line()


@pytest.mark.parametrize("name", ["no_such_folder", "rules.toml"])
def test_what_is_no_folder_is_a_problem_not_a_crash(copy: Path, name: str) -> None:
    """A path that cannot be listed is one of the problems."""
    knowledge, problems = examine(copy / name)
    assert knowledge is None
    assert any("cannot be read" in problem.message for problem in problems)


def test_a_file_far_too_large_is_not_read(copy: Path) -> None:
    """A file of megabytes is a mistake and is said to be one."""
    (copy / "rules.toml").write_text("#" * 2_000_000, encoding="utf-8")
    assert any("too large" in problem.message for problem in read_models(copy).problems)


def test_knowledge_never_changes() -> None:
    """Nobody can put another part into a loaded knowledge."""
    with pytest.raises(AttributeError):
        load().version = "other"  # type: ignore[misc]
    with pytest.raises(AttributeError):
        _ = load().nothing  # type: ignore[attr-defined]
    assert isinstance(load(), Knowledge)


def test_importing_the_loader_builds_nothing() -> None:
    """A screen that only lists records pays for no data file and no reasoning module."""
    code = (
        "import sys, switchleg.knowledge.load as l;"
        "k = l.load();"
        "heavy = ('switchleg.wiring', 'switchleg.advice', 'switchleg.diagnosis', 'textual');"
        "print([m for m in sys.modules if m.startswith(heavy)], sorted(k.__dict__))"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[] ['raw']"


def test_every_promised_fact_is_asked() -> None:
    """Every fact that files of facts may name is a question."""
    assert FIXED.keys() <= load().tree.questions.keys()


@pytest.mark.parametrize(
    ("word", "nearest"),
    [("motor_lable", "motor_label"), ("Motor-Label", "motor_label"), ("zzz", ""), ("", "")],
)
def test_the_nearest_spelling_is_offered(word: str, nearest: str) -> None:
    """Case and hyphens do not matter; nothing is offered when nothing is near."""
    assert nearest_of(word, ["motor_label", "wire_size"]) == nearest
