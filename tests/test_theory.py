"""Textbook values that the diagnosis rests on: uncertainty, repair order, capacity, posteriors, scores."""

from __future__ import annotations

import heapq
from itertools import permutations
from math import log, log2, prod

import pytest
from optimum_tables import M6, table

from switchleg.diagnosis.optimum import Optimum, entropy
from switchleg.diagnosis.scoring import (
    bins,
    brier,
    brier_of_classes,
    brier_parts,
    calibration_error,
    log_loss,
    most_failures_hidden,
)


def _huffman(shares: list[float]) -> float:
    heap, total = list(shares), 0.0
    heapq.heapify(heap)
    while len(heap) > 1:
        both = heapq.heappop(heap) + heapq.heappop(heap)
        total += both
        heapq.heappush(heap, both)
    return total


@pytest.mark.parametrize(
    ("shares", "bits", "length"),
    [
        ([0.25, 0.25, 0.2, 0.15, 0.15], 2.2855, 2.30),
        ([0.4, 0.3, 0.2, 0.1], 1.8464, 1.90),
        ([0.5, 0.25, 0.125, 0.125], 1.75, 1.75),
        ([1 / 15] * 15, 3.9069, 3.9333),
        ([1 / 40] * 40, 5.3219, 5.40),
    ],
)
def test_entropy_and_huffman_lengths(shares: list[float], bits: float, length: float) -> None:
    """Uncertainty and Huffman length agree with Cover and Thomas, Elements of Information Theory, ch. 5 (memory)."""
    assert entropy(shares) == pytest.approx(bits, abs=1e-4)
    assert _huffman(shares) == pytest.approx(length, abs=1e-4)


@pytest.mark.parametrize("shares", [[0.25, 0.25, 0.2, 0.15, 0.15], [0.4, 0.3, 0.2, 0.1], [0.5, 0.25, 0.125, 0.125]])
def test_with_every_split_allowed_the_optimum_is_huffman(shares: list[float]) -> None:
    """When every yes/no question may be asked at cost 1, the exact optimum is the Huffman length."""
    n = len(shares)
    answers = [[bool(mask >> h & 1) for h in range(n)] for mask in range(1, 1 << (n - 1))]
    one = table(shares, range(n), answers, [1.0] * len(answers))
    assert Optimum(one).value() == pytest.approx(_huffman(shares))


# ---- the order of repair attempts (Kadane and Simon 1975; Heckerman, Breese and Rommelse 1995; from memory) ----
P, C, R = (0.4, 0.3, 0.2, 0.1), (8, 2, 1, 5), (20, 10, 5, 30)


def _expected(order: tuple[int, ...], p: tuple[float, ...] = P, *, repair: bool = False) -> float:
    left, total = 1.0, 0.0
    for i in order:
        total += left * C[i] + (p[i] * R[i] if repair else 0)
        left -= p[i]
    return total


def _by_worth(p: tuple[float, ...] = P) -> tuple[int, ...]:
    return tuple(sorted(range(4), key=lambda i: -p[i] / C[i]))


def test_attempts_go_by_chance_per_cost() -> None:
    """Chance over cost gives the order 3,2,1,4 at 7.1 (with repairs 22.1), the least of all 24; the worst is 13.4."""
    costs = {order: _expected(order) for order in permutations(range(4))}
    assert _by_worth() == (2, 1, 0, 3)
    assert min(costs, key=costs.__getitem__) == _by_worth()
    assert costs[_by_worth()] == pytest.approx(7.1)
    assert max(costs.values()) == pytest.approx(13.4)
    assert costs[0, 1, 2, 3] == pytest.approx(10.0)
    assert costs[tuple(sorted(range(4), key=C.__getitem__))] == pytest.approx(8.3)
    assert _expected(_by_worth(), repair=True) == pytest.approx(22.1)
    assert min(_expected(o, repair=True) for o in costs) == pytest.approx(22.1)


