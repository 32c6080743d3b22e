"""Paper of a fan and of a home in every kind: complete, harmless, and in need of nothing else."""

from __future__ import annotations

import json
import os
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from command_paths import room
from command_runs import one_line

from switchleg.command.demo.command import furnish
from switchleg.command.demo.script import load_plan
from switchleg.command.main import main as switchleg
from switchleg.command.saved.records import session_of
from switchleg.knowledge.load import load
from switchleg.paper.fan import fan_paper, kind_of, page_text
from switchleg.paper.markdown import escaped
from switchleg.paper.safe_text import plain
from switchleg.paper.text import PAGE
from switchleg.record.store import Store

NASTY = "<script>alert(1)</script>\"'&<img src=x onerror=y>](http://x.example) `a` | ~b~ </svg>"
VOID = frozenset({"meta", "br", "hr", "img", "input", "link", "rect", "line", "circle", "path", "ellipse"})


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Store:
    """The invented house, furnished once; no test here changes it."""
    store = Store(tmp_path_factory.mktemp("house") / "records")
    furnish(store, load_plan(load()), load())
    return store


@pytest.fixture(autouse=True)
def home(house: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SWITCHLEG_HOME", str(house.root))
    monkeypatch.delenv("COLUMNS", raising=False)


class Page(HTMLParser):
    """Reads a page strictly: every element that is opened is closed in its order."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if not self.open or self.open[-1] != "style":
            self.words.append(data)


def page_of(text: str) -> Page:
    page = Page()
    page.feed(text)
    page.close()
    assert page.open == []
    return page


def stands_alone(text: str) -> Page:
    """Asserts that a page loads nothing, runs nothing and leads nowhere."""
    page = page_of(text)
    tags = {tag for tag, _ in page.seen}
    assert not tags & {"script", "link", "img", "iframe", "object", "embed", "a", "form", "base", "image", "use"}
    for tag, attributes in page.seen:
        for name, value in attributes.items():
            assert not name.startswith("on"), (tag, name)
            assert name not in ("src", "href", "xlink:href", "action", "srcset", "data"), (tag, name)
            assert "//" not in (value or ""), (tag, name, value)
            assert "url(" not in (value or ""), (tag, name, value)
    style = re.findall(r"<style>(.*?)</style>", text, re.DOTALL)
    assert len(style) == 1
    assert not re.search(r"url\(|@import|//", style[0])
    marks = [attributes["id"] for _, attributes in page.seen if "id" in attributes]
    assert len(marks) == len(set(marks))
    for _, attributes in page.seen:
        for name in (attributes.get("aria-labelledby") or "").split():
            assert name in marks
    return page


@pytest.mark.parametrize("name", ["front parlour", "corner room", "linen room"])
def test_the_html_page_needs_nothing_else(name: str, house: Store) -> None:
    """Each page parses, is closed properly, and has no script, link, outside picture or handler; it holds every
    line of the card, every answer and every check."""
    session = session_of(house.open(name, write=False))
    page = stands_alone(fan_paper(session, "html"))
    words = " ".join(" ".join(page.words).split())
    for section in session.card().sections:
        for line in section.lines:
            assert " ".join(line.text.split()) in words
    for row in session.review:
        assert " ".join(row.ask.split()) in words or row.kind == "door"
    for gate in session.record.gates:
        assert all(check in words for check in gate.checks)


def test_a_settled_wiring_is_drawn_in_the_page(house: Store) -> None:
    """Where the joints are settled both drawings stand in the page, today's and the new one, each with its words;
    where they are not, none does."""
    settled = page_of(fan_paper(session_of(house.open("front parlour", write=False)), "html"))
    assert [tag for tag, _ in settled.seen].count("svg") == 2
    assert [tag for tag, _ in settled.seen].count("desc") == 2
    open_one = page_of(fan_paper(session_of(house.open("corner room", write=False)), "html"))
    assert "svg" not in {tag for tag, _ in open_one.seen}


def test_nothing_typed_becomes_markup(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A name and a note full of markup are shown letter by letter, in HTML and in Markdown."""
    monkeypatch.setenv("SWITCHLEG_HOME", str(tmp_path))
    store = Store(tmp_path)
    record = store.create(NASTY, NASTY)
    with store.open(record.id, write=True) as opened:
        from switchleg.command.saved.records import now
        from switchleg.session.session import Session

        session = Session(load(), opened.record, store.save, now)
        session.note("region", NASTY)
        session.answer("us")
        page = stands_alone(fan_paper(session, "html"))
        assert "".join(page.words).count("<script>alert(1)</script>") >= 3
        text = fan_paper(session, "md")
    for line in text.splitlines():
        bare = re.sub(r"\\.", "", line)
        assert "<" not in bare
        assert "](" not in bare
        assert "`" not in bare or set(bare) <= set("`text")


@pytest.mark.parametrize("text", ["- a", "1. a", "1) a", "# a", "> a", "+ a", "= a", "    a", "* a", "~~a~~", "[a](b)"])
def test_markdown_shows_just_the_letters(text: str) -> None:
    """Whatever begins a list, a heading or a quotation in CommonMark is parted or escaped at the start of a line."""
    line = escaped(text)
    assert not re.match(r"(#|>|[-+*=]|\d+[.)])", line)
    assert not line.startswith(" ")


@pytest.mark.parametrize(
    ("asked", "file", "kind"),
    [
        (None, None, "txt"),
        (None, "-", "txt"),
        (None, "a.HTML", "html"),
        (None, "a.htm", "html"),
        (None, "a.md", "md"),
        (None, "a.json", "json"),
        (None, "a", "txt"),
        (None, "a.b.txt", "txt"),
        ("html", "a.txt", "html"),
        ("Markdown", None, "md"),
    ],
)
def test_the_ending_says_the_kind(asked: str | None, file: str | None, kind: str) -> None:
    """The ending of the file decides, --as goes before it, and without either it is text."""
    assert kind_of(asked, file) == kind


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (["--as", "htlm"], "html"),
        (["-o", "a.pdf"], ".html"),
        (["--home", "the gesthouse"], "NAME"),
        (["--page", "--as", "html"], "--page"),
        (["--jsn"], "--json"),
    ],
)
def test_wrong_kinds_are_told(argv: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A kind, file or option that is not there is one line with what is meant or possible, and exit code 2."""
    assert switchleg(["export", "porch", *argv]) == 2
    assert words in one_line(capsys.readouterr().err)


@pytest.mark.parametrize("ending", ["txt", "md", "html", "json"])
def test_a_file_and_stdout_hold_the_same(ending: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file of an ending and `-o -` with that kind hold the same, and nothing else is printed there."""
    file = tmp_path / f"porch.{ending}"
    assert switchleg(["export", "porch", "-o", str(file)]) == 0
    capsys.readouterr()
    assert switchleg(["export", "porch", "--as", ending, "-o", "-"]) == 0
    assert capsys.readouterr().out.strip() == file.read_text(encoding="utf-8").strip()


@pytest.mark.parametrize("name", ["front parlour", "porch", "linen room"])
def test_one_page_fits_one_sheet_and_says_what_matters(name: str, house: Store) -> None:
    """The one page has at most a sheet's lines and 80 columns; verdict first, then what to do, then what not."""
    session = session_of(house.open(name, write=False))
    text = page_text(session)
    lines = text.splitlines()
    assert len(lines) <= PAGE
    assert max(len(line) for line in lines) <= 80
    assert " ".join(session.card().headline.split()) in " ".join(text.split())
    assert text.isascii()
    flat = " ".join(text.split())
    for section in session.card().sections:
        if section.id in ("stops", "cautions"):
            assert all(plain(line.text) in flat for line in section.lines)
    if session.advice().status == "recommended":
        assert text.index("\nVERDICT") < text.index("\nWHAT TO DO") < text.index("\nBEFORE YOU TOUCH")
        assert name == "porch" or "\nPARTS TO BUY" in text
    else:
        assert text.index("\nVERDICT") < text.index("\nWHY TO STOP")


def test_a_home_at_one_look(house: Store, capsys: pytest.CaptureFixture[str]) -> None:
    """`home` has every fan with its state; a fan whose card says stop is on no trip and in no parts list; each box
    is opened once."""
    assert switchleg(["home"]) == 0
    out = capsys.readouterr().out
    flat = " ".join(out.split())
    for line in house.list():
        assert f"* {line.name}:" in out
    trip = out[out.index("BREAKER 7 OFF ONCE: DO THESE") : out.index("PARTS TO BUY")]
    parts = out[out.index("PARTS TO BUY") :]
    assert "linen room" not in trip + parts
    assert "* Two times: battery wall button" in parts
    assert "WHAT NOT TO BUY" in parts
    assert "CAUTION: linen room:" in flat
    boxes = re.findall(r"^\d+\. (.*?, the (?:wall|ceiling) box)\.", trip, re.MULTILINE)
    assert len(boxes) == len(set(boxes)) >= 4
    assert out.count("A two-pole tester") == 1
    assert "test each box dead" in flat
    assert max(len(line) for line in out.splitlines()) <= 80


def test_the_trip_is_what_the_cards_say(house: Store) -> None:
    """Every look on the trip is one of its card's next looks, every box of the work is one of its plan's, and
    readings with power on are not among what is done with the breaker off."""
    from switchleg.command.saved.records import now
    from switchleg.home.overview import home_view

    view = home_view(load(), "the guesthouse", house.records_of("THE guesthouse"), now)
    questions = load().tree.questions
    power = {question.ask for question in questions.values() if question.power_on}
    off = [errand for trip in view.off for box in trip.boxes for errand in box.errands]
    for errand in (*view.first, *off, *view.on):
        session = session_of(house.open(errand.fan_id, write=False))
        advice = session.advice()
        looks = {questions[check.fact].ask for check in advice.next_checks}
        if errand.purpose in ("look", "read") and "switchleg ask" not in errand.text:
            assert errand.text in looks
            assert (errand.text in power) == (errand.purpose == "read")
        elif errand.purpose == "work":
            assert advice.recommendation is not None
            chosen = next(one for one in advice.schemes if one.id == advice.recommendation.scheme)
            assert errand.place in {step.title for step in chosen.steps}
    assert all(errand.purpose in ("look", "work") for errand in off)
    for trip in view.off:
        stations = [errand.station for box in trip.boxes for errand in box.errands]
        assert stations == sorted(stations, key=lambda station: station == "canopy")


def test_a_whole_home_in_one_file(house: Store, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`export --home` writes the home and a chapter for each fan; as JSON every record whole."""
    file = tmp_path / "house.html"
    assert switchleg(["export", "--home", "the guesthouse", "-o", str(file)]) == 0
    page = stands_alone(file.read_text(encoding="utf-8"))
    assert [tag for tag, _ in page.seen].count("article") == len(house.list())
    capsys.readouterr()
    assert switchleg(["export", "--home", "The Guesthouse", "--as", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert {fan["id"] for fan in told["fans"]} == {line.id for line in house.list()}


@pytest.mark.parametrize(("argv", "words"), [(["home", "the gusthouse"], "the guesthouse"), (["export"], "--home")])
def test_homes_are_matched_to_the_nearest(argv: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A home that is not there is one line with the nearest name; export without a fan or home says what it takes."""
    assert switchleg(argv) == 2
    assert words in one_line(capsys.readouterr().err)


@pytest.mark.skipif(os.name != "posix", reason="needs a Unix system")
def test_a_picture_can_go_through_a_pipe(capsys: pytest.CaptureFixture[str]) -> None:
    """`draw -o -` prints the SVG itself and not a word more."""
    assert room("front parlour").name == "front parlour"
    assert switchleg(["draw", "front parlour", "-o", "-"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("<svg ")
    assert out.rstrip().endswith("</svg>")


def test_a_part_is_judged_for_a_saved_fan(house: Store, capsys: pytest.CaptureFixture[str]) -> None:
    """A label is held against the fan's own answers: within its amperes it fits, below them it does not."""
    assert house.list()
    words = ["figures", "part", "--kind", "fan_speed_control", "--fan", "front parlour", "--voltage", "120 V"]
    assert switchleg([*words, "--amps", "1.5 A"]) == 0
    assert capsys.readouterr().out.startswith("Your part: Fits")
    assert switchleg([*words, "--amps", "0.5 A"]) == 0
    assert capsys.readouterr().out.startswith("Your part: Does not fit: fan.")
