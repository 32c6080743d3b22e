"""What hangs on a leg beside the fan: what it is in a home, and whether a recommended part was bought for it."""

from __future__ import annotations

import random
from collections.abc import Collection, Iterator
from typing import Any

import networkx as nx
from wiring_world import bench

from simulation.houses import Recipe
from simulation.reading import Facts
from switchleg.wiring.netlist import ConductorEnd, End, Terminal, Wired

KINDS = (("lamps", 50), ("outlet", 30), ("fan", 12), ("other", 8))
AMPS = ("0.2 A", "0.4 A", "0.9 A", "1.8 A", "3 A")
"""How often what hangs on a switch beside a fan, and what lamps take together: our own estimates."""

MARKED_FOR_LAMPS = frozenset({"on_off_control", "light_on_off", "relay_module"})
"""New parts that may take further lamps; none takes an outlet, another fan or anything else (common practice)."""


def hung(recipe: Recipe) -> Facts:
    """What somebody finds out about it; the same in every home with this wiring."""
    if recipe.other is None:
        return {}
    rng = random.Random(repr(recipe))
    kind = rng.choices(*zip(*KINDS, strict=True))[0]
    return {"other_load_kind": kind} | ({"other_load_amps": rng.choice(AMPS)} if kind == "lamps" else {})


def not_borne(joints: nx.Graph, planned: Wired, true: Wired, facts: Facts, told: Facts) -> Iterator[str]:
    """New parts whose output meets the other load's wire and that were bought for something else, or for less."""
    stub = next((stub for stub in true.site.stubs if stub.id == "other"), None)
    if stub is None:
        return
    ends = (
        ConductorEnd("other", colour, stub.box)
        for (of, colour), net in true.conductors.items()
        if of == "other" and net == stub.nets[0]
    )
    met: Collection[End] = nx.node_connected_component(joints, next(ends))
    kind, takes = facts["other_load_kind"], facts.get("other_load_amps")
    for part in planned.parts:
        control = bench().controls.get(part.control)
        new = control.channel if control and control.specification else ()
        if any(Terminal(part.id, channel.joins[1]) in met for channel in new):
            if kind != "lamps" or part.control not in MARKED_FOR_LAMPS:
                yield f"{part.control}: not marked for the other load on its wire ({kind})"
            elif _amps(told.get("other_load_amps")) < _amps(takes):
                yield f"{part.control}: too weak for the other lamps on its wire"


def _amps(told: Any) -> float:
    return float(str(told).removesuffix(" A")) if told is not None else 0.0
