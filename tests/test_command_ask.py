"""`switchleg ask`: the same walk, line by line, through a pipe as through a keyboard."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from command_paths import lines, plan, room, session, wet_fan
from command_runs import Run, here, run

from switchleg.record.store import Store


def ask(home: Path, typed: list[str], *args: str, by: Callable[..., Run] = here, **env: str) -> Run:
    """`switchleg ask ARGS` with these lines typed."""
    done = by(home, "ask", *args, typed="".join(f"{line}\n" for line in typed), **env)
    assert "Traceback" not in done.err
    return done


WELL_ON = 24
"""Lines of the front parlour and the garden room after which a verdict is quick, still in the room."""


def record(home: Path, id_: str) -> dict[str, Any]:
    """The record as it stands on the disk."""
    kept: dict[str, Any] = json.loads((home / f"{id_}.json").read_text(encoding="utf-8"))
    return kept


def replies(home: Path, id_: str) -> dict[str, tuple[str, object]]:
    """What was said at each node, without the times."""
    return {node: (reply["kind"], reply["value"]) for node, reply in record(home, id_)["replies"].items()}


@pytest.mark.parametrize("name", [room.name for room in plan().room])
def test_every_room_is_walked_from_start_to_card(name: str, tmp_path: Path) -> None:
    """Each room's answers, typed through a pipe, lead to its card, and the record keeps every one of them."""
    told = room(name)
    done = ask(tmp_path, lines(told), name, "--home", "the guesthouse")
    assert (done.code, done.err) == (0, "")
    assert "That is the card." in done.out
    kept = record(tmp_path, name.replace(" ", "-"))
    assert kept["standing"]["stage"] == ("waiting" if told.canopy_door == "later" else "done")
    assert kept["verdict"]["headline"]
    for node, (kind, value) in replies(tmp_path, kept["id"]).items():
        if kind == "value" and node in {**told.floor, **told.wall, **told.canopy}:
            assert value == {**told.floor, **told.wall, **told.canopy}[node] or isinstance(value, str)


def test_it_reads_well_aloud(tmp_path: Path) -> None:
    """What is said has no colour, no drawn lines and no line over 80 columns, whatever is shown."""
    detours = ["help", "why", "look", "settled", "progress", "review", "card", "again", "picture"]
    typed = lines(room("garden room"))
    done = ask(tmp_path, [*typed[:WELL_ON], *detours, *typed[WELL_ON:], *detours], "garden room")
    assert done.code == 0
    assert max(len(line) for line in done.out.splitlines()) <= 80
    assert not any(ord(sign) < 32 for sign in done.out.replace("\n", ""))
    assert not any(0x2500 <= ord(sign) <= 0x259F for sign in done.out)


def test_stopping_and_going_on_lands_where_it_stopped(tmp_path: Path) -> None:
    """A walk cut off between any two answers and gone on with gives the same answers as one in one go."""
    typed = lines(room("front parlour"))
    ask(tmp_path / "whole", typed, "parlour")
    gate = typed.index("open")
    cuts = [0, WELL_ON, gate, gate + checks("wall") + 4, len(typed)]
    for begin, end in pairwise(cuts):
        done = ask(tmp_path / "parts", typed[begin:end], "parlour", by=run)
        assert done.code == 0
        assert "To go on: switchleg ask parlour" in done.out
    assert replies(tmp_path / "parts", "parlour") == replies(tmp_path / "whole", "parlour")


def test_canopy_left_for_later_is_gone_on_with(tmp_path: Path) -> None:
    """After "not now" the record waits; saying that the canopy is open leads to its checks and questions."""
    ask(tmp_path, lines(room("breakfast room")), "breakfast room")
    before = replies(tmp_path, "breakfast-room")
    typed = ["The canopy is open now.", "open", *["yes"] * checks("canopy"), "no"]
    done = ask(tmp_path, typed, "breakfast room")
    assert "Every check is confirmed." in done.out
    after = replies(tmp_path, "breakfast-room")
    assert after["canopy_door"] == ("open", None)
    assert {node: after[node] for node in before if node != "canopy_door"} == {
        node: reply for node, reply in before.items() if node != "canopy_door"
    }
    assert len(after) == len(before) + 1


