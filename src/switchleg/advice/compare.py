"""Schemes side by side against the wants, and what would make a ruled-out one possible. Pure: nothing is kept."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from switchleg.advice.advise import advise
from switchleg.advice.model import Advice, SchemeVerdict
from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge

WORDS = {
    "fits": "fits",
    "fits_with_preparation": "fits, with preparation",
    "undetermined": "open: more to check",
    "ruled_out": "not possible",
}
ABLE = ("fits", "fits_with_preparation")


@dataclass(frozen=True)
class WhatIf:
    """A supposition: its key, its words as a sentence's end, and whether it is so already."""

    id: str
    words: str
    so_already: bool


@dataclass(frozen=True)
class Compared:
    """One scheme. `keeps` in the order of the wants; None: not known yet."""

    id: str
    title: str
    verdict: str
    recommended: bool
    keeps: tuple[tuple[str, bool | None], ...]
    kept: tuple[str, ...]
    lost: tuple[str, ...]
    needs: tuple[str, ...]
    why_not: str
    possible_if: tuple[str, ...]
    """For one that is ruled out: what would make it possible, the least first; empty when nothing here would."""


WHAT_IFS: dict[str, tuple[str, Mapping[str, Value]]] = {
    "fan": ("another fan may be put up", {"may_replace_fan": True}),
    "cable": ("a new cable may be pulled", {"may_pull_cable": True}),
    "canopy": ("the canopy may be opened", {"may_open_canopy": True}),
    "spare": ("one more conductor, unused, is found in the run", {"run_spare": True}),
}


SHORTLY = {"fan": "another fan", "cable": "a new cable", "canopy": "an open canopy", "spare": "a spare conductor"}
"""The same in a few words, for a narrow window."""


def supposed(facts: Mapping[str, Value], ifs: Collection[str]) -> dict[str, Value]:
    """The facts as they would be; those given are not touched. A spare found is one conductor more than was counted."""
    changed = dict(facts)
    for name in WHAT_IFS:
        if name in ifs:
            if name == "spare" and facts.get("run_spare") is not True:
                counted = facts.get("run_conductors")
                if isinstance(counted, int) and not isinstance(counted, bool):
                    changed["run_conductors"] = counted + 1
            changed |= WHAT_IFS[name][1]
    return changed


def what_ifs(facts: Mapping[str, Value]) -> tuple[WhatIf, ...]:
    """Every supposition that can be made."""
    return tuple(
        WhatIf(name, words, all(facts.get(fact) == value for fact, value in change.items()))
        for name, (words, change) in WHAT_IFS.items()
    )


def compare(
    knowledge: Knowledge, facts: Mapping[str, Value], advice: Advice, untold: Collection[str] = ()
) -> tuple[Compared, ...]:
    """The schemes in the advice's order, the recommended one first, then those that fit."""
    chosen = advice.recommendation.scheme if advice.recommendation else None
    ways = _ways_to(knowledge, facts, untold, {scheme.id for scheme in advice.schemes if scheme.verdict == "ruled_out"})
    found = [_one(knowledge, scheme, scheme.id == chosen, ways.get(scheme.id, ())) for scheme in advice.schemes]
    order = list(WORDS.values())
    return tuple(sorted(found, key=lambda one: (not one.recommended, order.index(one.verdict))))


def _ways_to(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str], ruled_out: Collection[str]
) -> dict[str, tuple[str, ...]]:
    """For each of these schemes the least suppositions, one or two, under which it may be possible."""
    open_ifs = [one for one in what_ifs(facts) if not one.so_already]
    found: dict[str, tuple[str, ...]] = {}
    for count in (1, 2):
        for group in combinations(open_ifs, count):
            if set(ruled_out) <= set(found):
                return found
            advice = advise(knowledge, supposed(facts, [one.id for one in group]), untold)
            for scheme in advice.schemes:
                if scheme.id in ruled_out and scheme.verdict in ABLE:
                    found.setdefault(scheme.id, tuple(one.words for one in group))
    return found


def _one(knowledge: Knowledge, scheme: SchemeVerdict, recommended: bool, ways: tuple[str, ...]) -> Compared:
    wants = [want for want in knowledge.schemes.want if want.id in scheme.keeps]
    titles = {one.id: one.title for one in knowledge.preparations.preparation}
    against = [reason.text for reason in scheme.reasons if reason.rule != "fits"]
    return Compared(
        id=scheme.id,
        title=scheme.title,
        verdict=WORDS[scheme.verdict],
        recommended=recommended,
        keeps=tuple((want.id, scheme.keeps[want.id]) for want in wants),
        kept=tuple(want.kept_words(scheme.wall_control) for want in wants if scheme.keeps[want.id] is True),
        lost=tuple(want.loses for want in wants if scheme.keeps[want.id] is False),
        needs=tuple(titles[name] for name in scheme.preparations),
        why_not=against[0] if scheme.verdict not in ABLE and against else "",
        possible_if=ways,
    )
