"""The committed pictures of the screens stand alone: valid, and nothing in them reaches for the net."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from gallery import GALLERY, NAMES
from gallery_svg import picture
from textual.app import App, ComposeResult
from textual.widgets import Static

SVG = "{http://www.w3.org/2000/svg}"
DRAWS = {f"{SVG}{name}" for name in ("svg", "title", "rect", "text")}
"""The elements of SVG 1.1 (W3C Recommendation, second edition, chapters 5, 9 and 10) that can point nowhere."""
POINTS_OUT = re.compile(r"://|\burl\s*\(|@import|@font-face|\bdata:|<!DOCTYPE|<!ENTITY|<\?", re.IGNORECASE)


def reaches_out(svg: str) -> list[str]:
    """What in a picture could make a viewer fetch or run something."""
    bare = svg.replace('xmlns="http://www.w3.org/2000/svg"', "", 1)
    found = POINTS_OUT.findall(bare)
    for element in ElementTree.fromstring(svg).iter():
        found += [element.tag] if element.tag not in DRAWS else []
        found += [name for name in element.attrib if "href" in name or name.startswith("on") or name == "style"]
    return found


@pytest.mark.parametrize("name", NAMES)
def test_each_picture_stands_alone(name: str) -> None:
    """Every picture is there, is valid XML, shows words, and points at nothing outside itself."""
    svg = (GALLERY / f"{name}.svg").read_text(encoding="utf-8")
    assert reaches_out(svg) == []
    words = "".join(element.text or "" for element in ElementTree.fromstring(svg).iter(f"{SVG}text"))
    assert len(words) > 200


@pytest.mark.parametrize(
    "bad",
    [
        '<image href="https://example.org/a.png"/>',
        "<style>@font-face { src: url(https://example.org/a.woff) }</style>",
        '<rect fill="url(other.svg#a)"/>',
        '<rect onload="run()"/>',
        "<script>run()</script>",
    ],
)
def test_the_watch_would_notice(bad: str) -> None:
    """The check above fails on each way in which a picture could reach out."""
    assert reaches_out(f'<svg xmlns="http://www.w3.org/2000/svg">{bad}</svg>')


def test_there_is_no_other_picture() -> None:
    """The gallery holds what its command writes and nothing else, and the README shows only what is there."""
    assert sorted(path.stem for path in GALLERY.iterdir()) == sorted(NAMES)
    root = Path(__file__).parent.parent
    shown = re.findall(r"!\[[^]]*\]\(([^)]+)\)", (root / "README.md").read_text(encoding="utf-8"))
    assert shown
    assert all((root / path).is_file() for path in shown)


class Awkward(App[None]):
    """Signs that XML keeps for itself, a wide letter and a blank line."""

    def compose(self) -> ComposeResult:
        yield Static('5 < 6 & "so"\n\n間 b', markup=False)


async def test_any_text_makes_a_valid_picture() -> None:
    """Signs of XML arrive as text, and what follows a wide letter stands two columns on."""
    async with Awkward().run_test(size=(20, 4)) as pilot:
        svg = picture(pilot.app, 'A "title" <here>')
    assert reaches_out(svg) == []
    drawn = {element.text: element for element in ElementTree.fromstring(svg).iter(f"{SVG}text")}
    assert set(drawn) == {'5\u00a0<\u00a06\u00a0&\u00a0"so"', "間\u00a0b"}
    assert drawn["間\u00a0b"].get("textLength") == str(4 * 9)
