"""Every command of the command line and every exit code; whatever goes wrong is one line."""

from __future__ import annotations

import json
import os
import shutil
import stat
import subprocess
from pathlib import Path

import pytest
from command_runs import PROGRAM, run, surroundings

from switchleg import __version__
from switchleg.command import advise, last_resort, main
from switchleg.command.main import main as switchleg
from switchleg.command.parser import COMMANDS
from switchleg.record.store import Store

KNOWLEDGE = Path(__file__).parent.parent / "decision_tree"
needs_unix = pytest.mark.skipif(os.name != "posix", reason="needs a Unix system")
not_root = pytest.mark.skipif(
    hasattr(os, "geteuid") and os.geteuid() == 0, reason="the superuser may write anywhere"
)
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


def one_line(err: str) -> str:
    """The only line on stderr, in the form that every error has."""
    assert err.endswith("\n")
    assert err.count("\n") == 1, err
    assert err.startswith("switchleg: ")
    assert "Traceback" not in err
    return err.removeprefix("switchleg: ").rstrip("\n")


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
def test_wrong_usage_exits_2(
    argv: list[str], words: str, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Wrong usage is one line that says how to mend it, with exit code 2, and makes no folder."""
    assert switchleg(argv) == 2
    said = capsys.readouterr()
    assert words in one_line(said.err)
    assert said.out == ""
    assert not home.exists()


def test_list_of_nothing_says_how_to_begin(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An empty house lists as one line that says how to begin; asking makes no folder."""
    assert switchleg(["list"]) == 0
    assert "switchleg new NAME" in capsys.readouterr().out
    assert not home.exists()


def test_list_is_a_line_each(parlour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each record is one line with its name, its home and where it stands; a damaged one says so."""
    Store(parlour).create("garden\x1b[31m\nroom")
    (parlour / "porch.json").write_text('{"format": 1, "name": ')
    assert switchleg(["list"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 3
    assert "front parlour, the guesthouse: not begun; " in lines[0] + lines[1]
    assert "\x1b" not in "".join(lines)
    assert lines[2].startswith("porch: damaged")
    assert (parlour / "porch.json").exists()


def test_list_tells_namesakes_apart(parlour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two records of one name are listed with the ids that commands take."""
    Store(parlour).create("front parlour", "the other house")
    switchleg(["list"])
    out = capsys.readouterr().out
    assert "front parlour [front-parlour], the guesthouse" in out
    assert "front parlour [front-parlour-2], the other house" in out


@with_parlour
def test_card_of_a_new_record(capsys: pytest.CaptureFixture[str]) -> None:
    """A record without answers has a card too, under its name, in 80 columns."""
    assert switchleg(["card", "Front Parlour"]) == 0
    out = capsys.readouterr().out
    assert "front parlour" in out.splitlines()[0].casefold()
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "\x1b" not in out


@with_parlour
def test_export_goes_to_stdout_or_a_new_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Export prints the summary; -o writes the same into a file and says where."""
    assert switchleg(["export", "front-parlour"]) == 0
    printed = capsys.readouterr().out
    file = tmp_path / "summary.txt"
    assert switchleg(["export", "front-parlour", "-o", str(file)]) == 0
    assert str(file) in capsys.readouterr().out
    assert file.read_text(encoding="utf-8").strip() == printed.strip()


@with_parlour
def test_export_never_overwrites_unasked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file that is there is kept, with exit code 1, until --force is given."""
    file = tmp_path / "summary.txt"
    file.write_text("precious")
    assert switchleg(["export", "front-parlour", "-o", str(file)]) == 1
    assert "--force" in one_line(capsys.readouterr().err)
    assert file.read_text() == "precious"
    assert switchleg(["export", "front-parlour", "-o", str(file), "--force"]) == 0
    assert "front parlour" in file.read_text(encoding="utf-8").casefold()


@pytest.mark.parametrize(
    ("target", "words"), [(".", "this is a folder"), ("missing/x.txt", "there is no folder"), ("\0", "")]
)
@with_parlour
def test_export_to_an_impossible_place(
    target: str,
    words: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A place that cannot be written is one line and exit code 2."""
    monkeypatch.chdir(tmp_path)
    assert switchleg(["export", "front-parlour", "-o", target]) == 2
    assert words in one_line(capsys.readouterr().err)


@not_root
@with_parlour
def test_export_into_a_write_protected_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder that may not be written is one line and exit code 1."""
    locked = tmp_path / "locked"
    locked.mkdir(mode=0o500)
    assert switchleg(["export", "front-parlour", "-o", str(locked / "x.txt")]) == 1
    assert "could not be written" in one_line(capsys.readouterr().err)


def test_export_json_is_the_record(parlour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--json gives the record as it is kept, byte for byte a JSON object with its format."""
    assert switchleg(["export", "front-parlour", "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record == json.loads((parlour / "front-parlour.json").read_text(encoding="utf-8"))
    assert record["format"] == 1


def test_damaged_record_is_set_aside_and_named(parlour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A damaged record is one line that names where it was kept, exit code 2, and its bytes live on."""
    bad = b'{"format": 1, "id": "porch", "name"'
    (parlour / "porch.json").write_bytes(bad)
    assert switchleg(["card", "porch"]) == 2
    line = one_line(capsys.readouterr().err)
    kept = [path for path in parlour.iterdir() if ".damaged-" in path.name]
    assert [path.read_bytes() for path in kept] == [bad]
    assert kept[0].name in line


@pytest.mark.parametrize("argv", [[], ["new", "porch"], ["resume"], ["resume", "front-parlour"]])
def test_screens_without_a_terminal(
    argv: list[str], parlour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
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

    monkeypatch.setattr("switchleg.command.records.run", broken)
    assert switchleg(["list"]) == 1
    line = one_line(capsys.readouterr().err)
    log = home / last_resort.LOG_NAME
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

    monkeypatch.setattr("switchleg.command.records.run", broken)
    assert switchleg(["list"]) == 1
    line = one_line(capsys.readouterr().err)
    assert "first line" in line
    assert "second line" not in line
    assert "could not be written" in line


def test_ctrl_c_is_quiet(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C ends any command with 130 and not a word."""

    def interrupted(_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr("switchleg.command.records.run", interrupted)
    monkeypatch.setattr("switchleg.command.output.silence", lambda _: None)
    assert switchleg(["list"]) == main.INTERRUPTED == 130
    said = capsys.readouterr()
    assert said.out + said.err == ""


@needs_unix
def test_a_reader_that_leaves_early_is_no_fault(parlour: Path) -> None:
    """`switchleg export | head -1` is quiet: no line on stderr, no traceback."""
    reader, writer = os.pipe()
    os.close(reader)
    with os.fdopen(writer, "wb") as gone:
        done = subprocess.run(
            [*PROGRAM, "export", "front-parlour"],
            stdout=gone,
            stderr=subprocess.PIPE,
            env=surroundings(parlour),
            timeout=60,
            check=False,
        )
    assert done.stderr == b""
    assert done.returncode == 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_behind_stdout_is_one_line(parlour: Path) -> None:
    """When the output cannot be written, one line says so and the exit code is 1."""
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [*PROGRAM, "list"],
            stdout=full,
            stderr=subprocess.PIPE,
            env=surroundings(parlour),
            timeout=60,
            check=False,
        )
    assert "output could not be written" in one_line(done.stderr.decode())
    assert done.returncode == 1


@pytest.mark.parametrize(
    "env",
    [
        {"PYTHONIOENCODING": "ascii"},
        {"LANG": "C", "LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
        {"PYTHONIOENCODING": "latin-1"},
    ],
)
def test_output_without_utf8_never_crashes(env: dict[str, str], home: Path) -> None:
    """With an output that knows no UTF-8, names and cards come out in stand-ins, exit code 0."""
    Store(home).create("Café №7 – 客房")
    for argv in (["list"], ["card", "cafe-no7"], ["export", "cafe-no7"]):
        done = subprocess.run(
            [*PROGRAM, *argv], capture_output=True, env=surroundings(home, **env), timeout=60, check=False
        )
        assert done.returncode == 0, done.stderr
        assert done.stderr == b""
        assert b"Caf" in done.stdout


@needs_unix
def test_name_that_is_not_text(home: Path) -> None:
    """A name in bytes that are no UTF-8 is one line, not a crash."""
    done = subprocess.run(
        [*(part.encode() for part in PROGRAM), b"card", b"caf\xe9"],
        capture_output=True,
        env=surroundings(home),
        timeout=60,
        check=False,
    )
    assert done.returncode == 2
    one_line(done.stderr.decode())


def test_check_of_the_installed_knowledge(capsys: pytest.CaptureFixture[str]) -> None:
    """The installed knowledge has no problem, and the check says that every path ends at a card."""
    assert switchleg(["check"]) == 0, capsys.readouterr().out
    out = capsys.readouterr().out
    assert "every one ends at a card" in out
    assert "No problems." in out


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
