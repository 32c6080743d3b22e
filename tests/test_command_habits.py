"""Habits people expect: completion, deletion that can be undone, pipes, signals, a terminal that is put back."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import textwrap
import time
from pathlib import Path

import pytest
from command_paths import wet_fan
from command_runs import PROGRAM, one_line, run, surroundings
from command_terminal import Terminal

from switchleg.command.completion import SCRIPTS, words
from switchleg.command.main import main as switchleg
from switchleg.command.parser import SHOWN, build, subcommands
from switchleg.record.store import Store

needs_unix = pytest.mark.skipif(os.name != "posix", reason="needs a Unix system")


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder with two fans of one home."""
    monkeypatch.setenv("SWITCHLEG_HOME", str(tmp_path / "data"))
    store = Store(tmp_path / "data")
    store.create("garden room", "the guesthouse")
    store.create("porch", "the guesthouse")
    return store.root


def fitting(*typed: str) -> list[str]:
    return [word for word, _ in words(typed)]


def test_completion_knows_commands_options_names_homes_and_schemes() -> None:
    """In each place of a line exactly the words that may stand there are offered."""
    assert set(fitting("")) == set(SHOWN)
    assert fitting("ex") == ["export"]
    assert fitting("card", "gar") == ["garden-room"]
    assert fitting("card", "GAR") == ["garden-room"]
    assert fitting("card", '"gar') == ["garden-room"]
    assert fitting("card", "porch", "") == []
    assert fitting("export", "porch", "--fo") == ["--force"]
    assert fitting("export", "--home", "") == ["the guesthouse"]
    assert fitting("export", "porch", "--as", "h") == ["html"]
    assert "canopy_relay" in fitting("why", "porch", "")
    assert fitting("completion", "") == ["bash", "zsh", "fish"]
    assert fitting("new", "") == []
    assert fitting("nonsense", "") == []


def test_every_option_of_every_command_is_offered() -> None:
    """Completion offers all that the parser takes, and nothing else."""
    for name, (parser, meaning) in subcommands(build()).items():
        assert meaning
        known = {option for action in parser._actions for option in action.option_strings}
        assert set(fitting(name, "-")) == known


@pytest.mark.parametrize(
    ("typed", "found"), [(["car"], "card"), (["card", "po"], "porch"), (["home", "the"], "the guesthouse")]
)
@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_the_bash_script_completes_in_bash(typed: list[str], found: str, home: Path, tmp_path: Path) -> None:
    """In a real bash the script takes the program's words as they are."""
    program = tmp_path / "switchleg"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m switchleg "$@"\n')
    program.chmod(0o755)
    line = " ".join(f"'{word}'" for word in ["switchleg", *typed])
    script = (
        SCRIPTS["bash"]
        + f"COMP_WORDS=({line}); COMP_CWORD={len(typed)}; _switchleg; printf '%s\\n' \"${{COMPREPLY[@]}}\"\n"
    )
    env = {**surroundings(home), "PATH": f"{tmp_path}:{os.environ['PATH']}"}
    done = subprocess.run(["bash", "-c", script], capture_output=True, text=True, env=env, check=True)
    assert done.stdout.splitlines() == [found]


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_every_script_is_printed_and_sound(shell: str, home: Path) -> None:
    """`completion SHELL` prints the script; where that shell is here, it finds no fault in it."""
    done = run(home, "completion", shell)
    assert (done.code, done.err) == (0, "")
    assert done.out.strip() == SCRIPTS[shell].strip()
    if shutil.which(shell):
        subprocess.run([shell, "-n"], input=done.out, text=True, check=True)


def test_an_unknown_shell_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    """A shell that is misspelt is one line with the nearest one, and exit code 2."""
    assert switchleg(["completion", "bsh"]) == 2
    assert "bash" in one_line(capsys.readouterr().err)


@pytest.mark.parametrize("said", ["", "no\n", "perhaps\n"])
def test_nothing_is_deleted_without_a_yes(said: str, home: Path) -> None:
    """Whatever is not a yes, the end of the input too, leaves the record and exits 1."""
    done = run(home, "delete", "porch", typed=said)
    assert done.code == 1
    assert "nothing was deleted" in one_line(done.err)
    assert len(Store(home).list()) == 2


