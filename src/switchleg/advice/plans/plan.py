"""Carry one way of a scheme into one house: place its parts, route its nets, wire it. Or say why not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from switchleg.advice.model import NewCable
from switchleg.diagnosis.fans import Fan, plain_motor
from switchleg.diagnosis.houses.agreement import WIRING_FACTS
from switchleg.diagnosis.houses.candidate import KEPT_SWITCH, LEG, Candidate
from switchleg.schema.schemes import Way
from switchleg.wiring.bench import Bench
from switchleg.wiring.colours import wire
from switchleg.wiring.finding import Finding
from switchleg.wiring.netlist import Placed, Wired
from switchleg.wiring.rules import output_findings
from switchleg.wiring.site import CEILING, GROUND, HOT, IDLE, NEUTRAL, Cable, Shortfall, Site, route


@dataclass(frozen=True)
class Obstacle:
    """Why a way cannot be gone: a rule of rules.toml, the words that fill it, the facts it rests on."""

    rule: str
    words: tuple[tuple[str, str], ...] = ()
    facts: tuple[str, ...] = ()
    shortfall: Shortfall | None = None


@dataclass(frozen=True)
class Plan:
    """A way wired into a house. `new_cables` are pulled in place of today's; `light_moved`: it left the receiver."""

    way: Way
    fan: Fan
    wired: Wired
    house: Candidate
    new_cables: tuple[str, ...]
    light_moved: bool
    receiver_kept: bool
    replaces: Fan | None = None
    """Today's fan, where the plan's fan is another one that has to be bought."""

    def pulled(self) -> tuple[NewCable, ...]:
        """The cables that are new."""
        new = (c for c in self.wired.site.cables if c.replaces)
        return tuple(NewCable(replaces=c.replaces, conductors=c.conductors) for c in new)

    def old_cables(self, box: str) -> tuple[Cable, ...]:
        """Today's cables at a box that new ones take the place of."""
        gone = {c.replaces for c in self.pulled()}
        return tuple(c for c in self.house.site.cables if c.id in gone and box in c.ends)

    @property
    def present_fan(self) -> Fan:
        """The fan that hangs there today."""
        return self.replaces or self.fan


def fan_load(way: Way, fan: Fan) -> tuple[str, bool] | Obstacle:
    """The load that the way's supply meets at the ceiling, and whether a receiver stays there."""
    if way.receiver == "replace":
        return ("fan_receiver" if fan.light == "none" else "fan_receiver_with_lamp"), False
    if way.receiver == "remove" and fan.hidden and fan.motor != "dc":
        return Obstacle("electronics_not_found", facts=("receiver", "handheld_remote"))
    if way.receiver == "remove" and fan.motor == "dc":
        return Obstacle("dc_needs_driver", facts=MOTOR_FACTS)
    if way.receiver == "remove" and fan.motor == "ac_tapped":
        return Obstacle("receiver_holds_capacitors", facts=MOTOR_FACTS)
    if way.receiver == "keep" and not fan.receiver:
        return Obstacle("needs_receiver", facts=("receiver", "handheld_remote"))
    if way.receiver == "remove" or not fan.receiver:
        return plain_motor(fan), False
    return fan.load, True


MOTOR_FACTS = (
    "motor_label",
    "receiver_motor_leads",
    "receiver_motor_plug",
    "motor_leads_alike",
    "receiver_label",
    "capacitor_in",
    "pull_chain_fan",
)


def light_supply(way: Way, fan: Fan, house: Candidate, kept: bool) -> tuple[str | None, bool] | Obstacle:
    """The net of the light's own lead (None: on the receiver, or no light) and whether it had to be moved."""
    from_receiver = fan.light in ("receiver_mains", "receiver_low_voltage")
    if fan.light == "none":
        only_light = any(
            set(p.nets) - {"line", "neutral", "sense"} == {"load"}
            and p.nets.get("load") == way.light_from != way.fan_from
            for p in way.part
        )
        if only_light or way.light_from == "TODAY" or (way.light_from == HOT and way.receiver == "remove"):
            return Obstacle("no_light", facts=("light_kit",))
        return None, False
    if way.receiver == "replace":
        return None, False
    if way.light_from == "NONE":
        return Obstacle("light_to_control", facts=("light_kit",))
    wanted = way.light_from
    if wanted == "TODAY":
        wanted = "receiver" if from_receiver and kept else house.light_on
    if wanted == "receiver":
        if not from_receiver:
            return Obstacle("light_not_on_receiver", facts=("receiver", "receiver_light_lead"))
        return None, False
    if fan.light == "receiver_low_voltage":
        return Obstacle("low_voltage_light_stays", facts=("receiver_light_lead",))
    moved = (from_receiver and kept) or (house.light_on == house.fan_on and wanted != way.fan_from)
    return wanted, moved


