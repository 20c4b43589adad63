"""Diagnosis: how far what was seen raised the belief in the declared fault, from its prior to what is enough."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from grading.marks.case import diagnosed_at, earned_at
from grading.marks.comeback import Comeback
from grading.marks.criteria import diagnosis, wrongly_held
from grading.marks.grade import Grader
from grading.marks.replay import Step
from grading.marks.verdict import FAILED, NOT_FINISHED, verdict
from scenarios.actions import ALSO, Action, standing
from scenarios.language import Message
from scenarios.model import CRITERIA, Catalogue
from tests.grading.cases import COURSE, PRIOR, RUBRIC, Did, case, did, job_with, marking

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


def two_ways_of_failing() -> Catalogue:
    """Low coolant and a stuck thermostat as two failures of one part, with one repair."""
    known = marking()
    stuck = known.faults["thermostat-stuck-open"]
    other = replace(known.faults["coolant-low"], part=stuck.part, cured_by=("top-up", *stuck.cured_by))
    return replace(known, faults=known.faults | {"coolant-low": other})


@pytest.mark.parametrize(
    ("belief", "marks"),
    [
        ({"thermostat-stuck-open": 0.5, "coolant-low": 0.35}, 70.0),  # 0.85 in the part
        ({"coolant-low": 0.9}, 70.0),  # though the checks spoke for the other failure
        ({"coolant-low": 0.5 * (0.4 + 0.85)}, 35.0),  # halfway from the prior of both
        ({"motor-dead": 0.9}, 10.0),
    ],
)
def test_the_right_part_and_cure_is_most_of_a_diagnosis(belief: dict[str, float], marks: float) -> None:
    one = case(did("diagnose", "thermostat-stuck-open", 90.0), belief=belief)
    one = replace(one, catalogue=two_ways_of_failing(), faults=list(two_ways_of_failing().faults.values()))
    got, reasons = diagnosis(one)
    assert got == pytest.approx(marks)
    assert list(map(str, reasons)) == ["right part, wrong failure: it was coolant low"]


BOTH = did("diagnose", "coolant-low", 90.0), did("diagnose", "motor-dead", 80.0, ALSO)
SURE = {"coolant-low": 0.85, "motor-dead": 0.85}


@pytest.mark.parametrize(
    ("done", "truth", "marks", "said"),
    [
        (BOTH, ("motor-dead", "coolant-low"), 100.0, []),
        (BOTH[:1], ("motor-dead", "coolant-low"), 50.0, ["not every fault was found: it was motor dead, coolant low"]),
        (BOTH[:1], ("motor-dead", "thermostat-stuck-open"), 10.0, ["the diagnosis is wrong"]),  # of 0 and 20
        # One that is wrong fails the diagnosis where it stands as likely, and costs where it does not.
        (BOTH, ("coolant-low",), 40.0, ["the diagnosis is wrong"]),
        ((BOTH[0], did("diagnose", "motor-dead", 50.0, ALSO)), ("coolant-low",), 40.0, ["the diagnosis is wrong"]),
        ((BOTH[0], did("diagnose", "motor-dead", 49.0, ALSO)), ("coolant-low",), 80.4, ["the diagnosis is wrong"]),
        ((BOTH[0], did("diagnose", "motor-dead", 0.0, ALSO)), ("coolant-low",), 100.0, ["the diagnosis is wrong"]),
    ],
)
def test_several_may_be_declared(done: tuple[Did, ...], truth: tuple[str, ...], marks: float, said: list[str]) -> None:
    got, reasons = diagnosis(case(*done, belief=SURE, truth=truth))
    assert got == pytest.approx(marks)
    assert [str(reason).split(": it was")[0] for reason in reasons] == [one.split(": it was")[0] for one in said]


@pytest.mark.parametrize(
    ("sure", "truth", "fails"),
    [(50.0, "motor-dead", True), (49.9, "motor-dead", False), (50.0, "coolant-low", False)],
)
def test_a_wrong_diagnosis_that_stands_is_one_held_as_likely(sure: float, truth: str, fails: bool) -> None:
    assert wrongly_held(case(did("diagnose", "coolant-low", sure), truth=(truth,))) == fails


@pytest.mark.parametrize(
    ("sure", "day", "name"),
    [
        (49.0, None, NOT_FINISHED),
        (50.0, None, FAILED),  # a wrong diagnosis stood as the likeliest
        (49.0, 8, FAILED),  # the customer came back
    ],
)
def test_unfinished_work_that_is_wrong_is_failed(sure: float, day: int | None, name: str) -> None:
    """Another part was renewed, and a second diagnosis is wrong."""
    work = did("repair", "renew-thermostat"), did("handback")
    one = case(BOTH[0], did("diagnose", "none", sure, ALSO), *work)
    assert verdict(one, dict.fromkeys(CRITERIA, 100.0), Comeback(day, "", False)).name == name


def test_a_doubtful_wrong_diagnosis_alone_keeps_what_its_system_earned() -> None:
    one = case(did("diagnose", "thermostat-stuck-open", 49.0), belief={"thermostat-stuck-open": 0.85})
    assert diagnosis(one)[0] == pytest.approx(20.0)


def test_a_fault_that_brings_another_complaint_need_not_be_found() -> None:
    known = marking()
    quiet = replace(known.faults["motor-dead"], shows=("no air",))
    catalogue = replace(known, faults=known.faults | {"motor-dead": quiet})
    truth = ("motor-dead", "coolant-low")
    assert diagnosis(case(BOTH[0], belief=SURE, truth=truth, catalogue=catalogue))[0] == pytest.approx(100.0)
    assert diagnosis(case(BOTH[0], belief=SURE, truth=truth))[0] == pytest.approx(50.0)


def test_where_no_fault_brings_the_complaint_by_itself_all_must_be_found() -> None:
    known = marking()
    quiet = {name: replace(fault, shows=("no air",)) for name, fault in known.faults.items()}
    truth = ("motor-dead", "coolant-low")
    one = case(BOTH[0], belief=SURE, truth=truth, catalogue=replace(known, faults=quiet))
    assert diagnosis(one)[0] == pytest.approx(50.0)


def test_another_part_that_the_same_work_cures_is_another_part() -> None:
    known = marking()
    motor = replace(known.faults["motor-dead"], cured_by=known.faults["coolant-low"].cured_by)
    catalogue = replace(known, faults=known.faults | {"motor-dead": motor})
    got, _ = diagnosis(case(did("diagnose", "motor-dead", 90.0), belief={"motor-dead": 0.85}, catalogue=catalogue))
    assert got == 0.0


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


@pytest.mark.parametrize(("belief", "mentioned"), [(HALF - 0.01, True), (HALF + 1e-9, False)])
def test_a_lucky_diagnosis_is_told(belief: float, mentioned: bool) -> None:
    _, reasons = diagnosis(case(did("diagnose", "coolant-low", 90.0), belief={"coolant-low": belief}))
    assert bool(reasons) == mentioned
    assert all(f"only {belief:.0%} likely" in str(reason) for reason in reasons)


@pytest.mark.parametrize(
    ("truth", "belief", "reasons"),
    [
        (
            ("coolant-low",),
            {"coolant-low": 0.3},
            ["right, but not backed by your readings: they make coolant low only 30% likely"],
        ),
        (
            ("coolant-low",),
            {"coolant-low": 0.004},
            ["right, but not backed by your readings: they make coolant low less than 1% likely"],
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


# Which diagnoses stand, which one ends the search, and the moment whose belief counts.

CHECK, SAID, TOP_UP, HOSE_REPAIR = (
    ("check", "gauge"),
    ("diagnose", "coolant-low"),
    ("repair", "top-up"),
    ("repair", "new-hose"),
)
DECLARED = ("diagnose", "coolant-low", 90.0)
OTHER, BESIDE, AGAIN = ("diagnose", "none"), ("diagnose", "none", 90.0, ALSO), ("diagnose", "coolant-low", 10.0, ALSO)


def steps(*actions: tuple[str | float, ...]) -> list[Step]:
    """Step k begins with a belief of k and an error of k / 100, and ends with one more."""

    def at(value: float) -> np.ndarray:
        return np.array([value])

    return [
        Step(k, Action(str(verb), tuple(rest)), k, 1.0, (), at(k), at(k / 100), at(k + 1), at((k + 1) / 100), 0.0, None)
        for k, (verb, *rest) in enumerate(actions)
    ]


@pytest.mark.parametrize(
    ("actions", "stand"),
    [
        ((CHECK,), []),
        ((CHECK, SAID), [1]),
        ((SAID, CHECK, OTHER), [2]),
        ((SAID, CHECK, BESIDE), [0, 2]),
        ((SAID, BESIDE, AGAIN), [1, 2]),
        ((SAID, BESIDE, SAID), [2]),
    ],
)
def test_a_diagnosis_takes_the_place_of_those_before_it_unless_it_is_declared_beside_them(
    actions: tuple[tuple[str | float, ...], ...], stand: list[int]
) -> None:
    assert standing([step.action for step in steps(*actions)]) == stand


@pytest.mark.parametrize(
    ("actions", "at"),
    [
        ((), -1),
        ((CHECK, CHECK), 1),
        ((CHECK, SAID, TOP_UP), 1),
        ((SAID, CHECK, OTHER, CHECK), 2),
        ((CHECK, SAID, TOP_UP, SAID), 1),  # the same once more is no other diagnosis
    ],
)
def test_the_search_ends_with_the_last_that_says_something_else(
    actions: tuple[tuple[str | float, ...], ...], at: int
) -> None:
    assert diagnosed_at(steps(*actions)) == at


@pytest.mark.parametrize(
    ("actions", "declared", "truth", "moment"),
    [
        ((CHECK, SAID), 1, "coolant-low", (1, False)),  # nothing cures it: as it was declared
        ((CHECK, SAID, CHECK, TOP_UP), 1, "coolant-low", (3, True)),  # all that was seen before the cure
        ((CHECK, TOP_UP, CHECK, SAID), 3, "coolant-low", (1, True)),  # and nothing that was seen after it
        ((CHECK, HOSE_REPAIR, CHECK, SAID), 3, "coolant-low", (3, False)),  # what cured nothing is evidence
        ((CHECK, TOP_UP, CHECK, SAID, HOSE_REPAIR), 3, "hose-leaks", (4, True)),  # and so is a relief
        ((CHECK, TOP_UP, CHECK, SAID), 3, None, (3, False)),  # a wrong one
    ],
)
def test_what_was_seen_before_the_cure_earns_a_diagnosis(
    actions: tuple[tuple[str | float, ...], ...], declared: int, truth: str | None, moment: tuple[int, bool]
) -> None:
    fault = None if truth is None else marking().faults[truth]
    assert earned_at(marking(), steps(*actions), declared, fault) == moment


def test_a_check_that_cures_has_read_first() -> None:
    known = marking()
    bleeds = replace(known.checks["gauge"], does=("fill and bleed",))
    low = replace(known.faults["coolant-low"], cured_in_passing=("gauge",))
    catalogue = replace(known, checks=known.checks | {"gauge": bleeds}, faults=known.faults | {"coolant-low": low})
    assert earned_at(catalogue, steps(CHECK, SAID), 1, low) == (0, False)


@pytest.mark.parametrize(
    ("actions", "belief", "error"),
    [
        ((CHECK, TOP_UP, CHECK, DECLARED), 1.0, 0.01),  # before the cure
        ((CHECK, HOSE_REPAIR, CHECK, DECLARED), 4.0, 0.04),  # nothing cured it: as it was declared
    ],
)
def test_belief_and_error_are_of_one_moment(
    actions: tuple[tuple[str | float, ...], ...], belief: float, error: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Grader, "_group", lambda _judge, fault, _belief, _truth: frozenset({fault.id}))
    declared = Grader(marking(), job_with("coolant-low"), 1, RUBRIC)._declared(steps(*actions), 3, ["coolant-low"])
    assert (declared.belief.tolist(), declared.error.tolist()) == ([belief], [error])
