"""The folder of records: names, modes, finding, locks, the list, deleting."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from session_world import empty_record, small_knowledge, ticking

from switchleg.errors import SwitchlegError
from switchleg.record import codec
from switchleg.record.ids import base_id
from switchleg.record.model import Record
from switchleg.record.store import Store
from switchleg.session.session import Session

NAMES = ["", " ", ".", "..", "../../etc/passwd", "a/b\\c", "a\x00b\nc\x1b[31m", "x" * 300, "客房" * 80,
         "🙂", "con", "COM1", "nul.txt", ".hidden", "\udcff", "Blue room", "blue ROOM", "Ünïcode ß", "-",
         "*?[x]"]  # fmt: skip


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "home" / "records", ticking())


def test_asking_never_makes_the_folder(store: Store) -> None:
    """Listing, finding and opening leave a folder that is not there alone."""
    assert store.list() == store.deleted() == []
    asks: list[Callable[[], object]] = [lambda: store.find("x"), lambda: store.open("x", write=True)]
    for ask in asks:
        with pytest.raises(SwitchlegError, match="no record"):
            ask()
    assert not store.root.parent.exists()


def test_default_follows_the_environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SWITCHLEG_HOME is the folder; without it the system's data folder is; neither is made by asking."""
    monkeypatch.setenv("SWITCHLEG_HOME", str(tmp_path / "mine"))
    assert Store.default().root == tmp_path / "mine"
    monkeypatch.setenv("SWITCHLEG_HOME", "")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("HOME", str(tmp_path))
    assert Store.default().root.name == "switchleg"
    assert list(tmp_path.iterdir()) == []


def test_only_the_owner_can_read(store: Store) -> None:
    """Folder 0700 and file 0600, whatever the umask allows."""
    before = os.umask(0)
    try:
        store.create("Blue room")
    finally:
        os.umask(before)
    assert stat.S_IMODE(store.root.stat().st_mode) == 0o700
    assert stat.S_IMODE((store.root / "blue-room.json").stat().st_mode) == 0o600


@pytest.mark.parametrize("name", NAMES)
def test_every_name_gets_a_safe_file(store: Store, name: str) -> None:
    """Whatever a fan is called, its file lies in the folder, and the record opens by id and by name."""
    record = store.create(name, name)
    assert [path.name for path in store.root.glob("*.json")] == [f"{record.id}.json"]
    assert record.id.isascii()
    assert set(record.id) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert 0 < len(record.id) <= 60
    assert store.open(record.id, write=False).record == record
    assert store.open(record.name, write=False).record == record


def test_equal_names_get_ids_of_their_own(store: Store) -> None:
    """Two fans of one name are two records, and the shared name is refused with both ids."""
    assert [store.create("Attic").id for _ in range(3)] == ["attic", "attic-2", "attic-3"]
    assert store.find("attic").id == "attic"
    with pytest.raises(SwitchlegError, match="3 records"):
        store.find("Attic")


def test_find_takes_other_case_and_names_the_nearest(store: Store) -> None:
    """A name in other case is found; a slip of the finger gets the nearest spelling."""
    store.create("Blue room")
    assert store.find("bLUE  rOOM").id == "blue-room"
    with pytest.raises(SwitchlegError) as caught:
        store.find("bleu room")
    assert "Blue room" in caught.value.line() or "blue-room" in caught.value.line()
    assert caught.value.exit_code == 2


def test_base_id_is_stable() -> None:
    """Ids are made the same way on every machine."""
    assert base_id("Room 3/b – Ü") == "room-3-b-u"
    assert base_id("con") == "fan-con"
    assert base_id("🙂") == "fan"


@pytest.mark.parametrize("id_", ["", "../x", "a/b", ".x", "a\x00", "x.damaged-1", "a\\b", "y" * 300])
def test_save_never_leaves_the_folder(store: Store, id_: str) -> None:
    """A record whose id is no plain file name is refused."""
    with pytest.raises(SwitchlegError):
        store.save(empty_record(id=id_))
    assert not store.root.exists()


def test_a_second_program_reads_only(store: Store) -> None:
    """While one holds a record the second opens it for reading and says why; afterwards it may write."""
    store.create("Blue room")
    other = Store(store.root)
    with store.open("Blue room", write=True) as mine:
        assert (mine.read_only, mine.reason) == (False, "")
        second = other.open("Blue room", write=True)
        assert second.read_only
        assert str(os.getpid()) in second.reason
        with pytest.raises(SwitchlegError, match="open in another program"):
            other.delete("Blue room")
    with other.open("Blue room", write=True) as third:
        assert not third.read_only


def test_the_lock_dies_with_its_holder(store: Store) -> None:
    """A program that is killed leaves no lock behind."""
    store.create("Blue room")
    code = (
        "import sys, pathlib; from switchleg.record.store import Store\n"
        "o = Store(pathlib.Path(sys.argv[1])).open('blue-room', write=True)\n"
        "print(o.read_only, flush=True); sys.stdin.read()"
    )
    command = [sys.executable, "-c", code, str(store.root)]
    child = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    assert child.stdout.readline() == "False\n"
    held = store.open("blue-room", write=True)
    assert f"process {child.pid}" in held.reason
    child.kill()
    child.communicate()
    with store.open("blue-room", write=True) as mine:
        assert not mine.read_only


