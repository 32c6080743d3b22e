"""What breaks no rule of a wired site and must be told all the same: cautions, with the ids of rules.toml."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from switchleg.wiring.bench import Bench
from switchleg.wiring.finding import NONE, Finding
from switchleg.wiring.loads import loads_of
from switchleg.wiring.netlist import Wired
from switchleg.wiring.positions import positions
from switchleg.wiring.rules import downstream
from switchleg.wiring.site import GROUND, HOT, NEUTRAL
from switchleg.wiring.solve import circuit_of


def cautions(
    wired: Wired, bench: Bench, today: Wired | None = None, *, worked_otherwise: Collection[str] = ()
) -> tuple[Finding, ...]:
    """Loads that no control turns off, and conductors that were live in `today` and get another use.

    `worked_otherwise`: loads with a chain or a remote of their own; for them always live is meant.
    """
    return (*_never_off(wired, bench, worked_otherwise), *(_was_live(wired, bench, today) if today else ()))


def _never_off(wired: Wired, bench: Bench, worked_otherwise: Collection[str]) -> Iterator[Finding]:
    circuit = circuit_of(wired, bench)
    solutions = [s for state in positions(wired, bench) if not (s := circuit.solve(state)).short]
    for load in loads_of(wired, bench):
        live = solutions and all(s.across(load.hot, load.neutral) >= NONE * bench.volts for s in solutions)
        if live and load.id not in worked_otherwise:
            yield Finding("load_never_off", load.box, (("load", load.id),))


def _was_live(wired: Wired, bench: Bench, today: Wired) -> Iterator[Finding]:
    """A leg that stays a leg of a load it has fed is no other use; a hot that becomes anything else is."""
    for key, net in wired.conductors.items():
        was = today.conductors.get(key)
        if net in (None, GROUND, was) or was in (None, GROUND, NEUTRAL):
            continue
        same = was != HOT and net != HOT and _feeds(today, bench, was) & _feeds(wired, bench, net)
        if not same:
            yield Finding("was_live", "", (("cable", key[0]), ("colour", key[1]), ("net", str(net))))


def _feeds(wired: Wired, bench: Bench, net: str | None) -> set[str]:
    return {load.id for load in downstream(wired, bench, net)[0]}
