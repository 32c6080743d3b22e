"""Sentences about wirings, nets, boxes, parts and obstacles. Words only; nothing is decided here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from switchleg.advice.model import Reason
from switchleg.advice.plans.plan import Obstacle
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.schema.parts import Control
from switchleg.schema.questions import Value
from switchleg.schema.schemes import RulesFile
from switchleg.wiring.finding import Finding
from switchleg.wiring.site import CEILING, SECOND_WALL, WALL

BOX = {CEILING: "the ceiling box", WALL: "the wall box", SECOND_WALL: "the second wall box"}
NET = {
    "HOT": "hot",
    "NEUTRAL": "neutral",
    "GROUND": "ground",
    "FAN": "the fan's leg",
    "LIGHT": "the light's leg",
    "BOTH": "the leg of fan and light",
    "IDLE": "the idle leg",
    "T1": "a traveler",
    "T2": "the other traveler",
    "RELAY_FAN": "the module's fan output",
    "MODULE_FAN": "the module's fan output",
    "RELAY_LIGHT": "the module's light output",
    "MODULE_LIGHT": "the module's light output",
    "BESIDE_HOT": "the other loop's supply",
    "BESIDE_LEG": "the other loop's return",
    "SENSE": "the switch's signal to the module",
    "SENSE_FAN": "the fan switch's signal to its module",
    "SENSE_LIGHT": "the light switch's signal to its module",
}
LOAD = {"fan": "the fan", "light": "the light", "other": "the other load"}
KIND = {
    "ac_motor": "an AC motor",
    "receiver": "a receiver",
    "driver": "a DC driver",
    "lamp": "a lamp",
    "dc_motor": "a DC motor",
    "driver_lamp": "a lamp that its driver feeds",
    "other_lamps": "lamps beside the fan's",
    "outlet": "an outlet",
    "second_fan": "a second fan",
    "other": "other loads",
}
CABLE = {
    "run": "the cable to the fan",
    "link": "the cable between the wall boxes",
    "feed": "the feed cable",
    "onward": "the cable that goes on",
    "other": "the other load's cable",
    "beside": "the other loop's cable",
}
"""Cables by the first word of their id."""
DOES = {"contact": "only switches", "speed": "steps down", "phase_cut": "cuts the wave of"}
TIE = {"one": "one end", "other": "other end"}
"""A tie's terminals, which bear no marks."""


def terminal(name: str) -> str:
    """A part's terminal as it is named in a plan."""
    return TIE.get(name, name.replace("_", " "))


NUMBER = ("no", "one", "two", "three", "four", "five", "six")


def listed(items: Iterable[str]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    words = list(items)
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


def number(n: int) -> str:
    return NUMBER[n] if 0 <= n < len(NUMBER) else str(n)


def wiring(house: Candidate) -> str:
    """A wiring in a sentence or two."""
    if not house.site.wall_boxes:
        return "Power comes straight to the ceiling box; no wall box acts on the fan."
    second = len(house.site.wall_boxes) > 1
    feed = "the ceiling box" if house.feed == "ceiling" else "a wall box" if second else "the wall box"
    text = f"Power comes to {feed}; {number(house.run_conductors)} insulated conductors run to the fan; "
    text += _works(house)
    if house.neutral_at_wall:
        text += "; a neutral is at the wall"
    else:
        text += "; no neutral at the wall"
    if house.spares:
        text += f"; {number(house.spares)} {'conductor' if house.spares == 1 else 'conductors'} unused"
    return text + "."


def _works(house: Candidate) -> str:
    names = {"fan": "the fan", "light": "the light", "both": "fan and light together"}
    if not house.has_light:
        names["both"] = names["fan"]
    phrases = [
        "a control has a leg that nothing is joined to above"
        if a.works == "nothing"
        else f"{'two switches in two places work' if len(a.boxes) > 1 else 'a control works'} {names[a.works]}"
        + (", over a wire for each" if a.tied else "")
        for a in house.active
    ]
    always = [w for w in ("fan", "light") if not any(a.works in (w, "both") for a in house.active)]
    if not house.has_light:
        always = [w for w in always if w == "fan"]
    if always:
        phrases.append(f"{listed('the ' + w for w in always)} {'is' if len(always) == 1 else 'are'} always live")
    return listed(phrases)


def reason(obstacle: Obstacle, rules: RulesFile, controls: Mapping[str, Control], facts: Mapping[str, Value]) -> Reason:
    """An obstacle as a sentence, with the facts it rests on that are known, and the rule's sources."""
    known = tuple(f for f in obstacle.facts if f in facts)
    for rule in rules.forbids:
        if rule.id == obstacle.rule:
            return Reason(rule=rule.id, text=rule.text, facts=known, sources=rule.sources)
    rule_text = next(t for t in rules.tested if t.id == obstacle.rule)
    text = rule_text.text.format_map(_fill(obstacle, controls))
    return Reason(rule=obstacle.rule, text=text[0].upper() + text[1:], facts=known, sources=rule_text.sources)


def broken(finding: Finding, rules: RulesFile, controls: Mapping[str, Control]) -> Reason:
    """A broken electrical rule as a sentence, with its sources."""
    return reason(Obstacle(finding.rule, finding.words), rules, controls, {})


def _fill(obstacle: Obstacle, controls: Mapping[str, Control]) -> dict[str, str]:
    words = dict(obstacle.words)
    filled = dict(words)
    if (name := words.get("part", "").partition("_")[0]) in CABLE and words["part"] not in LOAD:
        filled["part"] = CABLE[name]
    elif "part" in words:
        filled["part"] = part(words["part"], controls)
    if "load" in words:
        filled["load"] = LOAD.get(words["load"], words["load"])
    if "net" in words:
        filled["net"] = net_words(words["net"])
    if "cable" in words:
        filled["cable"] = CABLE[words["cable"].partition("_")[0]]
    if "terminal" in words:
        filled["terminal"] = words["terminal"].replace("_", " ")
    if "does" in words:
        filled["does"] = DOES[words["does"]]
    if "kind" in words:
        filled["kind"] = KIND[words["kind"]]
    if short := obstacle.shortfall:
        filled |= {
            "ends": listed(BOX[box] for box in short.ends),
            "have": number(short.conductors),
            "nets": listed(net_words(net) for net in sorted(short.nets, key=_place)),
            "need": number(len(short.nets)),
            "short": number(short.missing),
        }
    return filled


def net_words(net: str) -> str:
    """A net in words; one that a scheme alone knows goes by its own name."""
    return NET.get(net) or f"the {net.replace('_', ' ').lower()} leg"


def _place(net: str) -> tuple[int, str]:
    return (list(NET).index(net) if net in NET else len(NET), net)


def part(part_id: str, controls: Mapping[str, Control]) -> str:
    """'the fan-speed control', from the id of a placed part."""
    control = controls.get(part_id) or controls.get(part_id.rpartition("_")[0])
    return f"the {control.title}" if control else f"the {LOAD.get(part_id, part_id).removeprefix('the ')}"
