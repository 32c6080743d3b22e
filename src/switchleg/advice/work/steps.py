"""The work, box by box: test, take apart, join, cap, fold."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence

from switchleg.advice.model import Step
from switchleg.advice.plans.keeps import new_wall_devices
from switchleg.advice.plans.plan import Plan
from switchleg.advice.plans.present_circuit import GOES, Leaves, wired_today
from switchleg.advice.wording.names import box_names, present_names
from switchleg.advice.wording.phrases import listed, net_words, terminal
from switchleg.advice.work.in_boxes import InBoxes, Told
from switchleg.advice.work.joints import FAN_LEAD, LONE_GROUND, cable_words, end_words, unused_leads
from switchleg.advice.work.legs import EXCHANGED, Tags
from switchleg.schema.parts import plain_class
from switchleg.schema.schemes import Task
from switchleg.wiring.bench import Bench
from switchleg.wiring.cautions import cautions
from switchleg.wiring.netlist import End, Joint, Terminal, Wired
from switchleg.wiring.site import CEILING, GROUND


def steps(
    plan: Plan,
    bench: Bench,
    ground: str,
    was_live: str = "",
    tasks: Sequence[Task] = (),
    *,
    hung: bool = True,
    shut: bool = False,
) -> tuple[Step, ...]:
    """Working order for every box: wall first, then ceiling. What stays as it is comes as `leave`.

    Two legs are tagged while they are joined; where only the loads tell them apart, the canopy is looked into first.
    A conductor that is put to use is proved first, with the boxes at both its ends open.
    `hung`: a fan hangs there. `shut`: the canopy is to stay closed.
    `was_live`: the sentence for conductors that were live until today, with {colour}, {cable} and {net}.
    `tasks`: what the plan's preparations have somebody do in the boxes.
    """
    today = wired_today(plan.house, plan.present_fan, leaves(plan))
    boxes = [box for box in plan.wired.site.boxes if box != CEILING] + [CEILING]
    also = {CEILING} if not shut and any(task.opens and task.box == "ceiling" for task in tasks) else set()
    changed = (box for box in boxes if _joints(today, box) != _joints(plan.wired, box) or _leaving(plan, today, box))
    worked = sorted({*changed, *also}, key=boxes.index)
    if not worked:
        return ()
    doing = InBoxes(plan, tasks, boxes, [b for b in worked if b != CEILING and _emptied(plan, today, b, bench)], ground)
    tags = Tags(plan, today, worked, shut, hung)
    visits: list[tuple[str, list[Told]]] = [(CEILING, [])] if tags.above_first else []
    visits += [(box, list(doing.at(box, "first"))) for ends in doing.proved_between() for box in ends]
    visits += [(box, list(_box(plan, today, box, bench, ground, was_live, doing))) for box in worked]
    titles = box_names(plan.wired.site)
    opened: set[str] = set()
    told: list[Step] = []
    for number, (box, work) in enumerate(visits):
        if box not in opened:
            opened.add(box)
            work = [*_opening(titles[box], tags.at(box), parts=_parts_any(plan, today, box)), *work]
        if box not in [later for later, _ in visits[number:]][1:] and box not in worked:
            work = [*work, Told("fold", f"Leave every joint as it was, close {titles[box]}.")]
        told += [Step(box=box, title=titles[box], kind=kind, text=text, new=new) for kind, text, new in work]
    first, last = told[0], told[-1]
    off = Step(box=first.box, title=first.title, kind="off", text=BREAKER_OFF)
    text = f"{BREAKER_ON} {EXCHANGED}" if tags.asked else BREAKER_ON
    on = Step(box=last.box, title=last.title, kind="on", text=text)
    return (off, *told, on)


BREAKER_OFF = (
    "Breaker off, marked or locked. Prove the tester on a known live source, test this circuit dead, "
    "prove the tester again."
)
OLD_CABLE = (
    "Draw {cable} out of the box. If it cannot be drawn out: cap each of its wires by itself, here and at its other "
    "end, and mark both ends: not in use."
)
BREAKER_ON = "Blades clear, everybody off the ladder: breaker on. Smell, hum or heat: breaker off at once."


def leaves(plan: Plan) -> Leaves:
    """What of today's fan goes."""
    if plan.way.receiver == "replace" or plan.replaces:
        return "fan"
    return "receiver" if plan.fan.receiver and not plan.receiver_kept else "nothing"


def _opening(title: str, tags: str, *, parts: bool) -> Iterator[Told]:
    """What comes first in every box."""
    yield Told("test", f"Test every conductor in {title} dead once more, the capped ones too.")
    photograph = "Photograph every joint in this box before you part any." if parts else ""
    if photograph or tags:
        yield Told("mark", " ".join(filter(None, (photograph, tags))))


