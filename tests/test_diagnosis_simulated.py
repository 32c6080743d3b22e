"""Simulated houses: answers read off a circuit by networkx alone, held against what the diagnosis makes of them."""

from __future__ import annotations

import random
from typing import Any

import networkx as nx
import pytest
from wiring_world import State, bench, copper, feed_ends, houses, referee

from switchleg.advice.advise import advise
from switchleg.advice.cases.open_cases import open_cases
from switchleg.diagnosis.houses.agreement import disagreeing
from switchleg.diagnosis.houses.candidate import Candidate
from switchleg.knowledge.load import load
from switchleg.wiring.netlist import ConductorEnd, Terminal
from switchleg.wiring.positions import positions
from switchleg.wiring.site import CEILING, WALL

AC_FAN: dict[str, Any] = {
    "region": "us",
    "light_kit": "lamps",
    "handheld_remote": False,
    "motor_label": "ac",
    "pull_chain_fan": True,
    "pull_chain_light": True,
    "receiver": False,
    "only_room_light": False,
    "may_open_canopy": True,
    "may_pull_cable": False,
    "may_replace_fan": False,
    "acts_on_other_loads": False,
}


def _works(house: Candidate, key: tuple[str, str], states: list[State]) -> str:
    """What a switch works: the loads that its flip changes in some position of the others."""
    changed = set()
    for state in states:
        if not state[key]:
            off, on = referee(house.wired, state)[1], referee(house.wired, {**state, key: 1})[1]
            changed |= {load for load in off if all(off[load]) != all(on[load])}
    return {("fan",): "fan", ("light",): "light", ("fan", "light"): "both", (): "nothing"}[tuple(sorted(changed))]


def _live_ends(house: Candidate, state: State) -> set[ConductorEnd]:
    """Conductor ends that copper and closed contacts join to the feed's hot."""
    graph = copper(house.wired)
    for part in house.wired.parts:
        control = bench().controls.get(part.control)
        for channel in control.channel if control else ():
            if state[(part.id, channel.id)]:
                graph.add_edge(*(Terminal(part.id, t) for t in channel.joins))
        if control and control.joined:
            graph.add_edge(*(Terminal(part.id, t) for t in control.joined))
    beyond = nx.node_connected_component(graph, feed_ends(house.wired)["HOT"])
    return {end for end in beyond if isinstance(end, ConductorEnd)}


def told(house: Candidate) -> dict[str, Any]:
    """What somebody would answer in a house with one wall box or none: counts, tries, colours and tester readings."""
    site, wired = house.site, house.wired
    facts: dict[str, Any] = {"wall_boxes": len(site.wall_boxes), "ceiling_cables": len(site.at(CEILING))}
    if not site.wall_boxes:
        return facts
    states = list(positions(wired, bench()))
    keys = [key for key in states[0] if key[0].startswith("switch")]
    facts |= {"wall_controls": len(keys), "wall_cables": len(site.at(WALL))}
    facts["run_conductors"] = site.cables[0].conductors
    for number, key in enumerate(keys, 1):
        facts |= {f"control_{number}_does": _works(house, key, states), f"control_{number}_kind": "on_off"}
    cables = {c.id for c in site.at(WALL)}
    ends = [ConductorEnd(c, colour, WALL) for c, colour in wired.conductors if c in cables]
    graph = copper(wired)
    alone = [e for e in ends if graph.degree(e) == (1 if e.cable == "run" else 0) and e.cable == "run"]
    if site.cables[0].conductors > 2:
        facts["run_spare"] = bool(alone)
    whites = [e for e in ends if e.colour == "white"]
    on_control = [e for e in whites if any(isinstance(n, Terminal) for n in graph.neighbors(e))]
    facts["white_on_control"] = any(wired.conductors[(e.cable, e.colour)] for e in on_control)
    joined = [e for e in whites if any(isinstance(n, ConductorEnd) and n.box == WALL for n in graph.neighbors(e))]
    facts["neutral_bundle"] = len(joined) > 1 and not on_control
    live = [_live_ends(house, state) for state in states]
    facts["hot_at_wall_always"] = any(all(end in now for now in live) for end in ends)
    return facts


ONE_BOX = [h for h in houses() if len(h.site.wall_boxes) < 2 and not any(s.id == "beside" for s in h.site.stubs)]


def test_every_house_allows_what_it_shows() -> None:
    """No house with one wall box or none is struck out by answers read off its own circuit."""
    for house in ONE_BOX:
        facts = told(house)
        wrong = sorted(disagreeing(house, facts, bench()))
        assert not wrong, f"{house.id}: {wrong} of {facts}"


@pytest.mark.parametrize("house", random.Random(7).sample(ONE_BOX, 12), ids=lambda h: h.id)
def test_the_true_wiring_is_never_lost(house: Candidate) -> None:
    """Told what a house shows, the diagnosis keeps its wiring, and what it recommends was judged in it."""
    knowledge = load()
    advice = advise(knowledge, {**AC_FAN, **told(house)})
    assert not advice.contradictions
    assert house.id in {w.id for w in advice.wirings}
    assert advice.motor_settled == "ac"
    if advice.wiring_settled:
        assert advice.wiring_settled == house.id


