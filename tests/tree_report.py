"""How far the decision tree is from the best that can be done: `python tests/tree_report.py`.

Exact, nothing is sampled. Only looks that tell houses and fans apart are counted, and the hints that merely lean.
Region, wishes, permissions, the place, sizes, and what would stop the work are asked alike whatever the policy, and
so are, as conditions here, the kind of light, the number of wall boxes and whether there is a remote. The marks of
receiver and leads are taken as readable; a label on the motor and a chain are there as often as clues.toml says.
"Until nothing can change": no look that is left could change the recommendation; the rest of the tree is not
counted. "In the advised order": somebody answers "not now" at the wall's door where `open_first` names the canopy.
Trouble is in the minutes of clues.toml (estimates). Answers are always right, and whoever answers tells everything
that is visible.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from time import perf_counter
from typing import Literal

from switchleg.advice.advise import look
from switchleg.advice.look_table import Case, case
from switchleg.diagnosis.followed import Followed, follow
from switchleg.diagnosis.looks import Table
from switchleg.diagnosis.optimum import Optimum, entropy_bound
from switchleg.diagnosis.policies import greedy_value, open_first
from switchleg.knowledge.load import Knowledge, load
from switchleg.tree.model import CARD, Again, Door, Question, Reply, Value
from switchleg.tree.walk import walk

NOW = datetime(2026, 1, 1, tzinfo=UTC)
SET_UP: dict[str, Value] = {
    "region": "us",
    "house_age": "1974_2010",
    "hub": "zigbee",
    "who_works": "myself",
    "fan_installed": True,
    "acts_on_other_loads": False,
    "only_room_light": False,
    "pull_chain_light": False,
    "may_open_canopy": True,
    "may_pull_cable": False,
    "able_to_test_live": False,
    "place_rating_needed": "dry",
    "remote_kind": "radio",
    "want_keep_wall_look": "no",
}
"""Asked of everybody and the same for all policies: region, wishes, permissions, the place, safety and sizes."""
SOUND: dict[str, Value] = {
    "damage_seen": False,
    "ceiling_damage_seen": False,
    "wire_metal": "copper",
    "wire_age": "plastic",
    "circuits_in_box": 1,
    "wall_ground": True,
    "ceiling_ground": True,
    "fan_box_marked": True,
    "control_1_kind": "on_off",
    "control_2_kind": "on_off",
    "breaker": "15 A",
    "wire_size": "14 AWG",
    "wall_gangs": 1,
}
"""Answers that stop nothing, for the walk only."""
FIRST = "wall"
"""The station that the tree opens first."""
WISHES: Mapping[str, Mapping[str, Value]] = {
    "wall": {
        "want_wall_control": "must",
        "want_speed_from_app": "nice",
        "want_light_apart": "nice",
        "want_light_dimming": "no",
        "want_keep_remote": "no",
        "may_replace_fan": False,
    },
    "on and off": {
        "want_wall_control": "nice",
        "want_speed_from_app": "no",
        "want_light_apart": "no",
        "want_light_dimming": "no",
        "want_keep_remote": "must",
        "may_replace_fan": False,
    },
    "speed": {
        "want_wall_control": "must",
        "want_speed_from_app": "must",
        "want_light_apart": "must",
        "want_light_dimming": "nice",
        "want_keep_remote": "no",
        "may_replace_fan": True,
    },
    "everything nice": {
        "want_wall_control": "nice",
        "want_speed_from_app": "nice",
        "want_light_apart": "nice",
        "want_light_dimming": "nice",
        "want_keep_remote": "nice",
        "may_replace_fan": True,
    },
}


def conditions(knowledge: Knowledge) -> Iterator[tuple[str, float, dict[str, Value]]]:
    """Every condition with its weight: wishes and light alike often, wall boxes and remote as the beliefs have them."""
    kits = {"lamps": 0.8, "none": 0.2}
    for wish, wished in WISHES.items():
        for kit, p_kit in kits.items():
            given = {**SET_UP, **wished, "light_kit": kit}
            _, fans, _ = look(knowledge, given)
            with_remote = sum(p for fan, p in fans.shares.items() if fan.remote)
            for boxes, p_boxes in (("0", 0.1), ("1", 0.75), ("2", 0.15)):
                for remote, p_remote in ((True, with_remote), (False, 1 - with_remote)):
                    name = f"{wish}; light {kit}; {boxes} wall boxes; {'a' if remote else 'no'} remote"
                    facts = {**given, "wall_boxes": int(boxes), "handheld_remote": remote}
                    yield name, p_kit * p_boxes * p_remote / len(WISHES), facts


def as_written(knowledge: Knowledge, one: Case, *, advised: bool = False) -> list[tuple[int, ...]]:
    """The looks of the table that the tree takes, in turn, for each row.

    `advised`: the wall's door is answered "not now" where less opening is expected with the canopy first.
    """
    table = one.table
    places = {look.name: i for i, look in enumerate(table.looks)}
    orders: list[tuple[int, ...]] = []
    firsts: dict[int, str | None] = {}
    for number, row in enumerate(one.rows):
        facts = {**SOUND, **one.given, **row}
        order = _places(places, _asked(knowledge, facts))
        if advised and f"open {FIRST}" in places:
            floor = [look for look in order if table.looks[look].station not in table.opening]
            belief = _left(table, floor, number)
            if belief not in firsts:
                firsts[belief] = open_first(table, belief)
            if firsts[belief] not in (None, FIRST):
                order = _places(places, _asked(knowledge, facts, put_off=frozenset({FIRST})))
        orders.append(order)
    return orders


def _left(table: Table, looks: Sequence[int], row: int) -> int:
    """The hypotheses that show the same as this one at all these looks."""
    belief = table.everything
    for seen in looks:
        belief &= next(part for part in table.parts[seen] if part >> row & 1)
    return belief


def _places(places: Mapping[str, int], asked: Iterator[tuple[Door | Question | Again, str]]) -> tuple[int, ...]:
    named = (_name(node, station) for node, station in asked)
    return tuple(dict.fromkeys(places[name] for name in named if name in places))


def _name(node: Door | Question | Again, station: str) -> str:
    return f"open {node.opens}" if isinstance(node, Door) else f"{node.fact}@{station}"


def _asked(
    knowledge: Knowledge, facts: Mapping[str, Value], *, put_off: frozenset[str] = frozenset()
) -> Iterator[tuple[Door | Question | Again, str]]:
    """Every door and question in turn. A station in `put_off` is first answered "not now", and opened at the end."""
    tree = knowledge.tree
    replies: dict[str, Reply] = {}
    while True:
        walked = walk(tree, replies)
        if walked.at == CARD:
            if not walked.later:
                return
            put_off = frozenset()
            replies = {at: reply for at, reply in replies.items() if at not in walked.later}
            continue
        node, station = tree.nodes[walked.at], tree.station_of[walked.at]
        if isinstance(node, Door):
            later = node.opens in put_off
            replies[walked.at] = Reply(kind="later" if later else "open", at=NOW, station=station)
            if not later:
                yield node, station
        elif isinstance(node, Question | Again):
            value = facts.get(node.fact)
            kind: Literal["value", "cant_tell"] = "cant_tell" if value is None else "value"
            replies[walked.at] = Reply(kind=kind, value=value, at=NOW, station=station)
            yield node, station


@dataclass(frozen=True)
class Measured:
    """One condition measured; troubles are expected minutes."""

    name: str
    weight: float
    one: Case
    best: float
    greedy: float
    bound: float
    least: float
    tree: Followed
    advised: Followed
    other: Followed | None
    seconds: float


def measured(knowledge: Knowledge, name: str, weight: float, one: Case, other: Knowledge | None = None) -> Measured:
    began = perf_counter()
    best = Optimum(one.table)
    value = best.value()
    greedy = greedy_value(one.table, one.table.everything)
    tree = follow(one.table, as_written(knowledge, one), best)
    advised = follow(one.table, as_written(knowledge, one, advised=True), best)
    others = follow(one.table, as_written(other, one), best) if other else None
    seconds = perf_counter() - began
    bound, least = entropy_bound(one.table), best.bound(one.table.everything)
    return Measured(name, weight, one, value, greedy, bound, least, tree, advised, others, seconds)


def show(found: list[Measured], *, most: int) -> None:
    def mean(number: Callable[[Measured], float]) -> float:
        return sum(m.weight * number(m) for m in found) / total

    total = sum(m.weight for m in found)

    def others(end: bool) -> float:
        return mean(lambda m: (m.other.to_its_end if end else m.other.trouble) if m.other else 0.0)

    best = mean(lambda m: m.best)
    print(f"\nMean over {len(found)} conditions, in minutes")
    for words, minutes in (
        ("entropy bound (looks only)", mean(lambda m: m.bound)),
        ("bound with stations", mean(lambda m: m.least)),
        ("exact optimum", best),
        ("greedy by edges cut per marginal trouble", mean(lambda m: m.greedy)),
        ("the tree, until nothing can change", mean(lambda m: m.tree.trouble)),
        ("the same, doors in the advised order", mean(lambda m: m.advised.trouble)),
        ("the tree, every diagnosing look to its end", mean(lambda m: m.tree.to_its_end)),
        *[(f"the other tree{', to its end' * end}", others(end)) for end in (False, True) if found[0].other],
    ):
        print(f"  {words:<45}{minutes:8.2f}   {minutes / best:5.2f} x optimum")
    unsettled = mean(lambda m: m.tree.unsettled)
    print(f"  the tree ends before all is told in {unsettled:.2%}; the best looks are added there")
    covered, torn = mean(lambda m: m.one.covered), mean(lambda m: m.one.torn)
    print(f"  covered: {covered:.1%} of the mass; no look can tell all apart in {torn:.1%}")
    for words, trees in (("the tree", [m.tree for m in found]), ("the advised order", [m.advised for m in found])):
        lost: dict[str, list[float]] = {}
        for m, tree in zip(found, trees, strict=True):
            for node in tree.nodes:
                entry = lost.setdefault(node.look, [0.0, 0.0])
                entry[0] += m.weight * node.loss / total
                entry[1] += m.weight * node.share / total
        print(f"\nWhere {words} loses (all {sum(e[0] for e in lost.values()):.2f} min)")
        for name, (loss, share) in sorted(lost.items(), key=lambda kv: -kv[1][0])[:most]:
            print(f"  {name:<34}{loss:7.3f} min   asked in {share:6.1%}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--covering", type=float, default=0.99, help="share of the hypotheses to keep")
    parser.add_argument("--most", type=int, default=1200, help="rows at most with one wall box or none")
    parser.add_argument("--most-two", type=int, default=400, help="rows at most with two wall boxes")
    parser.add_argument("--only", default="", help="conditions whose name contains this")
    parser.add_argument("--other", type=Path, help="a folder with another tree to compare, laid out as decision_tree")
    chosen = parser.parse_args()
    sys.setrecursionlimit(20_000)
    knowledge, other = load(), load(chosen.other) if chosen.other else None
    found = []
    heads = ("rows", 6), ("cover", 7), ("torn", 6), ("best", 7), ("greedy", 8), ("tree", 7), ("advised", 9), ("end", 7)
    print(f"{'condition':<50}" + "".join(f"{head:>{width}}" for head, width in (*heads, ("s", 7))))
    for name, weight, given in conditions(knowledge):
        if chosen.only not in name:
            continue
        most = chosen.most_two if given["wall_boxes"] == 2 else chosen.most
        one = case(knowledge, given, covering=chosen.covering, most=most)
        m = measured(knowledge, name, weight, one, other)
        found.append(m)
        print(
            f"{name:<50}{len(one.rows):>6}{one.covered:>7.1%}{one.torn:>6.0%}{m.best:>7.2f}{m.greedy:>8.2f}"
            f"{m.tree.trouble:>7.2f}{m.advised.trouble:>9.2f}{m.tree.to_its_end:>7.2f}{m.seconds:>7.1f}",
            flush=True,
        )
    show(found, most=12)


if __name__ == "__main__":
    main()
