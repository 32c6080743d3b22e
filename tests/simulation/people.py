"""People who answer: what is true of house, fan and wishes; then slips, some with one cause, and "can't tell".

The fan's figures are drawn around published sheets (trade sheets of AC and DC fans, makers not named); which label,
remote or plug goes with which motor is our own estimate, made for this recipe alone.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from simulation.beside import hung
from simulation.houses import Recipe, draw
from simulation.reading import Facts, passes_on, seen
from switchleg.knowledge.load import Knowledge
from switchleg.schema.questions import Again, Door, Question, Reply
from switchleg.tree.walk import Walk

WISHES = (
    "want_wall_control", "want_speed_from_app", "want_light_apart", "want_light_dimming", "want_keep_remote",
    "want_keep_wall_look",
)  # fmt: skip
DECISIONS = frozenset(
    {
        *WISHES,
        "region",
        "house_age",
        "hub",
        "who_works",
        "fan_installed",
        "may_open_canopy",
        "may_pull_cable",
        "may_replace_fan",
        "able_to_test_live",
    }
)
"""Not looks but decisions: nobody slips here or cannot tell."""

AC_SHEETS = ((56, 0.47, 4498), (55, 0.46, 4908), (62.4, 0.523, 5956))
DC_SHEETS = ((23, 0.39, 4664), (28, 0.43, 5238), (35, 0.47, 9448), (29, 0.34, 6665), (58.6, 0.6, 6549))
"""Watts, amperes at 120 V and cfm at high speed, as printed on sheets."""

COLOUR_GROUP = ("neutral_bundle", "white_on_control", "capped_end_at_ceiling")
CABLE_GROUP = ("wall_cables", "run_conductors", "run_spare", "run_on_controls", "leg_on_each_control")
CONTROL_GROUP = ("control_1_does", "control_2_does")
GROUPS = (COLOUR_GROUP, CABLE_GROUP, CONTROL_GROUP)
"""Answers with one cause: a colour misread, the wrong cable taken for the run, two controls mixed up."""

UP_THERE = {"damage_seen_up_here": "ceiling_damage_seen"}
"""Second looks that look at something else than the first."""

NOW = datetime(2000, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class TrueFan:
    motor: str
    receiver: bool
    light: str
    resumes: bool
    remote: bool
    hidden: bool = False


@dataclass(frozen=True)
class Case:
    """One home: its wiring, its fan, and the true answer to every question that has one."""

    recipe: Recipe
    fan: TrueFan
    facts: Facts


def draw_case(rng: random.Random) -> Case:
    light = rng.random() < 0.8
    recipe = draw(rng, light=light)
    installed = rng.random() < 0.95
    fan = _fan(rng, recipe) if installed else TrueFan("ac", False, "own_lead" if light else "none", True, False)
    if not installed:
        recipe, fan = draw(rng, light=True), TrueFan("ac", False, "own_lead", True, False)
    return case_of(rng, recipe, fan, _looks(rng, fan) if installed else None)


def case_of(rng: random.Random, recipe: Recipe, fan: TrueFan, looks: Facts | None) -> Case:
    """A home with this wiring and fan. `looks`: what the fan shows; None while no fan hangs."""
    installed = looks is not None
    facts: Facts = dict(seen(recipe))
    switches = facts.pop("switches")
    if facts.pop("doubtful_bundle", False):  # joined to each other and to a control: people say either
        facts["neutral_bundle"] = rng.random() < 0.5
    facts = {f: v for f, v in facts.items() if v is not None}
    facts["fan_installed"] = installed
    facts["feed_passes_on"] = passes_on(recipe, facts["wall_boxes"], other_known=facts["acts_on_other_loads"])
    facts = {f: v for f, v in facts.items() if v is not None}
    facts |= _decisions(rng) | _place(rng) | hung(recipe)
    if not facts["wall_boxes"]:
        facts["only_room_light"] = False  # no wall switch works it
    if facts["wall_boxes"]:
        facts |= _controls(rng, switches, fan, installed=installed)
        facts["leg_on_each_control"] = facts.pop("legs_of_their_own") >= facts["wall_controls"]
    if looks is not None:
        facts |= looks
        if fan.light.startswith("receiver") and facts.get("other_load_joined_with") == "both":
            facts["other_load_joined_with"] = "fan"  # the house has one lead to the fan's receiver
    else:
        facts.pop("other_load_joined_with", None)
    return Case(recipe, fan, facts)


# ---- the fan ----


def _fan(rng: random.Random, recipe: Recipe) -> TrueFan:
    """Legs apart need a light lead of its own; a receiver mostly hangs on one leg for both."""
    apart = recipe.light and recipe.fan_on != recipe.light_on
    light_only = recipe.light and any(works == "light" for works, _ in recipe.switches)
    motor = rng.choices(("ac", "ac_tapped", "dc"), (70, 8, 22))[0]
    receiver = motor != "ac" or rng.random() < (0.12 if apart else 0.4)
    hidden = receiver and rng.random() < (0.12 if motor == "dc" else 0.04)
    if not recipe.light:
        light = "none"
    elif apart or light_only or not receiver:
        light = "own_lead"
    elif motor == "dc":
        light = rng.choices(("receiver_low_voltage", "receiver_mains", "own_lead"), (50, 40, 10))[0]
    else:
        light = rng.choices(("receiver_mains", "own_lead", "receiver_low_voltage"), (85, 10, 5))[0]
    resumes = not receiver or rng.random() < (0.5 if motor == "dc" else 0.8)
    remote = hidden or (receiver and rng.random() < 0.9)
    return TrueFan(motor, receiver, light, resumes or not remote, remote, hidden)  # else nobody could start it


def _some(rng: random.Random, *pairs: tuple[Any, float]) -> Any:
    values, weights = zip(*pairs, strict=True)
    return rng.choices(values, weights)[0]


def _looks(rng: random.Random, fan: TrueFan) -> Facts:
    """What the fan shows from the floor and in the canopy."""
    dc = fan.motor == "dc"
    watts, amps, cfm = rng.choice(DC_SHEETS if dc else AC_SHEETS)
    scale = rng.uniform(0.85, 1.15)
    chain = fan.motor == "ac" and rng.random() < (0.3 if fan.receiver else 0.9)
    facts: Facts = {
        "light_kit": "none"
        if fan.light == "none"
        else "led_built_in"
        if fan.light == "receiver_low_voltage" or rng.random() < 0.2
        else "lamps",
        "handheld_remote": fan.remote,
        "motor_label": _some(rng, ("dc", 70), ("unmarked", 30)) if dc else _some(rng, ("ac", 35), ("unmarked", 65)),
        "pull_chain_fan": chain,
        "pull_chain_light": chain and fan.light == "own_lead" and rng.random() < 0.8,
        "reverse_slide": rng.random() < (0.05 if dc else 0.8 if not fan.receiver else 0.6),
        "start_behaviour": _some(rng, ("gentle", 75), ("at_once", 25))
        if dc
        else _some(rng, ("gentle", 8), ("at_once", 92)),
        "fan_amps": f"{amps * scale:.2f} A",
        "fan_watts_high": f"{watts * scale:.0f} W",
        "fan_airflow_high": f"{cfm * rng.uniform(0.9, 1.1):.0f} cfm",
        "resumes_after_power_cut": fan.resumes,
        "blade_height": "8 ft",
        "receiver": fan.receiver and not fan.hidden,
        "capacitor_in": _capacitor(rng, fan),
    }
    if fan.remote:
        facts["remote_kind"] = _some(rng, ("radio", 80), ("infrared", 15), ("bluetooth_or_wifi", 5))
        facts["remote_speeds"] = _some(rng, (3, 12), (5, 20), (6, 68)) if dc else _some(rng, (3, 85), (4, 10), (6, 5))
        facts["remote_reverses"] = rng.random() < (0.9 if dc else 0.15)
    if facts["receiver"]:
        facts |= receiver_looks(rng, fan)
    elif facts["capacitor_in"] == "receiver":
        facts["capacitor_in"] = "not_seen"  # nobody looks into what nobody found
    return facts


def _capacitor(rng: random.Random, fan: TrueFan) -> str:
    """Tapped windings may keep their capacitor in the fan; a receiver with two wires out may step a motor with some."""
    if fan.motor == "ac_tapped":
        return "fan" if rng.random() < 0.15 else "receiver"
    if fan.motor == "ac" and fan.receiver and not fan.hidden and rng.random() < 0.35:
        return "receiver"
    return "not_seen" if fan.motor == "dc" or rng.random() < 0.2 else "fan"


def receiver_looks(rng: random.Random, fan: TrueFan) -> Facts:
    dc = fan.motor == "dc"
    plug = rng.random() < (0.5 if dc else 0.03) and fan.motor != "ac"  # two wires are not counted as a plug
    leads = 0 if plug else 3 if dc else 2 if fan.motor == "ac" else _some(rng, (3, 30), (4, 50), (5, 20))
    gives = {"receiver_mains": "mains", "receiver_low_voltage": "low_voltage"}.get(fan.light)
    gives = gives or _some(rng, ("none", 55), ("mains", 45))
    facts: Facts = {
        "receiver_label": _some(rng, ("dc_out" if dc else "ac_out", 50), ("unmarked", 50)),
        "receiver_motor_plug": plug,
        "receiver_motor_leads": leads,
        "receiver_light_lead": gives,
    }
    if fan.light != "none":
        facts["light_joined_to"] = "receiver" if fan.light.startswith("receiver") else "house_leg"
    if leads == 3:
        facts["motor_leads_alike"] = dc
    return facts


# ---- the rest of the home ----


def _controls(rng: random.Random, switches: tuple[str, ...], fan: TrueFan, *, installed: bool) -> Facts:
    """The controls in any order: wired ones, now and then a dead one, now and then a wall-mounted transmitter."""
    lit = fan.light != "none"
    kinds: list[tuple[str, str]] = []
    for works in switches:
        kind = "on_off"
        if works == "light" and rng.random() < 0.25:
            kind = "dimmer"
        elif works == "fan" and not fan.receiver and rng.random() < 0.2:
            kind = "speed"
        kinds.append((works, kind))
    if installed and fan.receiver and rng.random() < 0.12:
        kinds.append(("both" if fan.light.startswith("receiver") else "fan", "remote"))
    elif rng.random() < 0.03:
        kinds.append(("nothing", "on_off"))
    rng.shuffle(kinds)
    facts: Facts = {
        "wall_controls": len(kinds),
        "wall_gangs": max(1, len(kinds) - (len(kinds) > 1 and rng.random() < 0.2)),
    }
    for number, (works, kind) in enumerate(kinds[:2], 1):
        facts[f"control_{number}_does"] = works if lit or works != "both" else "fan"
        facts[f"control_{number}_kind"] = kind
    return facts


def _decisions(rng: random.Random) -> Facts:
    facts: Facts = {wish: _some(rng, ("must", 30), ("nice", 40), ("no", 30)) for wish in WISHES}
    facts["want_wall_control"] = _some(rng, ("must", 65), ("nice", 20), ("no", 15))
    facts["region"] = _some(rng, ("us", 88), ("ca", 12))
    chances = {"may_open_canopy": 0.85, "may_pull_cable": 0.3, "may_replace_fan": 0.3, "able_to_test_live": 0.65}
    return facts | {fact: rng.random() < p for fact, p in chances.items()}


def _place(rng: random.Random) -> Facts:
    """Dangers are rare; wire and breaker mostly suit each other."""
    size = _some(rng, ("14 AWG", 65), ("12 AWG", 35))
    breaker = "20 A" if size == "12 AWG" or rng.random() < 0.02 else "15 A"
    age = _some(rng, ("plastic", 94), ("cloth", 5), ("knob_and_tube", 1))
    facts: Facts = {
        "only_room_light": rng.random() < 0.4,
        "breaker": breaker,
        "wire_size": size,
        "place_rating_needed": _some(rng, ("dry", 95), ("damp", 4), ("wet", 1)),
        "ceiling_height": "9 ft",
        "room_area": "150 ft2",
        "damage_seen": rng.random() < 0.02,
        "ceiling_damage_seen": rng.random() < 0.01,
        "wire_metal": _some(rng, ("copper", 98), ("aluminum", 2)),
        "wire_age": age,
        "insulation_brittle": age == "cloth" and rng.random() < 0.3,
        "circuits_in_box": _some(rng, (1, 96), (2, 4)),
        "wall_ground": rng.random() < 0.95,
        "ceiling_ground": rng.random() < 0.95,
        "wall_box_volume": _some(rng, ("18 in3", 45), ("22.5 in3", 40), ("12.5 in3", 15)),
        "wall_box_clamps": rng.random() < 0.3,
        "fan_box_marked": rng.random() < 0.85,
        "fan_weight": _some(rng, ("16 lb", 50), ("24 lb", 45), ("45 lb", 5)),
        "fan_box_rating": _some(rng, ("35 lb", 30), ("50 lb", 40), ("70 lb", 30)),
        "canopy_space": "60 in3",
    }
    old = age == "knob_and_tube" or facts["insulation_brittle"]
    return facts | {"ceiling_wire": "aluminum" if facts["wire_metal"] == "aluminum" else "old" if old else "sound"}


# ---- how somebody answers ----


@dataclass(frozen=True)
class Told:
    """Replies to every node that could come up, and the facts that were told wrongly."""

    replies: dict[str, Reply]
    slips: dict[str, tuple[Any, Any]]
    """fact -> (true, told); filled for every fact, asked or not."""


def answer(rng: random.Random, knowledge: Knowledge, case: Case, slip: float, cant_tell: float) -> Told:
    """Answer the whole tree: half of the slips in a group have one cause and come together."""
    tree = knowledge.tree
    slipping = {f for group in GROUPS if rng.random() < slip / 2 for f in group}
    grouped = {f for group in GROUPS for f in group}
    told: dict[str, Any] = {}
    slips: dict[str, tuple[Any, Any]] = {}
    for fact, question in tree.questions.items():
        true = true_answer(case, fact, told)
        rate = slip / 2 if fact in grouped else slip
        wrong = fact in slipping or rng.random() < rate
        if fact not in DECISIONS and wrong:
            said = _other(rng, question, true)
            if said is not None and said != true:
                slips[fact] = (true, said)
                true = said
        told[fact] = true
    return Told(_replies(rng, knowledge, told, cant_tell), slips)


def true_answer(case: Case, fact: str, told: Facts) -> Any:
    """The answer without a slip; which cables lead to no control depends on the controls that somebody knows of."""
    if fact == "feed_passes_on" and told.get("wall_boxes") is not None:
        other = told.get("acts_on_other_loads") is True
        return passes_on(case.recipe, told["wall_boxes"], other_known=other)
    return case.facts.get(fact)


def once_more(rng: random.Random, knowledge: Knowledge, case: Case, walked: Walk, fact: str, slip: float) -> Any:
    """What somebody says who looks a second time, as if for the first; None: still the same as before."""
    question, said = knowledge.tree.questions[fact], walked.facts[fact]
    true = true_answer(case, fact, walked.facts)
    found = _other(rng, question, true) if rng.random() < slip else true
    return None if found is None or found == said else found


def plain_answers(knowledge: Knowledge, case: Case) -> dict[str, Reply]:
    """Replies without slips, everything told that can be told."""
    return _replies(random.Random(0), knowledge, case.facts, 0.0)


def _replies(rng: random.Random, knowledge: Knowledge, told: Facts, cant_tell: float) -> dict[str, Reply]:
    tree, replies = knowledge.tree, {}
    for node_id, node in tree.nodes.items():
        station = tree.station_of[node_id]
        if isinstance(node, Door):
            replies[node_id] = Reply(kind="open", at=NOW, station=station)
        elif isinstance(node, Question | Again):
            value = told.get(UP_THERE.get(node_id, node.fact))
            blind = node.fact not in DECISIONS and rng.random() < cant_tell
            if value is None or blind:
                replies[node_id] = Reply(kind="cant_tell", at=NOW, station=station)
            else:
                replies[node_id] = Reply(kind="value", value=value, at=NOW, station=station)
    return replies


def _other(rng: random.Random, question: Question, true: Any) -> Any:
    """A wrong answer among the others; a count is mostly out by one, a measure by a factor."""
    if question.kind == "yes_no":
        return not true if true is not None else None
    if question.kind == "choice":
        return rng.choice([a.value for a in question.answers if a.value != true])
    if question.kind == "count":
        if true is None:
            return None
        near = [n for n in (true - 1, true + 1) if n >= _least(question)]
        return rng.choice(near) if near else None
    given = [a.value for a in question.answers if a.value is not None and a.value != true]
    if given:
        return rng.choice(given)
    if true is None:
        return None
    number, unit = str(true).split(" ", 1)
    return f"{float(number) * rng.choice((0.1, 0.5, 2, 10)):g} {unit}"


def _least(question: Question) -> int:
    return min([a.value for a in question.answers if isinstance(a.value, int)], default=0)
