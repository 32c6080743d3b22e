"""The exact optimum against the plain recursion, and on instances whose values were worked out elsewhere."""

from __future__ import annotations

import random

import pytest
from optimum_tables import M6, M7, M7S, plain_noisy_optimum, plain_optimum, table

from switchleg.diagnosis.followed import follow
from switchleg.diagnosis.looks import Look, Table
from switchleg.diagnosis.optimum import Optimum, entropy, entropy_bound
from switchleg.diagnosis.policies import Gain, cut_gain, greedy_choice, greedy_value, open_first


def _by_class(one: Table) -> Table:
    """The same table with every hypothesis a class of its own."""
    return Table(one.shares, tuple(range(len(one.shares))), one.looks, one.opening)


def _gain_about(one: Table, belief: int, parts: tuple[int, ...], *, state: bool) -> float:
    def doubt(left: int) -> float:
        whole = one.mass(left)
        cells = [1 << i for i in range(len(one.shares)) if left >> i & 1] if state else one.classes_in(left)
        return entropy([one.mass(c) / whole for c in cells])

    return doubt(belief) - sum(one.mass(p) / one.mass(belief) * doubt(p) for p in parts)


def _even_split(one: Table, belief: int, parts: tuple[int, ...]) -> float:
    return one.mass(belief) - sum(one.mass(p) ** 2 for p in parts) / one.mass(belief)


def test_worked_instances_have_their_known_optima() -> None:
    """M6 costs 3.2, M7 2.6 and M7 with stations 4.4; identifying the state instead costs 4.0 and 3.15."""
    assert Optimum(M6).value() == pytest.approx(3.2)
    assert Optimum(M7).value() == pytest.approx(2.6)
    assert Optimum(M7S).value() == pytest.approx(4.4)
    assert Optimum(_by_class(M6)).value() == pytest.approx(4.0)
    assert Optimum(_by_class(M7)).value() == pytest.approx(3.15)


def test_every_first_look_has_its_exact_worth() -> None:
    """What M7 costs after each first look is known for all six."""
    best = Optimum(M7)
    costs = [best.asked_first(look) for look in range(6)]
    assert costs == pytest.approx([3.3, 6.3, 2.6, 3.45, 3.75, 2.95])


def test_uncertainties_of_the_worked_instances() -> None:
    """H(state) and H(recommendation) of M6 and M7 are as computed elsewhere; a free policy never beats the bound."""
    for one, state, decision in ((M6, 2.4087, 1.4855), (M7, 2.5855, 1.5589)):
        assert entropy(one.shares) == pytest.approx(state, abs=1e-4)
        assert entropy([one.mass(c) for c in one.class_masks]) == pytest.approx(decision, abs=1e-4)
        assert entropy_bound(one) <= Optimum(one).value()


def test_gains_of_the_first_looks() -> None:
    """Edge-cutting gain and both entropy gains of each first look in M7 are as computed elsewhere."""
    everything = M7.everything
    parts = [M7.split(look, everything) for look in range(6)]
    cut = [cut_gain(M7, everything, p) for p in parts]
    assert cut == pytest.approx([0.2055, 0.22875, 0.26925, 0.26238, 0.2, 0.28], abs=5e-6)
    about = [_gain_about(M7, everything, p, state=False) for p in parts]
    assert about == pytest.approx([0.0169, 0.3987, 0.5102, 0.4305, 0.2664, 0.8123], abs=1e-4)
    state = [_gain_about(M7, everything, p, state=True) for p in parts]
    assert state == pytest.approx([0.8813, 0.8813, 0.9928, 0.9928, 0.8113, 0.9928], abs=1e-4)


def test_edges_cut_of_eight_equal_hypotheses() -> None:
    """With two classes of four: weight 0.25; the class look cuts all of it, a look across both three quarters."""
    one = table([0.125] * 8, "aaaabbbb", ["01010101", "00001111"], (1, 1))
    gains = [cut_gain(one, one.everything, one.split(q, one.everything)) for q in (0, 1)]
    assert gains == pytest.approx([0.1875, 0.25])


def test_greedy_rules_cost_what_they_cost() -> None:
    """On M7: edge cutting 2.95, even split 3.00, class entropy 3.1, state entropy 3.35."""

    def cost(gain: Gain) -> float:
        return greedy_value(M7, M7.everything, gain=gain)

    assert cost(cut_gain) == pytest.approx(2.95)
    assert cost(_even_split) == pytest.approx(3.00)
    assert cost(lambda t, b, p: _gain_about(t, b, p, state=False)) == pytest.approx(3.1)
    assert cost(lambda t, b, p: _gain_about(t, b, p, state=True)) == pytest.approx(3.35)


