"""What another answer would change, worked out on a copy: the record is not touched."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Protocol

from switchleg.schema.questions import Value
from switchleg.session.views import build
from switchleg.session.views.model import CardPart, Change, Progress, ReviewRow

if TYPE_CHECKING:
    from switchleg.advice.card.build import Card
    from switchleg.knowledge.load import Knowledge
    from switchleg.record.model import Record


class Answering(Protocol):
    """What a preview asks of a session."""

    record: Record

    @property
    def knowledge(self) -> Knowledge: ...
    @property
    def review(self) -> tuple[ReviewRow, ...]: ...
    @property
    def progress(self) -> Progress: ...
    def go_to(self, node: str) -> None: ...
    def answer(self, value: Value) -> None: ...
    def cant_tell(self) -> None: ...
    def card(self) -> Card: ...


Copy = Callable[[], Answering]
UNSAID = frozenset({"sources", "evidence"})
"""Sections that follow from the others."""


def preview(copy: Copy, node: str, value: Value | None) -> Change:
    """Today's card beside that of a copy in which `node` is answered with `value` (None: can't tell).

    `copy` makes a session on the same record that saves nowhere.
    """
    today, other = copy(), copy()
    before = next(row for row in today.review if row.node == node)
    other.go_to(node)
    if value is None:
        other.cant_tell()
    else:
        other.answer(value)
    old, new = today.card(), other.card()
    was, will = list(_lines(old)), list(_lines(new))
    stays = {row.node for row in other.review}
    reply = other.record.replies[node]
    progress = other.progress
    return Change(
        node=node,
        ask=before.ask,
        before=before.answer_text,
        after=build.reply_text(other.knowledge.tree, node, reply),
        headline_before=old.headline,
        headline_after=new.headline,
        same=was == will and old.headline == new.headline,
        lost=tuple(line for line in was if line not in set(will)),
        gained=tuple(line for line in will if line not in set(was)),
        dropped=tuple(row.ask for row in today.review if row.node not in stays and row.kind != "door"),
        least_left=progress.least_left,
        most_left=progress.most_left,
        parts=tuple(_parts(old, new)),
    )


def _parts(old: Card, new: Card) -> Iterator[CardPart]:
    titles = {section.id: section.title for section in (*new.sections, *old.sections) if section.id not in UNSAID}
    for id_, title in titles.items():
        yield CardPart(title, _of(old, id_), _of(new, id_))


def _of(card: Card, id_: str) -> tuple[str, ...]:
    return tuple(line.text for section in card.sections if section.id == id_ for line in section.lines)


def _lines(card: Card) -> Iterator[str]:
    for section in card.sections:
        if section.id not in UNSAID:
            yield from (f"{section.title}: {line.text}" for line in section.lines)
