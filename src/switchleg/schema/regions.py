"""A region: its supply, words, conductor colours, cables and who may do the work. Data in regions/*.toml."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from pydantic import Field, model_validator

from switchleg.schema.questions import Strict
from switchleg.schema.tables import Standing

BoxRule = Literal["us", "ca", "depth", "none"]
"""us, ca: a volume sum; depth: the device's depth against the box's; none: no rule is known here."""

Answer = Literal["yes", "no", "doubt"]


class Words(Strict):
    """What people there call things, for texts that would else be foreign."""

    ground: str
    hot: str
    breaker: str
    wall_box: str
    neutral_colour: str
    licensed_person: str
    code: str = Field(max_length=80)
    """The wiring rules by the name under which to ask for them."""


class Ruling(Strict):
    """A local rule as far as it is known; `doubt` means: ask locally."""

    answer: Answer
    text: str = Field(max_length=300)
    standing: Standing
    source: str


class RoomLightRule(Strict):
    """Whether a room's light must have a wall control, and whether one that runs on a battery counts."""

    wall_control_needed: Answer
    battery_control_counts: Answer
    text: str = Field(max_length=300)
    standing: Standing
    source: str


class WhoMay(Strict):
    """Who may do fixed wiring. With `licensed_only` the card is addressed to the licensed person."""

    licensed_only: bool
    text: str = Field(max_length=300)
    standing: Standing
    source: str


class OldColours(Strict):
    """Colours of older work that may still be in the wall, and the trap in them."""

    when: str
    hot: tuple[str, ...]
    neutral: tuple[str, ...]
    ground: tuple[str, ...]
    cable_colours: dict[int, tuple[str, ...]] = Field(default_factory=dict)
    warning: str = Field(max_length=240)
    standing: Standing
    source: str


class Region(Strict):
    """One region's ways; `id` is the value of the fact `region`. Colours are those of fixed wiring."""

    id: str
    name: str
    voltage_v: int = Field(gt=0)
    frequency_hz: int = Field(gt=0)
    supply_source: str
    words: Words

    hot_colours: tuple[str, ...] = Field(min_length=1)
    leg_colours: tuple[str, ...] = Field(min_length=1)
    """What a switched conductor may wear."""
    neutral_colours: tuple[str, ...] = Field(min_length=1)
    ground_colours: tuple[str, ...] = Field(min_length=1)
    colour_standing: Standing
    colour_source: str

    cable_colours: dict[int, tuple[str, ...]]
    """Insulated conductors of an ordinary cable by their number (ground not counted), line colours first."""
    neutral_stand_in: dict[int, str] = Field(default_factory=dict)
    """For a cable without the neutral colour: which conductor is marked as neutral at both ends."""
    cable_standing: Standing
    cable_source: str
    reidentify: Ruling
    """May a neutral-coloured conductor be hot in a switch loop, and how is it marked."""
    loop_pale: Literal["supply", "return"]
    """What the neutral-coloured conductor carries in a two-wire switch loop: the way there or the way back."""
    old_colours: OldColours | None = None

    ground_in_every_cable: bool
    """True where new fixed wiring has a ground (earth) conductor in each cable."""
    cable_types: tuple[str, ...] = Field(min_length=1)
    wire_sizes: tuple[str, ...] = Field(min_length=1)
    """Usual sizes on lighting circuits, as measures."""
    usual_breakers: tuple[str, ...] = Field(min_length=1)
    length_unit: Literal["ft", "m"]
    volume_unit: Literal["in3", "cm3"]
    weight_unit: Literal["lb", "kg"]

    box_rule: BoxRule
    box_rule_text: str = Field(max_length=200)
    who_may: WhoMay
    room_light_rule: RoomLightRule
    neutral_at_switch: str = Field(max_length=200)
    local_sources: dict[str, str] = Field(default_factory=dict)
    """Another region's source -> the one that says the same here; "" leaves it out."""
    not_covered: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()

    @model_validator(mode="after")
    def _colours_agree(self) -> Region:
        if both := set(self.neutral_colours) & set(self.ground_colours):
            raise ValueError(f"{sorted(both)} is both a neutral and a ground colour")
        for count in (2, 3, 4):
            if count not in self.cable_colours:
                raise ValueError(f"cable_colours has no cable of {count} insulated conductors")
        for count, colours in self.cable_colours.items():
            if len(colours) != count or len(set(colours)) != count:
                raise ValueError(f"the cable of {count} insulated conductors needs {count} different colours")
            if set(colours) & set(self.ground_colours):
                raise ValueError(f"the cable of {count} has a ground colour among its insulated conductors")
            pale = [colour for colour in colours if colour in self.neutral_colours]
            stand_in = self.neutral_stand_in.get(count)
            if len(pale) > 1 or bool(pale) == bool(stand_in) or (stand_in and stand_in not in colours):
                raise ValueError(
                    f"the cable of {count} needs one neutral colour, or a conductor of it in neutral_stand_in"
                )
        return self

    def neutral_of(self, insulated: int) -> str:
        """The conductor that is neutral, by colour or by its mark, in a cable of that many insulated ones."""
        return self.neutral_stand_in.get(insulated) or next(
            colour for colour in self.cable_colours[insulated] if colour in self.neutral_colours
        )

    def local(self, names: Iterable[str]) -> tuple[str, ...]:
        """Sources by their local counterparts, each once, in their order."""
        return tuple(dict.fromkeys(here for name in names if (here := self.local_sources.get(name, name))))

    def source_ids(self) -> frozenset[str]:
        """Every source that the region names."""
        found = {
            self.supply_source,
            self.colour_source,
            self.cable_source,
            self.reidentify.source,
            self.who_may.source,
            self.room_light_rule.source,
        }
        found |= {name for pair in self.local_sources.items() for name in pair if name}
        return frozenset(found | ({self.old_colours.source} if self.old_colours else set()))
