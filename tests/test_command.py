"""Every command of the command line and every exit code; whatever goes wrong is one line."""

from __future__ import annotations

import os
import shutil
import stat
from pathlib import Path

import pytest
from command_runs import one_line, run

from switchleg import __version__
from switchleg.command import advise, main
from switchleg.command.main import main as switchleg
from switchleg.command.parser import COMMANDS
from switchleg.command.shell import crash_report
from switchleg.record.store import Store

KNOWLEDGE = Path(__file__).parent.parent / "decision_tree"
needs_unix = pytest.mark.skipif(os.name != "posix", reason="needs a Unix system")
not_root = pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="the superuser may write anywhere")
with_parlour = pytest.mark.usefixtures("parlour")


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder of its own, not made yet."""
    folder = tmp_path / "data"
    monkeypatch.setenv("SWITCHLEG_HOME", str(folder))
    monkeypatch.delenv("COLUMNS", raising=False)
    return folder


@pytest.fixture
def parlour(home: Path) -> Path:
    """A data folder with one record in it."""
    Store(home).create("front parlour", "the guesthouse")
    return home


def test_version(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--version names the program and its version, and exits 0."""
    assert switchleg(["--version"]) == 0
    assert capsys.readouterr().out == f"switchleg {__version__}\n"
    assert not home.exists()


