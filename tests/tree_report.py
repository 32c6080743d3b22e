"""How far the walk is from the best that can be done: `python tests/tree_report.py`.

Exact, nothing is sampled. Only looks that tell houses and fans apart are counted, and the hints that merely lean.
Region, wishes, permissions, the place, sizes, and what would stop the work are asked alike whatever the policy, and
so are, as conditions here, the kind of light, the number of wall boxes and whether there is a remote. The marks of
receiver and leads are taken as readable; a label on the motor and a chain are there as often as clues.toml says.
What is walked is the session's own way: the tree, what it leaves out once enough is known, and its gates. "Gates in
the tree's order": every gate is opened as it comes. "As the walk says": a gate where the walk says that what to do is
settled is left shut, and the other station is opened first where the walk says so. "To its end": all looks of the way,
those too that come after the recommendation is decided, for its joints. A table that leaves out more than a few in a
thousand makes the optimum too good: the walk must be sure of the rare houses too. A whole table is also the quicker
one to solve: only whole can what leans be put aside.
Trouble is in the minutes of clues.toml (estimates). Answers are always right, and whoever answers tells everything
that is visible.
"""

from __future__ import annotations

import argparse
import multiprocessing
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from math import inf
from pathlib import Path
from time import perf_counter
from typing import Literal

from switchleg.advice.advise import look
from switchleg.advice.look_table import Case, case
from switchleg.diagnosis.followed import Followed, follow
from switchleg.diagnosis.optimum import Optimum, entropy_bound
from switchleg.diagnosis.policies import greedy_value
from switchleg.knowledge.load import Knowledge, load
from switchleg.session.asking import Memory, Way, way
from switchleg.session.doors import SETTLED, hint, other_station
from switchleg.tree.model import CARD, Again, Door, Question, Reply, Station, Value

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
    "ceiling_wire": "sound",
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
                    if not remote:
                        del facts["remote_kind"]
                    yield name, p_kit * p_boxes * p_remote / len(WISHES), facts


def as_walked(knowledge: Knowledge, one: Case, *, advised: bool = False) -> list[tuple[int, ...]]:
    """The looks of the table that the walk takes, in turn, for each row: the tree, its stop rule and its gates.

    `advised`: a gate is left shut where the walk says that what to do is settled, and the other station is opened
    first where the walk says so. Else every gate is opened in the order of the tree.
    """
    places = {look.name: i for i, look in enumerate(one.table.looks)}
    orders: list[tuple[int, ...]] = [()] * len(one.rows)
    given = {**SOUND, **one.given}
    rows = [{**given, **row} for row in one.rows]
    for looks, members in _walked(knowledge, rows, list(range(len(rows))), {}, (), {}, advised=advised):
        order = tuple(dict.fromkeys(places[name] for name in looks if name in places))
        for member in members:
            orders[member] = order
    return orders


def _walked(
    knowledge: Knowledge,
    rows: Sequence[Mapping[str, Value]],
    members: list[int],
    replies: dict[str, Reply],
    looks: tuple[str, ...],
    memory: Memory,
    *,
    advised: bool,
) -> Iterator[tuple[tuple[str, ...], list[int]]]:
    """Rows that have shown the same so far go on together; at the card each group's looks are told."""
    tree = knowledge.tree
    while True:
        here = way(knowledge, replies, memory=memory)
        at = here.walk.at
        if at == CARD:
            yield looks, members
            return
        node, station = tree.nodes[at], tree.station_of[at]
        if isinstance(node, Door):
            kind = _at_door(knowledge, here, node, replies) if advised else "open"
            replies = {**replies, at: Reply(kind=kind, at=NOW, station=station)}
            looks += (f"open {node.opens}",) * (kind == "open")
            continue
        assert isinstance(node, Question | Again)
        looks += (f"{node.fact}@{station}",)
        groups: dict[Value | None, list[int]] = {}
        for member in members:
            groups.setdefault(rows[member].get(node.fact), []).append(member)
        if len(groups) == 1:
            replies = {**replies, at: _said(next(iter(groups)), station)}
            continue
        for value, group in groups.items():
            told = {**replies, at: _said(value, station)}
            yield from _walked(knowledge, rows, group, told, looks, memory, advised=advised)
        return


def _said(value: Value | None, station: Station) -> Reply:
    return Reply(kind="cant_tell" if value is None else "value", value=value, at=NOW, station=station)


def _at_door(
    knowledge: Knowledge, here: Way, door: Door, replies: Mapping[str, Reply]
) -> Literal["open", "later", "after"]:
    """What somebody does at a gate who takes the walk at its word."""
    other = other_station(knowledge.tree, here, replies, door)
    opened = frozenset(
        node.opens
        for at, reply in replies.items()
        if isinstance(node := knowledge.tree.nodes[at], Door) and reply.kind == "open"
    )
    said = hint(knowledge, here, other, opened)
    if said.text == SETTLED:
        return "later"
    return "after" if said.first and other is not None and other.id not in replies else "open"


