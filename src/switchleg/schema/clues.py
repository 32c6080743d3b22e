"""What stands in clues.toml: what a fact says about motor and receiver, and the prior shares."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from switchleg.schema.questions import Condition, Station, Strict, Value

Motor = Literal["ac", "ac_tapped", "dc"]
MOTORS: tuple[Motor, ...] = ("ac", "ac_tapped", "dc")

Fate = Literal["receiver", "no_receiver"]


class Clue(Strict):
    """How likely an answer is under each kind. A hard clue with 0 excludes a kind; a soft one never settles.

    `fact` may also name a derived number (watts, airflow per watt, power factor: see figures.fan.motor_clues);
    then `above` or `below` bounds it. Clues of one family are not independent: only the strongest counts.
    """

    fact: str
    value: Value | None = None
    above: float | None = None
    below: float | None = None
    at_least: int | None = None
    family: str
    hard: bool = False
    unless: tuple[Condition, ...] = ()
    """With any of these known, a hard clue only leans: something surer speaks of the same thing."""
    p: dict[str, float]
    with_receiver: dict[str, float] = Field(default_factory=dict)
    """Shares that are others where electronics drive the fan."""
    sources: tuple[str, ...]

    def shares(self, *, receiver: bool) -> dict[str, float]:
        """How likely the answer is under each kind, with electronics or without."""
        return {**self.p, **self.with_receiver} if receiver else self.p


class Trouble(Strict):
    """What a look costs, in minutes of one's evening (estimates): opening a station, a fact's own look."""

    station: dict[Station, float]
    fact: dict[str, float] = Field(default_factory=dict)
    otherwise: float = 1.0
    once_more: float = 0.0
    """More, where somebody has opened a station, looked and could not tell."""
    sources: tuple[str, ...]


class Slips(Strict):
    """How often an answer is wrong though it was given in good faith (estimates)."""

    otherwise: float = Field(gt=0, lt=0.5)
    never: tuple[str, ...] = ()
    """Wishes, leave and circumstances: decided or known, not looked at."""
    fact: dict[str, float] = Field(default_factory=dict)
    sources: tuple[str, ...]

    def rate(self, fact: str) -> float:
        return 0.0 if fact in self.never else self.fact.get(fact, self.otherwise)


class Share(Strict):
    value: Value
    p: float = Field(ge=0, le=1)


class Chance(Strict):
    """How often a look that no candidate house or fan speaks of shows each answer (estimates)."""

    fact: str
    shares: tuple[Share, ...]
    sources: tuple[str, ...]


class Unusual(Strict):
    """An answer seldom met: told once, it is looked at again. Bounds carry their unit, `units` hold in `regions`.

    `value`: rare not by itself but beside the other answers that `when` names.
    """

    fact: str
    value: Value | None = None
    below: str | None = None
    above: str | None = None
    units: tuple[str, ...] = ()
    regions: tuple[str, ...] = ()
    when: tuple[Condition, ...] = ()
    sources: tuple[str, ...]


class Priors(Strict):
    motor: dict[Motor, float]
    receiver_with_ac: float = Field(gt=0, lt=1)
    hidden_electronics: float = Field(gt=0, lt=1)
    """Electronics in the fan's own housing, where a look into the canopy finds none."""
    remote_with_receiver: float
    resumes: dict[Literal["receiver", "driver"], float]
    light: dict[str, dict[str, float]]
    """light kit (or "unknown") + "_ac" or "_dc" -> where the light's power comes from -> share."""
    loose_light: float = Field(gt=0, lt=1)
    """How often a light's lead is capped, where its receiver could feed it and no control works it."""
    unused_output: dict[str, float]
    """What a receiver gives out for a light -> how often it does so where the light hangs on a house leg."""
    sources: tuple[str, ...]


class CluesFile(Strict):
    prior: Priors
    motor: tuple[Clue, ...]
    receiver: tuple[Clue, ...]
    trouble: Trouble
    slip: Slips
    chance: tuple[Chance, ...] = ()
    unusual: tuple[Unusual, ...] = ()
