"""A home's view as a document for paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from switchleg import __version__
from switchleg.home.overview import FanState, HomeView
from switchleg.home.trip import Errand, Trip
from switchleg.paper.document import Document, Part, Row, when

ABOUT = (
    "This sums up what a questionnaire program concluded about the ceiling fans of one home. It is no inspection. "
    "Local code and the judgment of a licensed electrician come first. A label in the panel may be wrong: lock or "
    "tape the breaker off, and test each box dead before you touch it."
)
STAGES = {
    "new": "not begun",
    "asking": "questions under way",
    "waiting": "something was left for later",
    "declined": "for the electrician",
    "done": "all answered",
}
ON = "With the power on again"


def home_document(view: HomeView, now: datetime, chapters: Sequence[Document] = ()) -> Document:
    """The home's paper; `chapters` are those of its fans."""
    parts = [
        Part("Fans", tuple(row for fan in view.fans for row in _fan(fan)), first_page=True),
        Part(
            "Not on this trip", tuple(Row(f"{fan}: {why}", "warning") for fan, why in view.left_alone), first_page=True
        ),
        Part("From the floor, nothing opened", tuple(_errands(view.first)), first_page=True),
        *(Part(trip.title, tuple(_off(trip)), first_page=True) for trip in view.off),
        Part(ON, tuple(_errands(view.on)), first_page=True),
        Part("Parts to buy", tuple(_parts(view)), first_page=True),
        Part("What not to buy", tuple(Row(article.line(), "item") for article in view.parts.avoid), first_page=True),
    ]
    fields = (
        ("Home", view.home),
        ("Fans", str(len(view.fans))),
        ("Made", f"{when(now)} with switchleg {__version__}"),
    )
    kept = tuple(part for part in parts if part.rows)
    return Document(view.home, "Ceiling fans of a home", fields, ABOUT, kept, tuple(chapters))


def _fan(fan: FanState) -> Iterator[Row]:
    done = {"": "", "begun": "; work under way", "proved": "; work done and proved"}[fan.work]
    yield Row(f"{fan.name}: {STAGES.get(fan.stage, fan.stage)}{done}. {fan.headline}", "item")
    if fan.waits_for:
        yield Row(f"Waits for: {'; '.join(fan.waits_for)}.", "detail")


def _off(trip: Trip) -> Iterator[Row]:
    """A box a line, everything that is done there in one go."""
    for box in trip.boxes:
        told = " ".join(("Look: " if one.purpose == "look" else "Work: ") + one.text for one in box.errands)
        yield Row(f"{box.fan}, {box.place}. {told}", "step")


def _errands(errands: Sequence[Errand]) -> Iterator[Row]:
    for one in errands:
        lead = {"read": "Reading, only if you are able: ", "prove": "Proof: "}.get(one.purpose, "")
        place = f", {one.place}" if one.station != "floor" else ""
        yield Row(f"{one.fan}{place}. {lead}{one.text}", "item")


def _parts(view: HomeView) -> Iterator[Row]:
    yield from (Row(article.line(), "item") for article in view.parts.buy)
    if view.parts.open_fans:
        yield Row(f"Not settled yet, so nothing is bought for: {', '.join(view.parts.open_fans)}.", "detail")
