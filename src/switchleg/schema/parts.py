"""What stands in controls.toml and wiring.toml: control classes, loads, and what candidate houses are made of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from pydantic import Field

from switchleg.schema.questions import Strict

OtherKind = Literal["other_lamps", "outlet", "second_fan", "other"]
"""What hangs on a leg beside the fan: lamps elsewhere, a receptacle, another fan, anything else."""

LoadKind = Literal["ac_motor", "receiver", "driver", "lamp", "dc_motor", "driver_lamp", OtherKind]
"""What an output feeds: a plain AC motor, an AC receiver, a DC driver, a mains lamp; behind a driver its DC motor
and a low-voltage lamp; another load on the leg."""

Does = Literal["contact", "speed", "phase_cut"]
"""What a channel does to power: joins it or not, steps it down for a motor, or cuts each wave."""


class Channel(Strict):
    """One way through a control: closed or open, and what it may feed."""

    id: str
    joins: tuple[str, str]
    does: Does
    feeds: tuple[LoadKind, ...]
    by: tuple[Literal["hand", "app"], ...]
    app: tuple[Literal["on_off", "speed", "dim"], ...] = ()
    steps: tuple[float, ...] = ()
    """Reduced positions between off and full: the share of full voltage that a load of `step_watts` is left with."""
    step_watts: float = 60.0

    @property
    def top(self) -> int:
        """The position at full power; 0 is off, those between are the steps in order."""
        return len(self.steps) + 1


Reach = Literal["wired", "paired", "own_remote", "hub", "none"]
"""How the wall works something: by a wired control; by a button paired with the very part that does the work, or
that part's own remote, both without a hub; by a button that only the hub hears; not at all."""


class Control(Strict):
    """A class of control device. `supply` names the terminals its electronics live on."""

    id: str
    title: str
    place: Literal["wall", "ceiling", "anywhere"]
    terminals: tuple[str, ...]
    supply: tuple[str, str] | None = None
    channel: tuple[Channel, ...] = ()
    throws: tuple[str, str, str] | None = None
    """For a two-way (3-way) switch: the common terminal and the two traveler terminals."""
    crosses: tuple[tuple[str, str], tuple[str, str]] | None = None
    """For a crossing (4-way) switch: its two pairs of terminals, joined straight or crosswise."""
    joined: tuple[str, str] | None = None
    """Two terminals that are always one: conductors joined under a connector."""
    senses: str | None = None
    """An input that only listens: it is to see voltage in one position of a switch and none in the other."""
    grounded: bool = False
    """Has metal that a person or a wire can reach, and a ground terminal for it."""
    gangs: int = 1
    loose: bool = False
    """Lies in the box behind a device; takes no gang of its own."""
    lives_on_load: bool = False
    """Its electronics draw their current through the load: nothing electronic may be the load."""
    battery: bool = False
    button: Literal["paired", "own_remote", "hub"] | None = None
    """How a button at the wall reaches it."""
    keeps_look: bool = False
    specification: str = Field(max_length=400)
    """A generic shopping text; empty parts are never bought."""
    specification_by: Mapping[Reach, str] = Field(default_factory=dict)
    """Another one where the part works what it works in that way."""
    sources: tuple[str, ...]

    @property
    def electronics(self) -> tuple[str, str] | None:
        """The terminals between which its electronics lie: its supply, or what its output is in series with."""
        return self.channel[0].joins if self.lives_on_load else self.supply

    def ways(self) -> tuple[tuple[str, str], ...]:
        """Every way that power can take through it in some state, as (from, to)."""
        found = [channel.joins for channel in self.channel]
        if self.joined:
            found.append(self.joined)
        pairs = [(self.throws[0], t) for t in self.throws[1:]] if self.throws else []
        pairs += [(a, b) for a in self.crosses[0] for b in self.crosses[1]] if self.crosses else []
        return (*found, *pairs, *((b, a) for a, b in pairs))


class ControlsFile(Strict):
    control: tuple[Control, ...]


class Inside(Strict):
    """A load within a fan, behind the contact that works it there: a chain's, or an output of its electronics.

    It lies between the lead of its own name and the neutral lead; the contact joins that lead to the hot one.
    """

    id: Literal["motor", "lamp"]
    kind: LoadKind
    by: Literal["chain", "remote"]
    does: Does
    steps: tuple[float, ...] = ()
    watts: float = Field(gt=0)

    @property
    def top(self) -> int:
        return len(self.steps) + 1


class LoadClass(Strict):
    """A load's resistance at nominal voltage; only its order of magnitude matters to the verdicts.

    `watts` is drawn between the supply leads: by a motor or lamp that hangs there, by electronics for themselves;
    0 where all is drawn `inside`.
    """

    id: str
    kind: LoadKind
    watts: float = Field(ge=0)
    inside: tuple[Inside, ...] = ()
    sources: tuple[str, ...]


class OtherLoad(Strict):
    """Another load on a leg: the answer that tells of it, its kind, and its words in a list of parts."""

    is_: str = Field(alias="is")
    kind: OtherKind
    says: str


def plain_class(load: str) -> str:
    """A load class without what is within it: its supply leads are the same."""
    return load.partition("_with_")[0]


Works = Literal["fan", "light", "both", "nothing"]
"""What a control works; over a leg that nothing hangs on: nothing."""


class Legs(Strict):
    """What the controls of a location pattern do. `multiway` names what a pair of two-way switches works."""

    controls: tuple[Works, ...]
    multiway: Works | None = None
    p: float = Field(gt=0)


class Odds(Strict):
    """A prior share with its source."""

    p: dict[str, float]
    sources: tuple[str, ...]


class ByAge(Strict):
    """The share of "yes" by the age of the house, in the regions where the rule behind it holds."""

    regions: tuple[str, ...]
    yes: dict[str, float]
    sources: tuple[str, ...]


class WiringFile(Strict):
    """What candidate houses are made of, with prior shares (estimates unless a source says more)."""

    load: tuple[LoadClass, ...]
    run_conductors: tuple[int, ...]
    one_location: tuple[Legs, ...]
    two_locations: tuple[Legs, ...]
    wall_boxes: Odds
    feed: Odds
    conductors: Odds
    neutral_sent_down: Odds
    neutral_sent_down_by_age: ByAge
    both_tied: Odds
    beside: Odds
    other_load_untold: Odds
    other_load: tuple[OtherLoad, ...]
    light_untold: Odds
    onward_feed_at_wall: Odds
    onward_feed_at_ceiling: Odds
    white_left_spare: Odds

    def hangs(self, said: object) -> OtherLoad | None:
        """What hangs on a leg beside the fan, by the answer that tells of it; None while nobody told."""
        return next((other for other in self.other_load if other.is_ == said), None)