@dataclass(frozen=True)
class Setting:
    """What a way makes of a fan: its load, whether a receiver stays, where the light's own lead goes."""

    load: str
    receiver_kept: bool
    light_net: str | None
    light_moved: bool
    light_load: str = "fan_lamp"


def setting(way: Way, house: Candidate, fan: Fan) -> Setting | Obstacle:
    """How the fan would be fed under this way, or what its kind has against it."""
    load = fan_load(way, fan)
    if isinstance(load, Obstacle):
        return load
    light = light_supply(way, fan, house, load[1])
    if isinstance(light, Obstacle):
        return light
    name, kept = load
    if kept and light[0] is not None:
        name = replace(fan, light="own_lead").load
    return Setting(name, kept, *light, fan.light_load)


def wirings(
    way: Way, house: Candidate, chosen: Setting, bench: Bench, *, may_pull: bool
) -> tuple[tuple[tuple[Wired, tuple[str, ...]], ...], tuple[Obstacle, ...]]:
    """Every placement that can be wired (with the cables that had to be new), and what stood against others."""
    against = _against_today(way, house, bench)
    if against:
        return (), (against,)
    fan_nets = (("hot", way.fan_from), ("neutral", NEUTRAL), ("ground", GROUND))
    loads = [Placed("fan", chosen.load, CEILING, fan_nets)]
    if chosen.light_net is not None:
        loads.append(Placed("light", chosen.light_load, CEILING, (("hot", chosen.light_net), ("neutral", NEUTRAL))))
    found: list[tuple[Wired, tuple[str, ...]]] = []
    obstacles: list[Obstacle] = []
    for parts in _placements(way, house, bench, fed=chosen.light_net is not None):
        result = _wire(house, (*loads, *parts, *house.standing), may_pull=may_pull)
        without = tuple(part for part in parts if part.net("load") != IDLE)
        if isinstance(result, Obstacle) and without != parts:
            result = _wire(house, (*loads, *without, *house.standing), may_pull=may_pull)
        if isinstance(result, Obstacle):
            obstacles.append(result)
            continue
        broken = list(output_findings(result[0], bench))
        obstacles += [obstacle_of(f) for f in broken]
        if not broken:
            found.append(result)
    return tuple(found), tuple(dict.fromkeys(obstacles))


def _against_today(way: Way, house: Candidate, bench: Bench) -> Obstacle | None:
    """What today's controls and legs have against the way."""
    wired_at_wall = any(p.place == "wall" and p.nets for p in way.part)
    if wired_at_wall and not house.site.wall_boxes:
        return Obstacle("no_wall_box", facts=("wall_boxes",))
    if way.today is not None:
        if any(len(a.boxes) > 1 for a in house.active):
            return Obstacle("several_places_today", facts=("wall_boxes", "switches_work_together"))
        if not _serve(house, way.today):
            return Obstacle("different_controls_today", facts=("wall_controls", "control_1_does", "control_2_does"))
    # What is merely joined to the supply can no longer be turned off: its control is lost all the same.
    nets = {net for p in way.part if not bench.controls[p.control].joined for net in p.nets.values()}
    for stub in house.site.stubs:
        if stub.id == "other" and not set(stub.nets) - {NEUTRAL} <= nets:
            return Obstacle("other_load_stranded", facts=("acts_on_other_loads",))
    return None


def _serve(house: Candidate, wanted: Sequence[str]) -> bool:
    """Whether today's controls are those that a way keeps. One with an idle leg stands in for any that is missing."""
    works = [a.works for a in house.active if a.works != "nothing"]
    if not house.has_light and list(wanted) == ["both"]:
        works = ["both" if w == "fan" else w for w in works]
    idle, missing = len(house.active) - len(works), list(wanted)
    if idle and len(wanted) > 1:
        works = ["fan" if w == "both" else w for w in works]
    for one in works:
        if one not in missing:
            return False
        missing.remove(one)
    return len(missing) <= idle


