"""`switchleg ask` reaches what the screens reach: whole awkward houses by ear, from start to card and export."""

from __future__ import annotations

import json
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from command_paths import lines, room, session
from command_runs import Run, here, run


def ask(home: Path, typed: list[str], *args: str, by: Callable[..., Run] = here) -> Run:
    """`switchleg ask ARGS` with these lines typed; it must end well and say nothing on stderr."""
    done = by(home, "ask", *args, typed="".join(f"{line}\n" for line in typed))
    assert (done.code, done.err) == (0, "")
    return done


def record(home: Path, id_: str) -> dict[str, Any]:
    kept: dict[str, Any] = json.loads((home / f"{id_}.json").read_text(encoding="utf-8"))
    return kept


def checks(station: str) -> int:
    """How many checks stand behind the gate of a station."""
    doors = (node for node in session().knowledge.tree.nodes.values() if getattr(node, "opens", None) == station)
    return next(len(node.checks) for node in doors if hasattr(node, "checks"))


def flat(text: str) -> str:
    return " ".join(text.split())


AWKWARD = {
    "attic room": "a DC fan on a switch loop without a neutral at the wall",
    "linen room": "scorched wires that stop everything",
    "corner room": "a canopy that stays shut for now",
}


@pytest.mark.parametrize("name", AWKWARD)
def test_an_awkward_house_from_start_to_card_and_export(name: str, tmp_path: Path) -> None:
    """By lines alone: every question, gate, note and detour, the card, its reasons, the drawing in words, the
    review, and paper of three kinds; the record and the files hold it all."""
    told = room(name)
    files = {ending: tmp_path / f"fan.{ending}" for ending in ("txt", "md", "html")}
    walk = lines(told)
    typed = [walk[0], "why", "look", "picture", "note by the attic stairs", *walk[1:]]
    typed += ["review", "why", "progress", "settled", "home", "help", *(f"export {file}" for file in files.values())]
    done = ask(tmp_path / "data", typed, name, "--home", "the guesthouse", by=run)
    out = flat(done.out)
    kept = record(tmp_path / "data", name.replace(" ", "-"))
    assert "That is the card." in out
    assert flat(kept["verdict"]["headline"]) in out
    assert kept["notes"]
    assert "CEILING FANS OF A HOME" in out
    for file in files.values():
        assert str(file) in done.out.replace("\n", "").replace(" ", "")
        text = flat(file.read_text(encoding="utf-8"))
        assert "by the attic stairs" in text
        assert flat(kept["verdict"]["headline"]) in text
    HTMLParser().feed(files["html"].read_text(encoding="utf-8"))
    expected = {"attic room": "recommended", "linen room": "stop", "corner room": "needs_checks"}[name]
    assert kept["standing"]["status"] == expected
    if expected == "stop":
        assert "licensed electrician" in out
    if expected == "needs_checks":
        assert "Left for later" in out


@pytest.fixture
def parlour(tmp_path: Path) -> Path:
    """The front parlour, answered to its card."""
    ask(tmp_path, lines(room("front parlour")), "front parlour", "--home", "the guesthouse")
    return tmp_path


def test_a_change_says_what_it_does_before_it_is_taken(parlour: Path) -> None:
    """After `change`, another answer is first weighed: both verdicts are said; a no leaves record and card as
    they were, a yes takes it."""
    before = record(parlour, "front-parlour")["replies"]
    done = ask(parlour, ["change light_kit", "1", "no"], "front parlour")
    said = flat(done.out)
    assert "The verdict now: Recommended" in said
    assert "The verdict then:" in said
    assert "Then it stays as it was." in said
    assert record(parlour, "front-parlour")["replies"] == before
    ask(parlour, ["change want_wall_control", "3", "yes"], "front parlour")
    kept = record(parlour, "front-parlour")
    assert kept["replies"]["want_wall_control"]["value"] == "no"
    assert kept["history"][-1]["reply"]["value"] == before["want_wall_control"]["value"]


def test_a_change_weighed_to_the_same_or_to_cant_tell(parlour: Path) -> None:
    """The same answer again is taken without a word; "can't tell" is weighed like any other."""
    done = ask(parlour, ["change region", "us"], "front parlour")
    assert "Take it" not in done.out
    done = ask(parlour, ["change region", "c", "no"], "front parlour")
    assert "Then: can't tell." in flat(done.out)
    assert record(parlour, "front-parlour")["replies"]["region"]["value"] == "us"


def test_what_is_weighed_is_what_comes(parlour: Path) -> None:
    """The verdict said before a change is the one the card gives after it."""
    done = ask(parlour, ["change may_open_canopy", "no", "yes"], "front parlour")
    said = flat(done.out)
    then = said.split("The verdict then: ")[1] if "The verdict then: " in said else said
    assert then.startswith(flat(record(parlour, "front-parlour")["verdict"]["headline"])) or "stays as it is" in said


def test_reasons_and_drawing_by_ear(parlour: Path) -> None:
    """`why` tells each scheme's verdict, `why SCHEME` all its steps, `draw` every joint in words; a misspelt
    scheme gets the nearest name; nothing is drawn with lines."""
    done = ask(parlour, ["why", "why canopy_relay", "draw", "draw canopy_relya", "why wall speed"], "front parlour")
    said = flat(done.out)
    assert "wall_speed_and_light: fits" in said
    assert "[source:" in said
    assert "In the ceiling box:" in said
    assert "did you mean canopy_relay?" in said
    assert not any(0x2500 <= ord(sign) <= 0x259F for sign in done.out)
    assert max(len(line) for line in done.out.splitlines()) <= 80


