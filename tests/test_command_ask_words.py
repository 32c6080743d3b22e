"""What a typed line means to `switchleg ask`."""

from __future__ import annotations

import pytest
from command_paths import room, said, session

from switchleg.command.talk import understand
from switchleg.command.talk.understand import Command
from switchleg.knowledge.load import load
from switchleg.session.views.build import choices
from switchleg.session.views.model import CardView, DoorView


def test_every_answer_is_reached_by_key_label_and_value() -> None:
    """On whole ways, each listed answer is understood by its label, its value and the key shown with it."""
    for name in ("front parlour", "garden room", "attic room"):
        walk, told = session(), room(name)
        while not isinstance(view := walk.view, CardView):
            if isinstance(view, DoorView):
                walk.open_door([True] * len(view.checks))
                continue
            for choice in view.choices:
                assert understand.choice(view, choice.label) == choice
                assert understand.choice(view, f"  {choice.label.upper()}. ") == choice
                if view.kind != "count":
                    assert understand.choice(view, choice.key) == choice
                if isinstance(choice.value, str):
                    assert understand.choice(view, choice.value) == choice
                assert understand.fold(choice.label) not in understand.CANT_TELL
            value = told.told(view.station).get(view.fact)
            if value is None:
                walk.cant_tell()
            else:
                walk.answer_text(said(value))


def test_a_bare_number_picks_no_measure() -> None:
    """The answers of a measure have letters, no other word's: a number without its unit names none of them."""
    for question in load().tree.questions.values():
        if question.kind == "measure":
            keys = [one.key for one in choices(question)]
            assert len(set(keys)) == len(keys)
            assert not any(key.isdigit() or understand.command(key) for key in keys)


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("why", Command("why")),
        ("W", Command("why")),
        ("note the white one", Command("note", "the white one")),
        ("o the white one", Command("note", "the white one")),
        ("Change Wall_Boxes", Command("change", "Wall_Boxes")),
        ("export a b.txt", Command("export", "a b.txt")),
        ("open the canopy", Command("open")),
        ("the canopy is open now", Command("open")),
        ("quit now please", None),
        ("no", None),
        ("2", None),
        ("c", None),
    ],
)
def test_commands_are_told_from_answers(line: str, meant: Command | None) -> None:
    """A word of the help is a command; anything else is left to be an answer."""
    assert understand.command(line) == meant
