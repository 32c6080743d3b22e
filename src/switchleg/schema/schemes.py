"""What stands in schemes.toml, preparations.toml and rules.toml."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from pydantic import Field, model_validator

from switchleg.schema.parts import Reach
from switchleg.schema.questions import Condition, Strict, tests_of

StepKind = Literal["off", "on", "mark", "take_apart", "test", "join", "leave", "cap", "fold"]
"""mark: photographed, tagged or written on."""

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
    keeps_by: Mapping[Reach, str] = Field(default_factory=dict)
    """Other words for it where the wall works it in that way."""
    weight: float = Field(gt=0)
    unasked: Literal["must", "nice", "no"]

    def kept_words(self, reached: Mapping[str, Reach]) -> str:
        """What is kept where fan and light are reached from the wall like this; of which it is, where they differ."""
        told = {load: self.keeps_by.get(one, self.keeps) for load, one in reached.items() if one != "none"}
        if not self.keeps_by or not told:
            return self.keeps
        if len(set(told.values())) == 1 and len(told) == len(reached):
            return next(iter(told.values()))
        return "; ".join(f"for the {load}, {text}" for load, text in told.items())

    def kept_in_part(self, reached: Mapping[str, Reach]) -> bool:
        """Whether it holds only while the hub runs, for the fan or for the light."""
        return bool(self.keeps_by) and "hub" in reached.values()


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


class Task(Strict):
    """What a preparation adds to the steps in a box, where joints parted and made do not say it already."""

    box: Literal["wall", "ceiling", "emptied", "near", "far"]
    """wall: where the cable to the fan begins. emptied: a wall box whose control comes out and gets no other.
    near, far: the boxes at both ends of a conductor that is put to use, the one worked on first and the other."""
    moment: Literal["first", "undo", "apart", "out", "closing", "closed"]
    """first: before anything is parted in any box. undo: as the work in the box begins. apart: among what is parted.
    out: when all that leaves is out. closing: before the box is closed. closed: as it is."""
    kind: StepKind
    text: str
    """{wire}: the conductor put to use. {ground}: the region's word."""
    receiver: Literal["kept", "out"] | None = None
    """Only where the fan's receiver stays, or comes out."""
    light: Literal["receiver", "loose"] | None = None
    """Only where the receiver feeds the light today, or where its lead is capped."""
    opens: bool = False
    """The box is opened for it, also where no joint in it changes."""
    takes_out: Literal["receiver"] | None = None
    """It says of this part that it comes out, so that nothing else has to."""


class Preparation(Strict):
    """A step before or beside a scheme. `order` is the working order; `work` its trouble (estimate)."""

    id: str
    title: str
    step: str
    """The whole in a sentence; for work in the boxes only told while the joints are not settled."""
    when: Literal["before", "during", "after"]
    """Before the work, by somebody else or opening nothing; in the boxes, dead; or when the power is on again."""
    order: int
    work: float = Field(ge=0)
    electrician: bool = False
    task: tuple[Task, ...] = ()
    untouched: str = ""
    """What is said before the work instead, where no box that it concerns is opened."""
    sources: tuple[str, ...]
    step_by: Mapping[Reach, str] = Field(default_factory=dict)
    """Another step where the wall works something in that way."""

    def step_for(self, reached: Mapping[str, Reach]) -> str:
        """The step in a plan in which fan and light are reached from the wall like this."""
        return next((self.step_by[one] for one in reached.values() if one in self.step_by), self.step)

    @model_validator(mode="after")
    def _opens_nothing_before(self) -> Preparation:
        if self.when == "before" and self.task:
            raise ValueError('has tasks in boxes and comes before the work; expected `when` "during" or "after"')
        return self


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
    everywhere: bool = False
    """It bears on the work below as well, so it is looked for also where nobody works up there."""
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
    plan: Literal["live_at_ceiling", "plain_ac_fan", "neutral_at_wall", "hangs_fan", "stays_below"] | None = None
    """With plans that keep a hot at the ceiling, need a plain AC fan, or a neutral at the wall; that
    hang another fan, or do nothing at the ceiling."""
    sources: tuple[str, ...]


class Hazard(Strict):
    """A kind of wall control that harms what it feeds in today's fan. Of a control's rows the one that names least
    speaks; those that name several speak while it is not known which of them it is."""

    id: str
    control: Literal["dimmer", "speed"]
    ahead_of: tuple[Literal["ac_motor", "receiver", "driver"], ...] = Field(min_length=1)
    text: str = Field(max_length=300)
    perhaps: str = Field(max_length=300)
    """The same where nobody knows yet whether the fan has it, or whether the control works the fan."""
    sources: tuple[str, ...]


class RulesFile(Strict):
    stop: tuple[Stop, ...]
    implied: tuple[Implied, ...] = ()
    denied: tuple[Denied, ...] = ()
    forbids: tuple[Forbids, ...]
    tested: tuple[Sentence, ...]
    caution: tuple[Caution, ...]
    hazard: tuple[Hazard, ...] = ()
