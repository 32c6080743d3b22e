"""`list`, `card` and `export`, and what their output meets: closed pipes, full disks, plain terminals."""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import pytest
from command_paths import wet_fan
from command_runs import PROGRAM, one_line, surroundings

from switchleg.command.main import main as switchleg
from switchleg.record.migrate import FORMAT
from switchleg.record.store import Store

needs_unix = pytest.mark.skipif(os.name != "posix", reason="needs a Unix system")
not_root = pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="the superuser may write anywhere")
with_parlour = pytest.mark.usefixtures("parlour")
with_answers = pytest.mark.usefixtures("answered")


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


@pytest.fixture
def answered(home: Path) -> Path:
    """The same, and its answers make the card a quick one."""
    wet_fan(Store(home), "front parlour", "the guesthouse")
    return home


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


@with_answers
def test_export_goes_to_stdout_or_a_new_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Export prints the summary; -o writes the same into a file and says where."""
    assert switchleg(["export", "front-parlour"]) == 0
    printed = capsys.readouterr().out
    file = tmp_path / "summary.txt"
    assert switchleg(["export", "front-parlour", "-o", str(file)]) == 0
    assert str(file) in capsys.readouterr().out
    assert file.read_text(encoding="utf-8").strip() == printed.strip()


@with_answers
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
@with_answers
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
@with_answers
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
    assert record["format"] == FORMAT


def test_damaged_record_is_set_aside_and_named(parlour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A damaged record is one line that names where it was kept, exit code 2, and its bytes live on."""
    bad = b'{"format": 1, "id": "porch", "name"'
    (parlour / "porch.json").write_bytes(bad)
    assert switchleg(["card", "porch"]) == 2
    line = one_line(capsys.readouterr().err)
    kept = [path for path in parlour.iterdir() if ".damaged-" in path.name]
    assert [path.read_bytes() for path in kept] == [bad]
    assert kept[0].name in line


@needs_unix
def test_a_reader_that_leaves_early_is_no_fault(answered: Path) -> None:
    """`switchleg export | head -1` is quiet: no line on stderr, no traceback."""
    reader, writer = os.pipe()
    os.close(reader)
    with os.fdopen(writer, "wb") as gone:
        done = subprocess.run(
            [*PROGRAM, "export", "front-parlour"],
            stdout=gone,
            stderr=subprocess.PIPE,
            env=surroundings(answered),
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
    wet_fan(Store(home), "Café №7 – 客房")
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
