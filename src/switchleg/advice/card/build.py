"""The card: an advice as sections of plain lines, in the order in which a person needs them. Renderers only wrap."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.card import contradictions, decision
from switchleg.advice.card.model import Card, Line, Section, lower
from switchleg.advice.model import Advice, BoxPlan, SchemeVerdict
from switchleg.advice.numbers.choosing import choosing_lines, choosing_sheets, is_choosing
from switchleg.advice.numbers.sheets import Said, number_lines, number_sheets
from switchleg.advice.wording import phrases
from switchleg.advice.wording.regional_terms import Say, in_words_of
from switchleg.advice.work import beforehand
from switchleg.advice.work.shopping import not_to_buy, parts_to_buy
from switchleg.figures.fan.placing import placing
from switchleg.schema.questions import Value
from switchleg.schema.sources import foreign

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

__all__ = ["Card", "Line", "Section", "build_card", "headline"]


def build_card(knowledge: Knowledge, facts: Mapping[str, Value], advice: Advice, *, title: str = "") -> Card:
    """The card for an advice. `title` names fan and home; `facts` are those the advice was given."""
    say = in_words_of(knowledge.regions.get(str(facts.get("region", ""))))
    sections = [
        Section(id=name, title=say(heading), lines=tuple(lines if name == "sources" else _said_here(lines, say)))
        for name, heading, lines in _sections(knowledge, facts, advice)
    ]
    return Card(
        title=title,
        status=advice.status,
        headline=say(headline(advice)),
        sections=tuple(s for s in sections if s.lines),
    )


def _said_here(lines: Iterable[Line], say: Say) -> Iterator[Line]:
    for line in lines:
        yield line if say is str else line.model_copy(update={"text": say(line.text)})


def headline(advice: Advice) -> str:
    """The verdict in one sentence."""
    if advice.status == "stop":
        first = advice.stops[0].rule
        if first == "readings_contradict":
            return "Stop: some answers cannot all be true. Look at them again before any work."
        if first == "nothing_fits":
            return "Stop: nothing fits within what may be done and what must be kept."
        return "Stop: leave it closed and call a licensed electrician."
    if advice.recommendation:
        scheme = next(s for s in advice.schemes if s.id == advice.recommendation.scheme)
        new_fan = ", with another fan: a plain AC one" if "replace_fan_ac" in advice.recommendation.preparations else ""
        until = "" if advice.enough or not advice.next_checks else " It holds if the looks still open find nothing."
        return f"Recommended: {lower(scheme.title)}{new_fan}.{until}"
    if advice.next_checks:
        return "Not settled yet: the next look is named below."
    return "Not settled: nothing can be recommended on these answers."


def _sections(
    knowledge: Knowledge, facts: Mapping[str, Value], advice: Advice
) -> Iterator[tuple[str, str, Iterator[Line]]]:
    chosen = _chosen(advice)
    yield "hazards", "First of all: a danger as it is today", _warned(advice.hazards)
    yield "stops", "Why to stop", decision.stopping(knowledge, facts, advice)
    yield "verdict", "What to do", decision.verdict(knowledge, facts, advice, chosen)
    yield "next", "What settles it", decision.next_looks(knowledge, advice)
    yield "cases", "What it will be", decision.outlooks(knowledge, advice)
    yield "keeps", "What you keep and lose", decision.keeps(knowledge, facts, chosen)
    whose = _whose(knowledge, facts)
    yield "cautions", f"Before you touch anything{whose}", _cautions(advice)
    if chosen:
        yield "preparations", f"Before the boxes are opened{whose}", _numbered(beforehand.before(knowledge, chosen))
        yield "steps", f"The work, box by box{whose}", _steps(knowledge, chosen)
    yield "splices", f"Joints, box by box{whose}", _splices(chosen)
    if chosen:
        yield "afterwards", f"When the power is on again{whose}", _numbered(beforehand.after(knowledge, chosen))
    yield "functions", "Proof: what must happen afterwards", _functions(chosen)
    yield "parts", "Parts to buy", parts_lines(knowledge, facts, chosen)
    yield "not_to_buy", "What not to buy", _avoid(knowledge, facts, advice, chosen)
    yield "box_fill", "Room in the wall box", _box_fill(advice)
    yield "choosing", "Choosing a fan", _said(choosing_lines(knowledge, facts, chosen))
    yield "numbers", "The numbers", _said(number_lines(knowledge, facts, chosen, advice.motor_settled))
    yield "placing", "Room, ceiling and canopy", _placing(knowledge, facts, chosen)
    yield "known", "What is known", decision.known(advice)
    yield "evidence", "How it is known", decision.evidence(advice)
    yield "at_odds", contradictions.ALL, decision.all_at_odds(advice)
    if not advice.stops:
        yield "why_not", "Why not the others", decision.why_not(knowledge, advice, chosen)
    yield "sources", "Sources", _sources(knowledge, facts, advice, chosen)


def _whose(knowledge: Knowledge, facts: Mapping[str, Value]) -> str:
    """Where law reserves fixed wiring, the steps are the licensed person's, and their titles say so."""
    region = knowledge.regions.get(str(facts.get("region", "")))
    return f" (for the {region.words.licensed_person})" if region and region.who_may.licensed_only else ""