def checks(station: str) -> int:
    """How many checks stand behind the gate of a station."""
    return next(
        len(node.checks)
        for node in session()._tree.nodes.values()
        if getattr(node, "opens", None) == station and hasattr(node, "checks")
    )


def upto_wall_door() -> list[str]:
    """The lines that lead to the gate of the wall."""
    return lines(room("front parlour"))[: lines(room("front parlour")).index("open")]


@pytest.mark.parametrize(
    "words",
    [
        ["open", "no"],
        ["open", "yes", "no"],
        ["open", "yes", "back"],
        ["open", "yes", "maybe", ""],
        ["yes", "yes"],
        ["gibberish"],
        ["open", *["yes"] * (checks("wall") - 1)],
        ["open", *["yes"] * (checks("wall") - 1), "no"],
    ],
)
def test_gate_stays_shut_until_every_check_is_confirmed(words: list[str], tmp_path: Path) -> None:
    """Nothing but a yes to each check opens a station; what was answered before is kept."""
    done = ask(tmp_path, [*upto_wall_door(), *words], "parlour")
    assert done.code == 0
    assert "wall_door" not in replies(tmp_path, "parlour")
    assert record(tmp_path, "parlour")["gates"] == []


def test_gate_opened_is_recorded_check_by_check(tmp_path: Path) -> None:
    """The gate's confirmation goes into the record with each check."""
    ask(tmp_path, [*upto_wall_door(), "open", *["yes"] * checks("wall")], "parlour")
    gates = record(tmp_path, "parlour")["gates"]
    assert [gate["outcome"] for gate in gates] == ["open"]
    assert len(gates[0]["checks"]) == checks("wall")


def test_rather_not_ends_with_a_card(tmp_path: Path) -> None:
    """ "I'd rather not" is a good answer: it leads to the card, in the middle of the checks too."""
    done = ask(tmp_path, [*upto_wall_door(), "open", "yes", "I'd rather not"], "parlour")
    assert "That is the card." in done.out
    assert "For your electrician" in done.out
    assert record(tmp_path, "parlour")["standing"]["stage"] == "declined"


def test_without_a_name_a_numbered_record_is_begun(tmp_path: Path) -> None:
    """Without NAME the first line is an answer already, and the record gets the next free number."""
    ask(tmp_path, ["us"])
    ask(tmp_path, ["ca"])
    assert replies(tmp_path, "fan-1") == {"region": ("value", "us")}
    assert replies(tmp_path, "fan-2") == {"region": ("value", "ca")}


def test_record_can_be_named_while_talking(tmp_path: Path) -> None:
    """`name` gives the record a name that every command then takes."""
    done = ask(tmp_path, ["us", "name linen room"])
    assert "linen room" in done.out
    assert [line.name for line in Store(tmp_path).list()] == ["linen room"]


def test_detours_change_nothing(tmp_path: Path) -> None:
    """Asking why, where to look, for help or for the review leaves the answers as they are."""
    detours = ["why", "look", "help", "review", "settled", "progress", "card", "keep", "open", "picture"]
    typed = lines(room("front parlour"))[: WELL_ON + 1]
    ask(tmp_path / "straight", typed, "parlour")
    done = ask(tmp_path, [*typed[:WELL_ON], *detours, typed[WELL_ON]], "parlour")
    assert done.code == 0
    assert replies(tmp_path, "parlour") == replies(tmp_path / "straight", "parlour")
    assert len(replies(tmp_path, "parlour")) == len(typed)


def test_back_change_and_keep(tmp_path: Path) -> None:
    """`back` and `change` show an earlier answer; a new one replaces it, `keep` leaves it."""
    changes = ["back", "keep", "change 1", "ca", "yes", "change region", "keep"]
    done = ask(tmp_path, [*lines(room("front parlour"))[:WELL_ON], *changes], "parlour")
    assert "Answered before: United States" in done.out
    assert replies(tmp_path, "parlour")["region"] == ("value", "ca")
    assert record(tmp_path, "parlour")["history"][0]["reply"]["value"] == "us"


