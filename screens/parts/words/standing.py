"""Where a record stands, in a few words with a sign in front."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from switchleg.record.summary import Summary

PLACES = {"floor": "in the room", "wall": "at the wall box", "canopy": "at the canopy"}
WAITING = {"floor": "to be opened", "wall": "for the canopy", "canopy": "for the wall box"}
"""What is left to open, by the furthest station that was reached."""
ENDS = {
    "recommended": "✓ finished",
    "needs_checks": "? finished, checks open",
    "stop": "! stop, see the card",
}


def standing_words(summary: Summary) -> str:
    """Where a record stands, in a few words with a sign in front."""
    if summary.problem:
        return f"! {summary.problem}"
    if summary.stage == "new":
        return "· not begun"
    if summary.stage == "waiting":
        return f"… waiting {WAITING.get(summary.station, 'to be opened')}"
    if summary.stage == "declined":
        return "■ stopped, for an electrician"
    if summary.work:
        return {"begun": "→ work begun, on the ladder", "proved": "✓ work done and proved"}.get(summary.work, "")
    if summary.stage == "done":
        return ENDS.get(summary.status or "", "✓ all asked, card not read yet")
    place = PLACES.get(summary.station, "")
    return f"→ {place}, {summary.answered} answered".replace(" ,", "")