def _chosen(advice: Advice) -> SchemeVerdict | None:
    wanted = advice.recommendation.scheme if advice.recommendation else None
    return next((s for s in advice.schemes if s.id == wanted), None)


def _cautions(advice: Advice) -> Iterator[Line]:
    return _warned(text for text in advice.warnings if text not in advice.hazards)


def _warned(texts: Iterable[str]) -> Iterator[Line]:
    for text in texts:
        yield Line(text=text, kind="warning")


def _numbered(texts: Iterable[str]) -> Iterator[Line]:
    for text in texts:
        yield Line(text=text, kind="step")


def _steps(knowledge: Knowledge, chosen: SchemeVerdict) -> Iterator[Line]:
    yield from _numbered(beforehand.unsettled(knowledge, chosen))
    box = ""
    for step in chosen.steps:
        if step.box != box:
            box = step.box
            yield Line(text=f"In {step.title} (= stays as it is today):")
        yield Line(text=step.text if step.new else f"= {step.text}", kind="step" if step.new else "item")


def _functions(chosen: SchemeVerdict | None) -> Iterator[Line]:
    for row in chosen.functions if chosen else ():
        light = f", light {row.light}" if row.light is not None else ""
        online = {True: ", online", False: ", OFFLINE", None: ""}[row.online]
        where = phrases.listed(row.positions) or "always"
        yield Line(text=f"{where[0].upper()}{where[1:]}: fan {row.fan}{light}{online}.", kind="item")


def _splices(chosen: SchemeVerdict | None) -> Iterator[Line]:
    for box in chosen.plan or () if chosen else ():
        yield Line(text=f"In {box.title}:")
        yield from box_lines(box)


def box_lines(box: BoxPlan) -> Iterator[Line]:
    """One joint a line: its net, then everything that meets there; then what is capped."""
    for splice in box.splices:
        mark = f" {splice.remark}" if splice.remark else ""
        yield Line(text=f"{splice.net.capitalize()}: {' + '.join(splice.ends)}.{mark}", kind="item")
    for end in box.capped:
        yield Line(text=f"Cap by itself: {end}.", kind="item")


def _avoid(
    knowledge: Knowledge, facts: Mapping[str, Value], advice: Advice, chosen: SchemeVerdict | None
) -> Iterator[Line]:
    for text in not_to_buy(knowledge, facts, chosen, advice.motor_settled) if chosen else ():
        yield Line(text=text, kind="item")


JUDGED = (
    "A part in hand can be judged by its label (amperes, watts, volume, depth, temperature): "
    "switchleg figures part --fan NAME, with what stands on it."
)


def parts_lines(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict | None) -> Iterator[Line]:
    if chosen is None:
        return
    for part in parts_to_buy(knowledge, facts, chosen):
        yield Line(text=part, kind="item")
    yield Line(text=JUDGED)


def _box_fill(advice: Advice) -> Iterator[Line]:
    if advice.box_fill:
        for text in advice.box_fill.lines:
            yield Line(text=text, kind="sum")


def _said(lines: Iterable[Said]) -> Iterator[Line]:
    for said in lines:
        yield Line(text=said.text, kind=said.kind, under=said.under, brief=said.brief)


def _placing(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict | None) -> Iterator[Line]:
    for fit in placing(facts, knowledge.tables, size=not is_choosing(facts, chosen)):
        yield Line(text=fit.text, kind="warning" if fit.fits is False else "text")


def _sources(
    knowledge: Knowledge, facts: Mapping[str, Value], advice: Advice, chosen: SchemeVerdict | None
) -> Iterator[Line]:
    """Of the verdicts and stops, and of every number that is told."""
    sums = (one for one in number_sheets(knowledge, facts, chosen, advice.motor_settled) if one.covered)
    region = knowledge.regions.get(str(facts.get("region", "")))
    told = {name for stop in advice.stops for name in stop.sources} or set(advice.sources)
    bought = choosing_sheets(knowledge, facts) if is_choosing(facts, chosen) else ()
    found = {*told, *(name for one in (*sums, *bought) for name in one.sources)}
    if region is not None:
        found = {*region.local(found), region.who_may.source, region.colour_source}
    for name in sorted(found):
        source = knowledge.sources.get(name)
        if source:
            there = foreign(source, region.id) if region else ""
            yield Line(text=f"{name}: {source.title}{there}", kind="item")