@pytest.mark.parametrize("command", [None, *COMMANDS])
def test_every_command_has_help(command: str | None, capsys: pytest.CaptureFixture[str]) -> None:
    """--help explains every command in at most 80 columns, and exits 0."""
    assert switchleg([*([command] if command else []), "--help"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("usage: switchleg")
    assert max(len(line) for line in out.splitlines()) <= 80


def test_help_gives_examples_for_the_main_commands(capsys: pytest.CaptureFixture[str]) -> None:
    """The help of the program shows commands that can be typed as they stand, and the exit codes."""
    switchleg(["--help"])
    out = capsys.readouterr().out
    for words in ("switchleg ask", "switchleg advise fan.toml", "switchleg demo", "exit codes: 0 done"):
        assert words in out


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (["lsit"], "did you mean `switchleg list`?"),
        (["explode"], "expected one of new, resume, list"),
        (["card"], "NAME"),
        (["card", "front", "parlour"], "put a name of several words in quotes"),
        (["advise"], "FILE"),
        (["advise", "--jsno", "x.toml"], "--jsno"),
        (["advise", "--js", "x.toml"], "--js"),
        (["list", "--json"], "--json"),
        (["--frobnicate"], "--frobnicate"),
        (["export", "x", "-o"], "-o"),
        (["check", "no-such-folder"], "no such folder"),
        (["card", "nobody"], "no record is called 'nobody'"),
        (["export", "nobody"], "no record is called 'nobody'"),
        (["new", "  "], "the name is empty"),
        (["new", "\x1b\x07"], "the name is empty"),
        (["new", "x" * 81], "80 at most"),
    ],
)
def test_wrong_usage_exits_2(argv: list[str], words: str, home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Wrong usage is one line that says how to mend it, with exit code 2, and makes no folder."""
    assert switchleg(argv) == 2
    said = capsys.readouterr()
    assert words in one_line(said.err)
    assert said.out == ""
    assert not home.exists()


@pytest.mark.parametrize("argv", [[], ["new", "porch"], ["resume"], ["resume", "front-parlour"]])
def test_screens_without_a_terminal(argv: list[str], parlour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without a terminal, one line points to `switchleg ask`, with exit code 1; nothing is made."""
    before = sorted(path.name for path in parlour.iterdir())
    assert switchleg(argv) == 1
    assert "`switchleg ask`" in one_line(capsys.readouterr().err)
    assert sorted(path.name for path in parlour.iterdir()) == before


@with_parlour
def test_new_refuses_a_twin(capsys: pytest.CaptureFixture[str]) -> None:
    """A second record of one name in one home is refused, with how to go on with the first."""
    assert switchleg(["new", "FRONT parlour", "--home", "The Guesthouse"]) == 1
    assert "switchleg resume front-parlour" in one_line(capsys.readouterr().err)


def test_unforeseen_fault_is_one_line_and_a_log(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault nobody foresaw is one line, exit code 1, and its details are in a log only its owner reads."""

    def broken(_: object) -> int:
        raise ZeroDivisionError("half a fan")

    monkeypatch.setattr("switchleg.command.saved.records.run", broken)
    assert switchleg(["list"]) == 1
    line = one_line(capsys.readouterr().err)
    log = home / crash_report.LOG_NAME
    assert "half a fan" in line
    assert str(log) in line
    assert "ZeroDivisionError" in log.read_text()
    assert __version__ in log.read_text()
    if os.name == "posix":
        assert stat.S_IMODE(log.stat().st_mode) == 0o600


def test_unforeseen_fault_without_a_place_for_its_log(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the log cannot be written either, the line says so; still no traceback."""
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("SWITCHLEG_HOME", str(tmp_path / "file"))

    def broken(_: object) -> int:
        raise RuntimeError("first line\nsecond line")

    monkeypatch.setattr("switchleg.command.saved.records.run", broken)
    assert switchleg(["list"]) == 1
    line = one_line(capsys.readouterr().err)
    assert "first line" in line
    assert "second line" not in line
    assert "could not be written" in line


def test_ctrl_c_is_quiet(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C ends any command with 130 and not a word."""

    def interrupted(_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr("switchleg.command.saved.records.run", interrupted)
    monkeypatch.setattr("switchleg.command.shell.output.silence", lambda _: None)
    assert switchleg(["list"]) == main.INTERRUPTED == 130
    said = capsys.readouterr()
    assert said.out + said.err == ""


def test_check_of_the_installed_knowledge(capsys: pytest.CaptureFixture[str]) -> None:
    """The installed knowledge has no problem: every path ends at a card, every node and branch is come to, and every
    way of a scheme works in some house."""
    assert switchleg(["check"]) == 0, capsys.readouterr().out
    out = capsys.readouterr().out
    assert "every one ends at a card" in out
    assert "No problems." in out


def test_a_quick_check_tries_no_way_and_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`--quick` checks and proves all else, wires nothing, and does not claim that it did."""
    monkeypatch.setattr("switchleg.checking.scheme_trial.barren_ways", lambda *_: pytest.fail("a way was tried"))
    assert switchleg(["check", "--quick"]) == 0
    out = capsys.readouterr().out
    assert "every one ends at a card" in out
    assert "none tried" in out
    assert "wired and solved" not in out


def test_check_tells_every_problem_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A broken folder gives a line for each problem, exit code 2 and the count on stderr."""
    folder = tmp_path / "tree"
    shutil.copytree(KNOWLEDGE, folder)
    floor = folder / "questions" / "floor.toml"
    text = floor.read_text(encoding="utf-8").replace('kind = "choice"', 'kind = "chioce"', 1)
    floor.write_text(text + "\nsurprise = 1\n", encoding="utf-8")
    (folder / "demo.toml").write_text("home = 1\n")
    (folder / "sources.toml").write_text("[[source\n")
    assert switchleg(["check", str(folder)]) == 2
    said = capsys.readouterr()
    assert switchleg(["check", "--quick", str(folder)]) == 2
    assert capsys.readouterr() == said
    assert "chioce" in said.out
    assert "sources.toml" in said.out
    line = one_line(said.err)
    assert str(folder) in line
    assert "problems found" in line


def test_exit_codes_follow_the_status() -> None:
    """The codes of `advise` are those of the design: 0 recommended, 3 further checks, 4 stop."""
    assert advise.EXIT_CODES == {"recommended": 0, "needs_checks": 3, "stop": 4}


def test_ask_needs_no_terminal(home: Path) -> None:
    """`switchleg ask` with nothing typed ends at once with 0 and says how to go on."""
    done = run(home, "ask")
    assert (done.code, done.err) == (0, "")
    assert "To go on: switchleg ask fan-1" in done.out
