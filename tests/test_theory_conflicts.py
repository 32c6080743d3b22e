"""Smallest contradictions by the program, on the textbook adder and against a solver of another kind.

The adder: X = A*C, Y = B*D, Z = C*E, F = X+Y, G = Y+Z with inputs 3 2 2 3 3, where F shows 10 for 12.
De Kleer and Williams, Artificial Intelligence 32 (1987) 97 (values from memory, recomputed here).
"""

from __future__ import annotations

import random
from collections.abc import Callable, Hashable, Iterator
from itertools import chain, combinations, product

import pytest
from optimum_tables import M6

from switchleg.diagnosis.hitting_sets import smallest_conflicts
from switchleg.diagnosis.optimum import entropy

PARTS = ("A1", "A2", "M1", "M2", "M3")
MULTIPLIED = {"M1": 3 * 2, "M2": 2 * 3, "M3": 2 * 3}
SEEN = {"F": 10, "G": 12}


def _subsets(of: tuple[str, ...]) -> Iterator[frozenset[str]]:
    return map(frozenset, chain.from_iterable(combinations(of, k) for k in range(len(of) + 1)))


def _probes(broken: frozenset[str]) -> dict[str, int | None] | None:
    """What X, Y, Z must be when just these parts are broken (None: anything); nothing when that is impossible."""
    values = range(-20, 40)
    x: set[int] = {6} if "M1" not in broken else set(values)
    y: set[int] = {6} if "M2" not in broken else set(values)
    z: set[int] = {6} if "M3" not in broken else set(values)
    if "A1" not in broken:
        x, y = {v for v in x if SEEN["F"] - v in y}, {v for v in y if SEEN["F"] - v in x}
    if "A2" not in broken:
        y, z = {v for v in y if SEEN["G"] - v in z}, {v for v in z if SEEN["G"] - v in y}
    if "A1" not in broken:
        x = {v for v in x if SEEN["F"] - v in y}
    if not (x and y and z):
        return None
    return {n: next(iter(s)) if len(s) == 1 else None for n, s in (("X", x), ("Y", y), ("Z", z))}


CONSISTENT = {broken: seen for broken in _subsets(PARTS) if (seen := _probes(broken)) is not None}


def _minimal(sets: Iterator[frozenset[str]] | list[frozenset[str]]) -> set[frozenset[str]]:
    every = set(sets)
    return {s for s in every if not any(t < s for t in every)}


def _weight(broken: frozenset[str]) -> float:
    return 0.01 ** len(broken) * 0.99 ** (len(PARTS) - len(broken))


def test_the_adders_diagnoses_and_conflicts_are_each_others_hitting_sets() -> None:
    """Of 32 candidates 27 hold; the four diagnoses and two conflicts are known, and either yields the other."""
    assert len(CONSISTENT) == 27
    diagnoses = _minimal(list(CONSISTENT))
    assert diagnoses == {frozenset(d) for d in (("A1",), ("M1",), ("A2", "M2"), ("M2", "M3"))}
    conflicts = {frozenset(c) for c in smallest_conflicts(diagnoses)}
    assert conflicts == {frozenset(("A1", "M1", "M2")), frozenset(("A1", "A2", "M1", "M3"))}
    assert {frozenset(d) for d in smallest_conflicts(conflicts)} == diagnoses


def _after(shares: dict[frozenset[str], float], answer: Callable[[frozenset[str]], Hashable]) -> float:
    groups: dict[Hashable, list[float]] = {}
    for broken, p in shares.items():
        groups.setdefault(answer(broken), []).append(p)
    return sum(sum(g) * entropy([p / sum(g) for p in g]) for g in groups.values())


def _shared(of: set[frozenset[str]]) -> dict[frozenset[str], float]:
    total = sum(map(_weight, of))
    return {broken: _weight(broken) / total for broken in of}


