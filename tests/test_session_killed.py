"""Killed with SIGKILL between answers, in the middle of a save and at random: resumed, nothing is missing."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NoReturn

import pytest
from session_world import empty_record, small_knowledge, step_on, ticking

from switchleg.knowledge.load import Knowledge, load
from switchleg.record import codec
from switchleg.record.model import Record
from switchleg.record.store import Store
from switchleg.session.session import Session

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs processes that can be forked")


TIMES = ("at", "created", "changed")


@pytest.fixture(params=["made-up", "real"])
def knowledge(request: pytest.FixtureRequest) -> Knowledge:
    """The made-up tree and the real one."""
    return small_knowledge() if request.param == "made-up" else load()


@pytest.fixture
def store(tmp_path: Path) -> Store:
    store = Store(tmp_path / "records", ticking())
    store.create("Blue room", "Guesthouse")
    return store


def timeless(record: Record) -> dict[str, Any]:
    """The record without its times."""

    def strip(item: Any) -> Any:
        if isinstance(item, dict):
            return {key: strip(value) for key, value in item.items() if key not in TIMES}
        return [strip(value) for value in item] if isinstance(item, list) else item

    stripped = strip(record.model_dump(mode="json"))
    assert isinstance(stripped, dict)
    return stripped


def uninterrupted(knowledge: Knowledge) -> Iterator[Record]:
    """Every record of a session that nobody disturbs: each one that was saved, the empty one first."""
    saved = [empty_record()]
    session = Session(knowledge, saved[0], saved.append, ticking())
    while step_on(session):
        pass
    return iter(saved)


def child(work: Callable[[], None]) -> int:
    """Run `work` in a forked process, which ends there; returns its number."""
    number = os.fork()
    if number == 0:
        try:
            work()
            os._exit(0)
        except BaseException:
            os._exit(3)
    return number


def die() -> NoReturn:
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError("still alive")


def go_on(store: Store, knowledge: Knowledge, steps: int) -> bool:
    """Open the record and give the next answers of the plan; False when the card is reached."""
    with store.open("blue-room", write=True) as opened:
        assert not opened.read_only, opened.reason
        session = Session(knowledge, opened.record, store.save, ticking())
        return all(step_on(session) for _ in range(steps))


def ended(number: int) -> int:
    status = os.waitpid(number, 0)[1]
    return -os.WTERMSIG(status) if os.WIFSIGNALED(status) else os.WEXITSTATUS(status)


def kept(store: Store) -> Record:
    assert [line.problem for line in store.list()] == [""]
    return store.open("blue-room", write=False).record


def test_killed_after_each_answer(store: Store, knowledge: Knowledge) -> None:
    """Killed after every single answer and resumed, the record ends like an uninterrupted one."""
    expected = list(uninterrupted(knowledge))[-1]
    for _ in range(len(expected.replies)):

        def one_answer() -> None:
            go_on(store, knowledge, 1)
            die()

        assert ended(child(one_answer)) == -signal.SIGKILL
    assert not go_on(store, knowledge, 1), "the card is reached"
    assert timeless(kept(store)) == timeless(expected)
    assert len(expected.replies) >= 8


def test_killed_at_every_call_of_a_save(store: Store, knowledge: Knowledge) -> None:
    """Killed before, within and after each system call of a save: the old record or the new, never a part."""
    for _ in range(4):
        go_on(store, knowledge, 1)
    old = kept(store)
    new = old.model_copy(update={"name": "Other", "notes": {"a": "b" * 200_000}})
    outcomes = []
    for fatal in range(40):

        def save_and_die(fatal: int = fatal) -> None:
            count = -1

            def deadly(real: Callable[..., Any]) -> Callable[..., Any]:
                def call(*args: Any, **more: Any) -> Any:
                    nonlocal count
                    count += 1
                    if count == fatal:
                        if real is write:
                            write(args[0], bytes(args[1])[: len(args[1]) // 2])
                        die()
                    return real(*args, **more)

                return call

            write = os.write
            for name in ("open", "write", "fsync", "close", "replace"):
                setattr(os, name, deadly(getattr(os, name)))
            store.save(new)

        code = ended(child(save_and_die))
        assert code in (0, -signal.SIGKILL)
        record = kept(store)
        assert record in (old, new)
        outcomes.append(record == new)
        store.open("blue-room", write=True).close()
        assert [path.name for path in store.root.iterdir() if path.is_file()] == ["blue-room.json"]
        store.save(old)
        if code == 0:
            break
    assert code == 0, "a save that nobody kills ends"
    assert outcomes == sorted(outcomes), "old up to the moment of replacing, new from there"
    assert 4 <= outcomes.index(True) < len(outcomes) - 1


def test_killed_at_random_moments(store: Store, knowledge: Knowledge) -> None:
    """Killed at random again and again, each record found is one that the plan passes through."""
    states = [timeless(record) for record in uninterrupted(knowledge)]
    chance = random.Random(5)
    reached = 0
    for turn in range(400):

        def until_killed() -> None:
            go_on(store, knowledge, 1000)

        number = child(until_killed)
        time.sleep(chance.random() * 0.001 * (5 + turn))
        os.kill(number, signal.SIGKILL)
        code = ended(number)
        assert code in (0, -signal.SIGKILL)
        found = timeless(kept(store))
        assert found in states
        assert states.index(found) >= reached, "no answer went back"
        reached = states.index(found)
        if reached == len(states) - 1:
            break
    assert reached == len(states) - 1


def test_the_real_program_is_killed_and_resumes(tmp_path: Path) -> None:
    """A fresh interpreter, killed after its answer reached the disk, is followed by one that goes on."""
    root = tmp_path / "records"
    Store(root, ticking()).create("Blue room")
    code = (
        "import pathlib, sys; sys.path.insert(0, sys.argv[2])\n"
        "from session_world import step_on, ticking\n"
        "from switchleg.knowledge.load import load\n"
        "from switchleg.record.store import Store\n"
        "from switchleg.session.session import Session\n"
        "store = Store(pathlib.Path(sys.argv[1]))\n"
        "opened = store.open('blue-room', write=True)\n"
        "session = Session(load(), opened.record, store.save, ticking())\n"
        "step_on(session); step_on(session)\n"
        "print(session.progress.answered, opened.read_only, flush=True); sys.stdin.read()"
    )
    for answered in (2, 4, 6):
        command = [sys.executable, "-c", code, str(root), str(Path(__file__).parent)]
        process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        assert process.stdout is not None
        assert process.stdout.readline() == f"{answered} False\n"
        process.kill()
        process.communicate()
        assert process.returncode == -signal.SIGKILL
    data = (root / "blue-room.json").read_bytes()
    assert len(codec.from_bytes(data, "blue-room").replies) == 6
