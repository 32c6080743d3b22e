"""Controls that change nothing, and outputs that meet: what is wired without a fault and still does not work."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from itertools import combinations

from switchleg.wiring.bench import Bench
from switchleg.wiring.finding import Finding
from switchleg.wiring.netlist import End, Placed, Terminal, Wired
from switchleg.wiring.positions import Dial, dials
from switchleg.wiring.site import IDLE

Seen = Mapping[tuple[int, ...], Hashable]
"""The positions of every dial, in the order of `dials`, -> what loads and inputs are seen to do there."""


def idle_controls(wired: Wired, bench: Bench, seen: Seen) -> Iterator[Finding]:
    """Controls with an output, or a way to throw, that makes no difference in any state; and ones without output."""
    elsewhere = {net for stub in wired.site.stubs if stub.id.startswith("beside") for net in stub.nets} | {IDLE}
    parts = {p.id: p for p in wired.parts if not {net for _, net in p.nets} & elsewhere}
    for number, dial in enumerate(dials(wired, bench)):
        part = parts.get(dial.key[0])
        if part and not dial.kept and _wired(part, dial, bench) and not _matters(number, seen):
            yield Finding("control_without_effect", part.box, (("part", part.id),))
    for part in parts.values():
        control = bench.controls.get(part.control)
        if control and control.channel and not any(part.net(ch.joins[1]) for ch in control.channel):
            yield Finding("control_without_effect", part.box, (("part", part.id),))


def _wired(part: Placed, dial: Dial, bench: Bench) -> bool:
    """Whether something is to hang on what the dial works; a lead that is left over is capped."""
    outputs = {channel.id: channel.joins[1] for channel in bench.controls[part.control].channel}
    return dial.key[1] not in outputs or part.net(outputs[dial.key[1]]) is not None


def _matters(number: int, seen: Seen) -> bool:
    return any(at[number] and seen.get((*at[:number], 0, *at[number + 1 :]), what) != what for at, what in seen.items())


def outputs_that_meet(wired: Wired, bench: Bench, nodes: Mapping[End, Hashable]) -> Iterator[Finding]:
    """Two outputs on one piece of copper, where one of them is more than a contact."""
    outputs = [
        (part, channel.does != "contact" or control.lives_on_load, nodes.get(Terminal(part.id, channel.joins[1])))
        for part in wired.parts
        if (control := bench.controls.get(part.control))
        for channel in control.channel
        if part.net(channel.joins[1])
    ]
    for (one, tender, here), (_, other_tender, there) in combinations(outputs, 2):
        if here is not None and here == there and (tender or other_tender):
            yield Finding("outputs_meet", one.box, (("part", one.id),))
