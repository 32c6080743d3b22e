"""Decision diagrams against plain tables of every combination of values."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from switchleg.tree.diagrams import Diagrams, Function

SIZES = (2, 3, 2, 4)
COMBINATIONS = tuple(product(*[range(size) for size in SIZES]))
Table = dict[tuple[int, ...], float]

tables = st.lists(st.sampled_from([0.0, 1.0, 2.0]), min_size=len(COMBINATIONS), max_size=len(COMBINATIONS)).map(
    lambda results: dict(zip(COMBINATIONS, results, strict=True))
)


def built(diagrams: Diagrams, table: Table) -> Function:
    """The function of a table, one combination after the other."""
    function = diagrams.constant(0)
    for combination, result in table.items():
        tests = [(place, (value,)) for place, value in enumerate(combination)]
        function = diagrams.chosen(tests, diagrams.constant(result), function)
    return function


def read(diagrams: Diagrams, function: Function) -> Table:
    """The table of a function."""
    return {c: diagrams.result(diagrams.given(function, dict(enumerate(c)))) for c in COMBINATIONS}


@settings(max_examples=50, deadline=None)
@given(tables, tables)
def test_one_function_has_one_graph(one: Table, other: Table) -> None:
    """A function is as its table says, and two are the same number exactly when their tables are equal, in whatever
    order they were built."""
    diagrams = Diagrams(SIZES)
    first, second = built(diagrams, one), built(diagrams, other)
    assert read(diagrams, first) == one
    assert (first == second) == (one == other)
    assert built(diagrams, dict(reversed(one.items()))) == first


@settings(max_examples=50, deadline=None)
@given(tables, tables, st.sampled_from([min, max]))
def test_joined_and_added(one: Table, other: Table, by: Callable[[float, float], float]) -> None:
    """Joining and adding work on each combination by itself."""
    diagrams = Diagrams(SIZES)
    first, second = built(diagrams, one), built(diagrams, other)
    assert read(diagrams, diagrams.joined(first, second, by)) == {c: by(one[c], other[c]) for c in COMBINATIONS}
    assert read(diagrams, diagrams.plus(first, 3)) == {c: one[c] + 3 for c in COMBINATIONS}


@settings(max_examples=50, deadline=None)
@given(tables, st.sets(st.sampled_from(range(len(SIZES)))), st.sampled_from([min, max]))
def test_facts_are_given_or_left_open(one: Table, places: set[int], by: Callable[[float, float], float]) -> None:
    """With facts given, or the best taken over them, what is left is right and no longer depends on them."""
    diagrams = Diagrams(SIZES)
    function = built(diagrams, one)
    fixed = read(diagrams, diagrams.given(function, dict.fromkeys(places, 1)))
    open_to = read(diagrams, diagrams.best(function, places, by))
    for combination in COMBINATIONS:
        alike = [c for c in COMBINATIONS if all(c[p] == combination[p] for p in range(len(SIZES)) if p not in places)]
        said = tuple(1 if place in places else value for place, value in enumerate(combination))
        assert fixed[combination] == one[said]
        best = one[alike[0]]
        for other in alike[1:]:
            best = by(best, one[other])
        assert open_to[combination] == best


@settings(max_examples=50, deadline=None)
@given(tables, tables, st.dictionaries(st.sampled_from(range(len(SIZES))), st.sets(st.integers(0, 3))))
def test_tests_choose(one: Table, other: Table, tests: dict[int, set[int]]) -> None:
    """Where all tests pass it is the one function, elsewhere the other."""
    diagrams = Diagrams(SIZES)
    chosen = diagrams.chosen(sorted(tests.items()), built(diagrams, one), built(diagrams, other))
    for combination, result in read(diagrams, chosen).items():
        passed = all(combination[place] in good for place, good in tests.items())
        assert result == (one if passed else other)[combination]


def test_the_parity_of_many_facts_is_small() -> None:
    """Whether an odd number of 60 facts holds takes two nodes a fact, not one for each of 2^60 combinations
    (Bryant 1986, from memory: parity is linear in the variables in every order)."""
    diagrams = Diagrams([2] * 60)
    zero, one = diagrams.constant(0), diagrams.constant(1)
    even, odd = zero, one
    for place in range(59, -1, -1):
        tests = [(place, (1,))]
        even, odd = diagrams.chosen(tests, odd, even), diagrams.chosen(tests, even, odd)
    assert len(diagrams) == 2 * 60 + 2
    assert diagrams.result(diagrams.given(even, dict.fromkeys(range(60), 1))) == 0
    assert diagrams.result(diagrams.given(even, {**dict.fromkeys(range(60), 1), 7: 0})) == 1
