"""What stands in schemes.toml, preparations.toml and rules.toml."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from switchleg.tree.conditions import tests_of
from switchleg.tree.model import Condition, Strict

Want = Literal[
    "want_wall_control",
    "want_speed_from_app",
    "want_light_apart",
    "want_light_dimming",
    "want_keep_remote",
    "want_keep_wall_look",
]


class WantClass(Strict):
    """A wish: its words on the card, its weight as a `nice`, and how it counts when nobody was asked."""

    id: Want
    keeps: str
    loses: str
    weight: float = Field(gt=0)
    unasked: Literal["must", "nice", "no"]


class WayPart(Strict):
    """A part of a way: its control class, where it sits, and the net of each terminal."""

    control: str
    place: Literal["wall", "ceiling", "anywhere"]
    nets: dict[str, str] = Field(default_factory=dict)


class Way(Strict):
    """One way of carrying a scheme out: what feeds fan and light, and the parts that do it.

    `receiver`: remove it, keep it, either, or replace the whole fan. `light_from` "receiver" leaves the
    light where the receiver feeds it. `today` limits a way to wirings whose controls work just that.
    """

    id: str
    says: str
    receiver: Literal["remove", "keep", "either", "replace"]
    fan_from: str
    light_from: str | None
    part: tuple[WayPart, ...]
    today: tuple[str, ...] | None = None
    app: tuple[Literal["fan", "light", "speed"], ...] = ()
    """What the app reaches without a control class in the circuit (a bridge, a fan's own radio)."""
    work: float = 0.0


class Scheme(Strict):
    id: str
    title: str
    says: str
    work: float = Field(ge=0)
    way: tuple[Way, ...]
    sources: tuple[str, ...]


class SchemesFile(Strict):
    want: tuple[WantClass, ...]
    scheme: tuple[Scheme, ...]


class Preparation(Strict):
    """A step before or beside a scheme. `order` is the working order; `work` its trouble (estimate)."""

    id: str
    title: str
    step: str
    when: Literal["before", "during", "after"]
    """Before the boxes are opened, part of the work in them, or when the power is on again."""
    order: int
    work: float = Field(ge=0)
    electrician: bool = False
    sources: tuple[str, ...]


class PreparationsFile(Strict):
    preparation: tuple[Preparation, ...]


Blind = Literal["waits", "stands"]
"""What a verdict does while somebody has looked for a danger and could not tell: wait for it, or stand with its
caution. A find in a box waits; a number that is read on a label any time before the work does not hold it up."""


class Stop(Strict):
    """A find that ends the work: what was found, why it stops, where it comes from."""

    id: str
    text: str
    when: tuple[Condition, ...]
    arises: tuple[Condition, ...] = ()
    """When the look for it is worth asking for; a find stops the work in any case."""
    blind: Blind = "waits"
    sources: tuple[str, ...]


class Implied(Strict):
    """Whoever told something of which one of these holds has told `then` too: a distance to a bath says that there is
    one."""

    when_any: tuple[Condition, ...] = Field(min_length=1)
    then: Condition

    @model_validator(mode="after")
    def _tells_a_value(self) -> Implied:
        if self.then.is_ is None or len(tests_of(self.then)) > 1:
            raise ValueError('implies no single value; expected then = { fact = "...", is = ... }')
        return self


class Denied(Strict):
    """Answers about a thing of which another answer says that it is not there: together they cannot be true.

    For what no house and no fan is asked about; all else is found by comparing with the candidates.
    """

    when: tuple[Condition, ...]

    @model_validator(mode="after")
    def _of_several(self) -> Denied:
        if len({condition.fact for condition in self.when}) < 2:
            raise ValueError("names one fact; expected the answer and the one that denies it, two facts or more")
        return self


class Forbids(Strict):
    """A trade rule that forbids schemes, or whatever uses certain control classes, when conditions hold."""

    id: str
    text: str
    when: tuple[Condition, ...]
    schemes: tuple[str, ...] = ()
    controls: tuple[str, ...] = ()
    sources: tuple[str, ...]


class Sentence(Strict):
    """A rule that the engine tests itself; here stand its words, severity and source.

    `arises` and `blind` are for stops that are worked out from figures: as in `Stop`.
    """

    id: str
    severity: Literal["stop", "forbids", "caution"]
    text: str
    arises: tuple[Condition, ...] = ()
    blind: Blind = "waits"
    sources: tuple[str, ...]


class Caution(Strict):
    """A warning for the card: always, under conditions, or with certain schemes, controls or preparations."""

    id: str
    text: str
    when: tuple[Condition, ...] = ()
    open: str = ""
    """A stop: the warning stands while nobody has told what that one hangs on."""
    schemes: tuple[str, ...] = ()
    controls: tuple[str, ...] = ()
    preparations: tuple[str, ...] = ()
    plan: (
        Literal["live_at_ceiling", "two_legs", "plain_ac_fan", "neutral_at_wall", "hangs_fan", "stays_below"] | None
    ) = None
    """With plans that keep a hot at the ceiling, re-use two legs, need a plain AC fan, or a neutral at the wall; that
    hang another fan, or do nothing at the ceiling."""
    sources: tuple[str, ...]


class RulesFile(Strict):
    stop: tuple[Stop, ...]
    implied: tuple[Implied, ...] = ()
    denied: tuple[Denied, ...] = ()
    forbids: tuple[Forbids, ...]
    tested: tuple[Sentence, ...]
    caution: tuple[Caution, ...]
