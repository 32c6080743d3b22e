"""A picture told in sentences: for those who listen to a drawing."""

from __future__ import annotations

from switchleg.wiring.drawing.model import BoxPicture, Group, Picture

SAID = {"new": "new", "moved": "joined or capped differently than today"}


def told(picture: Picture) -> str:
    """Every joint with its ends, then every end that meets nothing, box by box."""
    sentences = [s for box in picture.boxes for s in _box(box)]
    return " ".join([*sentences, *picture.notes()])


def _box(box: BoxPicture) -> list[str]:
    said = [f"In {box.title}:"]
    rows = [(group, row) for group in box.groups for row in group.rows]
    for k, column in reversed([*enumerate(box.columns)]):
        ends = [f"{row.words} of {_of(group)}{_changed(row.change)}" for group, row in rows if k in row.joints]
        state = ", as it is today" if column.as_today else ""
        said.append(f"{column.name}{state}, joins {'; '.join(ends)}.")
    said += [f"{row.words} of {_of(group)}{_changed(row.change)}." for group, row in rows if not row.joints]
    said += [f"Taken out: {title}." for title in box.taken_out]
    return said


def _of(group: Group) -> str:
    return f"the cable {group.title}" if group.kind == "cable" and group.title.startswith("to ") else group.title


def _changed(change: str) -> str:
    return f" ({SAID[change]})" if change else ""
