"""Does a change leave every advice as it was? `python tests/same_advice.py [REVISION]` compares all stories.

The advice of this checkout is held against that of a revision (the last commit when none is named): ids, verdicts,
joints, preparations, stops, checks in order, shares to four digits. Sentences are left out. Nothing is kept.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
STORIES = ROOT / "tests" / "stories"
OUTER = ("screens", "decision_tree")
"""Folders at the top of the checkout that are packages within the package."""


def stories() -> Iterator[tuple[str, dict[str, Any], list[str]]]:
    """Name, facts and what could not be told, of every story of this checkout."""
    sets = tomllib.loads((STORIES / "fact_sets.toml").read_text(encoding="utf-8"))
    for file in sorted(STORIES.glob("*.toml")):
        told = {} if file.stem == "fact_sets" else tomllib.loads(file.read_text(encoding="utf-8"))
        for story in told.get("story", ()):
            facts: dict[str, Any] = {}
            for name in story["sets"]:
                facts |= sets[name]
            facts |= story.get("but", {})
            known = {fact: value for fact, value in facts.items() if fact not in story.get("unknown", ())}
            yield story["name"], known, [fact for fact in story.get("untold", ()) if fact not in known]


def projection(advice: Mapping[str, Any]) -> dict[str, Any]:
    """What must stay: no sentences, and what is equally likely in the order of its name."""
    return {
        "status": advice["status"],
        "enough": advice["enough"],
        "motor": {kind: round(p, 4) for kind, p in sorted(advice["motor"].items())},
        "motor_settled": advice["motor_settled"],
        "wirings": sorted((-round(one["p"], 4), one["id"]) for one in advice["wirings"]),
        "recommendation": advice["recommendation"],
        "schemes": sorted((_scheme(one) for one in advice["schemes"]), key=lambda one: str(one["id"])),
        "stops": [(stop["rule"], stop["facts"]) for stop in advice["stops"]],
        "contradictions": sorted(sorted(one) for one in advice["contradictions"]),
        "checks": [(check["fact"], check["station"], check["by"]) for check in advice["next_checks"]],
        "again": advice["again"],
        "doubtful": {fact: round(p, 4) for fact, p in sorted(advice["doubtful"].items())},
    }


def _scheme(one: Mapping[str, Any]) -> dict[str, Any]:
    joints = [(box["box"], [(s["net"], sorted(s["ends"])) for s in box["splices"]]) for box in one["plan"] or ()]
    return {
        "id": one["id"],
        "verdict": one["verdict"],
        "preparations": one["preparations"],
        "keeps": one["keeps"],
        "rules": [(reason["rule"], sorted(reason["facts"])) for reason in one["reasons"]],
        "parts": one["parts"],
        "joints": joints,
        "steps": [(step["box"], step["kind"]) for step in one["steps"]],
        "functions": one["functions"],
    }


def told() -> dict[str, Any]:
    """The projection of every story, by the program that is imported."""
    from switchleg.advice.advise import advise
    from switchleg.knowledge.load import load

    try:
        from switchleg.knowledge.facts import parse_facts
    except ImportError:
        from switchleg.tree.values import parse_facts  # type: ignore[no-redef,attr-defined,unused-ignore]

    found = {}
    for name, facts, untold in stories():
        try:
            advice = advise(load(), parse_facts(load(), facts, name), untold)
        except Exception as error:
            found[name] = {"refused": type(error).__name__}
        else:
            found[name] = projection(json.loads(advice.model_dump_json()))
    return found


def _package(checkout: Path, home: Path) -> None:
    """The import package of a checkout, laid out by links as an installation lays it out."""
    package = home / "switchleg"
    package.mkdir(parents=True)
    for child in (checkout / "src" / "switchleg").iterdir():
        (package / child.name).symlink_to(child)
    for outer in OUTER:
        (package / outer).symlink_to(checkout / outer)


def _run(home: Path) -> dict[str, Any]:
    environment = {**os.environ, "PYTHONPATH": str(home), "PYTHONHASHSEED": "0"}
    done = subprocess.run([sys.executable, "-P", __file__, "--tell"], env=environment, capture_output=True, text=True)
    if done.returncode:
        raise SystemExit(done.stderr)
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def main() -> int:
    """0 when nothing differs; else 1, and each story that differs with the parts in which it does."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("revision", nargs="?", default="HEAD")
    parser.add_argument("--tell", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.tell:
        json.dump(told(), sys.stdout)
        return 0
    with tempfile.TemporaryDirectory() as folder:
        before = Path(folder) / "before"
        git = ["git", "-C", str(ROOT), "worktree"]
        subprocess.run([*git, "add", "--detach", "--quiet", str(before), asked.revision], check=True)
        try:
            _package(before, Path(folder) / "old")
            _package(ROOT, Path(folder) / "new")
            old, new = _run(Path(folder) / "old"), _run(Path(folder) / "new")
        finally:
            subprocess.run([*git, "remove", "--force", str(before)], check=True)
    differing = {name: _parts(old[name], new[name]) for name in new if old[name] != new[name]}
    for name, parts in differing.items():
        print(f"{name}: {', '.join(parts)}")
    refused = sum("refused" in one for one in new.values())
    print(f"{len(new)} stories, {len(differing)} differ from {asked.revision}; {refused} refused by this checkout")
    return 1 if differing else 0


def _parts(old: Mapping[str, Any], new: Mapping[str, Any]) -> list[str]:
    return [key for key in {**old, **new} if old.get(key) != new.get(key)]


if __name__ == "__main__":
    raise SystemExit(main())
