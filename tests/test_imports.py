"""The arrow between the rooms of the house: the reasoning runs without a screen."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from command_runs import surroundings

HEAVY = "textual", "rich", "switchleg.screens"
LOADED = (
    "import sys; found = sorted(name for name in sys.modules "
    f"if any(name == heavy or name.startswith(heavy + '.') for heavy in {HEAVY!r})); "
    "print(found); sys.exit(1 if found else 0)"
)


def fresh(code: str, home: Path) -> subprocess.CompletedProcess[str]:
    """A new interpreter that runs `code` and then says what heavy modules it has loaded."""
    return subprocess.run(
        [sys.executable, "-c", f"{code}\n{LOADED}"],
        capture_output=True,
        text=True,
        env=surroundings(home),
        timeout=60,
        check=False,
    )


@pytest.mark.parametrize(
    "code",
    [
        "import switchleg.advice.advise, switchleg.advice.card.build",
        "import switchleg.session.session, switchleg.record.store, switchleg.paper.export",
        "import switchleg.command.main, switchleg.command.talk.command, switchleg.command.demo.command",
        "import switchleg.command.check, switchleg.checking.tree_rules, switchleg.checking.paths",
        "from switchleg.knowledge.load import load; k = load(); k.tree, k.schemes, k.rules, k.regions",
        "from switchleg.command.main import main; main(['list'])",
        "from switchleg.command.main import main; main(['--version'])",
        "import io, sys; from switchleg.command.main import main\n"
        "sys.stdin = io.TextIOWrapper(io.BytesIO(b'region = \"us\"\\nwall_boxes = 0\\n')); main(['advise', '-'])",
    ],
)
def test_reasoning_loads_no_screens(code: str, tmp_path: Path) -> None:
    """A fresh process that reasons, lists or advises has loaded no textual, rich or screens module."""
    done = fresh(code, tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_watch_would_notice(tmp_path: Path) -> None:
    """The check above does fail when the screens are loaded."""
    done = fresh("import switchleg.screens.app", tmp_path)
    assert done.returncode == 1
    assert "textual" in done.stdout


def test_list_reads_none_of_the_knowledge(tmp_path: Path) -> None:
    """Listing the records reads none of the knowledge, so that it stays quick."""
    code = (
        "from switchleg.command.main import main; main(['list']); import sys\n"
        "assert 'switchleg.knowledge.load' not in sys.modules\n"
        "assert 'switchleg.tree.walk' not in sys.modules"
    )
    done = fresh(code, tmp_path)
    assert done.returncode == 0, done.stderr


def test_only_one_place_starts_the_screens() -> None:
    """In the whole of src one line names the screens package, so there is one door to it."""
    root = Path(__file__).parent.parent / "src"
    naming = [
        f"{path.name}: {line.strip()}"
        for path in sorted(root.rglob("*.py"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if "switchleg.screens" in line
    ]
    assert naming == [
        'start_screens.py: code: int = import_module("switchleg.screens.app").run(store, **options)',
    ]