def test_the_work_by_ear_from_gate_to_proof(parlour: Path) -> None:
    """The work is gated, goes step by step with notes, waits where it was left, and ends with every line of the
    proof; then the home says that it is proved."""
    gate = ["yes"] * checks("wall")
    done = ask(parlour, ["work", "done", "yes", "no"], "front parlour")
    assert "Then the work waits here" in flat(done.out)
    assert record(parlour, "front-parlour")["progress"]["next"] == 1
    done = ask(parlour, ["work", *gate, "note rusty screw", "done", "done", "leave"], "front parlour")
    kept = record(parlour, "front-parlour")["progress"]
    assert (kept["next"], list(kept["notes"].values())) == (3, ["rusty screw"])
    steps, rows = kept["steps"], kept["rows"]
    typed = ["work", *gate, *["done"] * (steps - 3), "no", "work", *["yes"] * rows, "home"]
    done = ask(parlour, typed, "front parlour")
    said = flat(done.out)
    assert f"Step {steps} of {steps}" in said
    assert f"Line {rows} of {rows}" in said
    assert "Breaker off, test dead, and look at the joints again" in said
    assert record(parlour, "front-parlour")["standing"]["work"] == "proved"
    assert "work done and proved" in said
    assert "rusty screw" in here(parlour, "export", "front parlour").out


def test_the_next_fan_is_offered_and_asks_less(parlour: Path) -> None:
    """The second fan of the home is offered the first one's answers; with all of them taken, fewer questions are
    asked and the review says from where; with none taken, nothing is."""
    told = lines(room("garden room"))
    ask(parlour, ["all", "review"], "one", "--home", "The Guesthouse")
    assert len(record(parlour, "one")["replies"]) >= 8
    done = ask(parlour, ["review"], "one")
    assert "Taken over from front parlour." in flat(done.out)
    ask(parlour, ["none", *told[:3]], "two", "--home", "the guesthouse")
    assert record(parlour, "two")["origins"] == {}
    done = ask(parlour, ["1, 99", "what", "1 2"], "three", "--home", "the guesthouse")
    assert len(record(parlour, "three")["origins"]) == 2
    assert "front parlour" not in ask(parlour, [], "four", "--home", "elsewhere").out


def test_the_canopy_left_for_later_is_opened_by_saying_so(tmp_path: Path) -> None:
    """At the card of a fan whose canopy waits, "the canopy is open now" leads to its checks and questions."""
    ask(tmp_path, lines(room("breakfast room")), "breakfast room")
    typed = ["the canopy is open now", "open", *["yes"] * checks("canopy"), "no"]
    done = ask(tmp_path, typed, "breakfast room")
    assert "Every check is confirmed." in done.out
    assert record(tmp_path, "breakfast-room")["replies"]["canopy_door"]["kind"] == "open"


def test_a_look_in_the_room_is_taken_from_the_card_by_saying_next(tmp_path: Path) -> None:
    """A look that could not be told and that the card names first is asked again by `next`, and the answer is kept."""
    told = room("breakfast room")
    floor = {fact: value for fact, value in told.floor.items() if fact != "place_rating_needed"}
    done = ask(tmp_path, [*lines(told.model_copy(update={"floor": floor})), "next", "damp"], "attic")
    assert "Can be looked at now: Is the place dry, damp or wet? Type next to answer it." in flat(done.out)
    assert "damp" in [reply.get("value") for reply in record(tmp_path, "attic")["replies"].values()]


def test_work_is_refused_where_the_card_gives_none(tmp_path: Path) -> None:
    """`work` on a card that says stop tells why and goes on talking."""
    done = ask(tmp_path, [*lines(room("linen room")), "work", "quit"], "linen room")
    assert "there is no plan to work by: the card says stop" in flat(done.out)


def test_pictures_are_told_in_words(tmp_path: Path) -> None:
    """At a question with a drawing, `picture` says what it shows without a drawn line; `drawing` prints it."""
    done = ask(tmp_path, ["us", "yes", "picture", "quit"], "one")
    view = session()
    view.answer("us")
    view.answer(True)
    asked: Any = view.view
    assert asked.picture_says
    assert flat(asked.picture_says) in flat(done.out)
    assert not any(0x2500 <= ord(sign) <= 0x259F for sign in done.out)
    assert asked.picture.splitlines()[0].strip() in ask(tmp_path, ["drawing"], "one").out


def test_comparing_supposing_and_the_breaker_by_ear(tmp_path: Path) -> None:
    """`compare` says every scheme in words, with a supposition too, and keeps nothing; `circuit` keeps the label of the
    breaker; `export home` writes every fan of the home."""
    house = tmp_path / "house.html"
    typed = ["us", "compare", "compare if cable and spare", "circuit 7 upstairs", f"export home {house}"]
    done = ask(tmp_path / "data", typed, "porch", "--home", "the guesthouse")
    out = flat(done.out)
    assert "A fan with built-in radio: " in out
    assert "What if a new cable may be pulled? Nothing of this is kept." in out
    kept = record(tmp_path / "data", "porch")
    assert set(kept["replies"]) == {"region"}
    assert kept["breaker_label"] == "7 upstairs"
    assert "porch" in house.read_text(encoding="utf-8")
