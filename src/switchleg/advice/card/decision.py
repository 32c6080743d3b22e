"""The part of a card that says what is decided: stops, verdict, next looks, cases, what is known and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.card import contradictions
from switchleg.advice.card.model import Line, chance, lower, percent
from switchleg.advice.model import Advice, Case, SchemeVerdict
from switchleg.advice.wording import phrases
from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

MOTOR_WORDS = {
    "ac": "a plain AC motor",
    "ac_tapped": "an AC motor whose speed parts sit in the receiver",
    "dc": "a DC motor",
}
MOST_WIRINGS = 4


def stopping(knowledge: Knowledge, facts: Mapping[str, Value], advice: Advice) -> Iterator[Line]:
    """Why to stop: the finds, then which answer to check again first and what it does not go with."""
    finds = [stop for stop in advice.stops if stop.rule != contradictions.DISAGREE]
    yield from (Line(text=stop.text, kind="warning") for stop in finds)
    yield from contradictions.lines(knowledge, facts, advice)


def all_at_odds(advice: Advice) -> Iterator[Line]:
    """Every set of answers that disagree, each in whole; nothing where the first lines named them all."""
    if contradictions.some_left(advice):
        yield from (Line(text=stop.text, kind="item") for stop in contradictions.all_sets(advice))


THEIRS = (
    "To the {who}: the cautions, steps, joints and proof on this card are yours; the law here keeps fixed wiring for "
    "you. Whoever lives there chooses, buys and tries the functions."
)


def verdict(
    knowledge: Knowledge, facts: Mapping[str, Value], advice: Advice, chosen: SchemeVerdict | None
) -> Iterator[Line]:
    region = knowledge.regions.get(str(facts.get("region", "")))
    if region is not None and region.who_may.licensed_only and (chosen or advice.next_checks):
        yield Line(text=THEIRS.format(who=region.words.licensed_person), kind="warning")
    if chosen:
        scheme = next(s for s in knowledge.schemes.scheme if s.id == chosen.id)
        way = next((w for w in scheme.way if w.id == chosen.way), None)
        yield Line(text=f"{scheme.says} Here: {lower(way.says)}" if way else scheme.says)
        if not chosen.plan:
            text = "The joints depend on the wiring, which is not settled yet: see below."
            yield Line(text=text, kind="warning")
    elif advice.status == "needs_checks":
        able = [s.title for s in advice.schemes if s.verdict in ("fits", "fits_with_preparation")]
        maybe = [s.title for s in advice.schemes if s.verdict == "undetermined"]
        if able:
            yield Line(text="Can be done whatever the next looks show: " + "; ".join(able) + ".")
        if maybe:
            lead = "May turn out better, or not possible" if able else "May be possible, or not"
            yield Line(text=f"{lead}: " + "; ".join(maybe) + ".")


def next_looks(knowledge: Knowledge, advice: Advice) -> Iterator[Line]:
    where = {"floor": "from the floor", "wall": "at the wall, plate off", "canopy": "in the canopy"}
    named = {check.fact for check in advice.next_checks}
    at_once = contradictions.first_looks(advice) or named
    checks = [check for check in advice.next_checks if check.fact in at_once]
    for check in (*checks, *(other for other in advice.for_others if other.fact not in named)):
        question = knowledge.tree.questions[check.fact]
        yield Line(text=f"{question.ask} ({where[check.station]}) {check.text}", kind="step")


def outlooks(knowledge: Knowledge, advice: Advice) -> Iterator[Line]:
    """What each answer to the next look would lead to; preparations that every outlook shares are not repeated."""
    if not advice.cases:
        return
    fact = advice.cases[0].fact
    yield Line(text=f'The next look: "{knowledge.tree.questions[fact].ask}"')
    every = [set(one.preparations) for case in advice.cases for one in case.outlooks if one.scheme]
    shared = set.intersection(*every) if every else set()
    for number, case in enumerate(advice.cases):
        likely = "yours to decide" if case.p is None else chance(case.p, first=not number)
        yield Line(text=f'If "{case.answer}" ({likely}): {_outlook(knowledge, case, shared)}.', kind="item")


def _outlook(knowledge: Knowledge, case: Case, shared: set[str]) -> str:
    """One scheme with what it takes beside the `shared` preparations, or several with their shares."""
    titles = {s.id: lower(s.title) for s in knowledge.schemes.scheme}
    titles |= {"none": "nothing that fits", "stop": "stop, and call a licensed electrician"}
    schemes = list(case.schemes.items())
    if len(schemes) > 1:
        return phrases.listed(f"{titles[s]} ({chance(p, first=s == schemes[0][0])})" for s, p in schemes[:3])
    title = titles[schemes[0][0]]
    if len(case.outlooks) > 1:
        return f"{title}; what it takes depends on further looks"
    wanted = {name for one in case.outlooks for name in one.preparations} - shared
    steps = [lower(p.title) for p in knowledge.preparations.preparation if p.id in wanted]
    takes = f". It takes: {phrases.listed(steps)}" if steps else ""
    return title + takes + ("" if case.settles else ". It holds if the looks still open find nothing against it")


def keeps(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict | None) -> Iterator[Line]:
    if not chosen:
        return
    for want in knowledge.schemes.want:
        kept = chosen.keeps.get(want.id)
        wish = facts.get(want.id)
        said = {"must": " (a must)", "nice": " (you wished it)"}.get(str(wish), "")
        if kept is True:
            part = want.kept_in_part(chosen.wall_control)
            text = f"Keeps{' in part' if part else ''}: {want.kept_words(chosen.wall_control)}{said}."
            yield Line(text=text, kind="text" if part else "good")
        elif kept is False and wish != "no" and not (wish is None and want.unasked == "no"):
            yield Line(text=f"Loses: {want.loses}{said}.", kind="bad")
    online = chosen.keeps.get("stays_online")
    if online is True:
        yield Line(text="Stays online whatever anybody does at the wall.", kind="good")
    elif online is False:
        yield Line(text="Goes offline when somebody switches it off at the wall.", kind="bad")


def known(advice: Advice) -> Iterator[Line]:
    if advice.motor_settled:
        yield Line(text=f"The fan has {MOTOR_WORDS[advice.motor_settled]}.")
    elif any(advice.motor.values()):
        kinds = sorted(advice.motor.items(), key=lambda kv: -kv[1])
        told = [f"{MOTOR_WORDS[k]} ({chance(p, first=k == kinds[0][0])})" for k, p in kinds if p >= 0.005]
        yield Line(text="The fan's motor is not settled: " + "; ".join(told) + ". It counts as DC until then.")
    if len(advice.wirings) == 1:
        yield Line(text=advice.wirings[0].words)
        return
    for number, wiring in enumerate(advice.wirings[:MOST_WIRINGS]):
        likely = percent(wiring.p) if number else chance(wiring.p, first=True)
        yield Line(text=f"{likely[0].upper()}{likely[1:]}: {wiring.words}")
    if left := advice.wirings[MOST_WIRINGS:]:
        many = "one other" if len(left) == 1 else f"{len(left)} others"
        yield Line(text=f"And {many}, {percent(sum(one.p for one in left))} in all.")


def evidence(advice: Advice) -> Iterator[Line]:
    marks = {
        "measured": "Measured",
        "seen": "Seen",
        "inferred": "Follows from the rest",
        "assumed": "TAKEN FOR GRANTED",
    }
    for item in advice.evidence:
        again = " Look before you join anything." if item.kind == "assumed" else ""
        yield Line(text=f"{marks[item.kind]}: {lower(item.what)}.{again}", kind="warning" if again else "item")


def why_not(knowledge: Knowledge, advice: Advice, chosen: SchemeVerdict | None) -> Iterator[Line]:
    wants = {w.id: w for w in knowledge.schemes.want}
    for scheme in advice.schemes:
        if scheme is chosen or not scheme.reasons:
            continue
        if scheme.verdict in ("ruled_out", "undetermined"):
            yield Line(text=f"{scheme.title}: {_because(scheme)}", kind="item")
        elif chosen:
            lost = phrases.listed(
                wants[w].loses
                for w, kept in scheme.keeps.items()
                if w in wants and kept is False and chosen.keeps.get(w)
            )
            extra = phrases.listed(
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