def test_what_an_observation_is_worth() -> None:
    """A test that says yes to fault 1 at 0.9 and to others at 0.1 brings 22.1 down to 20.9 on the mean."""
    likely = (0.9, 0.1, 0.1, 0.1)
    mean = 0.0
    for yes, expected in ((True, 27.2619), (False, 16.2931)):
        joint = [p * (w if yes else 1 - w) for p, w in zip(P, likely, strict=True)]
        after = (joint[0] / sum(joint), joint[1] / sum(joint), joint[2] / sum(joint), joint[3] / sum(joint))
        cost = _expected(_by_worth(after), after, repair=True)
        assert cost == pytest.approx(expected, abs=1e-4)
        mean += sum(joint) * cost
    assert mean == pytest.approx(20.9)


def test_the_last_suspect_needs_no_look() -> None:
    """Where the last suspect is known by elimination, chance per cost gives 6.6 and the exact optimum 5.1."""
    answers = [[h == i for h in range(4)] for i in range(4)]
    one = table(P, range(4), answers, C)
    costs = {order: _expected((*order[:3],)) for order in permutations(range(4))}
    assert costs[_by_worth()] == pytest.approx(6.6)
    assert min(costs.values()) == pytest.approx(5.1)
    assert Optimum(one).value() == pytest.approx(5.1)


# ---- unreliable answers ----
def _capacity(right: float, ways: int = 2, unknown: float = 0.0) -> float:
    slip = 1 - right
    spread = slip * log2(slip / (ways - 1)) if slip else 0.0
    return (1 - unknown) * (log2(ways) + right * log2(right) + spread)


@pytest.mark.parametrize(
    ("right", "ways", "unknown", "bits"),
    [
        (0.85, 4, 0, 1.1524),
        (0.95, 2, 0, 0.7136),
        (0.9, 2, 0, 0.5310),
        (0.8, 2, 0, 0.2781),
        (0.7, 2, 0, 0.1187),
        (0.9, 2, 0.2, 0.4248),
    ],
)
def test_what_one_unreliable_answer_can_tell(right: float, ways: int, unknown: float, bits: float) -> None:
    """The capacity formula is the mutual information of an even prior, summed over the joint distribution."""
    wrong = (1 - right) / (ways - 1)
    joint = [[(1 - unknown) / ways * (right if a == t else wrong) for a in range(ways)] for t in range(ways)]
    told = sum(p * log2(p / ((1 / ways) * (1 - unknown) / ways)) for row in joint for p in row if p)
    assert _capacity(right, ways, unknown) == pytest.approx(told)
    assert told == pytest.approx(bits, abs=1e-4)


@pytest.mark.parametrize(("right", "after"), [(0.9, (0.9, 0.9878, 0.9986)), (0.8, (0.8, 0.9412, 0.9846))])
def test_agreeing_answers_add_up(right: float, after: tuple[float, ...]) -> None:
    """One, two and three independent answers that agree lift even odds to the known values."""
    for n, expected in enumerate(after, 1):
        assert right**n / (right**n + (1 - right) ** n) == pytest.approx(expected, abs=1e-4)


def _posterior(told: dict[int, str], slip: float) -> tuple[list[float], float]:
    """Plain enumeration over M6."""
    joint = []
    for h, p in enumerate(M6.shares):
        for look, said in told.items():
            answers = M6.looks[look].answers
            others = len(set(answers)) - 1
            p *= 1 - slip if answers[h] == said else slip / others
        joint.append(p)
    return [p / sum(joint) for p in joint], sum(joint)


@pytest.mark.parametrize(
    ("told", "evidence", "by_class", "surprise", "wrong"),
    [
        ({0: "a", 1: "y", 2: "q"}, 0.0233, (0.4179, 0.1947, 0.3873), 1.2006, (0.3884, 0.2253, 0.4190)),
        ({0: "a", 1: "n", 2: "p"}, 0.2798, (0.9515, None, None), -0.1672, ()),
        ({0: "b", 1: "y", 2: "p", 3: "x"}, None, (0.9535, None, None), 1.7481, (0.9535, 0.0931, 0.0233, 0.0465)),
    ],
)
def test_posteriors_and_conflict_of_the_worked_instance(
    told: dict[int, str],
    evidence: float | None,
    by_class: tuple[float | None, ...],
    surprise: float,
    wrong: tuple[float, ...],
) -> None:
    """M6 at slip 0.05: recommendation shares, conflict measure (Jensen and others 1990) and the answer to doubt."""
    shares, total = _posterior(told, 0.05)
    if evidence is not None:
        assert total == pytest.approx(evidence, abs=5e-5)
    for name, expected in zip(("R1", "R2", "R3"), by_class, strict=True):
        if expected is not None:
            found = sum(p for p, c in zip(shares, M6.classes, strict=True) if c == name)
            assert found == pytest.approx(expected, abs=5e-5)
    alone = prod(_posterior({look: said}, 0.05)[1] for look, said in told.items())
    assert log(alone / total) == pytest.approx(surprise, abs=5e-4)
    for (look, said), expected in zip(told.items(), wrong, strict=False):
        doubt = sum(p for p, a in zip(shares, M6.looks[look].answers, strict=True) if a != said)
        assert doubt == pytest.approx(expected, abs=5e-5)


