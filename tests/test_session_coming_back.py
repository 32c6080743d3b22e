"""Coming back to a walk: the look that decides it is named, whose it is, and the answer that is best checked again."""

from __future__ import annotations

from command_paths import NOON, session
from fan_world import CHOICES, SOUND, go

from switchleg.knowledge.load import load
from switchleg.session.session import Session


def test_one_look_decides() -> None:
    """At a gate, coming back names a look exactly when each answer to it leads to one recommendation."""
    one = session()
    seen = {**CHOICES, **SOUND, "want_speed_from_app": "must", "want_light_apart": "must", "pull_chain_fan": True}
    go(one, {**seen, "pull_chain_light": True, "wall_cables": 2, "run_conductors": 2}, until="canopy")
    cases = one.advice().cases
    assert cases
    assert bool(one.next_look()) == all(case.settles for case in cases)


def test_coming_back_to_a_contradiction() -> None:
    """Whoever comes back to answers that cannot all be true reads which to check first, as the card says; said twice,
    it is another's turn; the true one mends the walk, and what was found elsewhere stays."""
    one = session()
    loop = {"wall_cables": 1, "run_conductors": 2, "neutral_bundle": True, "white_on_control": True}
    go(one, {**CHOICES, **SOUND, **loop, "pull_chain_fan": True})
    assert one.advice().contradictions == (("neutral_bundle", "wall_cables"),)
    back = Session(load(), one.record, lambda _: None, lambda: NOON)
    first = back.advice().next_checks[0].fact
    ask = load().tree.questions[first].ask
    assert back.next_look().endswith(f"Best checked again first: {ask}")
    told = next(section.lines for section in back.card().sections if section.id == "stops")
    assert told[0].text.startswith(f'Best checked again first: "{ask}"')
    back.go_to(first)
    back.answer(loop[first])
    assert back.advice().next_checks[0].fact != first
    back.go_to(first)
    back.answer({**loop, "wall_cables": 2, "neutral_bundle": False}[first])
    assert not back.advice().contradictions
    other = "neutral_bundle" if first == "wall_cables" else "wall_cables"
    assert back.facts[other] == loop[other]


def test_coming_back_to_somebody_elses_look() -> None:
    """Where only a look into a canopy that stays shut decides, coming back and the card name it and whose it is."""
    one = session()
    shut = {"may_open_canopy": False, "able_to_test_live": False, "handheld_remote": True, "remote_kind": "radio"}
    shut |= {"resumes_after_power_cut": True}
    wall = {
        "wall_cables": 2,
        "run_conductors": 3,
        "neutral_bundle": True,
        "white_on_control": False,
        "run_spare": False,
    }
    go(one, {**CHOICES, **SOUND, **shut, **wall, "run_on_controls": 2, "pull_chain_fan": True, "motor_label": "ac"})
    checks = one.advice().next_checks
    assert one.advice().status == "needs_checks"
    assert {check.by for check in checks} == {"other"}
    assert "somebody else" in one.next_look()
    lines = [line.text for section in one.card().sections if section.id == "next" for line in section.lines]
    assert all("licensed electrician" in line for line in lines)
