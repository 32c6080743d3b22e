"""From a node of the tree to what is shown of it: keys, labels, hints. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from switchleg.record.model import Record
from switchleg.schema.questions import STATIONS, Again, Answer, Door, Question, Reply, Station
from switchleg.session.views.model import (
    TYPE_KEY,
    Choice,
    DoorView,
    LookNow,
    OpenLine,
    QuestionView,
    ReviewRow,
    SettledLine,
)
from switchleg.tree.graph import Tree
from switchleg.tree.values import show
from switchleg.tree.walk import Step, Walk

if TYPE_CHECKING:
    from switchleg.advice.model import NextCheck
    from switchleg.schema.pictures import Picture

SPARE_KEYS = "adeijsvx"
"""Letters that no other key of a question uses: for a measure, since digits type it, and for the tenth answer on."""

DOOR_WORDS = {"open": "opened", "later": "not now", "after": "the other place first", "decline": "I'd rather not"}


def choices(question: Question) -> tuple[Choice, ...]:
    """The answers with their keys: y and n; a count's own digit; letters for a measure, and t to type; else 1 to 9.

    Whoever types 12 for a wire must not have picked the first answer, and answered the next question with 2.
    """
    found: list[Choice] = []
    free = iter(SPARE_KEYS if question.kind == "measure" else "123456789" + SPARE_KEYS)
    for answer in question.answers:
        typed = answer.typed or answer.at_least is not None
        found.append(Choice(_key(question, answer) or next(free), answer.label, answer.value, typed))
    return tuple(found)


def _key(question: Question, answer: Answer) -> str:
    if question.kind == "yes_no":
        return "y" if answer.value is True else "n"
    if question.kind == "count":
        digit = str(answer.value if answer.at_least is None else answer.at_least)
        return digit if len(digit) == 1 else TYPE_KEY
    return TYPE_KEY if answer.typed else ""


def typed_hint(question: Question) -> str:
    """What can be typed where one key does not say it: "a current with its unit, such as 1.2 A"."""
    if question.kind == "measure" and question.dimension is not None:
        from switchleg.units.names import NAMES

        naming = NAMES[question.dimension]
        size = ", or its trade size" if question.sizes_from else ""
        return f"{naming.noun} with its unit, such as {naming.example}{size}"
    least = [answer.at_least for answer in question.answers if answer.at_least is not None]
    return f"a whole number, {min(least)} or more" if least else ""


def reply_text(tree: Tree, node: str, reply: Reply) -> str:
    """A reply in words; a value of a question that is no longer there as it was kept."""
    if reply.kind == "cant_tell":
        return "can't tell"
    if reply.kind != "value" or reply.value is None:
        return DOOR_WORDS.get(reply.kind, "")
    question = question_at(tree, node)
    return show(question, reply.value) if question is not None else str(reply.value)


def question_at(tree: Tree, node: str) -> Question | None:
    """The question that is asked at a node: its own, or the one a second look comes back to."""
    found = tree.nodes.get(node)
    if isinstance(found, Again):
        return tree.questions.get(found.fact)
    return found if isinstance(found, Question) else None


def question_view(
    tree: Tree, walked: Walk, record: Record, pictures: Mapping[str, Picture], node: str, reminder: str
) -> QuestionView:
    """What to show of a question or second look."""
    question = question_at(tree, node)
    if question is None:
        raise ValueError(f"{node} is no question")
    again = tree.nodes[node]
    station = tree.station_of[node]
    file = tree.stations[station]
    reply = record.replies.get(node)
    picture = pictures.get(question.picture) if question.picture else None
    return QuestionView(
        node=node,
        fact=question.fact,
        kind=question.kind,
        station=station,
        station_title=file.title,
        first_of_station=not _looked(tree, walked, station, node),
        intro=file.intro,
        ask=question.ask,
        why=question.why,
        look=again.look if isinstance(again, Again) else question.look,
        settles=question.settles,
        caution=question.caution,
        power_on=question.power_on,
        choices=choices(question),
        typed_hint=typed_hint(question),
        earlier=reply_text(tree, node, reply) if reply is not None else "",
        note=record.notes.get(node, ""),
        picture=picture.drawing if picture else "",
        picture_ascii=picture.ascii if picture else "",
        picture_title=picture.title if picture else "",
        picture_says=picture.says if picture else "",
        second_look=isinstance(again, Again) and again.fact in walked.cant_tell,
        reminder=reminder,
    )


def _looked(tree: Tree, walked: Walk, station: Station, node: str) -> bool:
    """Whether something of this station was answered before `node` on the way."""
    for step in walked.steps:
        if step.node_id == node:
            return False
        if tree.station_of[step.node_id] == station and not isinstance(tree.nodes[step.node_id], Door):
            return True
    return False


def door_view(
    tree: Tree, record: Record, pictures: Mapping[str, Picture], door: Door, other: Door | None = None
) -> DoorView:
    """What to show of a safety gate."""
    picture = pictures.get(door.picture) if door.picture else None
    file = tree.stations.get(door.opens)
    reply = record.replies.get(door.id)
    earlier = reply.kind if reply is not None and reply.kind in ("open", "later", "after", "decline") else ""
    return DoorView(
        node=door.id,
        opens=door.opens,
        station_title=file.title if file else door.opens,
        intro=file.intro if file else "",
        ask=door.ask,
        cautions=door.cautions,
        checks=door.checks,
        earlier=earlier,
        note=record.notes.get(door.id, ""),
        other=other.opens if other is not None else None,
        picture=picture.drawing if picture else "",
        picture_ascii=picture.ascii if picture else "",
        picture_title=picture.title if picture else "",
        picture_says=picture.says if picture else "",
    )


def settled_lines(tree: Tree, walked: Walk) -> tuple[SettledLine, ...]:
    """The known facts in the order they were settled; a second look stands where it was taken."""
    lines: dict[str, SettledLine] = {}
    for step in walked.steps:
        question = question_at(tree, step.node_id)
        if question is None or step.reply.value is None or question.fact not in walked.facts:
            continue
        lines[question.fact] = SettledLine(
            fact=question.fact,
            label=question.short or question.fact.replace("_", " "),
            text=show(question, step.reply.value),
            station=tree.station_of[step.node_id],
            node=step.node_id,
        )
    return tuple(lines.values())


def open_lines(tree: Tree, walked: Walk) -> tuple[OpenLine, ...]:
    """The facts that could not be told, in the order in which that was last said."""
    seen = {step.node_id for step in walked.steps}
    looks: dict[str, Station] = {}
    for name, node in tree.nodes.items():
        if (
            isinstance(node, Again)
            and name not in seen
            and STATIONS.index(tree.station_of[name]) > STATIONS.index(walked.cant_tell.get(node.fact, STATIONS[-1]))
        ):
            looks.setdefault(node.fact, tree.station_of[name])
    return tuple(
        OpenLine(
            fact=fact,
            label=tree.questions[fact].short or fact.replace("_", " "),
            station=station,
            again=looks.get(fact, ""),
        )
        for fact, station in walked.cant_tell.items()
    )


def looks_now(tree: Tree, walked: Walk, checks: Iterable[NextCheck]) -> tuple[LookNow, ...]:
    """Of the next checks those of this person whose question was asked already, or is to be asked next."""
    asked = [*(step.node_id for step in walked.steps), walked.at]
    nodes = {question.fact: node for node in asked if (question := question_at(tree, node)) is not None}
    return tuple(
        LookNow(
            node=nodes[check.fact],
            fact=check.fact,
            label=tree.questions[check.fact].short or check.fact.replace("_", " "),
            ask=tree.questions[check.fact].ask,
            again=check.fact in walked.facts,
        )
        for check in checks
        if check.by == "you" and check.fact in nodes
    )


def review_row(tree: Tree, record: Record, step: Step) -> ReviewRow:
    """One step of the way for the review and the export."""
    node = tree.nodes[step.node_id]
    question = question_at(tree, step.node_id)
    door = isinstance(node, Door)
    return ReviewRow(
        node=step.node_id,
        kind="door" if door else "again" if isinstance(node, Again) else "question",
        station=node.opens if isinstance(node, Door) else tree.station_of[step.node_id],
        ask=node.ask if isinstance(node, Door) else question.ask if question else step.node_id,
        answer_text=reply_text(tree, step.node_id, step.reply),
        note=record.notes.get(step.node_id, ""),
        cant_tell=step.reply.kind == "cant_tell",
        changed=any(event.node == step.node_id and event.reply is not None for event in record.history),
        at=step.reply.at,
        from_fan=record.origins[step.node_id].name if step.node_id in record.origins else "",
    )


def reminder(record: Record, station: Station) -> str:
    """What to say to somebody who comes back to an opened station: when its gate was confirmed."""
    when = [gate.at for gate in record.gates if gate.opens == station and gate.outcome == "open"]
    since = f" on {when[-1]:%Y-%m-%d at %H:%M}" if when else ""
    return (
        f"You confirmed the safety checks{since}. Power may have come back since. "
        "Do them again before you touch anything."
    )
