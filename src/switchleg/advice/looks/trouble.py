"""What a look costs from where one stands: itself, its station while that is shut, and looking once more. Pure."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING

from switchleg.schema.questions import Again, Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge


def trouble_of(
    knowledge: Knowledge, facts: Mapping[str, Value], untold: Collection[str] = ()
) -> Callable[[str], float]:
    """Marginal trouble of a look. A station stands open when something was looked for that is seen nowhere else."""
    station_of, data = knowledge.tree.station_of, knowledge.clues.trouble
    looked = {*facts, *untold} - elsewhere(knowledge)
    opened = {"floor"} | {station_of[f] for f in looked if f in station_of}

    def trouble(fact: str) -> float:
        station = station_of.get(fact, "floor")
        again = fact in untold and station != "floor"
        own = data.fact.get(fact, data.otherwise) + (data.once_more if again else 0.0)
        return own + (0.0 if station in opened else data.station[station])

    return trouble


@lru_cache(maxsize=4)
def elsewhere(knowledge: Knowledge) -> frozenset[str]:
    """Facts that are asked for again at another station."""
    tree = knowledge.tree
    again = ((at, node.fact) for at, node in tree.nodes.items() if isinstance(node, Again))
    return frozenset(fact for at, fact in again if tree.station_of[at] != tree.station_of.get(fact))
