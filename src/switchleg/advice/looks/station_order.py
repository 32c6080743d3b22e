"""Which of the stations that are still shut is better opened first. Pure."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from switchleg.advice.cases.open_cases import open_cases
from switchleg.advice.cases.survey import LOOKED_THROUGH, Hypothesis
from switchleg.advice.looks.look_table import case_of
from switchleg.advice.looks.next_checks import barred_by, ranked
from switchleg.diagnosis.policies import open_first
from switchleg.schema.questions import STATIONS, Station, Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge


def by_worth(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str], shut: Collection[Station]
) -> tuple[Station, ...]:
    """Shut stations, the one first whose best look brings most towards the recommendation for its trouble."""
    survey = open_cases(knowledge, facts, untold).survey
    barred = barred_by(knowledge, facts)
    checks = ranked(knowledge, survey, facts, survey.decided, barred=barred) if survey.hypotheses else ()
    order = [knowledge.tree.station_of.get(check.fact) for check in checks]
    return tuple(sorted(shut, key=lambda s: (order.index(s) if s in order else len(order), STATIONS.index(s))))


MOST = 400
"""Rows that are weighed at most; the likeliest are."""


def first_station(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str], opened: Collection[Station] = ()
) -> Station | None:
    """The station to open first, so that the least opening is expected until the recommendation is decided.

    None when nothing that is shut tells more. The likeliest cases are weighed, all else being as they show it.
    """
    survey = open_cases(knowledge, facts, untold).survey
    few = survey.hypotheses[:LOOKED_THROUGH]
    if not few:
        return None
    whole = sum(h.p for h in few)
    likely = survey.of(tuple(Hypothesis(h.wiring, h.house, h.fan, h.p / whole) for h in few))
    table = case_of(knowledge, facts, likely, covering=0.999, most=MOST).table
    mask = sum(1 << place for place, station in enumerate(table.stations) if station in opened)
    named = open_first(table, table.everything, mask)
    return next((station for station in STATIONS if station == named), None)
