"""What can be set in a wired site: switches, outputs, speeds, chains and remotes; and every combination of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from switchleg.wiring.bench import Bench
from switchleg.wiring.netlist import Wired

Key = tuple[str, str]
Positions = Mapping[Key, int]
"""(part, channel) -> 0 open, its top closed, its steps between; (part, "throw") -> which traveler a two-way switch
touches; (part, "crossed") -> 1 when a crossing switch joins its pairs crosswise; (fan, "motor") or (fan, "lamp") ->
as a channel, for what is worked within the fan. What is not named is off; what is within a fan is at its top."""


@dataclass(frozen=True)
class Dial:
    """Something with positions. `kept`: where it is when nobody says; `reduced`: its positions below full power."""

    key: Key
    top: int
    kept: int
    by: tuple[str, ...]

    @property
    def reduced(self) -> range:
        return range(1, self.top)


def dials(wired: Wired, bench: Bench) -> tuple[Dial, ...]:
    """Everything in the site that somebody or something can set, controls first, in the order of the parts."""
    found: list[Dial] = []
    within: list[Dial] = []
    for part in wired.parts:
        if load := bench.loads.get(part.control):
            within += [Dial((part.id, one.id), one.top, one.top, (one.by,)) for one in load.inside]
        elif control := bench.controls.get(part.control):
            found += [Dial((part.id, ch.id), ch.top, 0, ch.by) for ch in control.channel]
            if control.throws:
                found.append(Dial((part.id, "throw"), 1, 0, ("hand",)))
            if control.crosses:
                found.append(Dial((part.id, "crossed"), 1, 0, ("hand",)))
    return (*found, *within)


def positions(
    wired: Wired, bench: Bench, *, by: str | None = None, inside: bool = False, steps: bool = False
) -> Iterator[dict[Key, int]]:
    """Every combination of contacts and throws, off and full (only those worked `by` hand or app, the rest open).

    `inside`: with chains and remotes too, which else stay at full; `steps`: with the positions between, too.
    """
    found = [
        dial
        for dial in dials(wired, bench)
        if (inside or not dial.kept) and (by is None or by in dial.by or dial.key[1] in ("throw", "crossed"))
    ]
    ranges = [range(dial.top + 1) if steps else (0, dial.top) for dial in found]
    for values in product(*ranges):
        yield dict(zip((dial.key for dial in found), values, strict=True))


def at_full(dials: Iterable[Dial], state: Positions) -> dict[Key, int]:
    """The state with everything that is at a step turned up to full."""
    return dict(state) | {d.key: d.top for d in dials if state.get(d.key) in d.reduced}
