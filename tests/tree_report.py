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
With two wall places the optimum is bounded from below: what the controls are is told to it for nothing, and the
table is solved in the parts that this leaves. No policy does with less than that, so the figure is the most it can be.
Trouble is in the minutes of clues.toml (estimates). Answers are always right, and whoever answers tells everything
that is visible.
"""

from __future__ import annotations

import argparse
import multiprocessing
import sys
from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf, nan
from pathlib import Path
from time import perf_counter

from tree_walked import as_walked

from switchleg.advice.cases.open_cases import open_cases
from switchleg.advice.looks.look_table import Case, case
from switchleg.diagnosis.followed import Followed, follow
from switchleg.diagnosis.looks import Table
from switchleg.diagnosis.optimum import Optimum, entropy_bound
from switchleg.diagnosis.policies import greedy_value
from switchleg.knowledge.load import Knowledge, load
from switchleg.schema.questions import Value
from switchleg.session.remaining import Memory

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
            fans = open_cases(knowledge, given).fans
            with_remote = sum(p for fan, p in fans.shares.items() if fan.remote)
            for boxes, p_boxes in (("0", 0.1), ("1", 0.75), ("2", 0.15)):
                for remote, p_remote in ((True, with_remote), (False, 1 - with_remote)):
                    name = f"{wish}; light {kit}; {boxes} wall boxes; {'a' if remote else 'no'} remote"
                    facts = {**given, "wall_boxes": int(boxes), "handheld_remote": remote}
                    if not remote:
                        del facts["remote_kind"]
                    yield name, p_kit * p_boxes * p_remote / len(WISHES), facts


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


ABOUT_CONTROLS = tuple(
    f"{fact}@floor" for fact in ("switches_work_together", "wall_controls", "control_1_does", "control_2_does")
)


def parts_of(table: Table) -> Iterator[tuple[float, list[int], Table]]:
    """The table cut up by what is told of the controls: share, rows, and a table of its own."""
    columns = [look.answers for look in table.looks if look.name in ABOUT_CONTROLS]
    groups: dict[tuple[Hashable, ...], list[int]] = {}
    for row in range(len(table.shares)):
        groups.setdefault(tuple(column[row] for column in columns), []).append(row)
    for rows in groups.values():
        share = sum(table.shares[row] for row in rows)
        looks = tuple(replace(look, answers=tuple(look.answers[row] for row in rows)) for look in table.looks)
        shares, classes = [table.shares[row] / share for row in rows], [table.classes[row] for row in rows]
        yield share, rows, Table(tuple(shares), tuple(classes), looks, table.opening)


def put_together(parts: Sequence[tuple[float, Followed]]) -> Followed:
    nodes = [replace(n, share=p * n.share, loss=p * n.loss) for p, one in parts for n in one.nodes]
    trouble, ends = sum(p * one.trouble for p, one in parts), sum(p * one.to_its_end for p, one in parts)
    return Followed(trouble, ends, sum(p * one.unsettled for p, one in parts), tuple(nodes))


def measured(
    knowledge: Knowledge, name: str, weight: float, one: Case, other: Knowledge | None = None, *, more: bool = True
) -> Measured:
    """`more`: the greedy rule, gates in the tree's order, and the walk to its end too."""
    began = perf_counter()
    memory: Memory = {}
    table = one.table
    orders = [as_walked(knowledge, one, advised=True, to_its_end=more, memory=memory)]
    orders += [as_walked(knowledge, one, memory=memory)] if more else []
    orders += [as_walked(other, one)] if other else []
    in_parts = one.given.get("wall_boxes") == 2
    parts = [*parts_of(table)] if in_parts else [(1.0, [*range(len(table.shares))], table)]
    value, found = 0.0, [list[tuple[float, Followed]]() for _ in orders]
    for share, rows, part in parts:
        best = Optimum(part)
        value += share * best.value()
        for told, order in zip(found, orders, strict=True):
            told.append((share, follow(part, [order[row] for row in rows], best)))
    advised, *rest = [put_together(each) for each in found]
    others = rest.pop() if other else None
    greedy = greedy_value(table, table.everything) if more else nan
    bound, least = entropy_bound(table), Optimum(table).bound(table.everything)
    sizes, seconds = (len(one.rows), one.covered, one.torn), perf_counter() - began
    tree = rest[0] if more else advised
    return Measured(name, weight, *sizes, value, greedy, bound, least, tree, advised, others, seconds)


MORE: tuple[tuple[str, Callable[[Measured], float]], ...] = (
    ("the walk as it says itself, to its end", lambda m: m.advised.to_its_end),
    ("the walk, gates in the tree's order", lambda m: m.tree.trouble),
    ("greedy by edges cut per marginal trouble", lambda m: m.greedy),
)


def _best(m: Measured) -> float:
    return m.best


def _advised(m: Measured) -> float:
    return m.advised.trouble


