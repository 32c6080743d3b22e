"""The card: an advice as sections of plain lines, in the order in which a person needs them. Renderers only wrap."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Literal

from switchleg.advice import words
from switchleg.advice.local_words import Say, in_words_of
from switchleg.advice.model import Advice, BoxPlan, Case, Plain, SchemeVerdict, Status
from switchleg.advice.parts_list import not_to_buy, parts_to_buy
from switchleg.advice.sums import Said, number_lines, number_sheets
from switchleg.advice.sums_choose import choosing_lines, choosing_sheets, is_choosing
from switchleg.diagnosis.disagreement import independent
from switchleg.figures.placing import placing
from switchleg.knowledge.sources import foreign
from switchleg.tree.model import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

LineKind = Literal["text", "step", "item", "warning", "good", "bad", "sum"]


class Line(Plain):
    text: str
    kind: LineKind = "text"
    under: tuple[str, ...] = ()
    """What stands beneath it for who asks: the sum, its edition, its sources."""
    brief: tuple[str, ...] = ()
    """The same for paper, sources by their ids."""


class Section(Plain):
    id: str
    title: str
    lines: tuple[Line, ...]


class Card(Plain):
    title: str
    status: Status
    headline: str
    sections: tuple[Section, ...]


MOTOR_WORDS = {
    "ac": "a plain AC motor",
    "ac_tapped": "an AC motor whose speed parts sit in the receiver",
    "dc": "a DC motor",
}
LIKELIHOODS = (
    (0.95, "almost surely"),
    (0.75, "probably"),
    (0.4, "perhaps"),
    (0.1, "less likely"),
    (0.0, "hardly"),
)
MOST_WIRINGS = 4


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
        return f"Recommended: {_lower(scheme.title)}{new_fan}.{until}"
    if advice.next_checks:
        return "Not settled yet: the next look is named below."
    return "Not settled: nothing can be recommended on these answers."


def _lower(text: str) -> str:
    return text[0].lower() + text[1:]


def _sections(
    knowledge: Knowledge, facts: Mapping[str, Value], advice: Advice
) -> Iterator[tuple[str, str, Iterator[Line]]]:
    chosen = _chosen(advice)
    yield "stops", "Why to stop", _stops(knowledge, advice)
    yield "verdict", "What to do", _verdict(knowledge, facts, advice, chosen)
    yield "next", "What settles it", _next(knowledge, advice)
    yield "cases", "What it will be", _cases(knowledge, advice)
    yield "keeps", "What you keep and lose", _keeps(knowledge, facts, chosen)
    whose = _whose(knowledge, facts)
    yield "cautions", f"Before you touch anything{whose}", _cautions(advice)
    yield "preparations", f"Before the boxes are opened{whose}", _preparations(knowledge, advice, chosen, "before")
    yield "steps", f"The work, box by box{whose}", _steps(chosen)
    yield "splices", f"Joints, box by box{whose}", _splices(chosen)
    yield "afterwards", f"When the power is on again{whose}", _preparations(knowledge, advice, chosen, "after")
    yield "functions", "Proof: what must happen afterwards", _functions(chosen)
    yield "parts", "Parts to buy", parts_lines(knowledge, facts, chosen)
    yield "not_to_buy", "What not to buy", _avoid(knowledge, facts, advice, chosen)
    yield "box_fill", "Room in the wall box", _box_fill(advice)
    yield "choosing", "Choosing a fan", _said(choosing_lines(knowledge, facts, chosen))
    yield "numbers", "The numbers", _said(number_lines(knowledge, facts, chosen, advice.motor_settled))
    yield "placing", "Room, ceiling and canopy", _placing(knowledge, facts, chosen)
    yield "known", "What is known", _known(advice)
    yield "evidence", "How it is known", _evidence(advice)
    if not advice.stops:
        yield "why_not", "Why not the others", _why_not(knowledge, advice, chosen)
    yield "sources", "Sources", _sources(knowledge, facts, advice, chosen)


def _whose(knowledge: Knowledge, facts: Mapping[str, Value]) -> str:
    """Where law reserves fixed wiring, the steps are the licensed person's, and their titles say so."""
    region = knowledge.regions.get(str(facts.get("region", "")))
    return f" (for the {region.words.licensed_person})" if region and region.who_may.licensed_only else ""


def _chosen(advice: Advice) -> SchemeVerdict | None:
    wanted = advice.recommendation.scheme if advice.recommendation else None
    return next((s for s in advice.schemes if s.id == wanted), None)


def _stops(knowledge: Knowledge, advice: Advice) -> Iterator[Line]:
    for stop in advice.stops:
        yield Line(text=stop.text, kind="warning")
    order = [check.fact for check in advice.next_checks]
    for number, conflict in enumerate(independent(advice.contradictions)):
        best = next((fact for fact in order if fact in conflict), None)
        if best is not None:
            lead = "Then, for what disagrees besides" if number else "Best checked again first"
            yield Line(text=f'{lead}: "{knowledge.tree.questions[best].ask}"')


