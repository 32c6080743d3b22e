"""A home at one look: every fan's state, one trip with the breaker off, one list of parts. Reads, never writes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from switchleg.home.trip import Errand, Purpose, Trip, trips
from switchleg.record.model import Record
from switchleg.schema.questions import STATIONS, Station
from switchleg.session.session import Session
from switchleg.session.views.model import CardView

if TYPE_CHECKING:
    from switchleg.advice.model import SchemeVerdict
    from switchleg.home.shopping import HomeParts
    from switchleg.knowledge.load import Knowledge

PLACE: dict[Station, str] = {"floor": "from the floor", "wall": "the wall box", "canopy": "the ceiling box"}


@dataclass(frozen=True)
class FanState:
    """One fan in a line: what it comes to, and what it waits for (each a short sentence)."""

    id: str
    name: str
    stage: str
    status: str
    headline: str
    work: str
    waits_for: tuple[str, ...]


@dataclass(frozen=True)
class HomeView:
    """What to do for the whole home. `off`: box by box, each breaker off once."""

    home: str
    fans: tuple[FanState, ...]
    first: tuple[Errand, ...]
    """From the floor, nothing opened."""
    off: tuple[Trip, ...]
    on: tuple[Errand, ...]
    """Readings and proofs that need the power on; everything is closed or out of reach."""
    parts: HomeParts
    """One shopping list for all of them, what not to buy, and the fans for which nothing is settled yet."""
    left_alone: tuple[tuple[str, str], ...]
    """Fans that are no part of the trip, with why: they are for an electrician."""


def home_view(
    knowledge: Knowledge,
    home: str,
    records: Iterable[Record],
    clock: Callable[[], datetime],
    told: Callable[[int], object] = lambda _: None,
) -> HomeView:
    """The view of a home's records, fans by name. `told` hears how many fans are done; what it raises ends it."""
    sessions = sorted(
        (Session(knowledge, record, None, clock) for record in records),
        key=lambda one: (one.record.name.casefold(), one.record.id),
    )
    errands: list[Errand] = []
    for number, session in enumerate(sessions):
        told(number)
        errands += _errands(session)
    return HomeView(
        home=home,
        fans=tuple(_state(session) for session in sessions),
        first=tuple(one for one in errands if one.station == "floor" and one.purpose == "look"),
        off=trips(errands),
        on=tuple(one for one in errands if one.purpose in ("read", "prove")),
        parts=_parts(knowledge, sessions),
        left_alone=tuple((session.record.name, why) for session in sessions if (why := _left_alone(session))),
    )


def _chosen(session: Session) -> SchemeVerdict | None:
    advice = session.advice()
    wanted = advice.recommendation.scheme if advice.recommendation else None
    return next((one for one in advice.schemes if one.id == wanted), None)


def _left_alone(session: Session) -> str:
    advice = session.advice()
    if advice.status == "stop":
        return advice.stops[0].text if advice.stops else "The card says stop."
    view = session.view
    if isinstance(view, CardView) and view.declined:
        return "Somebody would rather not open it: its card is for the electrician."
    return ""


def _state(session: Session) -> FanState:
    record, advice = session.record, session.advice()
    card = session.card()
    return FanState(
        id=record.id,
        name=record.name,
        stage=session.standing.stage,
        status=advice.status,
        headline=card.headline,
        work=session.standing.work,
        waits_for=tuple(_waits_for(session)),
    )


def _waits_for(session: Session) -> Iterator[str]:
    if _left_alone(session):
        yield "a licensed electrician"
        return
    view, progress = session.view, session.progress
    if not isinstance(view, CardView):
        least, most = progress.least_left, progress.most_left
        yield "1 more question" if most == 1 else f"{least if least == most else f'{least} to {most}'} more questions"
    for door in session.waiting:
        yield f"{PLACE[door.opens]} to be opened"
    chosen = _chosen(session)
    if chosen is not None and chosen.plan is not None:
        work = session.work
        if work is None:
            yield "the work to begin"
        elif work.phase == "changed":
            yield "the work to begin again: the plan has changed"
        elif work.phase == "proof":
            yield "the proof after the work"
        elif work.phase != "done":
            yield f"step {work.number} of {work.many}"
    elif chosen is not None and not session.waiting:
        yield "what settles its joints: see its card"


def _errands(session: Session) -> Iterator[Errand]:
    if _left_alone(session):
        return
    record, advice = session.record, session.advice()
    questions = session.knowledge.tree.questions

    def errand(station: Station, place: str, purpose: Purpose, text: str) -> Errand:
        return Errand(record.name, record.id, place, station, purpose, text, record.breaker_label)

    if not isinstance(session.view, CardView) and record.standing.station == "floor":
        yield errand("floor", PLACE["floor"], "look", f"Go on with the questions: switchleg ask {record.id}")
    for check in advice.next_checks:
        station: Station = next((known for known in STATIONS if known == check.station), "floor")
        power = questions[check.fact].power_on
        whose = " (for somebody else: see the card)" if check.by == "other" else ""
        yield errand(station, PLACE[station], "read" if power else "look", questions[check.fact].ask + whose)
    chosen = _chosen(session)
    if chosen is None or chosen.plan is None or advice.next_checks:
        return
    view = session.work
    if view is not None and view.phase == "done":
        return
    steps: dict[str, int] = {}
    stations: dict[str, Station] = {}
    if view is not None and view.phase != "changed":
        for step in view.steps:
            if step.box and not step.done:
                steps[step.box] = steps.get(step.box, 0) + 1
                stations[step.box] = step.station
    else:
        from switchleg.session.work_plan import plan_of

        for step in plan_of(session.knowledge, advice).steps:
            if step.box:
                steps[step.box] = steps.get(step.box, 0) + 1
                stations[step.box] = step.station
    for box, many in steps.items():
        whose = ", by the electrician" if session.facts.get("who_works") == "electrician" else ""
        told = f"{chosen.title}: {many} {'step' if many == 1 else 'steps'}{whose}."
        yield errand(stations[box], box, "work", told)
    if chosen.functions:
        yield errand("floor", PLACE["floor"], "prove", "Try every line of the proof on its card.")


def _parts(knowledge: Knowledge, sessions: Sequence[Session]) -> HomeParts:
    """For every fan that is not left to others and whose work is not done."""
    from switchleg.home.shopping import home_parts

    wanted = [one for one in sessions if not _left_alone(one) and one.record.standing.work != "proved"]
    return home_parts(knowledge, [(one.record.name, one.facts, one.advice()) for one in wanted])