def test_a_folder_without_locks_says_so(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the file system knows no locks, writing is allowed with a warning."""
    fcntl = pytest.importorskip("fcntl")

    def none(*_: object) -> None:
        raise OSError(errno.ENOLCK, "no locks")

    monkeypatch.setattr(fcntl, "flock", none)
    store.create("Blue room")
    with store.open("Blue room", write=True) as opened:
        assert not opened.read_only
        assert "no locks" in opened.reason


def test_delete_keeps_a_copy_that_comes_back(store: Store) -> None:
    """Deleted records can be brought back as they were, under a new id when theirs is taken."""
    record = store.create("Blue room", "Barn")
    kept = store.delete("Blue room")
    assert kept.exists()
    assert store.list() == []
    assert [line.name for line in store.deleted()] == ["Blue room"]
    store.create("Blue room")
    back = store.undelete("Blue room")
    assert back.id == "blue-room-2"
    assert store.open(back.id, write=False).record == record.model_copy(update={"id": "blue-room-2"})
    store.delete("blue-room")
    store.delete("blue-room-2")
    store.create("Blue room")
    store.delete("blue-room")
    assert len(store.deleted()) == 3
    with pytest.raises(SwitchlegError):
        store.undelete("nobody")


def test_a_file_where_the_folder_should_be(tmp_path: Path) -> None:
    """A file in the folder's place gives one clear line for reading and for writing."""
    (tmp_path / "x").write_text("")
    store = Store(tmp_path / "x")
    asks: list[Callable[[], object]] = [
        store.list,
        lambda: store.create("a"),
        lambda: store.save(empty_record()),
    ]
    for ask in asks:
        with pytest.raises(SwitchlegError) as caught:
            ask()
        assert caught.value.exit_code == 1


def test_strange_neighbours_are_passed_over(store: Store) -> None:
    """Folders, hidden files, pipes and other people's files in the folder do not disturb the list."""
    store.create("Blue room")
    (store.root / "folder.json").mkdir()
    (store.root / ".hidden.json").write_text("{")
    (store.root / "notes.txt").write_text("x")
    os.mkfifo(store.root / "pipe.json")
    (store.root / "gone.json").symlink_to(store.root / "nowhere.json")
    assert [line.id for line in store.list()] == ["blue-room"]


def test_a_copied_file_is_a_record_of_its_own(store: Store) -> None:
    """A file copied by hand goes by its file name, so saving it does not touch the original."""
    store.create("Blue room")
    (store.root / "my copy.json").write_bytes((store.root / "blue-room.json").read_bytes())
    assert store.open("my copy", write=False).record.id == "my copy"


def test_leftovers_of_killed_writers_are_swept(store: Store) -> None:
    """Opening for writing removes half-written files of that record, and no other file."""
    store.create("Blue room")
    (store.root / ".blue-room.123.tmp").write_text("{")
    (store.root / ".blue-room-2.123.tmp").write_text("{")
    store.open("blue-room", write=True).close()
    assert sorted(path.name for path in store.root.glob(".*.tmp")) == [".blue-room-2.123.tmp"]


def test_five_thousand_records_are_listed_within_a_second(tmp_path: Path) -> None:
    """The list reads the heads only: 5000 records of 10 kB under a second (best of three)."""
    for number in range(5000):
        changed = datetime.fromtimestamp(number, UTC)
        data = codec.to_bytes(empty_record(id=f"fan-{number}", name=f"Fan {number}", changed=changed))
        (tmp_path / f"fan-{number}.json").write_bytes(data[:-2] + b" " * 10_000 + b"}\n")
    store = Store(tmp_path)
    took = []
    for _ in range(3):
        start = time.perf_counter()
        lines = store.list()
        took.append(time.perf_counter() - start)
    assert min(took) < 1
    assert len(lines) == 5000
    assert lines[0].id == "fan-4999"


def test_a_list_of_sound_records_needs_no_models(store: Store) -> None:
    """A fresh process lists sound records without the models, which would double its start."""
    store.create("Blue room")
    code = (
        "import sys, pathlib; from switchleg.record.store import Store\n"
        "print(Store(pathlib.Path(sys.argv[1])).list()[0].name, 'pydantic' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code, str(store.root)], capture_output=True, text=True, check=True)
    assert done.stdout == "Blue room False\n"


def test_a_long_head_is_read_whole(store: Store) -> None:
    """A name longer than the head that is read for the list is listed whole."""
    name = "very " * 1000 + "long"
    store.create(name)
    assert store.list()[0].name == name


def test_a_save_is_read_back_as_it_was(store: Store) -> None:
    """What a session saves to the folder is what opening gives."""
    record = store.create("Blue room", knowledge_version="v1")
    session = Session(small_knowledge(), record, store.save, ticking())
    session.answer("lamps")
    session.note("light_kit", "two – of them\u2028\x1b")
    back: Record = store.open("Blue room", write=False).record
    assert back == session.record
    assert codec.to_bytes(back) == codec.to_bytes(session.record)