def _box(
    plan: Plan, today: Wired, box: str, bench: Bench, ground: str, was_live: str, doing: InBoxes
) -> Iterator[Told]:
    old, new = _joints(today, box), _joints(plan.wired, box)
    words = _worder(plan, today, box, bench, ground)
    yield from doing.at(box, "undo")
    for joint in _ordered(old - new):
        yield Told("take_apart", f"Part {listed(words(e) for e in joint)}.")
    yield from doing.at(box, "apart")
    for name in _leaving(plan, today, box, doing.taken_out()):
        yield Told("take_apart", f"Take out {name}.")
    for old_cable in plan.old_cables(box):
        yield Told("take_apart", OLD_CABLE.format(cable=_old_cable(plan, old_cable.id, box)))
    yield from doing.at(box, "out")
    here = {cable.id for cable in plan.wired.site.at(box)}
    for finding in cautions(plan.wired, bench, plan.house.wired) if was_live else ():
        told = dict(finding.words)
        if finding.rule == "was_live" and told["cable"] in here:
            net = net_words(told["net"])
            cable = cable_words(plan.wired.site, told["cable"], box)
            yield Told("test", was_live.format(colour=told["colour"], cable=cable, net=net))
    nets = {frozenset(j.ends): j for j in plan.wired.joints if j.box == box}
    for joint in _ordered(old & new):
        yield Told("leave", f"Leave joined: {listed(words(e) for e in joint)}.", new=False)
    for joint in _ordered(new - old):
        made = nets[frozenset(joint)]
        name = ground if made.net == GROUND else net_words(made.net)
        leads = any(isinstance(e, Terminal) and _has_leads(plan, e.part, bench) for e in joint)
        how = "under a connector" if made.connector or leads else "under the terminal"
        mark = _mark(plan, made)
        yield Told("join", f"Join {name} {how}: {listed(words(e) for e in joint)}.{mark}")
    before = set(today.capped(box))
    for lead in unused_leads(plan, box, bench.controls):
        yield Told("cap", f"Cap by itself: {lead}.")
    for end in plan.wired.capped(box):
        if end.cable.startswith("onward"):
            continue
        is_ground = plan.wired.conductors[(end.cable, end.colour)] == GROUND
        text = f"{words(end).capitalize()}: {LONE_GROUND}" if is_ground else f"Cap by itself: {words(end)}."
        yield Told("cap", text, new=end not in before)
    yield from doing.at(box, "closing")
    yield Told("fold", f"Tug every wire, fold them away, close {box_names(plan.wired.site)[box]}.")
    yield from doing.at(box, "closed")


def _has_leads(plan: Plan, part_id: str, bench: Bench) -> bool:
    """Fans, lamps and loose modules come with leads, wall devices with terminals."""
    placed = next(p for p in plan.wired.parts if p.id == part_id)
    control = bench.controls.get(placed.control)
    return control is None or control.loose


def _joints(wired: Wired, box: str) -> set[frozenset[End]]:
    return {frozenset(j.ends) for j in wired.joints if j.box == box}


def _ordered(joints: set[frozenset[End]]) -> list[list[End]]:
    return sorted((sorted(j, key=_key) for j in joints), key=lambda ends: [_key(e) for e in ends])


def _key(end: End) -> tuple[int, str, str]:
    return (1, end.part, end.name) if isinstance(end, Terminal) else (0, end.cable, end.colour)


def _mark(plan: Plan, joint: Joint) -> str:
    marked = [e for e in joint.ends if not isinstance(e, Terminal) and (e.cable, e.colour) in plan.wired.relabelled]
    return f" Mark the {listed(e.colour for e in marked)} all around." if marked else ""


def _parts_any(plan: Plan, today: Wired, box: str) -> bool:
    return bool(_joints(today, box) - _joints(plan.wired, box) or _leaving(plan, today, box))


def _emptied(plan: Plan, today: Wired, box: str, bench: Bench) -> bool:
    """Whether a wall box gets fewer controls than came out of it; a tie is none."""
    stays = {p.id for p in plan.wired.parts}
    out = [p for p in today.parts if p.box == box and p.id not in stays and not bench.controls[p.control].joined]
    into = [p for p in new_wall_devices(plan, bench) if p.box == box and p.id not in {q.id for q in today.parts}]
    return len(into) < len(out)


def _leaving(plan: Plan, today: Wired, box: str, said: Collection[str] = ()) -> list[str]:
    """Parts of today's wiring that are not in the plan, in words; `said`: what a task says of already."""
    stays = {p.id for p in plan.wired.parts}
    known = present_names(plan.house, today)
    names = []
    for placed in today.parts:
        if placed.box == box and placed.id not in (*stays, "light", GOES):
            names.append(known[placed.id])
    if box == CEILING and leaves(plan) not in ("nothing", *said):
        names.append({"fan": "the whole fan", "receiver": "the receiver"}[leaves(plan)])
    return names


def _worder(plan: Plan, today: Wired, box: str, bench: Bench, ground: str) -> Callable[[End], str]:
    """Words for ends of either wiring: today's parts and cables are called as they are found."""
    planned = {p.id for p in plan.wired.parts}
    leaving = {cable.id for cable in plan.old_cables(box)}
    old = {p.id: p for p in today.parts}
    present = present_names(plan.house, today)

    def words(end: End) -> str:
        if isinstance(end, Terminal) and end.part not in planned:
            if end.part == GOES:
                return FAN_LEAD[plain_class(old[GOES].control)][end.name]
            return f"{present[end.part]}: {terminal(end.name)}"
        if not isinstance(end, Terminal) and end.cable.startswith("onward"):
            return f"{ground if end.colour == _ground_colour(plan) else end.colour} of any cable that goes on"
        if not isinstance(end, Terminal) and end.cable in leaving:
            colour = ground if today.conductors[(end.cable, end.colour)] == GROUND else end.colour
            return f"{colour} of {_old_cable(plan, end.cable, box)}"
        return end_words(end, plan, box, bench.controls, ground)

    return words


def _old_cable(plan: Plan, cable: str, box: str) -> str:
    return cable_words(plan.house.site, cable, box).replace("the cable", "the old cable", 1)


def _ground_colour(plan: Plan) -> str:
    return next(colour for (_, colour), net in plan.wired.conductors.items() if net == GROUND)