THEIRS = (
    "To the {who}: the cautions, steps, joints and proof on this card are yours; the law here keeps fixed wiring for "
    "you. Whoever lives there chooses, buys and tries the functions."
)


def _verdict(
    knowledge: Knowledge, facts: Mapping[str, Value], advice: Advice, chosen: SchemeVerdict | None
) -> Iterator[Line]:
    region = knowledge.regions.get(str(facts.get("region", "")))
    if region is not None and region.who_may.licensed_only and (chosen or advice.next_checks):
        yield Line(text=THEIRS.format(who=region.words.licensed_person), kind="warning")
    if chosen:
        scheme = next(s for s in knowledge.schemes.scheme if s.id == chosen.id)
        way = next((w for w in scheme.way if w.id == chosen.way), None)
        yield Line(text=f"{scheme.says} Here: {_lower(way.says)}" if way else scheme.says)
        if not chosen.plan:
            text = "The joints depend on the wiring, which is not settled yet: see below."
            yield Line(text=text, kind="warning")
    elif advice.status == "needs_checks":
        able = [s.title for s in advice.schemes if s.verdict in ("fits", "fits_with_preparation")]
        maybe = [s.title for s in advice.schemes if s.verdict == "undetermined"]
        if able:
            yield Line(text="Can be done whatever the next looks show: " + "; ".join(able) + ".")
        if maybe:
            yield Line(text="May turn out better, or not possible: " + "; ".join(maybe) + ".")


def _next(knowledge: Knowledge, advice: Advice) -> Iterator[Line]:
    where = {"floor": "from the floor", "wall": "at the wall, plate off", "canopy": "in the canopy"}
    named = {check.fact for check in advice.next_checks}
    for check in (*advice.next_checks, *(other for other in advice.for_others if other.fact not in named)):
        question = knowledge.tree.questions[check.fact]
        yield Line(text=f"{question.ask} ({where[check.station]}) {check.text}", kind="step")


def _cases(knowledge: Knowledge, advice: Advice) -> Iterator[Line]:
    """What each answer to the next look would lead to; preparations that every outlook shares are not repeated."""
    if not advice.cases:
        return
    fact = advice.cases[0].fact
    yield Line(text=f'The next look: "{knowledge.tree.questions[fact].ask}"')
    every = [set(one.preparations) for case in advice.cases for one in case.outlooks if one.scheme]
    shared = set.intersection(*every) if every else set()
    for case in advice.cases:
        chance = "yours to decide" if case.p is None else f"{likelihood(case.p)}, {percent(case.p)}"
        yield Line(text=f'If "{case.answer}" ({chance}): {_outlook(knowledge, case, shared)}.', kind="item")


def _outlook(knowledge: Knowledge, case: Case, shared: set[str]) -> str:
    """One scheme with what it takes beside the `shared` preparations, or several with their shares."""
    titles = {s.id: _lower(s.title) for s in knowledge.schemes.scheme}
    titles |= {"none": "nothing that fits", "stop": "stop, and call a licensed electrician"}
    schemes = list(case.schemes.items())
    if len(schemes) > 1:
        return words.listed(f"{titles[s]} ({likelihood(p)}, {percent(p)})" for s, p in schemes[:3])
    title = titles[schemes[0][0]]
    if len(case.outlooks) > 1:
        return f"{title}; what it takes depends on further looks"
    wanted = {name for one in case.outlooks for name in one.preparations} - shared
    steps = [_lower(p.title) for p in knowledge.preparations.preparation if p.id in wanted]
    takes = f". It takes: {words.listed(steps)}" if steps else ""
    return title + takes + ("" if case.settles else ". It holds if the looks still open find nothing against it")


def _evidence(advice: Advice) -> Iterator[Line]:
    marks = {
        "measured": "Measured",
        "seen": "Seen",
        "inferred": "Follows from the rest",
        "assumed": "TAKEN FOR GRANTED",
    }
    for item in advice.evidence:
        again = " Look before you join anything." if item.kind == "assumed" else ""
        yield Line(text=f"{marks[item.kind]}: {_lower(item.what)}.{again}", kind="warning" if again else "item")


