"""What is shown, in the words and units of the house's region: earth for ground, and the like. Pure."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from switchleg.advice.wording.regional_terms import Say, in_words_of
from switchleg.session.views.local_sizes import offered
from switchleg.session.views.model import DoorView, QuestionView, View

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.questions import Value


def in_words(view: View, knowledge: Knowledge, region: Value | None) -> View:
    """The view as people say it there; as it stands while the region is not known."""
    regions = getattr(knowledge, "regions", {}) if region is not None else {}
    here = regions.get(str(region))
    say = in_words_of(here)
    if here is not None and isinstance(view, QuestionView) and view.kind == "measure":
        view = replace(view, choices=offered(view.choices, here))
    if say is str:
        return view
    if isinstance(view, QuestionView):
        return _question(view, say)
    if isinstance(view, DoorView):
        return replace(
            view,
            station_title=say(view.station_title),
            intro=say(view.intro),
            ask=say(view.ask),
            cautions=tuple(say(text) for text in view.cautions),
            checks=tuple(say(text) for text in view.checks),
        )
    return view


def _question(view: QuestionView, say: Say) -> QuestionView:
    return replace(
        view,
        station_title=say(view.station_title),
        intro=say(view.intro),
        ask=say(view.ask),
        why=say(view.why),
        look=say(view.look),
        settles=say(view.settles),
        caution=say(view.caution),
        reminder=say(view.reminder),
        choices=tuple(replace(choice, label=say(choice.label)) for choice in view.choices),
    )