def test_posterior_by_another_library() -> None:
    """Variable elimination in pgmpy gives the posterior of M6 that enumeration gives."""
    models = pytest.importorskip("pgmpy.models", reason="pgmpy is not installed: posterior not crossed by a library")
    factors = pytest.importorskip("pgmpy.factors.discrete")
    inference = pytest.importorskip("pgmpy.inference")
    net = models.DiscreteBayesianNetwork([("H", f"q{i}") for i in (1, 2, 3)])
    net.add_cpds(factors.TabularCPD("H", 6, [[p] for p in M6.shares]))
    told = {0: "a", 1: "y", 2: "q"}
    for look, said in told.items():
        right = [0.95 if a == said else 0.05 for a in M6.looks[look].answers]
        net.add_cpds(factors.TabularCPD(f"q{look + 1}", 2, [right, [1 - p for p in right]], ["H"], [6]))
    found = inference.VariableElimination(net).query(["H"], {f"q{look + 1}": 0 for look in told}, show_progress=False)
    assert list(found.values) == pytest.approx(_posterior(told, 0.05)[0], abs=1e-6)


def test_dependent_answers_are_not_two() -> None:
    """Two sensors that always agree leave 3/4; taken as independent they would claim 9/10."""
    joint = {("rain", "++"): 3 / 8, ("rain", "--"): 1 / 8, ("sun", "++"): 1 / 8, ("sun", "--"): 3 / 8}
    assert joint["rain", "++"] / (joint["rain", "++"] + joint["sun", "++"]) == 0.75
    one = joint["rain", "++"] * 2
    assert one**2 / (one**2 + (1 - one) ** 2) == pytest.approx(0.9)


# ---- honest scores ----
FORECASTS = [(0.9, i < 4) for i in range(5)] + [(0.6, i < 3) for i in range(5)]


def test_scores_of_ten_forecasts() -> None:
    """Nine-tenths five times (4 hits) and six-tenths five times (3 hits): Brier .205, log loss .6089, ECE .05."""
    sorted_out = bins(FORECASTS, edges=(0.5, 0.75))
    assert [b.n for b in sorted_out] == [5, 5]
    parts = brier_parts(sorted_out)
    assert (parts.reliability, parts.resolution, parts.uncertainty) == pytest.approx((0.005, 0.01, 0.21))
    assert brier(FORECASTS) == pytest.approx(0.205)
    assert parts.reliability - parts.resolution + parts.uncertainty == pytest.approx(brier(FORECASTS))
    assert log_loss(FORECASTS) == pytest.approx(0.6089, abs=1e-4)
    assert calibration_error(sorted_out) == pytest.approx(0.05)


def test_score_over_classes() -> None:
    """A sure and true forecast scores 0, a sure and false one 2, whatever other classes are named."""
    assert brier_of_classes({"a": 1.0}, "a") == 0
    assert brier_of_classes({"a": 1.0, "b": 0.0}, "b") == 2
    assert brier_of_classes({"a": 0.5, "b": 0.5}, "c") == pytest.approx(1.5)


def test_none_seen_does_not_mean_none() -> None:
    """No failure in 300 leaves up to 0.994 % (rule of three; Eypasch and others, BMJ 311 (1995) 619)."""
    assert most_failures_hidden(300) == pytest.approx(0.00994, abs=1e-5)
    assert most_failures_hidden(300, doubt=0.025) == pytest.approx(0.01222, abs=1e-5)