def _placements(way: Way, house: Candidate, bench: Bench, *, fed: bool) -> Iterator[tuple[Placed, ...]]:
    """Wired wall parts all in one box, for each wall box; or each where today's control of that leg is."""
    walls = house.site.wall_boxes
    where = {leg: a.boxes[0] for a in house.active if len(a.boxes) == 1 for leg in (*a.legs, LEG[a.works])}
    choices: list[dict[int, str]] = []
    wall_parts = [i for i, p in enumerate(way.part) if p.place == "wall" and p.nets]
    if way.today is None:
        choices = [dict.fromkeys(wall_parts, box) for box in walls]
    legs = {i: {*way.part[i].nets.values()} & set(where) for i in wall_parts}
    if (wall_parts and len(walls) > 1) or way.today is not None:
        boxes = {i: where[min(legs[i])] for i in wall_parts if legs[i]}
        senses = {net: boxes[i] for i in boxes for net in way.part[i].nets.values() if net.startswith("SENSE")}
        for i in wall_parts:
            shared = [senses[n] for n in way.part[i].nets.values() if n in senses]
            boxes.setdefault(i, shared[0] if shared else walls[0])
        choices.append(boxes)
    for boxes in choices or [{}]:
        parts: list[Placed] = []
        for i, part in enumerate(way.part):
            if not part.nets:
                continue
            drop = set() if fed else {way.light_from}
            nets = tuple((t, n) for t, n in part.nets.items() if n not in drop or n == way.fan_from)
            box = boxes.get(i, CEILING)
            if bench.controls[part.control].grounded:
                nets = (*nets, ("ground", GROUND))
            parts.append(Placed(f"{part.control}_{i + 1}", part.control, box, nets))
        yield _keeping_switches(tuple(parts), house)


def _keeping_switches(parts: tuple[Placed, ...], house: Candidate) -> tuple[Placed, ...]:
    """A plain switch in a plan is one that is there: it gets today's id, by the leg it works or senses.

    Where one stays, an idle one beside it that the plan has no use for stays as well.
    """
    kept: set[str] = set()
    left = {f"{KEPT_SWITCH}{n}": a for n, a in enumerate(house.active, 1) if len(a.boxes) == 1}
    found = []
    for placed in parts:
        if placed.control == "plain_switch":
            load = str(placed.net("load"))
            here = [id_ for id_, a in left.items() if a.boxes[0] == placed.box]
            same = [id_ for id_ in here if load in left[id_].legs or load.endswith(left[id_].works.upper())]
            if same or here:
                chosen = (same or here)[0]
                left.pop(chosen)
                placed = Placed(chosen, placed.control, placed.box, placed.nets)
                kept.add(placed.box)
        found.append(placed)
    idle = {p.id: p for p in house.wired.parts if p.net("load") == IDLE}
    return (*found, *(idle[id_] for id_ in left if id_ in idle and idle[id_].box in kept))


def _wire(house: Candidate, parts: tuple[Placed, ...], *, may_pull: bool) -> tuple[Wired, tuple[str, ...]] | Obstacle:
    demands: dict[str, set[str]] = {}
    for part in parts:
        for _, net in part.nets:
            if net == GROUND:
                continue  # every cable has its own
            demands.setdefault(net, set()).update({part.box, CEILING} if net == IDLE else {part.box})
    wanted = {net: frozenset(boxes) for net, boxes in demands.items()}
    site = house.site
    routing = route(site, wanted)
    new: tuple[str, ...] = ()
    if not routing.possible and may_pull:
        widths = {s.cable: len(s.nets) for s in routing.shortfalls}
        pulled = {id_: f"{id_}_new" for id_ in widths}
        new = tuple(pulled.values())
        cables = tuple(Cable(pulled[c.id], c.ends, widths[c.id], c.id) if c.id in pulled else c for c in site.cables)
        site = Site(site.boxes, cables, site.stubs)
        routing = route(site, wanted)
    if not routing.possible:
        short = routing.shortfalls[0]
        return Obstacle("too_few_conductors", facts=WIRING_FACTS, shortfall=short)
    return wire(site, routing, parts, house.palette, house.wired), new


def obstacle_of(finding: Finding) -> Obstacle:
    """An electrical finding as an obstacle; a load of the wrong kind speaks through the rule about that kind."""
    words = dict(finding.words)
    kind = words.get("kind")
    if finding.rule == "lives_on_electronics":
        return Obstacle(finding.rule, finding.words, ("receiver", "motor_label"))
    if finding.rule == "output_feeds_wrong_load" and words.get("load") == "other":
        rule = "other_load_not_marked" if words.get("does") == "contact" else finding.rule
        return Obstacle(rule, finding.words, ("other_load_kind", "acts_on_other_loads"))
    if finding.rule == "output_feeds_wrong_load" and words.get("does") != "contact":
        if kind == "driver":
            return Obstacle("dc_needs_driver", facts=MOTOR_FACTS)
        if kind == "receiver":
            return Obstacle("shaped_power_ahead_of_electronics", finding.words, ("receiver",))
    return Obstacle(finding.rule, finding.words, ("receiver", "light_kit", "acts_on_other_loads"))