def test_greed_must_count_the_opening_of_stations() -> None:
    """On M7 with stations the greedy rule costs 4.8 by marginal trouble, 11.65 when openings are left out."""
    assert greedy_value(M7S, M7S.everything) == pytest.approx(4.8)
    assert greedy_value(M7S, M7S.everything, marginal=False) == pytest.approx(11.65)


@pytest.mark.parametrize(
    ("slip", "cant_tell", "least"), [(0.05, 0.0, 9.173011), (0.05, 0.1, 10.714887), (0.1, 0.1, 15.017280)]
)
def test_slips_and_unknowns_only_cost(slip: float, cant_tell: float, least: float) -> None:
    """M6 with slips (wrong 100, give up 20) has the values that sampling confirmed, above the noise-free 3.2."""
    value = plain_noisy_optimum(M6, slip=slip, cant_tell=cant_tell, wrong=100, give_up=20)
    assert value == pytest.approx(least, abs=1e-6)
    assert value > Optimum(M6).value()


def test_without_slips_the_noisy_recursion_is_the_plain_one() -> None:
    """With nothing to fear but wrong advice, the answer-tuple recursion falls back to 3.2."""
    assert plain_noisy_optimum(M6, slip=0.0, cant_tell=0.0, wrong=1e6, give_up=1e6) == pytest.approx(3.2)


def _random(draw: random.Random, size: int = 0) -> Table:
    n, q = size or draw.randint(2, 8), draw.randint(1, 7)
    weights = [draw.random() + 0.01 for _ in range(n)]
    classes = [draw.randrange(draw.choice((2, 3, 4))) for _ in range(n)]
    answers = [[draw.randrange(draw.choice((2, 2, 3, 4))) for _ in range(n)] for _ in range(q)]
    stations = [draw.choice(("floor", "wall", "canopy")) for _ in range(q)]
    opening = {"wall": draw.choice((0.5, 3.0)), "canopy": draw.choice((2.0, 8.0))}
    costs = [draw.choice((0.5, 1.0, 1.0, 2.0, 5.0)) for _ in range(q)]
    return table([w / sum(weights) for w in weights], classes, answers, costs, stations, opening)


def test_bounded_search_equals_the_plain_recursion() -> None:
    """On 300 random tables, with stations and looks that repeat each other, both give the same optimum."""
    draw = random.Random(4)
    settled = 0
    for _ in range(300):
        one = _random(draw)
        expected = plain_optimum(_resolvable(one))
        settled += expected > 0
        assert Optimum(_resolvable(one)).value() == pytest.approx(expected, abs=1e-9)
    assert settled > 200


def _with_labels(draw: random.Random) -> Table:
    """Houses whose labels are there as often as their kind has them, and some labels prove the kind."""
    n, signs = draw.randint(2, 5), draw.randint(2, 3)
    kinds = [[draw.choice((0, 1, 1, 3)) + 0.01 * (i == 0) for i in range(signs)] for _ in range(2)]
    base = _resolvable(_random(draw, n))
    rows, shares = [], []
    for h in range(n):
        odds = kinds[draw.randrange(2)]
        for sign, weight in enumerate(odds):
            if weight:
                rows.append((h, sign))
                shares.append(base.shares[h] * weight / sum(odds))
    looks = [Look(q.name, tuple(q.answers[h] for h, _ in rows), q.cost, q.station) for q in base.looks]
    label = Look("label", tuple(sign for _, sign in rows), draw.choice((0.5, 1.0, 3.0)), draw.choice(("floor", "wall")))
    half = Look("half a label", tuple(sign == 0 for _, sign in rows), 0.3, "floor")
    return Table(tuple(shares), tuple(base.classes[h] for h, _ in rows), (*looks, label, half), base.opening)


def test_looks_that_only_lean_are_put_aside_at_no_loss() -> None:
    """On 200 random tables with labels that need not be there: the plain recursion's value, and bounds that hold."""
    draw = random.Random(8)
    aside = 0
    for _ in range(200):
        one = _with_labels(draw)
        best = Optimum(one)
        aside += len(best.cut.types) < len(best.cut.weights) < len(one.shares)
        assert best.value() == pytest.approx(plain_optimum(one), abs=1e-9)
        assert best.bound() <= best.value() + 1e-9
        for look in range(len(one.looks)):
            for part in one.split(look, one.everything):
                assert Optimum(one).bound(part) <= best.value(part) + 1e-9
    assert aside > 60


