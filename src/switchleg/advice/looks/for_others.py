"""Looks that would decide and are somebody else's to take: which, and whose. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from switchleg.advice.cases.survey import Survey
from switchleg.advice.looks.next_checks import left_to_others
from switchleg.advice.model import NextCheck
from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.regions import Region

MOST = 3
"""Such looks named at once."""

WITH_POWER = "For a {licensed} with a tester, since it is read with the power on:"
UP_THERE = "For somebody who may open the canopy, such as a {licensed}:"


def looks_for_others(
    knowledge: Knowledge, facts: Mapping[str, Value], survey: Survey, region: Region | None
) -> tuple[NextCheck, ...]:
    """Each with whose it is; most worth for the trouble first."""
    licensed = region.words.licensed_person if region else "licensed electrician"
    found = []
    for fact in left_to_others(knowledge, facts, survey)[:MOST]:
        question = knowledge.tree.questions[fact]
        whose = (WITH_POWER if question.power_on else UP_THERE).format(licensed=licensed)
        station = knowledge.tree.station_of[fact]
        found.append(NextCheck(fact=fact, station=station, text=f"{whose} {question.look}", by="other"))
    return tuple(found)
