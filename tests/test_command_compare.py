"""`compare` and `rename` at the command line: what is supposed is never kept, and other labels are."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_paths import session
from command_runs import one_line

from switchleg.command.main import main as switchleg
from switchleg.record.store import Store


@pytest.fixture
def porch(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Store:
    """A store with one fan of which little is known."""
    monkeypatch.setenv("SWITCHLEG_HOME", str(tmp_path))
    store = Store(tmp_path)
    made = store.create("porch", "the guesthouse")
    begun = session()
    begun.answer("us")
    store.save(made.model_copy(update={"replies": begun.record.replies}))
    return store


def test_what_is_supposed_is_said_and_not_kept(porch: Store, capsys: pytest.CaptureFixture[str]) -> None:
    """The table and each scheme in words; a supposition is told, and the file stays as it was byte for byte."""
    before = (porch.root / "porch.json").read_bytes()
    assert switchleg(["compare", "porch", "--if", "cable,spare"]) == 0
    out = capsys.readouterr().out
    assert "What if a new cable may be pulled? Nothing of this is kept." in " ".join(out.split())
    assert "scheme" in out
    assert "verdict" in out
    assert "A fan with built-in radio: " in out
    assert max(map(len, out.splitlines())) <= 80
    assert (porch.root / "porch.json").read_bytes() == before


def test_a_supposition_that_is_none_is_one_line(porch: Store, capsys: pytest.CaptureFixture[str]) -> None:
    """A wrong word names the nearest one that can be supposed."""
    assert porch.list()
    assert switchleg(["compare", "porch", "--if", "cabel"]) == 2
    assert "did you mean cable" in one_line(capsys.readouterr().err)


def test_rename_changes_what_was_named_and_nothing_else(porch: Store, capsys: pytest.CaptureFixture[str]) -> None:
    """Name, home and breaker label change as told; the id and the answers stay; an empty name is refused."""
    assert switchleg(["rename", "porch", "back porch", "--breaker", "7"]) == 0
    assert "Now called: back porch, the guesthouse, breaker 7" in capsys.readouterr().out
    line = porch.find("back porch")
    assert (line.id, line.home, line.breaker_label) == ("porch", "the guesthouse", "7")
    assert switchleg(["rename", "porch", "--home", ""]) == 0
    assert porch.find("porch").home == ""
    with porch.open("porch", write=False) as opened:
        assert opened.record.replies["region"].value == "us"
    assert switchleg(["rename", "porch", " "]) == 2


def test_a_record_open_elsewhere_keeps_its_name(porch: Store, capsys: pytest.CaptureFixture[str]) -> None:
    """While another program has it open, renaming is refused in one line."""
    with porch.open("porch", write=True):
        assert switchleg(["rename", "porch", "attic"]) == 1
    assert "another program" in one_line(capsys.readouterr().err)
    assert porch.find("porch").name == "porch"
