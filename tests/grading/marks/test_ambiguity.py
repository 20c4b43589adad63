"""Which faults count as one: those still believed in that no check tells from the declared one."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from grading.marks import ambiguity
from grading.marks.ambiguity import brought_back, distinguishable, group_of, same
from grading.marks.grade import Grader
from scenarios.actions import Action
from scenarios.model import Fault
from tests.grading.workbench import CURE, FIND, PROVE, SEED, bench, marks, play, with_fault, with_twin

NAMES = ("low", "leak", "valve", "none")
IMAGINED: Any = SimpleNamespace(
    faults=[SimpleNamespace(id=name, changes=() if name == "none" else ("a change",)) for name in NAMES]
)
LOW, LEAK, VALVE, NONE = range(4)


@pytest.mark.parametrize(
    ("declared", "belief", "apart", "group"),
    [
        (LOW, (0.5, 0.5, 0.0, 0.0), {(LOW, LEAK): False}, {"low", "leak"}),
        (LOW, (0.5, 0.5, 0.0, 0.0), {(LOW, LEAK): True}, {"low"}),
        (LEAK, (0.5, 0.5, 0.0, 0.0), {(LOW, LEAK): False}, {"low", "leak"}),  # whichever is declared
        # Who is no longer believed in takes nothing away.
        (LOW, (0.98, 0.02, 0.0, 0.0), {(LOW, LEAK): False}, {"low", "leak"}),
        (LOW, (0.981, 0.019, 0.0, 0.0), {(LOW, LEAK): False}, {"low"}),
        # What is declared counts whatever is believed of it.
        (NONE, (0.5, 0.5, 0.0, 0.0), {(LOW, NONE): True, (LEAK, NONE): False}, {"none", "leak"}),
        # Those like the declared one need not be like each other, and are not asked about.
        (LOW, (0.4, 0.3, 0.3, 0.0), {(LOW, LEAK): False, (LOW, VALVE): False}, {"low", "leak", "valve"}),
    ],
)
def test_a_group_holds_what_no_check_tells_from_the_declared_fault(
    declared: int, belief: tuple[float, ...], apart: dict[tuple[int, int], bool], group: set[str]
) -> None:
    known = {frozenset(pair): differ for pair, differ in apart.items()}
    assert group_of(IMAGINED, declared, np.array(belief), known) == group


def test_each_pair_is_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[int, int]] = []

    def ask(_imagined: object, one: int, other: int) -> bool:
        asked.append((one, other))
        return other == VALVE

    monkeypatch.setattr(ambiguity, "distinguishable", ask)
    known: dict[frozenset[int], bool] = {}
    belief = np.array([0.4, 0.3, 0.3, 0.0])
    for _ in range(2):
        assert group_of(IMAGINED, LOW, belief, known) == {"low", "leak"}
    assert asked == [(LOW, LEAK), (LOW, VALVE)]
    assert known == {frozenset({LOW, LEAK}): False, frozenset({LOW, VALVE}): True}


@pytest.mark.parametrize(
    ("one", "other", "differ", "brought", "alike"),
    [
        (LOW, LEAK, False, True, True),  # of two faults it does not matter whether the vehicle comes back
        (LOW, LEAK, True, False, False),
        (LOW, NONE, False, True, False),
        (NONE, LOW, False, True, False),
        (NONE, LOW, False, False, True),
        (NONE, LOW, True, False, False),
    ],
)
def test_nothing_that_a_customer_brings_back_is_grouped_with_a_sound_vehicle(
    one: int, other: int, differ: bool, brought: bool, alike: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[int] = []
    monkeypatch.setattr(ambiguity, "distinguishable", lambda *pair: differ)
    monkeypatch.setattr(ambiguity, "brought_back", lambda _imagined, fault: (asked.append(fault), brought)[1])
    assert same(IMAGINED, one, other) == alike
    assert asked == ([LOW] if NONE in (one, other) and not differ else [])


def test_a_month_tells_who_comes_back() -> None:
    """Low on coolant the cabin stays cold; what is sound stays away."""
    prior_particles = Grader(*with_fault(bench(), "coolant-low"), SEED).prior_particles
    names = [fault.id for fault in prior_particles.faults]
    assert brought_back(prior_particles, names.index("coolant-low"))
    assert not brought_back(prior_particles, names.index("none"))


def test_a_group_is_of_the_moment_whose_belief_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a diagnosis declared after the cure: what was believed before it."""
    asked: list[np.ndarray] = []

    def ask(_judge: Grader, declared: Fault, belief: np.ndarray, _truth: list[str]) -> frozenset[str]:
        asked.append(belief)
        return frozenset({declared.id})

    monkeypatch.setattr(Grader, "_group", ask)
    declared = Action("diagnose", ("coolant-low", 90.0))
    steps = marks(play(*with_fault(bench(), "coolant-low"), *FIND, *CURE, *PROVE, declared)).steps
    (before,) = [step.before for step in steps if step.action.verb == "repair"]
    assert (asked[-1] == before).all() and not (before == steps[-1].after).all()


def test_a_twin_is_told_by_no_check_and_a_thermostat_by_one() -> None:
    catalogue, job = with_fault(with_twin(bench()), "coolant-low")
    prior_particles = Grader(catalogue, job, SEED).prior_particles
    low, twin, thermostat = (
        [fault.id for fault in prior_particles.faults].index(name)
        for name in ("coolant-low", "twin", "thermostat-stuck-open")
    )
    assert not distinguishable(prior_particles, low, twin)
    assert not distinguishable(prior_particles, twin, low)
    assert distinguishable(prior_particles, low, thermostat)
