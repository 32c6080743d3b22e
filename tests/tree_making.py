"""Small trees for tests: made by hand from short words, or drawn at random."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from switchleg.schema.questions import CARD, StationFile
from switchleg.tree.graph import Tree, build_tree

TEXTS = {
    "serves": ["houses"],
    "ask": "What is it?",
    "why": "It matters.",
    "look": "Look at it.",
    "settles": "What it is.",
}


def question(fact: str, kind: str, ways: dict[Any, str], cant_tell: str, **more: Any) -> dict[str, Any]:
    """A question; the keys of `ways` are values, or "3+" for an open end, or "typed"."""
    answers: list[dict[str, Any]] = []
    for value, target in ways.items():
        answer: dict[str, Any] = {"label": f"It is {value}", "leads_to": target}
        if value == "typed":
            answer["typed"] = True
        elif isinstance(value, str) and value.endswith("+"):
            answer["at_least"] = int(value[:-1])
        else:
            answer["value"] = value
        answers.append(answer)
    return {"fact": fact, "kind": kind, "answers": answers, "cant_tell": cant_tell, **TEXTS, **more}


def yes_no(fact: str, yes: str, no: str, cant_tell: str) -> dict[str, Any]:
    return question(fact, "yes_no", {True: yes, False: no}, cant_tell)


def fork(name: str, branches: list[tuple[list[dict[str, Any]], str]], otherwise: str) -> dict[str, Any]:
    return {
        "id": name,
        "branch": [{"when": when, "leads_to": to} for when, to in branches],
        "otherwise": otherwise,
    }


def door(name: str, opens: str, open_: str, later: str = CARD, decline: str = CARD) -> dict[str, Any]:
    words = {"ask": "Ready?", "cautions": ["Power off."], "checks": ["It is off."]}
    return {"id": name, "opens": opens, "open": open_, "later": later, "decline": decline, **words}


def tree_of(first: str, **nodes: list[dict[str, Any]]) -> Tree:
    """A tree of one floor from lists `question`, `again`, `fork`, `door`."""
    data = {"station": "floor", "title": "Floor", "intro": "Look.", "first": first, **nodes}
    return build_tree([StationFile.model_validate(data)])


CONDITIONS: dict[str, list[dict[str, Any]]] = {
    "yes_no": [{"is": True}, {"is": False}, {"is_not": True}, {"known": True}, {"known": False}],
    "choice": [{"is": "a"}, {"is_not": "b"}, {"any_of": ["a", "c"]}, {"known": False}],
    "count": [{"at_least": 1}, {"at_most": 2}, {"is": 4}, {"at_least": 5}, {"is_not": 0}],
    "measure": [{"is": "14 AWG"}, {"any_of": ["12 AWG", "10 AWG"]}, {"is_not": "10 AWG"}, {"known": True}],
}
ANSWERS: dict[str, list[Any]] = {
    "yes_no": [True, False],
    "choice": ["a", "b", "c"],
    "count": [0, 1, "2+"],
    "measure": ["14 AWG", "typed"],
}


@st.composite
def small_trees(draw: st.DrawFn, largest: int = 9) -> Tree:
    """A sound tree of a few nodes: every way leads to a later node or the card."""
    size = draw(st.integers(1, largest))
    kinds = [draw(st.sampled_from(["yes_no", "choice", "count", "measure"]))]
    kinds += [
        draw(st.sampled_from(["yes_no", "choice", "count", "measure", "again", "fork", "fork", "door"]))
        for _ in range(size - 1)
    ]
    names = [f"n{i}" for i in range(size)]
    nodes: dict[str, list[dict[str, Any]]] = {"question": [], "again": [], "fork": [], "door": []}
    asked: list[tuple[str, str]] = []
    for i, kind in enumerate(kinds):
        later = [*names[i + 1 : i + 4], CARD] if i + 1 < size else [CARD]
        to = st.sampled_from(later)
        if kind == "again":
            fact, _ = draw(st.sampled_from(asked))
            nodes["again"].append({"id": names[i], "fact": fact, "look": "Look.", "leads_to": draw(to)})
        elif kind == "fork":
            branches = []
            for _ in range(draw(st.integers(1, 2))):
                tested = draw(st.lists(st.sampled_from(asked), min_size=1, max_size=2))
                when = [{"fact": f, **draw(st.sampled_from(CONDITIONS[k]))} for f, k in tested]
                branches.append((when, draw(to)))
            nodes["fork"].append(fork(names[i], branches, draw(to)))
        elif kind == "door":
            nodes["door"].append(door(names[i], "wall", draw(to), draw(to), draw(to)))
        else:
            ways = {value: draw(to) for value in ANSWERS[kind]}
            more = {"dimension": "wire"} if kind == "measure" else {}
            nodes["question"].append(question(names[i], kind, ways, draw(to), **more))
            asked.append((names[i], kind))
    return tree_of(names[0], **nodes)
