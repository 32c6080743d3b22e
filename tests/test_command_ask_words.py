"""What a typed line means to `switchleg ask`."""

from __future__ import annotations

import pytest
from command_paths import room, said, session

from switchleg.command import ask_words
from switchleg.command.ask_words import Command
from switchleg.errors import SwitchlegError
from switchleg.session.views import CardView, Choice, DoorView, QuestionView


def test_every_answer_is_reached_by_key_label_and_value() -> None:
    """On whole ways, each listed answer is understood by its label, its value and the key shown with it."""
    for name in ("front parlour", "garden room", "attic room"):
        walk, told = session(), room(name)
        while not isinstance(view := walk.view, CardView):
            if isinstance(view, DoorView):
                walk.open_door([True] * len(view.checks))
                continue
            for choice in view.choices:
                assert ask_words.choice(view, choice.label) == choice
                assert ask_words.choice(view, f"  {choice.label.upper()}. ") == choice
                if view.kind != "count" and not ask_words.rival(view, choice):
                    assert ask_words.choice(view, choice.key) == choice
                if isinstance(choice.value, str):
                    assert ask_words.choice(view, choice.value) == choice
                assert ask_words.fold(choice.label) not in ask_words.CANT_TELL
            value = told.told(view.station).get(view.fact)
            if value is None:
                walk.cant_tell()
            else:
                walk.answer_text(said(value))


def measure(*labels: str) -> QuestionView:
    """A question for a measure with these answers."""
    view = session().view
    assert isinstance(view, QuestionView)
    choices = tuple(Choice(str(key), label, label) for key, label in enumerate(labels, 1))
    return QuestionView(**{**vars(view), "kind": "measure", "choices": choices, "typed_hint": "a current"})


def test_a_bare_number_is_no_guess_between_key_and_amount() -> None:
    """When a number is one answer's key and another's amount, neither is taken: the unit is asked for."""
    view = measure("20 A", "1 A", "16 A")
    assert ask_words.choice(view, "3") == view.choices[2]
    assert ask_words.choice(view, "1 A") == view.choices[1]
    with pytest.raises(SwitchlegError, match="could mean"):
        ask_words.choice(view, "1")


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
    assert ask_words.command(line) == meant
