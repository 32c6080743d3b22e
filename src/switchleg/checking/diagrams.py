"""Decision diagrams: functions of several facts, in little space however many facts there are.

A function is a graph. Each node asks for the value of one fact and has one way out for each value; on the ways stand
numbers, and the result is their sum. The facts come in one fixed order on every way, a node whose ways are all alike
is left out, the best way of a node always bears 0 (what is more stands before the node), and no two nodes are alike.
So each function has one graph only, and what many combinations of values have in common is stored once; functions
that differ by a constant share their nodes. The size follows how much has to be remembered between the facts, not how
many combinations there are; the order decides it, and facts that are read near each other belong near each other.
An operation visits each pair of nodes, with the difference between their numbers, once.

Ideas: R. E. Bryant, "Graph-Based Algorithms for Boolean Function Manipulation", IEEE Transactions on Computers, 1986;
numbers on the ways: Y.-T. Lai and S. Sastry, "Edge-Valued Binary Decision Diagrams for Multi-Level Hierarchical
Verification", Design Automation Conference, 1992 (both from memory); here with several values to a fact.

A result of -inf says that there is none. A set is the function that is 0 on its members and -inf elsewhere.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from math import inf

END = 0
"""The node behind the last fact."""

Function = tuple[float, int]
"""What is added first, and the node."""

Ways = tuple[Function, ...]
Tests = Sequence[tuple[int, Collection[int]]]
"""Facts by their place in the order, rising, each with the values (by index) that pass."""

NOWHERE: Function = (-inf, END)
"""The function without any result: the empty set."""


class Diagrams:
    """The functions of facts whose numbers of values are `sizes`, in order. Facts and values go by index."""

    def __init__(self, sizes: Sequence[int]) -> None:
        self.sizes = tuple(sizes)
        self._place = [len(self.sizes)]
        self._ways: list[Ways] = [()]
        self._facts = [0]
        """For each node, the facts that it depends on, as bits."""
        self._least: list[float] = [0]
        """For each node, its least result; the greatest is 0."""
        self._known: dict[tuple[int, Ways], int] = {}
        self._joined: dict[tuple[int, int, float], Function] = {}

    def __len__(self) -> int:
        """How many nodes there are, those of functions no longer needed too."""
        return len(self._ways)

    def joined(self, one: Function, other: Function) -> Function:
        """The greater of both results, for every combination of values; of two sets, what is in either."""
        if one[0] < other[0]:
            one, other = other, one
        (more, first), (less, second) = one, other
        if first == second or more + self._least[first] >= less:
            return one
        key = (first, second, less - more)
        done = self._joined.get(key)
        if done is None:
            place = min(self._place[first], self._place[second])
            pairs = zip(self._under((0, first), place), self._under((less - more, second), place), strict=True)
            done = self._joined[key] = self._node(place, [self.joined(a, b) for a, b in pairs])
        return plus(done, more)

    def chosen(self, tests: Tests, passed: Function, failed: Function) -> Function:
        """`passed` where the facts pass all the tests, `failed` elsewhere."""
        done: dict[tuple[int, Function, Function], Function] = {}

        def choose(at: int, passed: Function, failed: Function) -> Function:
            if at == len(tests) or passed == failed:
                return passed
            first = max(passed[0], failed[0])
            key = (at, plus(passed, -first), plus(failed, -first))
            found = done.get(key)
            if found is None:
                tested, good = tests[at]
                place = min(tested, self._place[passed[1]], self._place[failed[1]])
                pairs = list(zip(self._under(key[1], place), self._under(key[2], place), strict=True))
                if place == tested:
                    ways = [choose(at + 1, a, b) if i in good else b for i, (a, b) in enumerate(pairs)]
                else:
                    ways = [choose(at, a, b) for a, b in pairs]
                found = done[key] = self._node(place, ways)
            return plus(found, first)

        return choose(0, passed, failed)

    def given(self, function: Function, values: Mapping[int, int]) -> Function:
        """The function when these facts have these values; it no longer depends on them."""

        def rest(place: int, ways: list[Function]) -> Function:
            return ways[values[place]] if place in values else self._node(place, ways)

        return self._rebuilt(function, rest, values)

    def best(self, function: Function, places: Collection[int]) -> Function:
        """The greatest result over all values of these facts; it no longer depends on them."""

        def over(place: int, ways: list[Function]) -> Function:
            return functools.reduce(self.joined, ways) if place in places else self._node(place, ways)

        return self._rebuilt(function, over, places)

    def _rebuilt(
        self, function: Function, node: Callable[[int, list[Function]], Function], places: Iterable[int]
    ) -> Function:
        """The function built anew from below by `node`; what does not depend on `places` is kept as it is."""
        facts = functools.reduce(lambda found, place: found | 1 << place, places, 0)
        done: dict[int, Function] = {}

        def build(function: Function) -> Function:
            more, at = function
            if not self._facts[at] & facts:
                return function
            if at not in done:
                done[at] = node(self._place[at], [build(way) for way in self._ways[at]])
            return plus(done[at], more)

        return build(function)

    def _under(self, function: Function, place: int) -> Ways:
        """What the function is for each value of the fact at `place`, which is not behind its first one."""
        more, at = function
        if self._place[at] != place:
            return (function,) * self.sizes[place]
        return tuple([(more + on, way) for on, way in self._ways[at]]) if more else self._ways[at]

    def _node(self, place: int, ways: list[Function]) -> Function:
        """The function that is `ways` by the values of the fact at `place`."""
        first = ways[0]
        if ways.count(first) == len(ways):
            return first
        most = max(ways)[0]
        key = (place, tuple([(more - most, way) for more, way in ways] if most else ways))
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = len(self._ways)
            self._place.append(place)
            self._ways.append(key[1])
            self._facts.append(functools.reduce(lambda facts, way: facts | self._facts[way[1]], key[1], 1 << place))
            self._least.append(min(more + self._least[way] for more, way in key[1]))
        return most, found


def plus(function: Function, more: float) -> Function:
    """The function with `more` added to each result."""
    return function[0] + more, function[1]


def constant(result: float) -> Function:
    """The function that is `result` whatever the facts are."""
    return result, END


def result(function: Function) -> float:
    """What a constant function is. Raises ValueError when it is none."""
    if function[1] != END:
        raise ValueError("the function depends on a fact")
    return function[0]
