"""What goes wrong with files: damage, newer formats, a disk that is full, refuses or stops halfway."""

from __future__ import annotations

import errno
import json
import os
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from session_world import START, small_knowledge, ticking

from switchleg.errors import SwitchlegError
from switchleg.record import atomic_write, codec
from switchleg.record.migrate import FORMAT
from switchleg.record.store import Store
from switchleg.session.session import Session


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "home" / "records", ticking())


DAMAGED: dict[str, Callable[[bytes], bytes]] = {
    "cut short": lambda data: data[: len(data) // 2],
    "empty": lambda _: b"",
    "zeros": lambda data: b"\0" * len(data),
    "no JSON": lambda _: b"hello\n",
    "no UTF-8": lambda data: data.replace(b"Blue", b"\xff\xfe"),
    "a list": lambda _: b"[1, 2]",
    "no format": lambda data: data.replace(b'"format"', b'"formal"'),
    "format text": lambda data: data.replace(f'"format": {FORMAT}'.encode(), b'"format": "1"'),
    "format zero": lambda data: data.replace(f'"format": {FORMAT}'.encode(), b'"format": 0'),
    "unknown key": lambda data: data.replace(b'"home"', b'"hone"'),
    "bad time": lambda data: data.replace(b'"created": "2', b'"created": "x'),
    "bad reply": lambda data: data.replace(b'"replies": {}', b'"replies": {"a": {"kind": "maybe"}}'),
    "float": lambda data: data.replace(b'"answered": 0', b'"answered": 0.5'),
    "deep": lambda _: b"[" * 100_000,
    "digits": lambda _: b'{"format": ' + b"1" * 10_000 + b"}",
}


@pytest.mark.parametrize("how", DAMAGED)
def test_a_damaged_record_is_set_aside_byte_for_byte(store: Store, how: str) -> None:
    """A damaged file is kept under another name that the message tells; the rest of the list works."""
    store.create("Other")
    path = store.root / f"{store.create('Blue room').id}.json"
    damage = DAMAGED[how](path.read_bytes())
    path.write_bytes(damage)
    listed = {line.id: line.problem for line in store.list()}
    assert listed.keys() == {"other", "blue-room"}
    with pytest.raises(SwitchlegError) as caught:
        store.open("blue-room", write=True)
    aside = list(store.root.glob("*.damaged-*.json"))
    assert [file.read_bytes() for file in aside] == [damage]
    assert aside[0].name in caught.value.line()
    assert "\n" not in caught.value.line()
    assert caught.value.exit_code == 2
    assert not path.exists()
    assert [line.id for line in store.list()] == ["other"]
    assert store.create("Blue room").id == "blue-room"


def test_the_list_tells_of_damage_without_touching_it(store: Store) -> None:
    """Listing names what is wrong with a damaged file and leaves it where it is."""
    path = store.root / f"{store.create('Blue room').id}.json"
    path.write_bytes(path.read_bytes()[:-30])
    assert "damaged" in store.list()[0].problem
    assert path.exists()


def test_a_name_that_is_taken_is_never_overwritten(tmp_path: Path) -> None:
    """Setting aside twice in one second keeps both damaged files."""
    store = Store(tmp_path, lambda: START)
    for text in (b"one", b"two", b"three"):
        store.create("Blue room")
        (tmp_path / "blue-room.json").write_bytes(text)
        with pytest.raises(SwitchlegError):
            store.open("blue-room", write=False)
    kept = sorted(path.read_bytes() for path in tmp_path.glob("blue-room.damaged-20260503-140500*.json"))
    assert kept == [b"one", b"three", b"two"]


def test_a_damaged_file_in_use_is_left(store: Store) -> None:
    """Damage is not moved from under a program that has the record open."""
    path = store.root / f"{store.create('Blue room').id}.json"
    with store.open("blue-room", write=True):
        path.write_bytes(b"half")
        with pytest.raises(SwitchlegError, match="left as it is"):
            Store(store.root).open("blue-room", write=True)
    assert path.read_bytes() == b"half"


def test_a_newer_record_opens_for_reading_and_is_never_written(store: Store) -> None:
    """A newer format shows what is understood, refuses saving, and its file stays byte for byte."""
    record = store.create("Blue room")
    session = Session(small_knowledge(), record, store.save, ticking())
    session.answer("lamps")
    session.answer(True)
    path = store.root / "blue-room.json"
    raw = json.loads(path.read_bytes())
    raw |= {"format": FORMAT + 1, "mood": ["new"], "standing": {"stage": "flying"}}
    raw["replies"]["chain"]["kind"] = "guessed"
    raw["replies"]["light_kit"]["hand"] = "left"
    path.write_text(json.dumps(raw, indent=1))
    before = path.read_bytes()
    line = store.list()[0]
    assert (line.name, line.newer) == ("Blue room", True)
    with store.open("Blue room", write=True) as opened:
        assert opened.read_only
        assert "newer" in opened.reason
        assert list(opened.record.replies) == ["light_kit"]
        with pytest.raises(SwitchlegError, match=f"format {FORMAT + 1}"):
            store.save(opened.record)
    assert path.read_bytes() == before
    assert Session(small_knowledge(), opened.record, None, ticking()).facts == {"light_kit": "lamps"}


def test_a_newer_record_full_of_surprises_still_opens(store: Store) -> None:
    """A newer record may hold anything anywhere: it opens, and is not taken for damaged."""
    store.create("Blue room")
    odd = {"format": 99, "name": ["\ud800"], "created": 5, "replies": [1], "history": {"a": 1}, "gates": [[]],
           "notes": {"a": 1, "b": "kept"}, "verdict": "yes", "standing": 7}  # fmt: skip
    (store.root / "blue-room.json").write_text(json.dumps(odd))
    opened = store.open("blue-room", write=True)
    assert opened.read_only
    assert opened.record.notes == {"b": "kept"}
    assert store.list()[0].newer


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EACCES, errno.EIO])
@pytest.mark.parametrize("call", ["open", "write", "fsync", "replace"])
def test_a_refusing_disk_keeps_the_old_file(
    store: Store, monkeypatch: pytest.MonkeyPatch, call: str, code: int
) -> None:
    """Whichever step of a save fails, the old file stands, nothing half-written stays, one line says why."""
    record = store.create("Blue room")
    path = store.root / "blue-room.json"
    before = path.read_bytes()

    def refuse(*_: object, **__: object) -> None:
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as broken:
        broken.setattr(os, call, refuse)
        with pytest.raises(atomic_write.NotSaved) as caught:
            store.save(record.model_copy(update={"name": "Other"}))
    assert caught.value.exit_code == 1
    assert "not saved" in caught.value.line()
    assert path.read_bytes() == before
    assert [file.name for file in store.root.iterdir() if file.is_file()] == ["blue-room.json"]
    store.save(record.model_copy(update={"name": "Other"}))
    assert store.list()[0].name == "Other"


