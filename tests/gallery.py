"""The pictures of the screens: `python tests/gallery.py [FOLDER]`, else screens/gallery. Not collected by pytest.

They show the invented guesthouse of the demo in a throw-away folder, at a fixed time, so that a picture
changes only when a screen, the knowledge or the reasoning does.
"""

from __future__ import annotations

import asyncio
import sys
import tempfile
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import cast

from command_paths import NOON, knowledge, plan, room
from gallery_svg import picture
from screens_world import card_shown, press
from switchleg.screens.app import SwitchlegApp
from switchleg.screens.working import work as work_screen
from textual.pilot import Pilot

from switchleg.command.demo.command import furnish
from switchleg.command.demo.script import play
from switchleg.record.store import Store

GALLERY = Path(__file__).parent.parent / "screens" / "gallery"
USUAL = (80, 24)
"""Columns and rows."""
PHONE = (40, 20)
NAMES = ("records", "station", "question", "review", "card", "phone", "plan", "compare", "ladder", "home")
MOST = 60
"""Presses after which no joint will come."""
FINISHED, WAITING, NEW = "front parlour", "breakfast room", "back parlour"
ASKED = "neutral_bundle"
"""Where the new room stops, which is made like the finished one."""


def main(folder: Path) -> int:
    """Writes every picture into `folder`; 0."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, svg in asyncio.run(pictures()).items():
        (folder / f"{name}.svg").write_text(svg, encoding="utf-8")
        print(folder / f"{name}.svg")
    return 0


async def pictures() -> dict[str, str]:
    """Every picture by its name, as SVG."""
    taken: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder), lambda: NOON)
        furnish(store, plan(), knowledge(), lambda: NOON)
        async with shown(store) as pilot:
            taken["records"] = picture(pilot.app, "The records: every fan of the house and where it stands")
            await press(pilot, "h")
            await card_shown(pilot)
            taken["home"] = picture(pilot.app, "The house at one look: every fan, one trip, one list of parts")
        async with shown(store, WAITING) as pilot:
            await card_shown(pilot)
            await press(pilot, "n", "1", "2")
            taken["station"] = picture(pilot.app, "The safety gate before the canopy, two checks confirmed")
        async with shown(store, FINISHED) as pilot:
            await card_shown(pilot)
            taken["card"] = picture(pilot.app, "The card: the verdict in a sentence and what follows from it")
            await press(pilot, "p")
            taken["plan"] = picture(pilot.app, "The plan: what to do in which order, box by box")
            await press(pilot, "v")
            await card_shown(pilot)
            taken["compare"] = picture(pilot.app, "The schemes side by side against what is wanted")
            await press(pilot, "b", "l")
            await to_a_joint(pilot)
            taken["ladder"] = picture(pilot.app, "The work: one step at a time in large plain text")
            await press(pilot, "escape")
            await card_shown(pilot)
            await press(pilot, "r")
            taken["review"] = picture(pilot.app, "All answers, any of which can be changed")
        async with shown(store, NEW) as pilot:
            await card_shown(pilot)
            taken["question"] = picture(pilot.app, "A question at the wall, with what is settled so far")
        async with shown(store, NEW, PHONE) as pilot:
            await card_shown(pilot)
            taken["phone"] = picture(pilot.app, "The same question on a phone")
    return taken


async def to_a_joint(pilot: Pilot[int]) -> None:
    """Do the work up to the first joint that is made, its safety checks confirmed on the way."""
    work_screen.PAUSE_S = 0.0  # nobody waits between the steps
    for _ in range(MOST):
        session = cast(SwitchlegApp, pilot.app).session
        work = session.work if session is not None else None
        if work is not None and work.phase == "step" and work.step is not None and work.step.kind == "join":
            return
        await press(pilot, "space")
    raise AssertionError("no joint is made")


@asynccontextmanager
async def shown(store: Store, name: str | None = None, size: tuple[int, int] = USUAL) -> AsyncIterator[Pilot[int]]:
    """The app on its list, or where the record `name` stopped; NEW is begun and answered as far as ASKED."""
    app = SwitchlegApp(store, start="records" if name is None else "resume", name=name)
    if name == NEW:
        app.create_record(name, plan().home)
        assert app.session is not None
        play(app.session, room(FINISHED), until=ASKED)
    elif name is not None:
        app.open_record(name)
    async with app.run_test(size=size) as pilot:
        await pilot.pause(0.1)
        yield pilot
    app.close_record()


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else GALLERY))