def test_the_adders_posterior_and_best_probe() -> None:
    """Among minimal diagnoses the uncertainty is 1.0808 bit; measuring X leaves 0.0809, Y 1.0000, Z 1.0354."""
    shares = _shared(_minimal(list(CONSISTENT)))
    assert sorted(shares.values()) == pytest.approx([0.005, 0.005, 0.495, 0.495], abs=1e-4)
    assert entropy(list(shares.values())) == pytest.approx(1.0808, abs=1e-4)
    left = [_after(shares, lambda b, n=n: CONSISTENT[b][n]) for n in "XYZ"]  # type: ignore[misc]
    assert left == pytest.approx([0.0809, 1.0, 1.0354], abs=1e-4)
    assert sum(p for b, p in shares.items() if CONSISTENT[b]["X"] == 6) == pytest.approx(0.505, abs=1e-4)


def test_the_adder_with_all_candidates() -> None:
    """Over all 27 candidates: 1.3594 bit, after X 0.3186, Y 1.2779, Z 1.3120; A1 and M1 are the suspects."""
    shares = _shared(set(CONSISTENT))
    assert entropy(list(shares.values())) == pytest.approx(1.3594, abs=1e-4)
    left = [_after(shares, lambda b, n=n: CONSISTENT[b][n]) for n in "XYZ"]  # type: ignore[misc]
    assert left == pytest.approx([0.3186, 1.2779, 1.3120], abs=1e-4)
    suspects = [sum(p for b, p in shares.items() if part in b) for part in PARTS]
    assert suspects == pytest.approx([0.49764, 0.01478, 0.49764, 0.01961, 0.01478], abs=1e-5)


@pytest.mark.parametrize(
    ("told", "retractions"),
    [
        ({0: "a", 1: "y", 2: "q"}, [("q1",), ("q2",), ("q3",)]),
        ({0: "b", 1: "y", 2: "p", 3: "x"}, [("q1",), ("q2", "q4"), ("q3", "q4")]),
    ],
)
def test_answers_that_cannot_all_be_true(told: dict[int, str], retractions: list[tuple[str, ...]]) -> None:
    """On M6 the answers to take back, and the smallest sets that disagree, are each other's hitting sets."""
    struck = [frozenset(f"q{i + 1}" for i, a in told.items() if M6.looks[i].answers[h] != a) for h in range(6)]
    assert sorted(tuple(sorted(s)) for s in _minimal(struck)) == retractions
    conflicts = smallest_conflicts(struck)
    assert sorted(smallest_conflicts([frozenset(c) for c in conflicts])) == retractions


def test_smallest_conflicts_against_brute_force() -> None:
    """On 200 random families the program finds exactly the minimal hitting sets that trying all subsets finds."""
    draw = random.Random(3)
    names = tuple("abcdef")
    for _ in range(200):
        family = [frozenset(draw.sample(names, draw.randint(1, 4))) for _ in range(draw.randint(1, 6))]
        hitting = _minimal([s for s in _subsets(names) if all(s & f for f in family)])
        assert {frozenset(c) for c in smallest_conflicts(family, limit=1000)} == hitting


def test_smallest_conflicts_against_a_sat_solver() -> None:
    """An implicit hitting-set enumerator (python-sat) finds the same minimal sets on larger random families."""
    hitman = pytest.importorskip("pysat.examples.hitman", reason="python-sat is not installed: brute force alone")
    draw = random.Random(5)
    names = [f"f{i}" for i in range(14)]
    for _ in range(30):
        family = [frozenset(draw.sample(names, draw.randint(1, 4))) for _ in range(draw.randint(2, 7))]
        with hitman.Hitman(bootstrap_with=[sorted(f) for f in family], htype="sorted") as solver:
            expected = {frozenset(found) for found in solver.enumerate()}
        assert {frozenset(c) for c in smallest_conflicts(family, limit=10_000)} == expected


def test_every_world_of_the_adder_is_counted() -> None:
    """Trying all values for broken parts' outputs confirms which candidates can show F = 10 and G = 12."""
    for broken in _subsets(PARTS):
        free = [range(13) if m in broken else (MULTIPLIED[m],) for m in ("M1", "M2", "M3")]
        possible = any(
            ("A1" in broken or x + y == SEEN["F"]) and ("A2" in broken or y + z == SEEN["G"])
            for x, y, z in product(*free)
        )
        assert possible == (broken in CONSISTENT)