def _keeps(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict | None) -> Iterator[Line]:
    if not chosen:
        return
    for want in knowledge.schemes.want:
        kept = chosen.keeps.get(want.id)
        wish = facts.get(want.id)
        said = {"must": " (a must)", "nice": " (you wished it)"}.get(str(wish), "")
        if kept is True:
            yield Line(text=f"Keeps: {want.keeps}{said}.", kind="good")
        elif kept is False and wish != "no" and not (wish is None and want.unasked == "no"):
            yield Line(text=f"Loses: {want.loses}{said}.", kind="bad")
    online = chosen.keeps.get("stays_online")
    if online is True:
        yield Line(text="Stays online whatever anybody does at the wall.", kind="good")
    elif online is False:
        yield Line(text="Goes offline when somebody switches it off at the wall.", kind="bad")


def _cautions(advice: Advice) -> Iterator[Line]:
    for text in advice.warnings:
        yield Line(text=text, kind="warning")


def _preparations(knowledge: Knowledge, advice: Advice, chosen: SchemeVerdict | None, when: str) -> Iterator[Line]:
    """What is done before or after; what belongs to the work in the boxes is told too while there are no steps."""
    if not chosen or not advice.recommendation:
        return
    by_id = {p.id: p for p in knowledge.preparations.preparation}
    for name in advice.recommendation.preparations:
        preparation = by_id[name]
        told = "before" if preparation.when == "during" and not chosen.steps else preparation.when
        if told != when:
            continue
        who = " (licensed electrician)" if preparation.electrician else ""
        yield Line(text=f"{preparation.title}{who}: {preparation.step}", kind="step")


def _steps(chosen: SchemeVerdict | None) -> Iterator[Line]:
    box = ""
    for step in chosen.steps if chosen else ():
        if step.box != box:
            box = step.box
            yield Line(text=f"In {step.title} (= stays as it is today):")
        yield Line(text=step.text if step.new else f"= {step.text}", kind="step" if step.new else "item")


def _functions(chosen: SchemeVerdict | None) -> Iterator[Line]:
    for row in chosen.functions if chosen else ():
        light = f", light {row.light}" if row.light is not None else ""
        online = {True: ", online", False: ", OFFLINE", None: ""}[row.online]
        where = words.listed(row.positions) or "always"
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


def likelihood(p: float) -> str:
    """A share in words."""
    return next(word for least, word in LIKELIHOODS if p >= least)


def percent(p: float) -> str:
    """A share in numbers; what may yet be otherwise is never told as sure."""
    return f"{100 if p == 1 else max(1, min(99, round(100 * p)))} %"


def _known(advice: Advice) -> Iterator[Line]:
    if advice.motor_settled:
        yield Line(text=f"The fan has {MOTOR_WORDS[advice.motor_settled]}.")
    elif any(advice.motor.values()):
        kinds = sorted(advice.motor.items(), key=lambda kv: -kv[1])
        told = [f"{MOTOR_WORDS[k]} ({likelihood(p)}, {round(100 * p)} %)" for k, p in kinds if p >= 0.005]
        yield Line(text="The fan's motor is not settled: " + "; ".join(told) + ". It counts as DC until then.")
    for wiring in advice.wirings[:MOST_WIRINGS]:
        share = "" if len(advice.wirings) == 1 else f" ({likelihood(wiring.p)}, {round(100 * wiring.p)} %)"
        yield Line(text=f"{wiring.words}{share}")
    if len(advice.wirings) > MOST_WIRINGS:
        yield Line(text=f"And {len(advice.wirings) - MOST_WIRINGS} less likely wirings.")


def _why_not(knowledge: Knowledge, advice: Advice, chosen: SchemeVerdict | None) -> Iterator[Line]:
    wants = {w.id: w for w in knowledge.schemes.want}
    for scheme in advice.schemes:
        if scheme is chosen or not scheme.reasons:
            continue
        if scheme.verdict in ("ruled_out", "undetermined"):
            yield Line(text=f"{scheme.title}: {_because(scheme)}", kind="item")
        elif chosen:
            lost = words.listed(
                wants[w].loses
                for w, kept in scheme.keeps.items()
                if w in wants and kept is False and chosen.keeps.get(w)
            )
            extra = words.listed(
                p.title.lower()
                for p in knowledge.preparations.preparation
                if p.id in scheme.preparations and p.id not in chosen.preparations and p.work >= 0.3
            )
            because = lost or (f"more work ({extra})" if extra else "no gain over the recommended one")
            yield Line(text=f"{scheme.title}: possible, but {because}.", kind="item")


def _because(scheme: SchemeVerdict) -> str:
    """Why not, or not yet. What holds only in some of the open cases is told as such, never as a fact."""
    if scheme.verdict == "ruled_out":
        return "No. " + " ".join(r.text for r in scheme.reasons[:3])
    share = [r.text for r in scheme.reasons if r.rule == "not_settled"][:1]
    rest = [r.text for r in scheme.reasons if r.rule != "not_settled"][: 3 - len(share)]
    return " ".join(["Open.", *share, *(["What may stand against it:"] if rest else []), *rest])


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
