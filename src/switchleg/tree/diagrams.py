"""Decision diagrams: functions of several facts, in little space however many facts there are.

A function is a graph. Each node asks for the value of one fact and has one way out for each value; the ways end at
the function's results. The facts come in one fixed order on every way, a node whose ways all lead to the same place
is left out, and no two nodes are alike. So each function has one graph only, two functions are equal when they are
the same number, and what many combinations of values have in common is stored once. The size follows how much has to
be remembered between the facts, not how many combinations there are; the order decides it, and facts that are read
near each other belong near each other. An operation visits each pair of nodes once.

Idea: R. E. Bryant, "Graph-Based Algorithms for Boolean Function Manipulation", IEEE Transactions on Computers, 1986
(from memory); here with several values to a fact and with numbers as results.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence

Function = int
"""A function as its `Diagrams` names it."""

Tests = Sequence[tuple[int, Collection[int]]]
"""Facts by their place in the order, rising, each with the values (by index) that pass."""


class Diagrams:
    """The functions of facts whose numbers of values are `sizes`, in order. Facts and values go by index."""

    def __init__(self, sizes: Sequence[int]) -> None:
        self.sizes = tuple(sizes)
        self.results: list[float | None] = []
        self._place: list[int] = []
        self._ways: list[tuple[Function, ...]] = []
        self._facts: list[int] = []
        """For each node, the facts that it depends on, as bits."""
        self._known: dict[tuple[int, object], Function] = {}
        self._joined: dict[tuple[Callable[[float, float], float], Function, Function], Function] = {}

    def __len__(self) -> int:
        """How many nodes there are, those of functions no longer needed too."""
        return len(self._ways)

    def constant(self, result: float) -> Function:
        """The function that is `result` whatever the facts are."""
        return self._stored(len(self.sizes), result, ())

    def result(self, function: Function) -> float:
        """What a constant function is. Raises ValueError when it is none."""
        result = self.results[function]
        if result is None:
            raise ValueError("the function depends on a fact")
        return result

    def joined(self, one: Function, other: Function, by: Callable[[float, float], float]) -> Function:
        """`by` of both results, for every combination of values; `by` is symmetric and idempotent, as max is."""
        if one == other:
            return one
        one, other = min(one, other), max(one, other)
        done = self._joined.get((by, one, other))
        if done is None:
            place = min(self._place[one], self._place[other])
            if place == len(self.sizes):
                done = self.constant(by(self.result(one), self.result(other)))
            else:
                pairs = zip(self._under(one, place), self._under(other, place), strict=True)
                done = self._node(place, tuple([self.joined(a, b, by) for a, b in pairs]))
            self._joined[by, one, other] = done
        return done

    def chosen(self, tests: Tests, passed: Function, failed: Function) -> Function:
        """`passed` where the facts pass all the tests, `failed` elsewhere."""
        done: dict[tuple[int, Function, Function], Function] = {}

        def choose(at: int, passed: Function, failed: Function) -> Function:
            if at == len(tests) or passed == failed:
                return passed
            key = (at, passed, failed)
            if key not in done:
                tested, good = tests[at]
                place = min(tested, self._place[passed], self._place[failed])
                pairs = list(zip(self._under(passed, place), self._under(failed, place), strict=True))
                if place == tested:
                    ways = [choose(at + 1, a, b) if i in good else b for i, (a, b) in enumerate(pairs)]
                else:
                    ways = [choose(at, a, b) for a, b in pairs]
                done[key] = self._node(place, tuple(ways))
            return done[key]

        return choose(0, passed, failed)

    def given(self, function: Function, values: Mapping[int, int]) -> Function:
        """The function when these facts have these values; it no longer depends on them."""

        def rest(place: int, ways: tuple[Function, ...]) -> Function:
            return ways[values[place]] if place in values else self._node(place, ways)

        return self._rebuilt(function, rest, bits(values))

    def best(self, function: Function, places: Collection[int], by: Callable[[float, float], float]) -> Function:
        """`by` over all values of these facts; it no longer depends on them."""

        def over(place: int, ways: tuple[Function, ...]) -> Function:
            if place not in places:
                return self._node(place, ways)
            found = ways[0]
            for way in ways[1:]:
                found = self.joined(found, way, by)
            return found

        return self._rebuilt(function, over, bits(places))

    def plus(self, function: Function, more: float) -> Function:
        """The function with `more` added to each result."""
        done: dict[Function, Function] = {}

        def add(function: Function) -> Function:
            if function not in done:
                place, ways = self._place[function], self._ways[function]
                if place == len(self.sizes):
                    done[function] = self.constant(self.result(function) + more)
                else:
                    done[function] = self._stored(place, None, tuple([add(way) for way in ways]))
            return done[function]

        return add(function) if more else function

    def _rebuilt(
        self, function: Function, node: Callable[[int, tuple[Function, ...]], Function], facts: int
    ) -> Function:
        """The function built anew from below by `node`; what does not depend on `facts` is kept as it is."""
        done: dict[Function, Function] = {}

        def build(function: Function) -> Function:
            if not self._facts[function] & facts:
                return function
            if function not in done:
                done[function] = node(self._place[function], tuple([build(way) for way in self._ways[function]]))
            return done[function]

        return build(function)

    def _under(self, function: Function, place: int) -> Sequence[Function]:
        """Where each value of the fact at `place`, not above the function's first, leads."""
        return self._ways[function] if self._place[function] == place else (function,) * self.sizes[place]

    def _node(self, place: int, ways: tuple[Function, ...]) -> Function:
        first = ways[0]
        if ways.count(first) == len(ways):
            return first
        return self._stored(place, None, ways)

    def _stored(self, place: int, result: float | None, ways: tuple[Function, ...]) -> Function:
        key = (place, ways if result is None else result)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = len(self._ways)
            self._place.append(place)
            self._ways.append(ways)
            self.results.append(result)
            facts = 1 << place if ways else 0
            for way in ways:
                facts |= self._facts[way]
            self._facts.append(facts)
        return found


def bits(places: Iterable[int]) -> int:
    """Places as one number with a bit for each."""
    return functools.reduce(lambda found, place: found | 1 << place, places, 0)