def _resolvable(one: Table) -> Table:
    """Hypotheses that no look tells apart get one class: then every policy can finish."""
    rows = list(zip(*(look.answers for look in one.looks), strict=True))
    first = dict(zip(rows, one.classes, strict=True))
    return Table(one.shares, tuple(first[row] for row in rows), one.looks, one.opening)


def test_bounds_hold_and_greed_is_never_better() -> None:
    """On random tables: bound <= optimum <= greedy, and every first look costs at least the optimum."""
    draw = random.Random(11)
    for _ in range(150):
        one = _resolvable(_random(draw))
        best = Optimum(one)
        value = best.value()
        assert best.bound(one.everything) <= value + 1e-9
        assert entropy_bound(one) <= value + 1e-9
        assert value <= greedy_value(one, one.everything) + 1e-9
        if value:
            assert min(best.asked_first(q) for q in range(len(one.looks)) if len(one.parts[q]) > 1) == pytest.approx(
                value
            )


def _greedy_orders(one: Table) -> list[list[int]]:
    orders = []
    for h in range(len(one.shares)):
        belief, opened, order = one.everything, 0, []
        while (look := greedy_choice(one, belief, opened)) is not None:
            order.append(look)
            opened = one.opens(look, opened)
            belief = next(p for p in one.split(look, belief) if p >> h & 1)
        orders.append(order)
    return orders


def test_losses_sum_to_the_regret() -> None:
    """Followed as a given tree, the greedy rule costs what it costs, and its nodes' losses are its regret."""
    draw = random.Random(7)
    for one in (M6, M7, M7S, *(_resolvable(_random(draw)) for _ in range(60))):
        best = Optimum(one)
        found = follow(one, _greedy_orders(one), best)
        assert found.trouble == pytest.approx(greedy_value(one, one.everything))
        assert found.to_its_end == pytest.approx(found.trouble)
        assert sum(n.loss for n in found.nodes) == pytest.approx(found.trouble - best.value(), abs=1e-9)
        assert all(n.loss > -1e-9 for n in found.nodes)


def test_the_regret_of_greed_sits_in_its_root() -> None:
    """On M7 the greedy rule loses 0.35, all of it by asking q6 instead of q3 first."""
    found = follow(M7, _greedy_orders(M7), Optimum(M7))
    lost = [n for n in found.nodes if n.loss > 1e-9]
    assert [(n.asked, n.look) for n in lost] == [((), "q6")]
    assert lost[0].loss == pytest.approx(0.35)


def test_a_tree_that_ends_too_soon_is_finished_at_best() -> None:
    """A tree of q3 alone leaves cases open; the best looks are added there, and it still costs the optimum."""
    found = follow(M7, [[2]] * 7, Optimum(M7))
    assert found.trouble == pytest.approx(2.6)
    assert found.unsettled == pytest.approx(1.0)
    assert found.to_its_end == pytest.approx(1.0)


def test_needless_looks_are_paid_for() -> None:
    """A look that shows the same everywhere costs a given tree its price, and the loss names it."""
    one = table((0.5, 0.5), "ab", ("xx", "xy"), (2, 1))
    found = follow(one, [[0, 1], [0, 1]], Optimum(one))
    assert found.trouble == 3
    assert [n.look for n in found.nodes] == ["q1", "q2"]
    assert [n.loss for n in found.nodes] == pytest.approx([2, 0])


def test_the_station_that_settles_more_per_opening_comes_first() -> None:
    """A dear station that settles all comes before a cheap one that settles little, after one that settles half."""
    shares, classes = [0.25] * 4, "abcd"
    little = table(shares, classes, ("1222", "1234"), (1, 1), ("wall", "canopy"), {"wall": 15, "canopy": 40})
    assert open_first(little, little.everything) == "canopy"
    half = table(shares, classes, ("1233", "1234"), (1, 1), ("wall", "canopy"), {"wall": 15, "canopy": 40})
    assert open_first(half, half.everything) == "wall"
    idle = table(shares, classes, ("1111", "1234"), (1, 1), ("wall", "floor"), {"wall": 15})
    assert open_first(idle, idle.everything) is None
