"""What the fan may be: motor, receiver, the light's supply, its memory. Hard clues exclude, soft ones lean."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace

from switchleg.diagnosis.clue_weights import excluding, weights
from switchleg.diagnosis.lights import BEHIND, apart, lights
from switchleg.schema.clues import MOTORS, CluesFile, Motor
from switchleg.schema.questions import Value


@dataclass(frozen=True)
class Fan:
    """One possible fan. `resumes`: runs again by itself after a power cut. `remote`: a handheld one exists.

    `hidden`: its electronics sit where nobody found them, in the fan's own housing. `chain`, `light_chain`:
    somebody saw one that sets the motor's speed, one that works the light.
    """

    motor: Motor
    receiver: bool
    light: str
    resumes: bool
    remote: bool
    hidden: bool = False
    apart: bool = False
    """The receiver gives out a supply for a light and the light hangs on a house leg all the same: then on its own."""
    chain: bool = False
    light_chain: bool = False

    @property
    def load(self) -> str:
        """What its supply leads feed, as wiring.toml calls it."""
        if not self.receiver:
            return plain_motor(self)
        if self.motor != "dc":
            return "fan_receiver" + ("_with_lamp" if self.light in BEHIND else "")
        return "fan_driver" + BEHIND.get(self.light, "")

    @property
    def light_load(self) -> str:
        """What the light's own leads feed."""
        return "fan_lamp_with_chain" if self.light_chain else "fan_lamp"


def plain_motor(fan: Fan) -> str:
    """The class of the fan's motor on its own supply leads, with its chain where one was seen."""
    return "fan_motor_with_chain" if fan.chain else "fan_motor"


TOGETHER = "+"


@dataclass(frozen=True)
class FanBelief:
    """Possible fans with their shares (they sum to one), and what settled what.

    `conflicts`: for every kind of fan that is excluded, the facts that exclude it; used when none is left.
    """

    shares: Mapping[Fan, float]
    conflicts: tuple[frozenset[str], ...]
    kinds: tuple[tuple[float, frozenset[str]], ...] = ()
    """Every kind looked at: its prior share and the facts whose hard clues it contradicts."""
    parts: tuple[tuple[float, frozenset[str], bool], ...] = ()
    """The same, and whether it has electronics. Facts that only together exclude are joined by TOGETHER."""

    def motor(self) -> dict[str, float]:
        total = sum(self.shares.values())
        return {m: sum(p for f, p in self.shares.items() if f.motor == m) / total if total else 0.0 for m in MOTORS}

    @property
    def settled(self) -> str | None:
        """The motor kind when only one is left: exclusion takes a hard clue, so leaning never settles."""
        left = {fan.motor for fan in self.shares}
        return left.pop() if len(left) == 1 else None


def possible_fans(
    data: CluesFile, facts: Mapping[str, Value], numbers: Mapping[str, float], untold: Collection[str] = ()
) -> FanBelief:
    """Every fan the answers allow, with its share. `untold`: facts that were looked for and could not be told.

    That a fan has no receiver is settled by looking, or by a chain that sets its speeds while nobody has a
    remote for it; that a remote exists never proves a receiver kind.
    """
    motor_weight = {
        with_one: weights(data.motor, MOTORS, facts, numbers, receiver=with_one) for with_one in (False, True)
    }
    receiver_weight = weights(data.receiver, ("receiver", "no_receiver"), facts, {})
    found: dict[Fan, float] = {}
    conflicts: list[frozenset[str]] = []
    kinds: list[tuple[float, frozenset[str]]] = []
    parts: list[tuple[float, frozenset[str], bool]] = []
    chain, light_chain = (facts.get(f"pull_chain_{of}") is True for of in ("fan", "light"))
    for motor, receiver, hidden in _kinds(facts, untold):
        fate = "receiver" if receiver else "no_receiver"
        of_motor, out = excluding(data.motor, motor, facts), _out_of_place(data, facts, receiver, hidden)
        against = of_motor | out
        prior = data.prior.motor[motor] * (data.prior.hidden_electronics if hidden else 1.0)
        if motor == "ac":
            prior *= data.prior.receiver_with_ac if receiver else 1 - data.prior.receiver_with_ac
        kinds.append((prior, against))
        together = {TOGETHER.join(sorted(ALONE))} if receiver and out >= ALONE else set()
        parts.append((prior, of_motor | (out - ALONE if together else out) | together, receiver))
        if against:
            conflicts.append(frozenset(against))
            continue
        share = prior * motor_weight[receiver][motor] * max(receiver_weight[fate], 1e-4)
        for fan, p in _details(data, facts, motor, receiver, untold):
            found[replace(fan, hidden=hidden, chain=chain, light_chain=light_chain)] = share * p
    total = sum(found.values())
    shares = {f: p / total for f, p in found.items()} if total else {}
    return FanBelief(shares, tuple(conflicts), tuple(kinds), tuple(parts))