@dataclass(frozen=True)
class Measured:
    """One condition measured; troubles are expected minutes."""

    name: str
    weight: float
    rows: int
    covered: float
    torn: float
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
    tree = follow(one.table, as_walked(knowledge, one), best)
    advised = follow(one.table, as_walked(knowledge, one, advised=True), best)
    others = follow(one.table, as_walked(other, one), best) if other else None
    seconds = perf_counter() - began
    bound, least = entropy_bound(one.table), best.bound(one.table.everything)
    sizes = len(one.rows), one.covered, one.torn
    return Measured(name, weight, *sizes, value, greedy, bound, least, tree, advised, others, seconds)


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
        ("the walk, gates in the tree's order", mean(lambda m: m.tree.trouble)),
        ("the walk as it says itself", mean(lambda m: m.advised.trouble)),
        ("the walk as it says itself, to its end", mean(lambda m: m.advised.to_its_end)),
        *[(f"the other tree{', to its end' * end}", others(end)) for end in (False, True) if found[0].other],
    ):
        print(f"  {words:<45}{minutes:8.2f}   {minutes / best:5.2f} x optimum")
    unsettled = mean(lambda m: m.advised.unsettled)
    print(f"  the walk ends before all is told in {unsettled:.2%}; the best looks are added there")
    covered, torn = mean(lambda m: m.covered), mean(lambda m: m.torn)
    print(f"  covered: {covered:.1%} of the mass; no look can tell all apart in {torn:.1%}")
    for words, trees in (
        ("the tree's order", [m.tree for m in found]),
        ("the walk as it says", [m.advised for m in found]),
    ):
        lost: dict[str, list[float]] = {}
        for m, tree in zip(found, trees, strict=True):
            for node in tree.nodes:
                entry = lost.setdefault(node.look, [0.0, 0.0])
                entry[0] += m.weight * node.loss / total
                entry[1] += m.weight * node.share / total
        print(f"\nWhere {words} loses (all {sum(e[0] for e in lost.values()):.2f} min)")
        for name, (loss, share) in sorted(lost.items(), key=lambda kv: -kv[1][0])[:most]:
            print(f"  {name:<34}{loss:7.3f} min   asked in {share:6.1%}")


Job = tuple[str, float, dict[str, Value], float, int, Path | None]


def work(job: Job) -> Measured:
    """One condition, in a process of its own."""
    sys.setrecursionlimit(20_000)
    name, weight, given, covering, most, folder = job
    knowledge = load()
    one = case(knowledge, given, covering=covering if covering < 1 else inf, most=most)
    return measured(knowledge, name, weight, one, load(folder) if folder else None)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--covering", type=float, default=1.0, help="share of the hypotheses to keep")
    parser.add_argument("--most", type=int, default=100_000, help="rows at most")
    parser.add_argument("--only", default="", help="conditions whose name contains this; more parts with ;")
    parser.add_argument("--other", type=Path, help="a folder with another tree to compare, laid out as decision_tree")
    parser.add_argument("--processes", type=int, default=2)
    chosen = parser.parse_args()
    jobs: list[Job] = []
    for name, weight, given in conditions(load()):
        if all(part in name for part in chosen.only.split(";")):
            jobs.append((name, weight, given, chosen.covering, chosen.most, chosen.other))
    found: list[Measured] = []
    heads = ("rows", 6), ("cover", 7), ("torn", 6), ("best", 7), ("greedy", 8), ("tree", 7), ("advised", 9), ("end", 7)
    print(f"{'condition':<50}" + "".join(f"{head:>{width}}" for head, width in (*heads, ("s", 7))))
    with multiprocessing.get_context("spawn").Pool(chosen.processes, maxtasksperchild=4) as pool:
        for m in pool.imap_unordered(work, jobs):
            found.append(m)
            print("\r" + " " * 40 + "\r", end="", file=sys.stderr)
            print(
                f"{m.name:<50}{m.rows:>6}{m.covered:>7.1%}{m.torn:>6.0%}{m.best:>7.2f}{m.greedy:>8.2f}"
                f"{m.tree.trouble:>7.2f}{m.advised.trouble:>9.2f}{m.advised.to_its_end:>7.2f}{m.seconds:>7.1f}",
                flush=True,
            )
            print(f"{len(found)} of {len(jobs)} conditions", end="", file=sys.stderr, flush=True)
    show(found, most=12)


if __name__ == "__main__":
    main()