def test_a_save_is_durable_in_the_right_order(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file is synced before it takes its name, and the folder after (POSIX fsync, rename)."""
    record = store.create("Blue room")
    calls: list[str] = []

    def noting(name: str, real: Callable[..., object]) -> Callable[..., object]:
        def call(*args: object, **more: object) -> object:
            is_folder = isinstance(args[0], int) and stat.S_ISDIR(os.fstat(args[0]).st_mode)
            calls.append(f"{name} folder" if is_folder else name)
            return real(*args, **more)

        return call

    for name in ("write", "fsync", "replace"):
        monkeypatch.setattr(os, name, noting(name, getattr(os, name)))
    store.save(record)
    assert calls == ["write", "fsync", "replace", "fsync folder"]


def test_short_writes_are_finished(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """A system that writes a few bytes at a time still gets the whole record down."""
    real = os.write
    monkeypatch.setattr(os, "write", lambda fd, data: real(fd, bytes(data[:7])))
    record = store.create("Blue room")
    assert codec.from_bytes((store.root / "blue-room.json").read_bytes(), record.id) == record


REAL_DISK = """
import pathlib, subprocess, sys
from switchleg.errors import SwitchlegError
from switchleg.record.store import Store
root = pathlib.Path(sys.argv[1])
subprocess.run(["mount", "-t", "tmpfs", "-o", "size=128k", "none", root], check=True)
store = Store(root / "records")
record = store.create("Blue room")
filler = open(root / "filler", "wb", buffering=0)
try:
    while True:
        filler.write(b"x" * 1024)
except OSError:
    pass
try:
    store.save(record.model_copy(update={"notes": {"a": "b" * 50_000}}))
except SwitchlegError as error:
    print(error.line())
same = store.open("Blue room", write=False).record == record
print([p.name for p in (root / "records").iterdir() if p.is_file()], same)
filler.close()
(root / "filler").unlink()
store.save(record.model_copy(update={"home": "Barn"}))
subprocess.run(["mount", "-o", "remount,ro", root], check=True)
print(store.list()[0].home, store.open("Blue room", write=True).reason)
for change in (lambda: store.save(record), lambda: store.create("New"), lambda: store.delete("Blue room")):
    try:
        change()
    except SwitchlegError as error:
        print(error.exit_code, error.line())
"""


def test_a_real_full_disk_and_a_real_read_only_one(tmp_path: Path) -> None:
    """On a file system of 128 KiB: full and read-only are told in one line each and lose nothing."""
    alone = ["unshare", "--user", "--map-root-user", "--mount"]
    command = [*alone, sys.executable, "-c", REAL_DISK, str(tmp_path)]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    except FileNotFoundError:
        pytest.skip("this system has no unshare")
    if "unshare:" in done.stderr or "mount:" in done.stderr:
        pytest.skip("this system does not let us mount a small disk")
    assert done.stderr == ""
    full, kept, listed, *refused = done.stdout.splitlines()
    assert "the disk is full" in full
    assert kept == "['blue-room.json'] True"
    assert listed.startswith("Barn ")
    assert "reading only" in listed
    assert len(refused) == 3
    assert all(line.startswith("1 ") and "cannot be written" in line for line in refused)
