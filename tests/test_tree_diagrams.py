"""Decision diagrams against plain tables of every combination of values."""

from __future__ import annotations

from itertools import product
from math import inf

from hypothesis import given, settings
from hypothesis import strategies as st

from switchleg.checking.diagrams import NOWHERE, Diagrams, Function, constant, plus, result

SIZES = (2, 3, 2, 4)
COMBINATIONS = tuple(product(*[range(size) for size in SIZES]))
Table = dict[tuple[int, ...], float]

tables = st.lists(st.sampled_from([0.0, 1.0, 4.0, -inf]), min_size=len(COMBINATIONS), max_size=len(COMBINATIONS)).map(
    lambda results: dict(zip(COMBINATIONS, results, strict=True))
)


def built(diagrams: Diagrams, table: Table) -> Function:
    """The function of a table, one combination after the other."""
    function = NOWHERE
    for combination, amount in table.items():
        tests = [(place, (value,)) for place, value in enumerate(combination)]
        function = diagrams.chosen(tests, constant(amount), function)
    return function


def read(diagrams: Diagrams, function: Function) -> Table:
    """The table of a function."""
    return {c: result(diagrams.given(function, dict(enumerate(c)))) for c in COMBINATIONS}


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
@given(tables, tables, st.integers(-9, 9))
def test_joined_and_added(one: Table, other: Table, more: int) -> None:
    """Joining and adding work on each combination by itself, and functions a constant apart share their nodes."""
    diagrams = Diagrams(SIZES)
    first, second = built(diagrams, one), plus(built(diagrams, other), more)
    joined = diagrams.joined(first, second)
    assert read(diagrams, joined) == {c: max(one[c], other[c] + more) for c in COMBINATIONS}
    assert diagrams.joined(second, first) == joined
    raised = built(diagrams, {c: amount + more for c, amount in one.items()})
    assert raised == plus(first, more)
    assert raised[1] == first[1]


@settings(max_examples=50, deadline=None)
@given(tables, st.sets(st.sampled_from(range(len(SIZES)))))
def test_facts_are_given_or_left_open(one: Table, places: set[int]) -> None:
    """With facts given, or the best taken over them, what is left is right and no longer depends on them."""
    diagrams = Diagrams(SIZES)
    function = built(diagrams, one)
    fixed = read(diagrams, diagrams.given(function, dict.fromkeys(places, 1)))
    open_to = read(diagrams, diagrams.best(function, places))
    for combination in COMBINATIONS:
        alike = [c for c in COMBINATIONS if all(c[p] == combination[p] for p in range(len(SIZES)) if p not in places)]
        said = tuple(1 if place in places else value for place, value in enumerate(combination))
        assert fixed[combination] == one[said]
        assert open_to[combination] == max(one[c] for c in alike)


@settings(max_examples=50, deadline=None)
@given(tables, tables, st.dictionaries(st.sampled_from(range(len(SIZES))), st.sets(st.integers(0, 3))))
def test_tests_choose(one: Table, other: Table, tests: dict[int, set[int]]) -> None:
    """Where all tests pass it is the one function, elsewhere the other."""
    diagrams = Diagrams(SIZES)
    chosen = diagrams.chosen(sorted(tests.items()), built(diagrams, one), built(diagrams, other))
    for combination, amount in read(diagrams, chosen).items():
        passed = all(combination[place] in good for place, good in tests.items())
        assert amount == (one if passed else other)[combination]


def test_the_parity_of_many_facts_is_small() -> None:
    """Whether an odd number of 60 facts holds takes two nodes a fact, not one for each of 2^60 combinations
    (Bryant 1986, from memory: parity is linear in the variables in every order)."""
    diagrams = Diagrams([2] * 60)
    even, odd = NOWHERE, constant(0)
    for place in range(59, -1, -1):
        tests = [(place, (1,))]
        even, odd = diagrams.chosen(tests, odd, even), diagrams.chosen(tests, even, odd)
    assert len(diagrams) == 2 * 60 + 1
    assert result(diagrams.given(even, dict.fromkeys(range(60), 1))) == -inf
    assert result(diagrams.given(even, {**dict.fromkeys(range(60), 1), 7: 0})) == 0


def test_a_sum_of_many_facts_is_small() -> None:
    """The sum of 20 facts with a weight of 2^n each, which is another one for each of 2^20 combinations, takes a node
    a fact (Lai and Sastry 1992, from memory: numbers on the ways keep sums linear)."""
    diagrams = Diagrams([2] * 20)
    total = constant(0)
    for place in range(19, -1, -1):
        total = diagrams.chosen([(place, (1,))], plus(total, 2**place), total)
    assert len(diagrams) == 20 + 1
    assert result(diagrams.given(total, {place: place % 2 for place in range(20)})) == 0b10101010101010101010
    assert result(diagrams.best(total, range(20))) == 2**20 - 1
