"""What to buy, as specifications that a package in a shop can be held against; and what not to buy."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from switchleg.advice.model import SchemeVerdict
from switchleg.advice.numbers.boxes import added_by
from switchleg.advice.numbers.safety import with_run
from switchleg.advice.wording.phrases import number
from switchleg.advice.work.part_marks import Needs, needs_of
from switchleg.advice.work.small_parts import TESTER, small_parts
from switchleg.schema.parts import Reach
from switchleg.schema.questions import Value

if TYPE_CHECKING:
    from switchleg.knowledge.load import Knowledge
    from switchleg.schema.parts import Control

__all__ = ["TESTER", "Purchase", "not_to_buy", "parts_to_buy", "purchases"]

Sort = Literal["control", "small", "box", "tool"]
HUB = "on the local radio standard of your hub"
SPOKEN = {"zigbee": "Zigbee", "z_wave": "Z-Wave", "thread": "Thread", "wifi": "local Wi-Fi, not through a server"}
"""How a hub's radio is marked on a package."""
NO_HUB = (
    "One hub for the whole house: works with the network cut off, speaks a local radio standard, and all parts "
    "above bear the mark of that standard."
)


@dataclass(frozen=True)
class Purchase:
    """One thing to buy. Those with the same `key` are one article; `needs` are its marks, which may grow."""

    key: str
    sort: Sort
    count: int
    what: str
    """In the singular, with its specification after a colon."""
    needs: Needs = field(default_factory=Needs)

    def text(self) -> str:
        """A line for a shopping list."""
        if self.sort != "control":
            return self.what
        marks = self.needs.text()
        times = " times:" if self.count > 1 else ""
        return f"{number(self.count).capitalize()}{times} {self.what}{f' {marks}' if marks else ''}"


def purchases(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict) -> Iterator[Purchase]:
    """Everything to buy for one fan: control parts first, then boxes and small parts, then tools."""
    controls = {c.id: c for c in knowledge.controls.control}
    counted = Counter(chosen.parts)
    devices = added_by(knowledge, chosen).devices or None
    wall = with_run(facts, chosen.new_cables)
    hub = False
    if "battery_wall_button" in chosen.preparations and "wall_button" not in counted:
        counted["wall_button"] = 1
    for name, count in counted.items():
        control = controls[name]
        if control.specification:
            needs = needs_of(knowledge, wall, control, devices, beside_other=name in chosen.beside_other)
            told = _specified(control, facts.get("hub"), chosen.wall_control)
            hub = hub or HUB in _specified(control, None)
            yield Purchase(_key(control, needs), "control", count, f"{control.title}: {told}", needs)
    for key, sort, count, what in small_parts(knowledge, facts, chosen):
        yield Purchase(key, sort, count, what)
    if hub and facts.get("hub") == "none":
        yield Purchase("hub", "tool", 1, NO_HUB)


def _specified(control: Control, hub: Value | None, reached: Mapping[str, Reach] | None = None) -> str:
    """The class's own words, with the radio standard where it talks to a hub; by its name when that is known."""
    by = control.specification_by
    text = next((by[one] for one in (reached or {}).values() if one in by), control.specification)
    networked = bool(control.channel) and any("app" in channel.by for channel in control.channel)
    text = f"{text[:-1]}, {HUB}." if networked and HUB not in text else text
    spoken = SPOKEN.get(str(hub))
    return text.replace(HUB, f"{HUB} ({spoken})") if spoken else text


def _key(control: Control, needs: Needs) -> str:
    return f"{control.id} {needs.volts} {needs.place} {needs.lamp} {needs.other} {needs.other_amps or ''}".rstrip()


def parts_to_buy(knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict) -> Iterator[str]:
    """The same as lines of text, for one fan."""
    for purchase in purchases(knowledge, facts, chosen):
        yield purchase.text()


def not_to_buy(
    knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict | None, motor: str | None
) -> Iterator[str]:
    """What would be wrong here, each with its reason. `motor` is the settled kind or None."""
    for row in knowledge.tables["not_to_buy"].row:
        if row.words["when"] in _circumstances(knowledge, facts, chosen, motor):
            yield f"Not {row.words['what']}: {row.words['why']}."


def _circumstances(
    knowledge: Knowledge, facts: Mapping[str, Value], chosen: SchemeVerdict | None, motor: str | None
) -> frozenset[str]:
    found = {"fan"}
    if motor == "dc":
        found.add("dc")
    elif motor is None and facts.get("fan_installed") is not False:
        found.add("open_motor")
    if facts.get("neutral_bundle") is False:
        found.add("no_neutral")
    if facts.get("light_kit") == "lamps":
        found.add("light")
    if chosen is None:
        return frozenset(found)
    if "keep_receiver" in chosen.preparations:
        found.add("receiver_kept")
    for control in knowledge.controls.control:
        if control.id not in chosen.parts or not control.specification:
            continue
        does = {channel.does for channel in control.channel if "ac_motor" in channel.feeds}
        found |= {"contact": {"contact"}, "speed": {"speed"}, "phase_cut": set()}[next(iter(does))] if does else set()
        if control.place == "ceiling":
            found.add("canopy")
        if any("app" in channel.by for channel in control.channel) or "radio" in control.id:
            found.add("networked")
    return frozenset(found)
