"""Which answers may hold for every fan of a home: read from home.toml."""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Collection, Iterator, Mapping
from typing import TYPE_CHECKING

from pydantic import Field, ValidationError

from switchleg.errors import SwitchlegError
from switchleg.knowledge.problems import Problem, model_problems, toml_problem
from switchleg.schema.questions import Question, Strict, Use
from switchleg.spelling import nearest_of

if TYPE_CHECKING:
    from switchleg.knowledge.load import Root

FILE = "home.toml"


class Shared(Strict):
    """A fact whose answer is offered to the next fan of the home, and why it may hold there too."""

    fact: str
    because: str = Field(max_length=160)


class HomeFile(Strict):
    shared: tuple[Shared, ...] = ()


@functools.cache
def shared_facts() -> tuple[str, ...]:
    """The facts of the installed home.toml in its order; SwitchlegError when it is broken."""
    from importlib.resources import files

    home, problems = read_home(files("switchleg.decision_tree"), None)
    if home is None:
        raise SwitchlegError(problems[0].line(), where="decision_tree", mend="run `switchleg check`")
    return tuple(one.fact for one in home.shared)


def read_home(root: Root, facts: Collection[str] | None) -> tuple[HomeFile | None, list[Problem]]:
    """The file below `root`, or None and its problems; a folder without one shares nothing.

    With `facts`, the names in it are held against them.
    """
    place = root.joinpath(FILE)
    if not place.is_file():
        return HomeFile(), []
    try:
        data = tomllib.loads(place.read_bytes().decode())
    except OSError as error:
        return None, [Problem(FILE, "", f"cannot be read: {error.strerror or error}")]
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        return None, [toml_problem(FILE, fault)]
    try:
        home = HomeFile.model_validate(data)
    except ValidationError as faults:
        return None, model_problems(FILE, data, HomeFile, faults)
    names = [one.fact for one in home.shared]
    problems = [
        Problem(FILE, f"shared.{name}", "no such fact", nearest_of(name, facts))
        for name in names
        if facts is not None and name not in facts
    ]
    problems += [
        Problem(FILE, f"shared.{name}", "stands twice") for name in sorted({n for n in names if names.count(n) > 1})
    ]
    return (None if problems else home), problems


OF_A_HOME: frozenset[Use] = frozenset({"home", "wish", "permission", "danger"})
"""Uses of facts that may hold for every fan of a home."""
OF_ONE_FAN: frozenset[Use] = frozenset({"houses", "fans"})


def check_uses(home: HomeFile, questions: Mapping[str, Question]) -> Iterator[Problem]:
    """A fact that serves the home is shared, and none is that tells about one fan or its wires."""
    names = {one.fact for one in home.shared}
    for name in names & questions.keys():
        serves = frozenset(questions[name].serves)
        if serves & OF_ONE_FAN or not serves & OF_A_HOME:
            yield Problem(
                FILE, f"shared.{name}", f"belongs to one fan: its question serves {', '.join(sorted(serves))}"
            )
    for name, question in questions.items():
        if names and "home" in question.serves and name not in names:
            near = nearest_of(name, names - questions.keys())
            yield Problem(FILE, f"shared.{name}", 'is missing; its question serves "home"', near)
