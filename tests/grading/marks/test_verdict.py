"""The verdict: the weighted total, what a critical error and hints take off, and the floors every pass must reach."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from grading.marks.comeback import Comeback
from grading.marks.criteria import efficiency, hint_marks
from grading.marks.grade import Grade, Judge, _hangs_on, _verdict, grade_case
from grading.marks.proof import Proof
from grading.marks.rubric import PACKAGED, load_rubric
from scenarios.model import CRITERIA
from tests.grading.cases import COURSE, RUBRIC, Did, case, did, entries, job_with, marking

FULL = dict.fromkeys(CRITERIA, 100.0)
AT_THE_BAR = FULL | {"diagnosis": 50.0, "parts": 50.0, "inquiry": 50.0}
"""20 + 20 + 15 + 5 + 5 + 5 = 70."""


def told(grade: Grade) -> list[str]:
    """Its reasons, in English."""
    return [str(reason) for reason in grade.reasons]


@pytest.mark.parametrize(
    ("criteria", "critical", "hints", "verdict"),
    [
        (FULL, False, 0.0, (100.0, True)),
        (dict.fromkeys(CRITERIA, 0.0), False, 0.0, (0.0, False)),
        (AT_THE_BAR, False, 0.0, (70.0, True)),
        (AT_THE_BAR | {"calibration": 99.0}, False, 0.0, (69.95, False)),
        # What was right in all else does not make up for no diagnosis, or for one that took for ever.
        (FULL | {"diagnosis": 50.0}, False, 0.0, (80.0, True)),
        (FULL | {"diagnosis": 49.0}, False, 0.0, (79.6, False)),
        (FULL | {"efficiency": 25.0}, False, 0.0, (85.0, True)),
        (FULL | {"efficiency": 24.0}, False, 0.0, (84.8, False)),
        # A critical error.
        (FULL, True, 0.0, (49.0, False)),
        (dict.fromkeys(CRITERIA, 30.0), True, 0.0, (30.0, False)),
        # Hints come off the total.
        (FULL, False, 4.0, (96.0, True)),
        (FULL, False, 30.0, (70.0, True)),
        (FULL, False, 31.0, (69.0, False)),
        (dict.fromkeys(CRITERIA, 2.0), False, 4.0, (0.0, False)),
        (FULL, True, 60.0, (40.0, False)),
        # The weights, one by one.
        (FULL | {"diagnosis": 60.0}, False, 0.0, (84.0, True)),
        (FULL | {"efficiency": 50.0}, False, 0.0, (90.0, True)),
        (FULL | {"safety": 0.0}, False, 0.0, (85.0, True)),
        (FULL | {"parts": 0.0}, False, 0.0, (90.0, True)),
        (FULL | {"inquiry": 0.0}, False, 0.0, (90.0, True)),
        (FULL | {"calibration": 0.0}, False, 0.0, (95.0, True)),
    ],
)
def test_total_and_pass(criteria: dict[str, float], critical: bool, hints: float, verdict: tuple[float, bool]) -> None:
    assert _verdict(criteria, RUBRIC, critical, hints) == (pytest.approx(verdict[0]), verdict[1])


def test_another_bar_and_another_cap_may_be_set() -> None:
    strict = replace(RUBRIC, total=90.0, diagnosis=95.0, efficiency=80.0, cap=10.0)
    assert _verdict(FULL | {"inquiry": 0.0}, strict, False) == (90.0, True)
    assert _verdict(FULL | {"diagnosis": 94.0}, strict, False)[1] is False
    assert _verdict(FULL | {"efficiency": 79.0}, strict, False)[1] is False
    assert _verdict(FULL, strict, True) == (10.0, False)


@pytest.mark.parametrize(
    ("rungs", "marks"),
    [((), 0.0), (("question",), 1.0), (("pointer",), 2.0), (("explanation",), 4.0), (("question", "question"), 2.0)],
)
def test_each_step_of_a_hint_has_its_price(rungs: tuple[str, ...], marks: float) -> None:
    hints = [did("hint", rung, "gauge", "a text") for rung in rungs]
    assert hint_marks(entries(did("check", "gauge"), *hints, did("note", "question")), RUBRIC) == marks


def test_the_packaged_rubric_says_the_same() -> None:
    assert replace(load_rubric(PACKAGED), hash="") == RUBRIC


# -- the grade of a whole case -----------------------------------------------------------------------------------------

WARM = did("check", "vent-temperature", minutes=1.0, shown={"vent temperature": 50})
"""What proves the repair in these cases."""
PROVEN = Proof(True)
NOTES = tuple(did("note", kind, "in three words") for kind in ("complaint", "cause", "correction"))
GOOD = (did("check", "gauge", minutes=2.0), did("diagnose", "coolant-low", 90.0), did("repair", "top-up"), WARM, *NOTES)
BACK = did("handback")
BELIEF = {"coolant-low": 0.9, "hose-leaks": 0.1}
QUIET = Comeback(None, "", False)
COLD = Comeback(12, "the air at the vents stays cold", False)
RED = Comeback(2, "the needle goes into the red", True)


def graded(*done: Did, comeback: Comeback | None = QUIET) -> Grade:
    return grade_case(case(*done, belief=BELIEF, proof=Proof(WARM in done)), RUBRIC, comeback)


def test_good_work_has_full_marks_and_no_reasons() -> None:
    grade = graded(*GOOD, BACK)
    assert grade.criteria == FULL
    assert (grade.total, grade.passed, told(grade)) == (100.0, True, [])
    assert (grade.checks_used, grade.minutes_used) == (1, 2.0)
    assert (grade.reference_checks, grade.reference_minutes) == (1, 2.0)
    assert (grade.belief, grade.belief_error, grade.group) == (pytest.approx(0.9), 0.0, ["coolant-low"])


@pytest.mark.parametrize(
    ("comeback", "parts", "total", "passed", "reasons"),
    [
        (None, 100.0, 100.0, True, []),
        (QUIET, 100.0, 100.0, True, []),
        (COLD, 30.0, 93.0, True, ["it came back on day 12: the air at the vents stays cold"]),
        (
            RED,
            30.0,
            49.0,
            False,
            [
                "it came back on day 2: the needle goes into the red",
                "critical safety error: handed back dangerous: the needle goes into the red",
            ],
        ),
        (
            replace(QUIET, unroadworthy="coolant drips"),
            100.0,
            49.0,
            False,
            ["critical safety error: handed back unroadworthy: coolant drips"],
        ),
        # Not to be driven: nobody is in danger, and nobody has a vehicle.
        (replace(QUIET, unroadworthy="coolant drips", held=True), 30.0, 93.0, True, []),
        (Comeback(None, "", True, 0, "", True), 30.0, 93.0, True, []),
        (
            replace(QUIET, held=True),
            30.0,
            93.0,
            True,
            ["the job card forbids driving a vehicle that may be driven"],
        ),
    ],
)
def test_the_month_after_counts(
    comeback: Comeback | None, parts: float, total: float, passed: bool, reasons: list[str]
) -> None:
    grade = graded(*GOOD, BACK, comeback=comeback)
    assert grade.criteria == FULL | {"parts": parts}
    assert (grade.total, grade.passed, told(grade), grade.comeback) == (total, passed, reasons, comeback)


@pytest.mark.parametrize(
    ("done", "total", "passed", "reason"),
    [
        ((did("check", "gauge", hurt=[True]), *GOOD), 49.0, False, "critical safety error: event 1"),
        ((did("check", "gauge", hurt=[False, True]), *GOOD), 49.0, False, "critical safety error: event 2"),
        ((did("check", "gauge", hurt=[False]), *GOOD[1:]), 96.2, True, None),
        ((*GOOD, did("hint", "explanation", "gauge")), 96.0, True, "hints took 4 marks off the total"),
        ((*GOOD, did("handback", "time")), 100.0, True, "the time ran out: the job was handed in as it stood"),
        ((*GOOD, did("handback", "early")), 100.0, True, None),
    ],
)
def test_what_else_counts_against_a_grade(
    done: tuple[Did, ...], total: float, passed: bool, reason: str | None
) -> None:
    grade = graded(*done)
    assert (grade.total, grade.passed) == (total, passed)
    assert told(grade) == ([] if reason is None else [reason])
    assert grade.safety == [f"event {k}" for one in done for k in range(1, len(one.hurt) + 1)]


def test_floors_that_were_missed_are_told() -> None:
    slow = *(did("check", "gauge", minutes=10.0) for _ in range(12)), did("diagnose", "none", 90.0)
    assert [reason for reason in told(graded(*slow)) if "must reach" in reason] == [
        "the diagnosis must reach 50 to pass",
        "the efficiency must reach 25 to pass",
    ]


def test_floors_that_were_just_reached_are_not_told() -> None:
    strict = replace(RUBRIC, total=100.0, diagnosis=100.0, efficiency=100.0)
    grade = grade_case(case(*GOOD, BACK, belief=BELIEF, proof=PROVEN), strict, QUIET)
    assert grade.passed
    assert not [reason for reason in told(grade) if "must reach" in reason]


def test_without_a_diagnosis_there_is_no_belief_to_tell() -> None:
    grade = graded(did("check", "gauge", minutes=2.0), *GOOD[2:])
    assert (grade.belief, grade.belief_error) == (None, None)
    assert (grade.criteria["diagnosis"], grade.criteria["efficiency"], grade.criteria["calibration"]) == (0.0, 0.0, 0.0)
    assert (grade.passed, grade.hangs_on) == (False, [])


# -- rates on which it hangs -------------------------------------------------------------------------------------------

DIAGNOSED = (GOOD[0], did("diagnose", "coolant-low", 60.0), *GOOD[2:])
HINT = did("hint", "explanation", "gauge")
DEAR_HINTS = replace(RUBRIC, hints=RUBRIC.hints | {"explanation": 25.0})


@pytest.mark.parametrize(
    ("belief", "done", "hangs"),
    [
        (0.60, (), [("coolant-low", 0.5), ("hose-leaks", 2.0)]),
        (0.99, (), []),
        (0.30, (), []),
        # Nothing turns a critical error.
        (0.60, (did("check", "gauge", hurt=[True]),), []),
    ],
)
def test_a_rate_decides_where_belief_is_near_the_floor(
    belief: float, done: tuple[Did, ...], hangs: list[tuple[str, float]]
) -> None:
    one = case(*done, *DIAGNOSED, belief={"coolant-low": belief, "hose-leaks": 1.0 - belief}, proof=PROVEN)
    grade = grade_case(one, RUBRIC, None)
    assert grade.hangs_on == hangs
    expected = "pass or fail hangs on assumed fault rates: coolant low x 0.5, a hose leaks x 2"
    assert (expected in told(grade)) == bool(hangs)


@pytest.mark.parametrize(
    ("hints", "passed", "hangs"), [((), True, []), ((HINT,), True, [("coolant-low", 0.5), ("hose-leaks", 2.0)])]
)
def test_a_rate_decides_sooner_where_hints_were_taken(
    hints: tuple[Did, ...], passed: bool, hangs: list[tuple[str, float]]
) -> None:
    """At 0.85, and at 0.74 with a rate changed, the diagnosis is far above its floor; with 25 marks off, the total is
    not.
    """
    one = case(*hints, *DIAGNOSED, belief={"coolant-low": 0.85, "hose-leaks": 0.15}, proof=PROVEN)
    grade = grade_case(one, DEAR_HINTS, None)
    assert grade.passed == passed
    assert grade.hangs_on == hangs


def test_a_fault_half_as_common_was_half_as_likely_beforehand() -> None:
    """With low coolant at half its rate the belief falls to 0.5, and its prior to 0.11: more than half is still earned.

    With leaks at twice theirs it falls as far, and the prior of low coolant to 0.17 only.
    """
    one = case(*DIAGNOSED, belief={"coolant-low": 2.0 / 3.0, "hose-leaks": 1.0 / 3.0}, proof=PROVEN)
    assert grade_case(one, replace(RUBRIC, total=60.0), None).hangs_on == [("hose-leaks", 2.0)]


def test_who_declared_nothing_hangs_on_nothing() -> None:
    one = replace(case(did("check", "gauge"), belief={"coolant-low": 0.6, "hose-leaks": 0.4}), declared=None)
    assert _hangs_on(one, FULL, RUBRIC, False, True) == []


# -- whom a group is asked for -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("declared", "belief", "asked"),
    [
        ("coolant-low", 0.85, False),  # right and fully earned: a group adds nothing
        ("coolant-low", 0.84, True),
        ("hose-leaks", 0.85, True),  # wrong, unless no check tells it from the truth
        (None, 0.85, False),
    ],
)
def test_a_group_is_looked_for_where_it_could_matter(
    declared: str | None, belief: float, asked: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = frozenset({"coolant-low", "hose-leaks"})
    monkeypatch.setattr("grading.marks.grade.group_of", lambda *_: whole)
    judge = Judge(marking(), job_with("coolant-low"), 1, RUBRIC)
    fault = None if declared is None else judge.imagined.faults[[f.id for f in judge.imagined.faults].index(declared)]
    chances = np.array([belief if f is fault else 0.0 for f in judge.imagined.faults])
    alone = frozenset() if declared is None else frozenset({declared})
    assert judge._group(fault, chances, ["coolant-low"]) == (whole if asked else alone)


def test_a_grade_says_how_the_job_was_sat_and_what_could_not_be_calculated() -> None:
    made = case(*GOOD, HINT, BACK, belief=BELIEF, proof=PROVEN)
    for entry in made.actions:
        del entry.data["safety"]  # as where nothing happened
    grade = grade_case(made, RUBRIC, QUIET, "guided", 2)
    assert (grade.mode, grade.hints, grade.vehicles_failed, grade.truth) == ("guided", 4.0, 2, ["coolant-low"])
    assert grade.safety == []
    assert told(grade) == [
        "hints took 4 marks off the total",
        "imagined vehicles left out because they cannot be calculated: 2",
    ]


def test_marks_are_told_to_tenths_and_minutes_to_hundredths() -> None:
    done = (did("check", "gauge", minutes=40.123), did("check", "gauge", minutes=2.004), did("diagnose", "none", 33.3))
    made = case(*done, did("drive", 3.0), belief={"none": 0.7777}, course=replace(COURSE, minutes=2.456))
    made = replace(made, job=replace(made.job, competences={"K1": "calibration", "K2": "efficiency"}))
    grade = grade_case(made, RUBRIC, None)
    assert (grade.checks_used, grade.minutes_used) == (2, 42.13)
    assert (grade.reference_checks, grade.reference_minutes) == (1, 2.46)
    exact = {"calibration": 100.0 * (1.0 - (0.333 - 0.7777) ** 2), "efficiency": efficiency(made)[0]}
    for name, value in exact.items():
        assert grade.criteria[name] == round(value, 1) != round(value, 2)
    assert grade.competences == {"K1": grade.criteria["calibration"], "K2": grade.criteria["efficiency"]}


def test_of_nothing_done_no_minutes_are_told() -> None:
    grade = grade_case(case(), RUBRIC, None)
    assert (grade.checks_used, grade.minutes_used, grade.belief, grade.hangs_on) == (0, 0.0, None, [])