@pytest.mark.parametrize(("args", "said"), [(["--yes"], ""), ([], "yes\n")])
def test_a_deletion_can_be_undone(args: list[str], said: str, home: Path) -> None:
    """A deleted record is listed by `undelete` and comes back byte for byte."""
    before = (home / "porch.json").read_bytes()
    done = run(home, "delete", "Porch", *args, typed=said)
    assert (done.code, done.err) == (0, "")
    assert "switchleg undelete porch" in done.out
    assert [line.id for line in Store(home).list()] == ["garden-room"]
    assert run(home, "undelete").out.startswith("porch [porch]")
    back = run(home, "undelete", "porch")
    assert (back.code, back.err) == (0, "")
    assert (home / "porch.json").read_bytes() == before
    assert run(home, "undelete").out == "Nothing was deleted.\n"


@pytest.mark.parametrize("command", ["delete", "undelete", "card", "export", "why", "draw"])
def test_names_are_matched_to_the_nearest(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A misspelt name is one line with the nearest name, and exit code 2; nothing is done."""
    if command == "undelete":
        switchleg(["delete", "garden room", "--yes"])
        capsys.readouterr()
    assert switchleg([command, "gardn room"]) == 2
    assert "garden" in one_line(capsys.readouterr().err)


@pytest.mark.parametrize("command", [name for name in SHOWN if name != "figures"])
def test_every_help_shows_an_example_that_parses(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each example in a command's help is understood by the parser as it stands."""
    import shlex

    assert switchleg([command, "--help"]) == 0
    out = capsys.readouterr().out
    if command == "advise":
        return
    examples = [line.strip() for line in out.partition("examples:")[2].splitlines() if line.strip()]
    assert examples
    for example in examples:
        typed = shlex.split(example.partition("|")[0].partition(">")[0].partition("<")[0])
        assert typed[0] == "switchleg"
        assert build().parse_args(typed[1:]).command in (command, "export")


def test_no_colour_is_ever_sent_to_a_pipe(tmp_path: Path) -> None:
    """With and without NO_COLOR no command sends a control sequence to a pipe."""
    home = tmp_path / "wet"
    wet_fan(Store(home), "porch", "the guesthouse")
    for args in (["list"], ["home"], ["card", "porch"], ["export", "porch", "--as", "md"], ["--help"]):
        assert "\x1b" not in run(home, *args).out
    for env in ({"NO_COLOR": "1"}, {"CLICOLOR_FORCE": "1"}):
        for args in (["list"], ["--help"]):
            assert "\x1b" not in run(home, *args, **env).out


@needs_unix
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_a_talk_with_everything_saved(number: signal.Signals, home: Path) -> None:
    """Hang-up and termination in the middle of a talk end it quietly with 128 and the signal's number; every
    answer is on the disk, no half-written file is left and the record is free again."""
    with subprocess.Popen(
        [*PROGRAM, "ask", "porch"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=surroundings(home),
    ) as program:
        assert program.stdin is not None
        program.stdin.write(b"us\nyes\n")
        program.stdin.flush()
        end = time.monotonic() + 30
        while len(json.loads((home / "porch.json").read_text())["replies"]) < 2:
            assert time.monotonic() < end
            time.sleep(0.02)
        program.send_signal(number)
        _, err = program.communicate(timeout=30)
    assert program.returncode == 128 + number
    assert err == b""
    assert list(home.glob(".*.tmp")) == []
    with Store(home).open("porch", write=True) as opened:
        assert not opened.read_only
        assert len(opened.record.replies) == 2


CRASH = textwrap.dedent(
    """
    import sys, termios, tty
    from switchleg.command import main
    def crash(store, **options):
        tty.setraw(sys.stdin.fileno())
        sys.stdout.write("\\x1b[?1049h\\x1b[?1003h\\x1b[?25l")
        sys.stdout.flush()
        raise RuntimeError("broken glass")
    import types
    fake = types.ModuleType("switchleg.screens.app")
    fake.run = crash
    sys.modules["switchleg.screens.app"] = fake
    sys.exit(main.main([]))
    """
)


@needs_unix
def test_a_crash_under_the_screens_gives_the_terminal_back(home: Path) -> None:
    """When the screens break with the terminal raw, on the other screen, with mouse reports and no cursor, all of
    that is undone, and one line says what happened."""
    screen = Terminal([sys.executable, "-c", CRASH], home)
    try:
        assert screen.code() == 1
        screen.wait(lambda: "broken glass" in screen.words, "a line about the crash")
        assert screen.modes() == screen.before
        for undone in ("\x1b[?1049l", "\x1b[?1003l", "\x1b[?25h"):
            assert screen.output.rindex(undone) > screen.output.index(
                undone[:-1] + ("l" if undone.endswith("h") else "h")
            )
        assert "Traceback" not in screen.words
    finally:
        screen.close()
