"""What must happen after the work: the solved function table in words, as a list to check off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from switchleg.advice.model import FunctionRow
from switchleg.advice.plans.plan import Plan
from switchleg.advice.wording.names import plan_names
from switchleg.schema.parts import Control
from switchleg.wiring.bench import Bench
from switchleg.wiring.function_table import Row, Works, function_table
from switchleg.wiring.loads import OWN_NAME
from switchleg.wiring.positions import Dial, Key, dials
from switchleg.wiring.rules import ELECTRONIC
from switchleg.wiring.site import IDLE

LOWER_STEP = "at a lower step"
State = frozenset[tuple[Key, int]]


def functions(plan: Plan, bench: Bench) -> tuple[FunctionRow, ...]:
    """Every position of the planned controls, off and full, and what fan, light and electronics do there.

    Then a row for each output that has steps, and one for each chain and each thing that the remote works.
    """
    beside_it = {p.id for p in plan.wired.parts if p.id == "beside" or p.net("load") == IDLE}
    settable = {dial.key: dial for dial in dials(plan.wired, bench) if dial.key[0] not in beside_it}
    table = {
        frozenset((key, at) for key, at in row.positions if key in settable): row
        for row in function_table(plan.wired, bench)
    }
    worded = _Words(plan, bench, settable)
    found: dict[FunctionRow, None] = {}
    for state, row in table.items():
        if all(at == dial.top or (at == 0 and not dial.kept) for dial, at in _set(state, settable)):
            found[worded.row(state, row)] = None
    for dial in settable.values():
        for state in _lowest(dial, table) if dial.kept else _reduced(dial, table):
            found[worded.row(state, table[state], dial)] = None
    return tuple(found)


def _set(state: State, settable: Mapping[Key, Dial]) -> Iterator[tuple[Dial, int]]:
    return ((settable[key], at) for key, at in state)


def _reduced(dial: Dial, table: Mapping[State, Row]) -> Iterator[State]:
    """The lowest step of an output, everything else at full, where some load is slow or dim by this step."""
    for state, row in reversed(list(table.items())) if dial.reduced else ():
        if (dial.key, 1) in state:
            full = table[(state - {(dial.key, 1)}) | {(dial.key, dial.top)}]
            if any(works == "slow" and full.load(load) == "on" for load, works in row.loads):
                yield state
                return


def _lowest(dial: Dial, table: Mapping[State, Row]) -> Iterator[State]:
    """A chain or remote at off, everything else at full, where its load would run."""
    load = OWN_NAME.get(dial.key[1], "")
    for state, row in reversed(list(table.items())):
        full = (state - {(dial.key, 0)}) | {(dial.key, dial.top)}
        if (dial.key, 0) in state and row.load(load) == "off" and table[full].load(load) == "on":
            yield state
            return


class _Words:
    """A plan's positions and what they give, in words."""

    def __init__(self, plan: Plan, bench: Bench, settable: Mapping[Key, Dial]) -> None:
        self.plan = plan
        self.bench = bench
        self.settable = settable
        self.names = plan_names(plan, bench.controls)
        fan = next(p for p in plan.wired.parts if p.id == "fan")
        self.by_remote = bench.loads[fan.control].kind in ELECTRONIC or plan.way.receiver == "replace"
        self.lamp_within = all(p.id != "light" for p in plan.wired.parts)
        self.remote = "its remote" if plan.fan.remote or plan.way.receiver == "replace" else "its own transmitter"

    def row(self, state: State, row: Row, moved: Dial | None = None) -> FunctionRow:
        by_part: dict[str, list[str]] = {}
        for key, at in row.positions:
            if (key, at) in state and (text := self._position(key, at, moved)):
                by_part.setdefault(key[0], []).append(text)
        light, by_hand = row.load("light"), moved is not None and moved.kept
        fed = self.by_remote and not by_hand
        return FunctionRow(
            positions=tuple(self._told(part_id, texts, moved) for part_id, texts in by_part.items()),
            fan=self._works(row.load("fan"), "slow", f"fed: {self.remote} works it" if fed else ""),
            light=self._works(light, "dim", f"as {self.remote} has it" if fed and self.lamp_within else "")
            if light
            else None,
            online=row.online,
        )

    def _told(self, part_id: str, texts: list[str], moved: Dial | None) -> str:
        if moved is not None and moved.kept:
            return texts[0]
        return f"{self.names[part_id]}{' at' if len(texts) > 1 else ''} {', '.join(texts)}"

    def _position(self, key: Key, at: int, moved: Dial | None) -> str:
        """One dial in words; empty where it is not told of."""
        dial = self.settable[key]
        part_id, channel = key
        if dial.kept:
            if moved is None or moved.key != key:
                return ""
            own = OWN_NAME[channel]
            return f"the {own}'s chain at off" if "chain" in dial.by else f"{self.remote} at {own} off"
        if not self._feeds(part_id, channel) or (moved is not None and moved.kept):
            return ""
        name = self._channel(part_id, channel)
        reduced = "low" if name else LOWER_STEP
        return f"{name}{reduced if at in dial.reduced else 'on' if at else 'off'}"

    def _control(self, part_id: str) -> Control | None:
        return self.bench.controls.get(next(p.control for p in self.plan.wired.parts if p.id == part_id))

    def _channel(self, part_id: str, channel: str) -> str:
        control = self._control(part_id)
        return f"{channel} " if control and len(control.channel) > 1 else ""

    def _feeds(self, part_id: str, channel: str) -> bool:
        """Whether a channel's output meets anything; one that meets nothing has no row in the table."""
        control = self._control(part_id)
        placed = next(p for p in self.plan.wired.parts if p.id == part_id)
        outputs = {ch.id: ch.joins[1] for ch in control.channel} if control else {}
        return channel not in outputs or placed.net(outputs[channel]) is not None

    @staticmethod
    def _works(works: Works | None, slow: str, fed: str) -> str:
        if fed:
            return {"on": fed, "off": "without power"}.get(str(works), str(works))
        return slow if works == "slow" else str(works)