@pytest.mark.parametrize("each", [True, False])
def test_a_wire_on_each_control_parts_fan_and_light(each: bool) -> None:
    """With no fan hung, two controls and power at the wall: a wire on each may be fan and light apart, none on one
    cannot."""
    hung = {"region": "us", "fan_installed": False, "wall_boxes": 1, "wall_controls": 2, "acts_on_other_loads": False}
    seen = {"wall_cables": 2, "run_conductors": 3, "run_on_controls": 2, "white_on_control": False}
    facts = {**hung, **seen, "neutral_bundle": True, "run_spare": False, "leg_on_each_control": each}
    found = {tuple(sorted(a.works for a in h.house.active)) for h in open_cases(load(), facts).survey.hypotheses}
    assert (("fan", "light") in found) == each


@pytest.mark.parametrize(("both", "link"), [(5, 2), (6, 3), (7, 4)])
def test_both_cables_counted_together_tell_the_other_one(both: int, link: int) -> None:
    """In one of two places, with three wires in one cable that goes on, the number in both is the other's."""
    facts = {"region": "us", "wall_boxes": 2, "run_conductors": 3, "run_and_link_conductors": both, "wall_cables": 3}
    sites = [h.house.site for h in open_cases(load(), facts).survey.hypotheses]
    assert sites
    assert all(sorted(c.conductors for c in site.cables) == sorted((3, link)) for site in sites)


def test_no_two_answers_prove_a_neutral_that_is_not_there() -> None:
    """Where the looks at the wall settle that a neutral is there, networkx finds the feed's neutral there."""
    for house in ONE_BOX:
        if house.neutral_at_wall:
            graph = copper(house.wired)
            beyond = nx.node_connected_component(graph, feed_ends(house.wired)["NEUTRAL"])
            assert any(isinstance(e, ConductorEnd) and e.box in house.site.wall_boxes for e in beyond), house.id


def _can_be(facts: dict[str, Any], taken_back: frozenset[str]) -> bool:
    """Some house and some fan together could have shown all of these, whatever the answers taken back should be."""
    return bool(open_cases(load(), {"region": "us", **facts}, taken_back).survey.hypotheses)


CONTRADICTIONS = {
    "a chain on a DC fan": {"motor_label": "dc"},
    "a neutral in a loop of two": {"run_conductors": 2, "wall_cables": 1, "ceiling_cables": 2, "neutral_reading": True},
    "more controls than can be": {"run_conductors": 2, "wall_controls": 0},
    "two that have nothing in common": {
        "motor_label": "dc",
        "wall_cables": 1,
        "neutral_bundle": True,
    },
    "a light on the receiver with a leg of its own": {
        "wall_controls": 2,
        "control_1_does": "fan",
        "control_2_does": "light",
        "control_2_kind": "on_off",
        "pull_chain_fan": False,
        "receiver": True,
        "light_joined_to": "receiver",
    },
    "a light that is not there": {"light_kit": "none", "control_1_does": "light", "pull_chain_light": False},
    "a control where there is no box": {"wall_boxes": 0},
    "a light's lead on no receiver": {"receiver": False, "receiver_light_lead": "mains"},
}


@pytest.mark.parametrize(
    "told", [{"light_kit": "none", "pull_chain_light": True}, {"handheld_remote": False, "remote_kind": "radio"}]
)
def test_what_is_not_there_is_not_told_of_in_vain(told: dict[str, Any]) -> None:
    """An answer about a thing that another answer denies is no answer to pass over: both are to be checked."""
    advice = advise(load(), {"region": "us", "wall_boxes": 1, **told})
    assert advice.contradictions == (tuple(sorted(told)),)
    assert {check.fact for check in advice.next_checks} == set(told)


@pytest.mark.parametrize("name", CONTRADICTIONS)
def test_contradictions_are_smallest(name: str) -> None:
    """Of a contradiction named, every answer is needed: without any one of them the rest can be true. Each is told
    as a stop of its own, and the answer to check again first is in one of them."""
    facts = {**AC_FAN, "wall_boxes": 1, "wall_controls": 1, "control_1_does": "both", "control_1_kind": "on_off"}
    facts = {fact: value for fact, value in facts.items() if fact != "receiver"} | CONTRADICTIONS[name]
    advice = advise(load(), facts)
    found = advice.contradictions
    assert found
    for conflict in found[:2]:
        told_there = {f: v for f, v in facts.items() if f in conflict}
        assert not _can_be(told_there, frozenset(facts.keys() - conflict)), conflict
        for fact in conflict:
            rest = {f: v for f, v in told_there.items() if f != fact}
            assert _can_be(rest, frozenset(facts.keys() - rest.keys())), f"{conflict} without {fact}"
    assert advice.next_checks[0].fact in {fact for conflict in found for fact in conflict}
    assert all(any(set(stop.facts) == set(conflict) for stop in advice.stops) for conflict in found)
