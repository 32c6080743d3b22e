"""The whole record as plain text for paper: for an electrician who has never seen this tool."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from switchleg.paper.document import fan_document
from switchleg.paper.text import render
from switchleg.record.model import Record

if TYPE_CHECKING:
    from switchleg.advice.card.build import Card
    from switchleg.session.views.model import ReviewRow, WorkView


def export_text(record: Record, rows: Sequence[ReviewRow], card: Card | None, work: WorkView | None = None) -> str:
    """The summary, 80 columns wide, ending in a line break.

    Layout is ASCII; names and notes keep their letters, but no control, direction-turning or invisible
    sign. `card` None: the verdict kept in the record, when there is one, stands for it.
    """
    return render(fan_document(record, rows, card, work=work))