def test_notes_are_kept_and_cleaned_on_the_way_out(tmp_path: Path) -> None:
    """A note stays with its question; control characters in it reach neither screen nor paper."""
    wet_fan(Store(tmp_path), "parlour")
    done = ask(tmp_path, ["change region", "note old \x1b[31mhouse", "keep"], "parlour")
    assert "old" in record(tmp_path, "parlour")["notes"]["region"]
    paper = here(tmp_path, "export", "parlour")
    assert "old" in paper.out
    assert "\x1b" not in done.out + paper.out


def test_export_while_talking(tmp_path: Path) -> None:
    """`export FILE` writes the summary; a second time it refuses to write over it, and the talk goes on."""
    file = tmp_path / "summary.txt"
    wet_fan(Store(tmp_path / "data"), "parlour")
    done = ask(tmp_path / "data", [f"export {file}", f"export {file}", "circuit 7"], "parlour")
    assert done.code == 0
    assert "PARLOUR" in file.read_text(encoding="utf-8").upper()
    assert "already" in done.out
    assert record(tmp_path / "data", "parlour")["breaker_label"] == "7"


@pytest.mark.parametrize(
    "typed",
    [
        *("foo", "99", "", "   ", "\x00\x01", "us us", "-1", "note", "export", "name", "change"),
        *("change zzz", "change 7", "x" * 5000, "漢字", "'; drop", "\x1b[A", "back", "keep"),
    ],
)
def test_bad_line_asks_again(typed: str, tmp_path: Path) -> None:
    """A line that is not understood gets one kind answer, changes nothing, and the next line is heard."""
    done = ask(tmp_path, [typed, "us"], "parlour")
    assert (done.code, done.err) == (0, "")
    assert replies(tmp_path, "parlour") == {"region": ("value", "us")}


def test_bytes_that_are_no_text_ask_again(tmp_path: Path) -> None:
    """Bytes that are no UTF-8 are not understood, and end nothing."""
    done = run(tmp_path, "ask", "parlour", typed=b"\xff\xfe\n\xe9\nus\n")
    assert (done.code, done.err) == (0, "")
    assert replies(tmp_path, "parlour") == {"region": ("value", "us")}


@pytest.mark.parametrize("env", [{"PYTHONIOENCODING": "ascii"}, {"TERM": "dumb"}, {"COLUMNS": "40"}])
def test_simple_terminals(env: dict[str, str], tmp_path: Path) -> None:
    """It works without UTF-8, on a dumb terminal and in 40 columns."""
    done = ask(tmp_path, [*lines(room("attic room")), "note 2 × 14 – café"], "attic room", by=run, **env)
    assert (done.code, done.err) == (0, "")
    assert "That is the card." in " ".join(done.out.split())
    if "COLUMNS" in env:
        echo = ("Answer:", "You:", "To go on")
        spoken = [line for line in done.out.splitlines() if not line.startswith(echo)]
        assert max(len(line) for line in spoken) <= 40


def test_second_talk_on_one_record_only_reads(tmp_path: Path) -> None:
    """While one program has the record open, a second one says so and changes nothing."""
    store = Store(tmp_path)
    made = store.create("parlour")
    with store.open(made.id, write=True):
        done = ask(tmp_path, ["us"], "parlour", by=run)
    assert done.code == 0
    assert "another program" in done.out
    assert replies(tmp_path, "parlour") == {}


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may write anywhere")
def test_folder_that_cannot_be_written(tmp_path: Path) -> None:
    """A data folder that may not be written is one line on stderr and exit code 1."""
    tmp_path.chmod(0o500)
    done = ask(tmp_path, ["us"], "parlour", by=run)
    tmp_path.chmod(0o700)
    assert done.code == 1
    assert done.err.count("\n") == 1


def test_quit_ends_at_once(tmp_path: Path) -> None:
    """After `quit` nothing more is heard."""
    ask(tmp_path, ["us", "quit", "yes"], "parlour")
    assert list(replies(tmp_path, "parlour")) == ["region"]
