"""The rooms of the house: each knows only what lies below it, and no import comes back to where it began.

Every import counts: late ones, those for types alone, relative ones, and a module that is named in a string.
"""

from __future__ import annotations

import ast
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
HOUSES = {"switchleg": ROOT / "src" / "switchleg", "switchleg.screens": ROOT / "screens"}
FLOORS = {
    "switchleg": (
        ("__main__",),
        ("command",),
        ("paper",),
        ("home",),
        ("session",),
        ("session.views",),
        ("checking",),
        ("advice",),
        ("advice.verdict", "advice.card"),
        ("advice.looks",),
        ("advice.cases",),
        ("advice.work",),
        ("advice.numbers",),
        ("advice.wording",),
        ("advice.plans",),
        ("advice.model",),
        ("diagnosis",),
        ("figures",),
        ("record",),
        ("knowledge",),
        ("wiring",),
        ("tree",),
        ("schema",),
        ("units",),
        ("", "errors", "spelling"),
    ),
    "switchleg.screens": (
        ("",),
        ("asking", "showing", "working"),
        ("pages",),
        ("parts",),
        ("parts.words",),
    ),
}
"""By house, its rooms from the top down; rooms on one floor do not know each other. "" holds the modules at the top.

A module that stands by itself, on another floor than its folder, counts as a room."""
MOST_MODULES, MOST_LINES = 16, 350

Arrows = dict[str, set[str]]
"""Module to the modules of its house that it imports, each by its name inside the house: "parts.body"."""


def modules(house: Path) -> dict[str, Path]:
    """Every module by its name inside the house; a package by its folder's."""
    names = {path: ".".join(path.relative_to(house).with_suffix("").parts) for path in house.rglob("*.py")}
    return {name.removesuffix("__init__").removesuffix("."): path for path, name in names.items()}


def imported(node: ast.AST, package: list[str], house: str, there: dict[str, Path]) -> set[str]:
    """What a piece of code in `package` imports of its house; a package only where something of its own is taken."""

    def inside(name: str) -> str | None:
        own = name.removeprefix(house).removeprefix(".") if name == house or name.startswith(f"{house}.") else None
        return own if own in there else None

    if isinstance(node, ast.ImportFrom):
        whole = [*house.split("."), *package]
        above = whole[: len(whole) + 1 - node.level] if node.level else []
        start = ".".join([*above, *([node.module] if node.module else [])])
        found = [inside(f"{start}.{alias.name}") for alias in node.names]
        return {hit if hit is not None else inside(start) for hit in found} - {None}
    names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        names = [node.value]
    return {inside(name) for name in names} - {None}


def arrows(house: str, there: dict[str, Path]) -> Arrows:
    """Every import from one module of the house to another."""
    found: Arrows = {}
    for module, path in there.items():
        package = [part for part in module.split(".") if part]
        package = package if path.name == "__init__.py" else package[:-1]
        nodes = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        found[module] = {hit for node in nodes for hit in imported(node, package, house, there)} - {module}
    return found


def upward(house: str, there: dict[str, Path]) -> list[str]:
    """The arrows that lead up, or across to another room on the same floor."""
    depth = {room: number for number, level in enumerate(FLOORS[house]) for room in level}

    def room_of(module: str) -> str:
        room = module if module in depth or there[module].name == "__init__.py" else module.rpartition(".")[0]
        while room not in depth:
            room = room.rpartition(".")[0]
        return room

    return sorted(
        f"{module} -> {target}"
        for module, targets in arrows(house, there).items()
        for target in targets
        if (room := room_of(module)) != (other := room_of(target)) and depth[other] <= depth[room]
    )


def circle(found: Arrows) -> list[str]:
    """The modules of one circle of imports, in order; empty when there is none."""
    try:
        TopologicalSorter(found).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


@pytest.mark.parametrize("house", HOUSES)
def test_a_room_knows_only_rooms_below(house: str) -> None:
    """No module imports one of a higher room, or of another room on its floor."""
    there = modules(HOUSES[house])
    assert sum(map(len, arrows(house, there).values())) > len(there)
    assert upward(house, there) == []


@pytest.mark.parametrize("house", HOUSES)
def test_no_import_comes_back(house: str) -> None:
    """No module reaches itself over its imports."""
    assert circle(arrows(house, modules(HOUSES[house]))) == []


@pytest.mark.parametrize("house", HOUSES)
def test_a_room_can_be_taken_in(house: str) -> None:
    """Every room is there and says what it is for; none holds too many modules, no module too many lines."""
    there = modules(HOUSES[house])
    folders = {path.parent for path in there.values()}
    rooms = {HOUSES[house].joinpath(*room.split(".")) for level in FLOORS[house] for room in level}
    assert {room for room in rooms if not room.with_suffix(".py").exists()} <= folders
    texts = {path: path.read_text(encoding="utf-8") for path in there.values()}
    assert [str(folder) for folder in folders if not texts[folder / "__init__.py"].startswith('"""')] == []
    assert [str(folder) for folder in folders if len(set(folder.glob("*.py"))) > MOST_MODULES + 1] == []
    assert [str(path) for path, text in texts.items() if text.count("\n") > MOST_LINES] == []


def test_no_screen_imports_another() -> None:
    """A screen is opened by its name; what two of them share stands in a room below."""
    house = "switchleg.screens"
    found = arrows(house, modules(HOUSES[house]))
    screens = {module for module in found if module.startswith(("asking.", "showing.", "working."))}
    assert len(screens) > 10
    assert {module: both for module in screens if (both := found[module] & screens)} == {}


@pytest.mark.parametrize(
    "line",
    [
        "from ..pages.page import Page",
        "from ..pages import page",
        "import switchleg.screens.pages.page",
        "def late():\n    from switchleg.screens.pages.page import Page",
        "if TYPE_CHECKING:\n    from ..pages.page import Page",
        "import_module('switchleg.screens.pages.page')",
    ],
)
def test_the_watch_would_notice(line: str, tmp_path: Path) -> None:
    """Each way to name a higher room is found, and so is the circle that it closes."""
    for room in ("asking", "showing", "working", "pages", "parts"):
        (tmp_path / room).mkdir()
        (tmp_path / room / "__init__.py").touch()
    (tmp_path / "__init__.py").touch()
    (tmp_path / "pages" / "page.py").write_text("from ..parts.body import Body\n", encoding="utf-8")
    (tmp_path / "parts" / "body.py").write_text(line, encoding="utf-8")
    there = modules(tmp_path)
    assert upward("switchleg.screens", there) == ["parts.body -> pages.page"]
    assert set(circle(arrows("switchleg.screens", there))) == {"pages.page", "parts.body"}
