"""One trip for a home: boxes put together by breaker, and never two fans whose breaker nobody has named."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from switchleg.home.trip import Errand, trips

LABELS = st.sampled_from(["", "7", " 7", "10", "2", "Upstairs", "upstairs ", "3 kitchen"])
ERRANDS = st.lists(
    st.builds(
        lambda fan, station, purpose: (fan, station, purpose),
        st.integers(0, 5),
        st.sampled_from(["floor", "wall", "canopy"]),
        st.sampled_from(["look", "read", "work", "prove"]),
    ),
    max_size=12,
)


def errands(found: list[tuple[int, str, str]], labels: list[str]) -> list[Errand]:
    return [
        Errand(f"fan {fan}", f"fan-{fan}", station, station, purpose, f"{fan} {n}", labels[fan])  # type: ignore[arg-type]
        for n, (fan, station, purpose) in enumerate(found)
    ]


@given(ERRANDS, st.lists(LABELS, min_size=6, max_size=6))
def test_every_errand_with_the_power_off_is_done_once_at_its_own_breaker(
    found: list[tuple[int, str, str]], labels: list[str]
) -> None:
    """All looks and work behind a cover, and nothing else, stand in the trips once; a box is opened once; boxes of a
    trip share a label, or are of one fan; wall boxes come before ceilings."""
    given_ = errands(found, labels)
    told = trips(given_)
    done = [one.text for trip in told for box in trip.boxes for one in box.errands]
    wanted = [one.text for one in given_ if one.station != "floor" and one.purpose in ("look", "work")]
    assert sorted(done) == sorted(wanted)
    for trip in told:
        inside = [one for box in trip.boxes for one in box.errands]
        assert len({one.breaker.strip().casefold() for one in inside}) == 1
        if not trip.breaker:
            assert len({one.fan_id for one in inside}) == 1
        stations = [box.errands[0].station for box in trip.boxes]
        assert stations == sorted(stations, key=lambda station: station == "canopy")
    boxes = [(box.errands[0].fan_id, box.place) for trip in told for box in trip.boxes]
    assert len(boxes) == len(set(boxes))
    named = [trip.breaker.strip().casefold() for trip in told if trip.breaker]
    assert len(named) == len(set(named))


def test_a_trip_says_how_many_boxes_as_a_person_would() -> None:
    """The heading names the breaker and counts its boxes; breakers stand in the order of a panel."""
    found = [(0, "wall", "work"), (1, "wall", "look"), (1, "canopy", "work"), (2, "wall", "work"), (3, "wall", "look")]
    told = [trip.title for trip in trips(errands(found, ["10", "2", "2", "", "", ""]))]
    assert told == [
        "Breaker 2 off once: do these three boxes",
        "Breaker 10 off once: do this box",
        "The breaker of fan 3, not named yet, off once: do this box",
    ]
