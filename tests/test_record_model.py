"""The record as a value: reads back equal, refuses what it does not know, old formats still open."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from session_world import empty_record

from switchleg.record import codec, summary
from switchleg.record.ids import base_id, is_plain
from switchleg.record.migrate import FORMAT, Raw, Step, migrate
from switchleg.record.model import Event, GateEntry, Origin, Record, Standing, Work
from switchleg.schema.questions import Reply

OLD = Path(__file__).parent / "old_records"

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
times = st.datetimes(datetime(1990, 1, 1), datetime(2100, 1, 1)).flatmap(
    lambda at: st.integers(-14 * 60, 14 * 60).map(
        lambda minutes: at.replace(tzinfo=timezone(timedelta(minutes=minutes)) if minutes else UTC)
    )
)
values = st.booleans() | st.integers(-(10**12), 10**12) | texts
stations = st.sampled_from(["floor", "wall", "canopy"])
kinds = st.sampled_from(["value", "cant_tell", "open", "later", "decline"])
replies = st.builds(Reply, kind=kinds, value=st.none() | values, at=times, station=stations, note=texts)
json = st.recursive(
    st.none() | values | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts, inner, max_size=3),
    max_leaves=8,
)
counts = st.integers(0, 99)
works = st.builds(
    Work,
    scheme=texts,
    plan=texts,
    begun=times,
    steps=counts,
    rows=counts,
    next=counts,
    notes=st.dictionaries(counts, texts, max_size=3),
    checked=st.lists(counts, max_size=3).map(tuple),
)
records = st.builds(
    Record,
    id=st.just("blue-room"),
    name=texts,
    home=texts,
    created=times,
    changed=times,
    knowledge_version=texts,
    standing=st.builds(
        Standing,
        answered=st.integers(0, 99),
        status=st.none() | texts,
        headline=texts,
        work=st.sampled_from(["", "begun", "proved"]),
    ),
    replies=st.dictionaries(texts, replies, max_size=5),
    history=st.lists(
        st.builds(Event, at=times, node=texts, reply=st.none() | replies, note=st.none() | texts), max_size=4
    ),
    gates=st.lists(
        st.builds(
            GateEntry,
            at=times,
            door=texts,
            opens=stations,
            outcome=st.sampled_from(["open", "later", "decline"]),
            checks=st.lists(texts, max_size=3).map(tuple),
        ),
        max_size=3,
    ),
    notes=st.dictionaries(texts, texts, max_size=3),
    origins=st.dictionaries(texts, st.builds(Origin, record=texts, name=texts, at=times), max_size=2),
    progress=st.none() | works,
    past_work=st.lists(works, max_size=2),
    verdict=st.none() | st.dictionaries(texts, json, max_size=3),
)


@given(records)
@settings(max_examples=150, deadline=None)
def test_a_saved_record_reads_back_equal(record: Record) -> None:
    """Whatever a record holds, its bytes read back as an equal record, types included."""
    data = codec.to_bytes(record)
    back = codec.from_bytes(data, record.id)
    assert back == record
    assert codec.to_bytes(back) == data
    assert repr(
        back.model_dump(
            exclude={"created", "changed", "replies", "history", "gates", "origins", "progress", "past_work"}
        )
    ) == repr(
        record.model_dump(
            exclude={"created", "changed", "replies", "history", "gates", "origins", "progress", "past_work"}
        )
    )


@given(records)
@settings(max_examples=100, deadline=None)
def test_the_head_tells_the_same_as_the_whole(record: Record) -> None:
    """The line made from the head of a file is the line made from the whole file."""
    data = codec.to_bytes(record)
    whole = codec.summary_of_whole(data, record.id)
    assert whole.problem == ""
    assert summary.summary_from(data[: summary.HEAD_BYTES], data[-16:], record.id) in (whole, None)
    assert summary.summary_from(data, data[-16:], record.id) == whole


@given(records, st.data())
@settings(max_examples=150, deadline=None)
def test_a_cut_record_is_damaged_and_nothing_else(record: Record, data: st.DataObject) -> None:
    """A file cut anywhere is recognised as damaged; no other error comes out of reading it."""
    whole = codec.to_bytes(record).rstrip()
    cut = whole[: data.draw(st.integers(0, len(whole) - 1))]
    with pytest.raises(codec.Unreadable):
        codec.from_bytes(cut, record.id)
    assert "damaged" in codec.summary_of_whole(cut, record.id).problem


@given(st.binary(max_size=200))
@settings(max_examples=150, deadline=None)
def test_any_bytes_read_or_are_damaged(data: bytes) -> None:
    """Bytes of any kind are a record or are named damaged."""
    with pytest.raises(codec.Unreadable):
        codec.from_bytes(data, "x")


@given(st.text(max_size=400))
@settings(max_examples=200, deadline=None)
def test_every_name_gives_a_plain_id(name: str) -> None:
    """The id of any name at all, lone surrogates included, is a plain file name."""
    assert is_plain(base_id(name))
    assert base_id(name).isascii()


@pytest.mark.parametrize("path", sorted(OLD.glob("*.json")), ids=lambda path: path.name)
def test_records_of_every_format_still_open(path: Path) -> None:
    """A record file kept from each format opens in full."""
    record = codec.from_bytes(path.read_bytes(), "old")
    assert record.format == FORMAT
    assert record.name == "Garden room"
    assert record.replies["run_conductors"].value == 3
    assert record.replies["wall_ground"].kind == "cant_tell"
    assert [gate.door for gate in record.gates] == ["wall_door", "canopy_door"]
    assert record.gates[0].checks
    assert [event.node for event in record.history] == ["light_kit", "region"]
    assert record.notes == {"region": "by the garden – ask the owner"}
    assert record.verdict is not None
    assert record.verdict["knowledge_version"] == "c0ffee000001"


def test_the_first_format_knew_no_work_and_the_second_keeps_it() -> None:
    """A record of format 1 opens without work begun or answers taken over; one of format 2 has both."""
    first, second = (codec.from_bytes((OLD / f"format-{number}.json").read_bytes(), "old") for number in (1, 2))
    assert (first.progress, first.past_work, first.origins, first.standing.work) == (None, [], {}, "")
    assert second.progress is not None
    assert (second.progress.next, second.progress.notes, second.standing.work) == (
        3,
        {2: "the screw is rusty"},
        "begun",
    )
    assert second.origins["region"].name == "Porch"


def test_the_label_of_the_breaker_came_with_the_third_format() -> None:
    """A record of format 2 has no label; one of format 3 keeps it."""
    second, third = (codec.from_bytes((OLD / f"format-{number}.json").read_bytes(), "old") for number in (2, 3))
    assert (second.breaker_label, third.breaker_label) == ("", "7, upstairs")


def test_there_is_an_old_record_for_every_format() -> None:
    """No format is without its kept file."""
    assert {path.name for path in OLD.glob("*.json")} == {f"format-{n}.json" for n in range(1, FORMAT + 1)}


def test_migration_goes_step_by_step() -> None:
    """An old object is brought up one format at a time, and the given one is left as it was."""
    steps: dict[int, Step] = {
        1: lambda raw: {"colour": raw.pop("color")},
        2: lambda raw: {**raw, "words": [raw["colour"]]},
    }
    old: Raw = {"format": 1, "color": "white"}
    assert migrate(old, steps, 3) == {"format": 3, "colour": "white", "words": ["white"]}
    assert old == {"format": 1, "color": "white"}
    with pytest.raises(ValueError, match="format 1"):
        migrate({"format": 1}, {2: steps[2]}, 3)


@pytest.mark.parametrize("number", [None, 0, -1, True, "1", 1.0])
def test_a_format_is_a_whole_number_from_one_up(number: Any) -> None:
    """Anything else in the place of the format number is damage."""
    with pytest.raises(ValueError, match="format"):
        migrate({"format": number})


def test_a_byte_order_mark_does_no_harm() -> None:
    """A file that an editor saved with a byte order mark still opens."""
    record = empty_record()
    assert codec.from_bytes(b"\xef\xbb\xbf" + codec.to_bytes(record), record.id) == record
