"""The verdict as a plain model: what `advise --json` prints and what the card is made from."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from switchleg.schema.parts import Reach
from switchleg.schema.schemes import StepKind

VerdictWord = Literal["fits", "fits_with_preparation", "undetermined", "ruled_out"]
Status = Literal["recommended", "needs_checks", "stop"]


class Plain(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Wiring(Plain):
    """A wiring that the answers allow: `p` is its share of belief, `words` a sentence."""

    id: str
    p: float
    words: str


class Reason(Plain):
    """Why a scheme is as judged: the rule, a sentence, the facts it rests on, the sources of the rule."""

    rule: str
    text: str
    facts: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


class Splice(Plain):
    """One joint: everything that meets under one connector or one terminal.

    `ends` are sentences' pieces: "white of the run cable", "control: neutral".
    """

    net: str
    ends: tuple[str, ...]
    remark: str = ""


class BoxPlan(Plain):
    box: str
    title: str = ""
    """What the box is called: by what is seen there."""
    splices: tuple[Splice, ...]
    capped: tuple[str, ...] = ()


class Step(Plain):
    """One step of work in a box. `new`: it differs from today; else it says what stays."""

    box: str
    title: str
    kind: StepKind
    text: str
    new: bool = True


class FunctionRow(Plain):
    """One position of everything that can be switched, and what the solver finds there."""

    positions: tuple[str, ...]
    fan: str
    light: str | None
    online: bool | None


class Why(Plain):
    """One step of a reason: what was found, from which facts and sources, and the steps beneath it."""

    text: str
    facts: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    steps: tuple[Why, ...] = ()


class NewCable(Plain):
    """A cable to be pulled: the id of the one it takes the place of, and its insulated conductors."""

    replaces: str
    conductors: int


class SchemeVerdict(Plain):
    id: str
    title: str
    verdict: VerdictWord
    preparations: tuple[str, ...] = ()
    reasons: tuple[Reason, ...] = ()
    keeps: dict[str, bool | None] = Field(default_factory=dict)
    wall_control: dict[str, Reach] = Field(default_factory=dict)
    """How the wall works the fan and its light."""
    wall_control_grade: int | None = None
    """3 wired, 2 without the hub, 1 only while the hub runs, 0 not at all: the worst of what it works."""
    plan: tuple[BoxPlan, ...] | None = None
    way: str | None = None
    parts: tuple[str, ...] = ()
    """The way taken, and the control classes it is made of (as often as they are needed)."""
    beside_other: tuple[str, ...] = ()
    """Those of the classes that work another load on the same leg too."""
    new_cables: tuple[NewCable, ...] = ()
    steps: tuple[Step, ...] = ()
    functions: tuple[FunctionRow, ...] = ()
    """Working order and function table; only with a plan."""
    before: tuple[str, ...] = ()
    """What somebody else has to find out before the steps, beside the preparations."""
    why: Why | None = None


class Recommendation(Plain):
    scheme: str
    preparations: tuple[str, ...]
    keeps: dict[str, bool | None]
    wall_control_grade: int | None = None


class Stop(Plain):
    rule: str
    text: str
    facts: tuple[str, ...]
    sources: tuple[str, ...] = ()


class NextCheck(Plain):
    """A look still to be taken. `by`: "other" where it is somebody else's, and `text` begins with whose."""

    fact: str
    station: str
    text: str
    by: Literal["you", "other"] = "you"


class Evidence(Plain):
    """How something is known that the advice rests on. An assumed thing never opens a gate."""

    what: str
    kind: Literal["measured", "seen", "inferred", "assumed"]
    facts: tuple[str, ...]


class Outlook(Plain):
    """What would be recommended, and its share: "" when nothing would fit, "stop" when the work would end."""

    scheme: str
    preparations: tuple[str, ...]
    p: float


class Case(Plain):
    """If the next look shows `answer` (likelihood `p` today), these schemes are left with their shares.

    `p` is None where the answer is a decision. `outlooks`: the schemes with their preparations, likeliest first.
    `settles`: with this answer the verdict stands, and nothing else has to be looked at for it.
    """

    fact: str
    answer: str
    p: float | None
    schemes: dict[str, float]
    outlooks: tuple[Outlook, ...] = ()
    settles: bool = False


class BoxFill(Plain):
    required_cm3: float
    available_cm3: float
    fits: bool
    lines: tuple[str, ...]


class Advice(Plain):
    """Everything the reasoning says about one fan."""

    format: Literal[1] = 1
    status: Status
    motor: dict[str, float]
    motor_settled: str | None
    wirings: tuple[Wiring, ...]
    wiring_settled: str | None
    recommendation: Recommendation | None
    schemes: tuple[SchemeVerdict, ...]
    stops: tuple[Stop, ...]
    contradictions: tuple[tuple[str, ...], ...]
    next_checks: tuple[NextCheck, ...]
    box_fill: BoxFill | None
    warnings: tuple[str, ...]
    sources: tuple[str, ...]
    hazards: tuple[str, ...] = ()
    """The first of the warnings: what is dangerous as it is today, before any work."""
    evidence: tuple[Evidence, ...] = ()
    cases: tuple[Case, ...] = ()
    again: tuple[str, ...] = ()
    """Answers to be looked at once more: on each alone hangs that nothing fits, or it is likelier wrong than right."""
    doubtful: dict[str, float] = Field(default_factory=dict)
    """Answers that are likely slips, or worth a second look in a contradiction, with how likely they are wrong."""
    for_others: tuple[NextCheck, ...] = ()
    """Looks that would decide and that this person does not take: into a canopy that stays shut, with power on."""
    enough: bool = False
    """No open question could change the recommendation, its joints, or a stop."""
