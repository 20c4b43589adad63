"""Diagnosis: how far what was seen raised the belief in the declared fault, from its prior to what is enough."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from grading.marks.criteria import counting_step, diagnosis
from grading.marks.replay import Step
from scenarios.actions import Action
from scenarios.language import Message
from tests.grading.cases import COURSE, PRIOR, case, did, marking

HALF = PRIOR + 0.5 * (0.85 - PRIOR)
"""Belief halfway from the prior to what is enough."""


@pytest.mark.parametrize(
    ("belief", "reference", "marks"),
    [
        (0.85, 0.85, 100.0),
        (0.99, 0.85, 100.0),  # more than enough
        (HALF, 0.85, 50.0),
        (0.395, 0.85, 30.0),
        (PRIOR, 0.85, 10.0),  # right, and nothing seen supports it: luck
        (0.1, 0.85, 10.0),  # nor where the readings speak against it
        (0.85, 0.99, 100.0),  # nobody has to be surer than 85 %
        (0.6, 0.7, 80.0),  # the reference itself stopped with less
        (0.35, 0.3, 50.0),  # but never less than half
    ],
)
def test_a_right_diagnosis_earns_what_the_readings_bear_out(belief: float, reference: float, marks: float) -> None:
    course = replace(COURSE, belief=reference)
    got, _ = diagnosis(case(did("diagnose", "coolant-low", 90.0), belief={"coolant-low": belief}, course=course))
    assert got == pytest.approx(marks)


@pytest.mark.parametrize(
    ("declared", "truth", "marks"),
    [
        ("coolant-low", "coolant-low", 100.0),
        ("hose-leaks", "hose-leaks", 100.0),
        ("thermostat-stuck-open", "coolant-low", 20.0),  # another part of the right system
        ("motor-dead", "coolant-low", 0.0),  # another system
        ("none", "coolant-low", 0.0),
        ("coolant-low", "none", 0.0),
        ("none", "none", 100.0),
    ],
)
def test_a_wrong_diagnosis_earns_something_for_the_right_system(declared: str, truth: str, marks: float) -> None:
    got, reasons = diagnosis(case(did("diagnose", declared, 90.0), belief={declared: 0.85}, truth=(truth,)))
    assert got == pytest.approx(marks)
    assert any("the diagnosis is wrong" in str(reason) for reason in reasons) == (declared != truth)


@pytest.mark.parametrize(("belief", "marks"), [(0.85, 40.0), (HALF, 20.0), (0.1, 0.0)])
def test_a_wrong_diagnosis_of_the_right_part_earns_more(belief: float, marks: float) -> None:
    one = case(did("diagnose", "thermostat-stuck-open", 90.0), belief={"thermostat-stuck-open": belief})
    faults = one.catalogue.faults
    same = replace(faults["coolant-low"], part=faults["thermostat-stuck-open"].part)
    one = replace(one, catalogue=replace(one.catalogue, faults=faults | {"coolant-low": same}))
    assert diagnosis(one)[0] == pytest.approx(marks)


@pytest.mark.parametrize(
    ("truth", "marks"), [(("motor-dead", "coolant-low"), 100.0), (("motor-dead", "thermostat-stuck-open"), 20.0)]
)
def test_of_two_faults_either_is_right(truth: tuple[str, ...], marks: float) -> None:
    one = case(did("diagnose", "coolant-low", 90.0), belief={"coolant-low": 0.85}, truth=truth)
    assert diagnosis(one)[0] == pytest.approx(marks)


@pytest.mark.parametrize(
    ("group", "marks"),
    [
        (("hose-leaks", "coolant-low"), 100.0 * 0.3 / 0.45),  # 0.4 + 0.3 against 0.2 + 0.2, with 0.85 enough
        (("hose-leaks",), 20.0 * 0.1 / 0.65),  # told apart, and then wrong: 0.3 against 0.2
    ],
)
def test_faults_that_no_check_tells_apart_count_as_one(group: tuple[str, ...], marks: float) -> None:
    belief = {"coolant-low": 0.4, "hose-leaks": 0.3}
    got, _ = diagnosis(case(did("diagnose", "hose-leaks", 70.0), belief=belief, group=group))
    assert got == pytest.approx(marks)


def test_where_the_prior_is_nearly_enough_little_is_asked() -> None:
    """Prior 0.8, enough 0.82: the gain is measured against 0.05 at the least."""
    whole = ("coolant-low", "hose-leaks", "thermostat-stuck-open", "motor-dead")
    course = replace(COURSE, belief=0.82)
    one = case(did("diagnose", "coolant-low", 90.0), belief={"coolant-low": 0.81}, group=whole, course=course)
    assert diagnosis(one)[0] == pytest.approx(100.0 * 0.01 / 0.05)


@pytest.mark.parametrize(("error", "marks"), [(0.0, 50.0), (0.13, 70.0), (0.9, 100.0)])
def test_what_the_observer_does_not_know_counts_for_the_person(error: float, marks: float) -> None:
    one = case(did("diagnose", "coolant-low", 90.0), belief={"coolant-low": HALF}, error={"coolant-low": error})
    assert diagnosis(one)[0] == pytest.approx(marks)


def test_the_error_of_another_fault_counts_for_nobody() -> None:
    one = case(did("diagnose", "coolant-low", 90.0), belief={"coolant-low": HALF}, error={"none": 0.3})
    assert diagnosis(one)[0] == pytest.approx(50.0)


def test_no_diagnosis_earns_nothing() -> None:
    assert diagnosis(case(did("check", "gauge"), belief={"coolant-low": 0.99})) == (
        0.0,
        [Message("no diagnosis was declared")],
    )


@pytest.mark.parametrize(("belief", "told"), [(HALF - 0.01, True), (HALF + 1e-9, False)])
def test_a_lucky_diagnosis_is_told(belief: float, told: bool) -> None:
    _, reasons = diagnosis(case(did("diagnose", "coolant-low", 90.0), belief={"coolant-low": belief}))
    assert bool(reasons) == told
    assert all(f"only {belief:.0%} likely" in str(reason) for reason in reasons)


@pytest.mark.parametrize(
    ("truth", "belief", "reasons"),
    [
        (
            ("coolant-low",),
            {"coolant-low": 0.3},
            ["right, but hardly earned: what was seen makes coolant low only 30% likely"],
        ),
        (("coolant-low",), {"coolant-low": 0.85}, []),
        (("motor-dead",), {"coolant-low": 0.85}, ["the diagnosis is wrong: it was motor dead"]),
        (
            ("motor-dead", "thermostat-stuck-open"),
            {"coolant-low": 0.3},
            ["the diagnosis is wrong: it was motor dead, thermostat stuck open"],
        ),
    ],
)
def test_it_says_what_was_not_earned_and_what_it_was(
    truth: tuple[str, ...], belief: dict[str, float], reasons: list[str]
) -> None:
    _, found = diagnosis(case(did("diagnose", "coolant-low", 90.0), belief=belief, truth=truth))
    assert list(map(str, found)) == reasons


# The moment whose belief counts, and that its error is of the same moment.

LOW, HOSE = marking().faults["coolant-low"], marking().faults["hose-leaks"]


def steps(*actions: tuple[str, ...]) -> list[Step]:
    """Step k begins with a belief of k and an error of k / 100, and ends with one more."""

    def at(value: float) -> np.ndarray:
        return np.array([value])

    return [
        Step(k, Action(verb, tuple(rest)), k, 1.0, (), at(k), at(k / 100), at(k + 1), at((k + 1) / 100), 0.0, None)
        for k, (verb, *rest) in enumerate(actions)
    ]


CHECK, SAID, TOP_UP, HOSE_REPAIR = (
    ("check", "gauge"),
    ("diagnose", "coolant-low"),
    ("repair", "top-up"),
    ("repair", "new-hose"),
)


@pytest.mark.parametrize(
    ("actions", "declared", "moment"),
    [
        ((CHECK, SAID), LOW, 2),
        ((CHECK, SAID, CHECK, SAID), LOW, 4),  # the last diagnosis
        ((CHECK, TOP_UP, CHECK, SAID), LOW, 1),  # before a part was tried
        ((CHECK, SAID, TOP_UP, CHECK, SAID), LOW, 2),
        ((CHECK, TOP_UP, HOSE_REPAIR, SAID), LOW, 1),  # the first of them
        ((CHECK, TOP_UP, CHECK, SAID), HOSE, 4),  # which relieves a leak and is no trial of parts
        ((CHECK, TOP_UP, HOSE_REPAIR, SAID), HOSE, 2),
        ((CHECK, TOP_UP, CHECK), None, 3),  # nothing was declared: as far as it went
        ((CHECK, TOP_UP, CHECK), LOW, 3),
        ((CHECK, SAID, CHECK), None, 3),
    ],
)
def test_belief_and_error_are_of_one_moment(
    actions: tuple[tuple[str, ...], ...], declared: object, moment: int
) -> None:
    counting = counting_step(steps(*actions), declared)  # pyright: ignore[reportArgumentType]
    assert counting is not None
    assert (counting.after[0], counting.error[0]) == (moment, moment / 100)


def test_of_nothing_done_nothing_counts() -> None:
    assert counting_step([], None) is None
