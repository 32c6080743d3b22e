"""What is marked as changed against today's wiring."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from wiring_world import houses, plans

from switchleg.wiring.drawing.changes import compare
from switchleg.wiring.netlist import ConductorEnd, End, Joint, Placed, Terminal, Wired, join
from switchleg.wiring.site import HOT, NEUTRAL, WALL, Site, Stub

COLOURS = ("black", "white", "red", "blue", "brown", "grey")
SITE = Site((WALL,), (), (Stub("feed", WALL, (HOT, NEUTRAL)),))


def wired(joints: list[set[str]], parts: tuple[Placed, ...] = ()) -> Wired:
    """A wall box whose joints hold conductors by colour and terminals as "part.name"."""

    def end(name: str) -> End:
        part, dot, terminal = name.partition(".")
        return Terminal(part, terminal) if dot else ConductorEnd("feed", name, WALL)

    made = tuple(Joint(WALL, f"N{i}", tuple(map(end, sorted(names)))) for i, names in enumerate(joints))
    return Wired(SITE, parts, dict.fromkeys((("feed", c) for c in COLOURS), HOT), made, frozenset())


def marks(new: Wired, today: Wired) -> dict[str, str]:
    found = compare(new, today).ends.items()
    return {e.colour if isinstance(e, ConductorEnd) else f"{e.part}.{e.name}": c for e, c in found}


def device(name: str, control: str, *terminals: str) -> Placed:
    return Placed(name, control, WALL, tuple((t, t.upper()) for t in terminals))


def test_a_wiring_compared_with_itself_changes_nothing() -> None:
    """No end is marked and every joint is as today, in every candidate house."""
    for house in houses():
        same = compare(house.wired, house.wired)
        assert not same.ends
        assert not same.gone
        assert same.as_today == set(range(len(house.wired.joints)))


def test_a_control_in_place_of_a_switch() -> None:
    """The new control's terminals are new, what leaves the switch is changed, a bundle that only grows is not."""
    switch, control = device("s", "plain", "line", "load"), device("c", "smart", "line", "load", "neutral")
    today = wired([{"black", "s.line"}, {"red", "s.load"}, {"white", "grey"}], (switch,))
    new = wired([{"black", "c.line"}, {"red", "c.load"}, {"white", "grey", "c.neutral"}], (control,))
    assert marks(new, today) == {
        "black": "moved",
        "red": "moved",
        "c.line": "new",
        "c.load": "new",
        "c.neutral": "new",
    }
    assert compare(new, today).gone == (switch,)
    assert not compare(new, today).as_today


def test_a_switch_that_stays_is_the_same_switch_under_another_id() -> None:
    """A part of the same class in the same box is taken for today's, whatever its id."""
    today = wired([{"black", "s.line"}, {"red", "s.load"}], (device("s", "plain", "line", "load"),))
    new = wired([{"black", "p.line"}, {"red", "p.load"}], (device("p", "plain", "line", "load"),))
    same = compare(new, today)
    assert not same.ends
    assert not same.gone
    assert same.as_today == {0, 1}


def test_a_replaced_part_is_new_although_its_id_stays() -> None:
    """What the caller names as replaced is marked new, and its old leads as taken out."""
    fan = device("fan", "motor", "hot", "neutral")
    both = wired([{"black", "fan.hot"}, {"white", "fan.neutral"}], (fan,))
    found = compare(both, both, replaced=("fan",))
    assert found.ends[Terminal("fan", "hot")] == "new"
    assert found.ends[ConductorEnd("feed", "black", WALL)] == "moved"
    assert found.gone == (fan,)


def test_splitting_and_merging_joints_is_marked() -> None:
    """Of a joint that parts, one piece moves; of two that become one, the ends of one of them move."""
    whole, parted = wired([{"black", "red", "blue", "brown"}]), wired([{"black", "red"}, {"blue", "brown"}])
    assert marks(parted, whole) == {"blue": "moved", "brown": "moved"}
    assert marks(whole, parted) == {"blue": "moved", "brown": "moved"}


def test_capping_and_uncapping_are_changes() -> None:
    """An end that was capped and is joined, or the other way round, is marked."""
    today, new = wired([{"black", "red"}]), wired([{"black", "blue"}])
    assert marks(new, today) == {"black": "moved", "blue": "moved", "red": "moved"}


def test_a_cable_with_other_conductors_is_a_new_cable() -> None:
    """Every end of a cable that has not the conductors of today's is new."""
    some = 0
    for _, house, _, new in plans(150, seed=11):
        found = compare(new, house.wired).ends
        pulled = {c.id for c in new.site.cables} - {c.id for c in house.site.cables if c in new.site.cables}
        ends = {ConductorEnd(c.id, colour, box) for c in new.site.cables if c.id in pulled for box in c.ends
                for cable, colour in new.conductors if cable == c.id}  # fmt: skip
        assert all(found[end] == "new" for end in ends)
        some += len(ends)
    assert some > 20


grouping = st.lists(st.integers(0, 4), min_size=len(COLOURS), max_size=len(COLOURS))


def joints_of(groups: list[int]) -> list[set[str]]:
    sets = [{c for c, g in zip(COLOURS, groups, strict=True) if g == n} for n in range(5)]
    return [s for s in sets if len(s) > 1]


@given(grouping, grouping)
def test_what_bears_no_mark_can_be_left_as_it_is(then: list[int], now: list[int]) -> None:
    """Unmarked ends of one new joint meet today, those of two do not; a joint as today holds the same ends."""
    before, after = joints_of(then), joints_of(now)
    new, today = wired(after), wired(before)
    still = {c for c in COLOURS if c not in marks(new, today)}
    for one in still:
        for other in still - {one}:
            joined = [any({one, other} <= joint for joint in joints) for joints in (before, after)]
            assert joined[0] == joined[1]
    for i, joint in enumerate(after):
        assert (i in compare(new, today).as_today) == (joint in before)
    assert (sorted(map(sorted, before)) == sorted(map(sorted, after))) == (not marks(new, today))


def test_a_plan_that_changes_something_says_so() -> None:
    """Between today's joints and a plan's, each difference shows as a mark or as a part taken out."""
    for _, house, _, new in plans(150, seed=5):
        found = compare(new, house.wired)
        same = not found.ends and not found.gone
        assert same == (len(found.as_today) == len(new.joints) == len(house.wired.joints))


def test_a_control_without_its_old_box_is_new_there() -> None:
    """A part that goes to another box is taken out of the one and new in the other."""
    part = device("s", "plain", "line")
    elsewhere = Placed("s", "plain", "wall_2", part.nets)
    site = Site((WALL, "wall_2"), (), SITE.stubs)
    today = Wired(site, (part,), {}, join(site, (part,), {}), frozenset())
    new = Wired(site, (elsewhere,), {}, join(site, (elsewhere,), {}), frozenset())
    found = compare(new, today)
    assert found.ends == {Terminal("s", "line"): "new"}
    assert found.gone == (part,)
