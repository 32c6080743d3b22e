"""`switchleg check [DIR]`: every fault in the knowledge at once, and the proof that every path ends."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

from switchleg.command.shell import output
from switchleg.errors import UNUSABLE, SwitchlegError

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge, Root
    from switchleg.knowledge.problems import Problem


def run(args: Namespace) -> int:
    """Prints a line for each problem; 0 when there is none, else 2."""
    from switchleg.checking.check import examine
    from switchleg.command.demo.script import examine_plan
    from switchleg.session.shared_facts import check_uses, read_home

    root: Root = files("switchleg.decision_tree") if args.folder is None else Path(args.folder)
    if not root.is_dir():
        raise SwitchlegError(
            "there is no such folder",
            where=args.folder,
            expected="a folder like decision_tree",
            mend="check the path",
        )
    knowledge, problems = examine(root)
    home, home_problems = read_home(root, knowledge.tree.questions if knowledge is not None else None)
    if home is not None and knowledge is not None:
        home_problems += check_uses(home, knowledge.tree.questions)
    problems = [*problems, *examine_plan(root, knowledge), *home_problems]
    if knowledge is not None and not problems and not args.quick:
        problems = list(_ways(knowledge))
    for problem in problems:
        output.say(output.clean(problem.line(), keep_lines=False))
    if problems or knowledge is None:
        many = len(problems)
        raise SwitchlegError(
            f"{many} {'problem' if many == 1 else 'problems'} found",
            where=args.folder or "the installed knowledge",
            mend="mend the places named above and check again",
            exit_code=UNUSABLE,
        )
    report(knowledge, tried=not args.quick)
    return 0


def _ways(knowledge: Knowledge) -> Iterator[Problem]:
    """Ways of schemes that can be wired nowhere without breaking an electrical rule."""
    from switchleg.checking.scheme_trial import barren_ways
    from switchleg.knowledge.problems import Problem

    told: dict[tuple[str, str], str] = {}
    for region in knowledge.regions.values():
        for one in barren_ways(knowledge, region):
            told.setdefault((one.scheme, one.way), one.reason)
    for (scheme, way), reason in told.items():
        yield Problem("schemes.toml", f"scheme.{scheme}.way.{way}", f"it can be wired in no house. {reason}")


def report(knowledge: Knowledge, *, tried: bool) -> None:
    """Prints what was checked: how much there is, and what was proved of it."""
    from switchleg.checking.paths import prove_paths

    tree = knowledge.tree
    proof = prove_paths(tree)
    output.say(
        f"Questions: {len(tree.questions)} in {len(tree.stations)} stations, "
        f"{len(tree.nodes)} nodes, {len(knowledge.sources)} sources, {len(knowledge.tables)} tables."
    )
    output.say(
        f"Paths: every one ends at a card, after {proof.shortest} to {proof.longest} questions; "
        "every node and branch is on one."
    )
    ways = sum(len(scheme.way) for scheme in knowledge.schemes.scheme)
    if tried:
        output.say(f"Schemes: {ways} ways wired and solved; each works in some house and breaks no rule there.")
    else:
        output.say(f"Schemes: {ways} ways read, none tried in a house.")
    output.say(f"No problems. Knowledge {knowledge.version}.")