def to_choose(*, has_light: bool) -> FanBelief:
    """The fan that is still to be bought, as schemes for a plain AC fan want it; the card states that premise."""
    light = "own_lead" if has_light else "none"
    return FanBelief({Fan("ac", False, light, resumes=True, remote=False): 1.0}, ())


def _out_of_place(data: CluesFile, facts: Mapping[str, Value], receiver: bool, hidden: bool) -> frozenset[str]:
    """The facts that stand against electronics in the canopy, out of sight, or nowhere."""
    if not receiver:
        return excluding(data.receiver, "no_receiver", facts) | _transmitters(facts)
    if hidden:
        seen = (clue for clue in data.receiver if clue.family == "seen")
        return excluding(seen, "no_receiver", facts)
    against = excluding(data.receiver, "receiver", facts)
    if "receiver" not in facts and chain_alone(facts):
        against |= ALONE
    return against


ALONE = frozenset({"handheld_remote", "pull_chain_fan"})
"""Answers that together stand against a receiver."""


def _transmitters(facts: Mapping[str, Value]) -> frozenset[str]:
    """Facts that show a transmitter that works this fan: something in the fan hears it."""
    found = {f"control_{n}_kind" for n in (1, 2) if facts.get(f"control_{n}_kind") == "remote"}
    return frozenset(found | ({"handheld_remote"} if facts.get("handheld_remote") is True else set()))


OF_A_RECEIVER = ("receiver_motor_plug", "receiver_motor_leads", "receiver_label", "receiver_light_lead")
"""Answers of somebody who has one in front of them."""


def chain_alone(facts: Mapping[str, Value]) -> bool:
    """A chain sets the speeds, nobody has a remote, and nothing of a receiver was seen: there is none."""
    seen = any(fact in facts for fact in OF_A_RECEIVER)
    alone = facts.get("handheld_remote") is False and facts.get("pull_chain_fan") is True
    return alone and not seen and not _transmitters(facts)


def _kinds(facts: Mapping[str, Value], untold: Collection[str]) -> Iterator[tuple[Motor, bool, bool]]:
    """Motor, with electronics or without, and whether those are out of sight.

    Only a plain AC motor runs without. A DC driver may sit in the housing; an AC receiver is looked for
    there only when something transmits to the fan or may do so, or the fan forgets as only electronics do.
    """
    perhaps = "handheld_remote" in untold and "handheld_remote" not in facts
    looked_for = perhaps or bool(_transmitters(facts)) or facts.get("resumes_after_power_cut") is False
    for motor in MOTORS:
        if motor == "ac":
            yield motor, False, False
        yield motor, True, False
        if motor == "dc" or looked_for:
            yield motor, True, True


def _details(
    data: CluesFile, facts: Mapping[str, Value], motor: Motor, receiver: bool, untold: Collection[str]
) -> Iterator[tuple[Fan, float]]:
    for light, p_light in lights(data.prior, facts, dc=motor == "dc", receiver=receiver):
        for resumes, p_resumes in _memory(data, facts, motor, receiver):
            for remote, p_remote in _remote(data, facts, receiver):
                if p_light * p_resumes * p_remote > 0:
                    fan = Fan(motor, receiver, light, resumes, remote, apart=apart(light, facts, untold))
                    yield fan, p_light * p_resumes * p_remote


def _memory(data: CluesFile, facts: Mapping[str, Value], motor: Motor, receiver: bool) -> Iterator[tuple[bool, float]]:
    if not receiver:
        yield True, 1.0
        return
    p = data.prior.resumes["driver" if motor == "dc" else "receiver"]
    said = facts.get("resumes_after_power_cut")
    for resumes, share in ((True, p), (False, 1 - p)):
        if said is None or said == resumes:
            yield resumes, share


def _remote(data: CluesFile, facts: Mapping[str, Value], receiver: bool) -> Iterator[tuple[bool, float]]:
    p = data.prior.remote_with_receiver if receiver else 0.02
    said = facts.get("handheld_remote")
    for remote, share in ((True, p), (False, 1 - p)):
        if said is None or said == remote:
            yield remote, share
