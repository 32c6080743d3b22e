"""Typed and written values: what is understood, what is refused, and in what words."""

from __future__ import annotations

import contextlib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tree_making import question

from switchleg.errors import UNUSABLE, SwitchlegError
from switchleg.knowledge.facts import parse_facts
from switchleg.knowledge.load import load
from switchleg.schema.questions import Question, Value
from switchleg.tree.values import answer_for, check_value, parse_typed, show

YES_NO = Question.model_validate(question("a", "yes_no", {True: "card", False: "card"}, "card"))
CHOICE = Question.model_validate(question("b", "choice", {"on_off": "card", "dimmer": "card"}, "card"))
COUNT = Question.model_validate(question("c", "count", {0: "card", 1: "card", "2+": "card"}, "card"))
AMPS = Question.model_validate(question("d", "measure", {"15 A": "card", "typed": "card"}, "card", dimension="current"))
BOX_TABLES = ("box_volumes_us", "box_volumes_ca")
VOLUME = Question.model_validate(
    question("e", "measure", {"typed": "card"}, "card", dimension="volume", sizes_from=BOX_TABLES)
)


@pytest.mark.parametrize(
    ("asked", "text", "value"),
    [
        (YES_NO, "y", True),
        (YES_NO, " Yes ", True),
        (YES_NO, "NO", False),
        (YES_NO, "It is True", True),
        (CHOICE, "dimmer", "dimmer"),
        (CHOICE, "On_Off", "on_off"),
        (CHOICE, "on off", "on_off"),
        (CHOICE, "it is dimmer", "dimmer"),
        (COUNT, "0", 0),
        (COUNT, "two", 2),
        (COUNT, "07", 7),
        (COUNT, "99", 99),
        (AMPS, "1.2a", "1.2 A"),
        (AMPS, "850 mA", "850 mA"),
        (AMPS, "It is 15 A", "15 A"),
        (VOLUME, "18 cu. in.", "18 in3"),
        (VOLUME, "300 ml", "300 mL"),
        (VOLUME, "4 X 1-1/2 Octagon", "4 x 1-1/2 octagon"),
        (VOLUME, "3 x 2 x 3", "3 x 2 x 3 device"),
    ],
)
def test_typed_text_is_understood(asked: Question, text: str, value: Value) -> None:
    """What people type at a keyboard comes out as the value meant, of the right kind."""
    found = parse_typed(asked, text, load().tables)
    assert found == value
    assert type(found) is type(value)


@pytest.mark.parametrize(
    ("asked", "text", "says"),
    [
        (YES_NO, "", "nothing was typed"),
        (YES_NO, "maybe", "expected yes or no"),
        (CHOICE, "dimer", 'did you mean "dimmer"?'),
        (COUNT, "-1", "below zero"),
        (COUNT, "1.5", "not a whole number"),
        (COUNT, "1e3", "not a whole number"),
        (COUNT, "100", "above 99"),
        (COUNT, "9" * 5000, "above 99"),
        (COUNT, "many", "0, 1, 2 or more"),
        (AMPS, "1.2", "A, mA"),
        (AMPS, "-3 A", "below zero"),
        (AMPS, "12 W", "expected a current"),
        (VOLUME, "18", "in3"),
        (VOLUME, "\x1b[31mred", "expected a volume"),
    ],
)
def test_typed_text_is_refused_with_help(asked: Question, text: str, says: str) -> None:
    """What cannot be meant is refused in one line that says what would be understood."""
    with pytest.raises(SwitchlegError) as caught:
        parse_typed(asked, text, load().tables, "here")
    line = caught.value.line()
    assert line.startswith("here: ")
    assert says in line
    assert "\n" not in line
    assert "\x1b" not in line
    assert caught.value.exit_code == UNUSABLE


@pytest.mark.parametrize(
    ("asked", "raw", "says"),
    [
        (YES_NO, "yes", "without quotes"),
        (YES_NO, 1, "true or false"),
        (COUNT, True, "not a whole number"),
        (COUNT, 2.0, "not a whole number"),
        (COUNT, "3", "without quotes"),
        (COUNT, -1, "below zero"),
        (COUNT, 10**30, "above 99"),
        (CHOICE, "dimmmer", 'did you mean "dimmer"?'),
        (CHOICE, True, "true is not among"),
        (CHOICE, ["dimmer"], "not among"),
        (AMPS, 1.2, "A, mA"),
        (AMPS, 15, "A, mA"),
        (AMPS, None, "with its unit"),
        (AMPS, float("nan"), "A, mA"),
    ],
)
def test_values_of_a_file_are_checked(asked: Question, raw: object, says: str) -> None:
    """A value of the wrong kind in an answers file is refused, never quietly turned into another."""
    with pytest.raises(SwitchlegError) as caught:
        check_value(asked, raw, load().tables, "here")
    assert caught.value.line().startswith("here: ")
    assert says in caught.value.line()


def test_a_value_is_shown_in_the_words_of_its_answer() -> None:
    """The label of its own answer, else the number or the measure."""
    assert show(CHOICE, "dimmer") == "It is dimmer"
    assert show(COUNT, 7) == "7"
    assert show(AMPS, "1.2 A") == "1.2 A"
    assert show(AMPS, "15 A") == "It is 15 A"


def test_true_is_not_the_number_one() -> None:
    """A yes never passes for a count, nor a count for a yes."""
    assert answer_for(COUNT, True) is None
    assert answer_for(YES_NO, 1) is None


def test_an_answers_file_names_its_facts() -> None:
    """Known facts come out; "unknown" and "can't tell" leave a fact out."""
    facts = parse_facts(
        load(),
        {"region": "us", "fan_amps": "1.2 amps", "wire_metal": "unknown", "damage_seen": "can’t tell"},
        "answers.toml",
    )
    assert facts == {"region": "us", "fan_amps": "1.2 A"}


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"motor_lable": "ac"}, 'did you mean "motor_label"?'),
        ({"motor_label": "dcc"}, "answers.toml: motor_label"),
        ({"fan_weight": 16}, "kg"),
        ({"": 1}, "no question settles"),
    ],
)
def test_a_faulty_answers_file_is_refused(given: dict[str, Any], says: str) -> None:
    """A misspelt fact or value is named with the file, the fact and the nearest spelling."""
    with pytest.raises(SwitchlegError) as caught:
        parse_facts(load(), given, "answers.toml")
    assert says in caught.value.line()
    assert caught.value.line().startswith("answers.toml")


@given(st.text(max_size=30))
def test_any_text_is_a_value_or_one_clear_line(text: str) -> None:
    """Whatever is typed gives a value that checks again, or a SwitchlegError and nothing else."""
    for asked in (YES_NO, CHOICE, COUNT, AMPS, VOLUME):
        with contextlib.suppress(SwitchlegError):
            value = parse_typed(asked, text, load().tables)
            assert check_value(asked, value, load().tables) == value