def show(found: list[Measured], *, most: int, more: bool) -> None:
    def mean(number: Callable[[Measured], float]) -> float:
        return sum(m.weight * number(m) for m in found) / total

    total = sum(m.weight for m in found)

    def others(end: bool) -> float:
        return mean(lambda m: (m.other.to_its_end if end else m.other.trouble) if m.other else 0.0)

    best = mean(lambda m: m.best)
    print(f"\nMean over {len(found)} conditions, {total:.1%} of all, in minutes")
    for words, minutes in (
        ("entropy bound (looks only)", mean(lambda m: m.bound)),
        ("bound with stations", mean(lambda m: m.least)),
        ("optimum (two wall places: at least)", best),
        ("the walk as it says itself", mean(lambda m: m.advised.trouble)),
        *[(said, mean(number)) for said, number in MORE if more],
        *[(f"the other tree{', to its end' * end}", others(end)) for end in (False, True) if found[0].other],
    ):
        print(f"  {words:<45}{minutes:8.2f}   {minutes / best:5.2f} x optimum")
    unsettled = mean(lambda m: m.advised.unsettled)
    print(f"  the walk ends before all is told in {unsettled:.2%}; the best looks are added there")
    covered, torn = mean(lambda m: m.covered), mean(lambda m: m.torn)
    print(f"  covered: {covered:.1%} of the mass; no look can tell all apart in {torn:.1%}")
    for boxes in "012":
        some = [m for m in found if f"; {boxes} wall boxes" in m.name]
        if some:
            least, walked = (sum(m.weight * number(m) for m in some) for number in (_best, _advised))
            weight = sum(m.weight for m in some)
            print(f"  {boxes} wall boxes: {walked / weight:.2f} / {least / weight:.2f} = {walked / least:.3f}")
    ways = [("the walk as it says", [m.advised for m in found])]
    ways += [("the tree's order", [m.tree for m in found])] if more else []
    for words, trees in ways:
        lost: dict[str, list[float]] = {}
        for m, tree in zip(found, trees, strict=True):
            for node in tree.nodes:
                entry = lost.setdefault(node.look, [0.0, 0.0])
                entry[0] += m.weight * node.loss / total
                entry[1] += m.weight * node.share / total
        print(f"\nWhere {words} loses (all {sum(e[0] for e in lost.values()):.2f} min)")
        for name, (loss, share) in sorted(lost.items(), key=lambda kv: -kv[1][0])[:most]:
            print(f"  {name:<34}{loss:7.3f} min   asked in {share:6.1%}")


Job = tuple[str, float, dict[str, Value], float, int, Path | None, bool]


def work(job: Job) -> Measured:
    """One condition, in a process of its own."""
    sys.setrecursionlimit(20_000)
    name, weight, given, covering, most, folder, more = job
    knowledge = load()
    one = case(knowledge, given, covering=covering if covering < 1 else inf, most=most)
    return measured(knowledge, name, weight, one, load(folder) if folder else None, more=more)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--covering", type=float, default=1.0, help="share of the hypotheses to keep")
    parser.add_argument("--most", type=int, default=100_000, help="rows at most")
    parser.add_argument("--only", default="", help="conditions whose name contains this; more parts with ;")
    parser.add_argument("--other", type=Path, help="a folder with another tree to compare, laid out as decision_tree")
    parser.add_argument("--more", action="store_true", help="the greedy rule, the tree's order and the end too")
    parser.add_argument("--processes", type=int, default=2)
    chosen = parser.parse_args()
    jobs: list[Job] = []
    for name, weight, given in conditions(load()):
        if all(part in name for part in chosen.only.split(";")):
            jobs.append((name, weight, given, chosen.covering, chosen.most, chosen.other, chosen.more))
    jobs.sort(key=lambda job: str(job[2]["wall_boxes"]), reverse=True)  # the long ones first
    found: list[Measured] = []
    heads: tuple[tuple[str, int], ...] = ("rows", 6), ("cover", 7), ("torn", 6), ("best", 7), ("walk", 7), ("ratio", 7)
    heads += (("greedy", 8), ("tree", 7), ("end", 7)) if chosen.more else ()
    print(f"{'condition':<50}" + "".join(f"{head:>{width}}" for head, width in (*heads, ("s", 7))))
    with multiprocessing.get_context("spawn").Pool(chosen.processes, maxtasksperchild=1) as pool:
        for m in pool.imap_unordered(work, jobs):
            found.append(m)
            print("\r" + " " * 40 + "\r", end="", file=sys.stderr)
            print(
                f"{m.name:<50}{m.rows:>6}{m.covered:>7.1%}{m.torn:>6.0%}{m.best:>7.2f}{m.advised.trouble:>7.2f}"
                f"{m.advised.trouble / m.best if m.best else 1.0:>7.3f}"
                + (f"{m.greedy:>8.2f}{m.tree.trouble:>7.2f}{m.advised.to_its_end:>7.2f}" if chosen.more else "")
                + f"{m.seconds:>7.1f}",
                flush=True,
            )
            print(f"{len(found)} of {len(jobs)} conditions", end="", file=sys.stderr, flush=True)
    show(found, most=12, more=chosen.more)


if __name__ == "__main__":
    main()
