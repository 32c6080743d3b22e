"""What is below is announced, and what to look at is on the screen wherever it fits."""

from __future__ import annotations

from pathlib import Path

from screens_world import make_app, press, text_of
from switchleg.screens.parts.body import Body

from switchleg.knowledge.load import load
from switchleg.session.views.model import QuestionView


async def test_the_cue_is_true_at_every_question_of_the_floor(tmp_path: Path) -> None:
    """In a low window "more below" stands under a question exactly when a part of it lies below."""
    app = make_app(tmp_path, knowledge=load())
    told, silent = 0, 0
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o", "1", "y")
        assert app.session is not None
        while isinstance(view := app.session.view, QuestionView):
            await pilot.pause()
            body = app.screen.query_one("#body", Body)
            below = body.max_scroll_y - body.scroll_y > 0.5
            assert ("more below" in text_of(app)) == below, view.node
            told, silent = told + below, silent + (not below)
            await press(pilot, "y" if view.node == "handheld_remote" else "c")
        assert told >= 1
        assert silent >= 10


async def test_where_to_look_goes_before_tall_answers(tmp_path: Path) -> None:
    """Where low answers leave room for "where to look", it is on the screen."""
    app = make_app(tmp_path, knowledge=load())
    async with app.run_test(size=(40, 20)) as pilot:
        await press(pilot, "o", "1")
        assert app.session is not None
        assert isinstance(app.session.view, QuestionView)
        assert app.session.view.node == "fan_installed"
        assert "Where to look:" in text_of(app)
