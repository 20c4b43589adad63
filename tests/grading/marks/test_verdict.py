"""The verdict: the weighted total, what a critical error and hints take off, and the floors every pass must reach."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from grading.marks.comeback import Comeback
from grading.marks.criteria import efficiency, hint_marks
from grading.marks.grade import Grade, Grader, grade_case
from grading.marks.proof import UNPROVEN, Proof
from grading.marks.rubric import PACKAGED, Rubric, load_rubric
from grading.marks.verdict import FAILED, NOT_FINISHED, PASSED, WITH_HELP, Verdict, verdict
from scenarios.model import CRITERIA
from tests.grading.cases import COURSE, RUBRIC, Did, case, did, entries, job_with, marking

FULL = dict.fromkeys(CRITERIA, 100.0)
AT_THE_BAR = FULL | {"diagnosis": 50.0, "parts": 50.0, "inquiry": 50.0}
"""20 + 20 + 15 + 5 + 5 + 5 = 70."""
CURED = did("diagnose", "coolant-low", 90.0), did("repair", "top-up"), did("handback")
HURT = did("check", "gauge", hurt=[True])
HINT = did("hint", "explanation", "gauge")


def reason_texts(grade: Grade | Verdict) -> list[str]:
    """Its reasons, in English."""
    return [str(reason) for reason in grade.reasons]


def of(criteria: dict[str, float], *done: Did, rubric: Rubric = RUBRIC, comeback: Comeback | None = None) -> Verdict:
    """The verdict on work that cured low coolant, with marks as given; done: what else was."""
    return verdict(case(*done, *CURED, rubric=rubric), criteria, comeback)


@pytest.mark.parametrize(
    ("criteria", "done", "total", "name"),
    [
        (FULL, (), 100.0, PASSED),
        (dict.fromkeys(CRITERIA, 0.0), (), 0.0, FAILED),
        (AT_THE_BAR, (), 70.0, PASSED),
        (AT_THE_BAR | {"calibration": 99.0}, (), 69.95, FAILED),
        # What was right in all else makes up for no diagnosis, no dangerous and no needless work.
        (FULL | {"diagnosis": 50.0}, (), 80.0, PASSED),
        (FULL | {"diagnosis": 49.0}, (), 79.6, FAILED),
        (FULL | {"safety": 60.0}, (), 94.0, PASSED),
        (FULL | {"safety": 59.0}, (), 93.85, FAILED),
        (FULL | {"parts": 50.0}, (), 95.0, PASSED),
        (FULL | {"parts": 49.0}, (), 94.9, FAILED),
        # It may take its time.
        (FULL | {"efficiency": 0.0}, (), 80.0, PASSED),
        # A critical error.
        (FULL, (HURT,), 49.0, FAILED),
        (dict.fromkeys(CRITERIA, 30.0), (HURT,), 30.0, FAILED),
        # Hints come off the total and end no pass.
        (FULL, (HINT,), 96.0, WITH_HELP),
        (AT_THE_BAR, (HINT,), 66.0, WITH_HELP),
        (AT_THE_BAR | {"calibration": 99.0}, (HINT,), 65.95, FAILED),
        (dict.fromkeys(CRITERIA, 2.0), (HINT,), 0.0, FAILED),
        (FULL, (HURT, HINT), 49.0, FAILED),
        # The weights, one by one.
        (FULL | {"diagnosis": 60.0}, (), 84.0, PASSED),
        (FULL | {"efficiency": 50.0}, (), 90.0, PASSED),
        (FULL | {"safety": 80.0}, (), 97.0, PASSED),
        (FULL | {"parts": 60.0}, (), 96.0, PASSED),
        (FULL | {"inquiry": 0.0}, (), 90.0, PASSED),
        (FULL | {"calibration": 0.0}, (), 95.0, PASSED),
    ],
)
def test_total_and_verdict(criteria: dict[str, float], done: tuple[Did, ...], total: float, name: str) -> None:
    found = of(criteria, *done)
    assert (found.name, found.total) == (name, pytest.approx(total))
    assert found.passed == (name in (PASSED, WITH_HELP))


def test_another_bar_and_another_cap_may_be_set() -> None:
    strict = replace(RUBRIC, total=90.0, floors={"diagnosis": 95.0, "safety": 0.0, "parts": 80.0}, cap=10.0)
    assert of(FULL | {"inquiry": 0.0}, rubric=strict).name == PASSED
    assert of(FULL | {"inquiry": 0.0, "calibration": 99.0}, rubric=strict).name == FAILED
    assert of(FULL | {"diagnosis": 94.0}, rubric=strict).name == FAILED
    assert of(FULL | {"parts": 79.0}, rubric=strict).name == FAILED
    assert of(FULL | {"safety": 40.0}, rubric=strict).name == PASSED
    assert of(FULL, HURT, rubric=strict).total == 10.0


NO_DIAGNOSIS = "not finished: no diagnosis was declared"
NO_KEYS = "not finished: the keys were not handed back"
NO_REPAIR = "not finished: what the customer complained of was not repaired"
NO_PROOF = "not finished: the repair was not proven"


@pytest.mark.parametrize(
    ("done", "proven", "name", "reasons"),
    [
        (CURED, True, PASSED, []),
        (CURED[:1], False, NOT_FINISHED, [NO_KEYS, NO_REPAIR, NO_PROOF]),
        ((CURED[0], CURED[2]), True, NOT_FINISHED, [NO_REPAIR]),
        (CURED, False, NOT_FINISHED, [NO_PROOF]),
        (CURED[1:], True, NOT_FINISHED, [NO_DIAGNOSIS]),
        (CURED[:2], True, NOT_FINISHED, [NO_KEYS]),
        ((CURED[0], did("repair", "new-hose"), CURED[2]), True, NOT_FINISHED, [NO_REPAIR]),
    ],
)
def test_a_pass_takes_a_diagnosis_a_cure_a_proof_and_the_keys_back(
    done: tuple[Did, ...], proven: bool, name: str, reasons: list[str]
) -> None:
    found = verdict(case(*done, proof=Proof(proven)), FULL, None)
    assert (found.name, reason_texts(found)) == (name, reasons)


def test_where_the_fault_is_to_be_found_alone_no_work_is_asked() -> None:
    one = case(CURED[0], CURED[2], proof=UNPROVEN)
    assert verdict(replace(one, job=replace(one.job, diagnosis_only=True)), FULL, COLD).name == PASSED


def test_where_nothing_was_done_the_job_is_not_finished_though_the_customer_is_back() -> None:
    assert verdict(case(CURED[0], CURED[2]), FULL, COLD).name == NOT_FINISHED
    assert verdict(case(CURED[0], did("repair", "new-hose"), CURED[2]), FULL, COLD).name == FAILED


TEMPORARY = did("handback", "temporary repair")


@pytest.mark.parametrize(
    ("done", "truth", "day", "name"),
    [
        ((did("repair", "top-up"), TEMPORARY), "hose-leaks", None, PASSED),
        ((did("repair", "top-up"), TEMPORARY), "hose-leaks", 8, PASSED),
        ((did("repair", "top-up"), TEMPORARY), "hose-leaks", 7, FAILED),
        ((did("repair", "top-up"), did("handback")), "hose-leaks", None, NOT_FINISHED),
        ((TEMPORARY,), "hose-leaks", None, NOT_FINISHED),
        ((did("repair", "top-up"), did("handback")), "coolant-low", 8, FAILED),
        ((did("repair", "top-up"), did("handback")), "coolant-low", None, PASSED),
    ],
)
def test_a_relief_passes_where_it_is_handed_over_as_one_and_holds_for_a_week(
    done: tuple[Did, ...], truth: str, day: int | None, name: str
) -> None:
    one = case(did("diagnose", truth, 90.0), *done, truth=(truth,))
    assert verdict(one, FULL, Comeback(day, "", False)).name == name


@pytest.mark.parametrize(
    ("minutes", "competent", "name"),
    [
        (120.0, None, PASSED),
        (121.0, None, FAILED),
        (45.0, 10.0, PASSED),
        (46.0, 10.0, FAILED),
        (80.0, 40.0, PASSED),
        (81.0, 40.0, FAILED),
    ],
)
def test_a_job_has_its_allowance(minutes: float, competent: float | None, name: str) -> None:
    one = case(did("check", "gauge", minutes=minutes), *CURED)
    found = verdict(replace(one, job=replace(one.job, competent_minutes=competent)), FULL, None)
    assert found.name == name
    assert any("are allowed" in reason for reason in reason_texts(found)) == (name == FAILED)


@pytest.mark.parametrize(("sure", "name"), [(50.0, FAILED), (49.0, PASSED)])
def test_a_wrong_diagnosis_may_not_stand(sure: float, name: str) -> None:
    beside = CURED[0], did("diagnose", "none", sure, "also"), *CURED[1:]
    assert verdict(case(*beside), FULL, None).name == name


def test_a_second_fault_must_be_cured_where_it_was_declared_or_brings_the_complaint() -> None:
    known = marking()
    quiet = replace(known.faults["motor-dead"], shows=("no air",))
    other = replace(known, faults=known.faults | {"motor-dead": quiet})
    beside = did("diagnose", "motor-dead", 90.0, "also")

    def name(*done: Did, quiet: bool) -> str:
        truth = ("coolant-low", "motor-dead")
        return verdict(case(*done, truth=truth, catalogue=other if quiet else None), FULL, None).name

    assert name(*CURED, quiet=False) == NOT_FINISHED
    assert name(*CURED, quiet=True) == PASSED
    assert name(CURED[0], beside, *CURED[1:], quiet=True) == NOT_FINISHED
    assert name(CURED[0], beside, did("repair", "renew-motor"), *CURED[1:], quiet=True) == PASSED


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

NOTES = tuple(did("note", kind, "in three words") for kind in ("complaint", "cause", "correction"))
GOOD = (did("check", "gauge", minutes=2.0), did("diagnose", "coolant-low", 90.0), did("repair", "top-up"), *NOTES)
BACK = did("handback")
BELIEF = {"coolant-low": 0.9, "hose-leaks": 0.1}
QUIET = Comeback(None, "", False)
COLD = Comeback(12, "the air at the vents stays cold", False)
FEW_PARTS = "the parts must reach 50 to pass"
RED = Comeback(2, "the needle goes into the red", True)


def graded(*done: Did, comeback: Comeback | None = QUIET) -> Grade:
    return grade_case(case(*done, belief=BELIEF), comeback)


def test_good_work_has_full_marks_and_no_reasons() -> None:
    grade = graded(*GOOD, BACK)
    assert grade.criteria == FULL
    assert (grade.total, grade.passed, reason_texts(grade)) == (100.0, True, [])
    assert (grade.checks_used, grade.minutes_used) == (1, 2.0)
    assert (grade.reference_checks, grade.reference_minutes) == (1, 2.0)
    assert (grade.belief, grade.belief_error, grade.group) == (pytest.approx(0.9), 0.0, ["coolant-low"])


@pytest.mark.parametrize(
    ("comeback", "parts", "total", "passed", "reasons"),
    [
        (None, 100.0, 100.0, True, []),
        (QUIET, 100.0, 100.0, True, []),
        (
            COLD,
            30.0,
            93.0,
            False,
            ["it came back on day 12: the air at the vents stays cold", FEW_PARTS],
        ),
        (
            RED,
            30.0,
            49.0,
            False,
            [
                "it came back on day 2: the needle goes into the red",
                "critical safety error: handed back dangerous: the needle goes into the red",
                FEW_PARTS,
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
        (replace(QUIET, unroadworthy="coolant drips", held=True), 30.0, 93.0, False, [FEW_PARTS]),
        (Comeback(None, "", True, 0, "", True), 30.0, 93.0, False, [FEW_PARTS]),
        (
            replace(QUIET, held=True),
            30.0,
            93.0,
            False,
            ['marked "not to be driven" although the vehicle is roadworthy', FEW_PARTS],
        ),
    ],
)
def test_the_month_after_counts(
    comeback: Comeback | None, parts: float, total: float, passed: bool, reasons: list[str]
) -> None:
    grade = graded(*GOOD, BACK, comeback=comeback)
    assert grade.criteria == FULL | {"parts": parts}
    assert (grade.total, grade.passed, reason_texts(grade), grade.comeback) == (
        total,
        passed,
        reasons,
        comeback,
    )


@pytest.mark.parametrize(
    ("done", "total", "passed", "reasons"),
    [
        (
            (did("check", "gauge", hurt=[True]), *GOOD, BACK),
            49.0,
            False,
            ["critical safety error: event 1", "the safety must reach 60 to pass"],
        ),
        (
            (did("check", "gauge", hurt=[False, True]), *GOOD, BACK),
            49.0,
            False,
            ["critical safety error: event 2", "the safety must reach 60 to pass"],
        ),
        ((did("check", "gauge", hurt=[False]), *GOOD[1:], BACK), 96.2, True, []),
        ((*GOOD, HINT, BACK), 96.0, True, ["hints took 4 marks off the total"]),
        ((*GOOD, did("handback", "time")), 100.0, True, ["time ran out: the job was handed in as it stood"]),
        ((*GOOD, did("handback", "early")), 100.0, True, []),
        (GOOD, 100.0, False, [NO_KEYS]),
    ],
)
def test_what_else_counts_against_a_grade(
    done: tuple[Did, ...], total: float, passed: bool, reasons: list[str]
) -> None:
    grade = graded(*done)
    assert (grade.total, grade.passed) == (total, passed)
    assert reason_texts(grade) == reasons
    assert grade.safety == [f"event {k}" for one in done for k in range(1, len(one.hurt) + 1)]


def test_floors_that_were_missed_are_told() -> None:
    grade = graded(did("check", "gauge", hurt=[False, False]), did("diagnose", "none", 90.0), BACK)
    assert [reason for reason in reason_texts(grade) if "must reach" in reason] == [
        "the diagnosis must reach 50 to pass",
        "the safety must reach 60 to pass",
        "the parts must reach 50 to pass",
    ]


def test_floors_that_were_just_reached_are_not_told() -> None:
    strict = replace(RUBRIC, total=100.0, floors=dict.fromkeys(RUBRIC.floors, 100.0))
    grade = grade_case(case(*GOOD, BACK, belief=BELIEF, rubric=strict), QUIET)
    assert grade.passed
    assert not [reason for reason in reason_texts(grade) if "must reach" in reason]


def test_without_a_diagnosis_there_is_no_belief_to_tell() -> None:
    grade = graded(did("check", "gauge", minutes=2.0), *GOOD[2:])
    assert (grade.belief, grade.belief_error) == (None, None)
    assert (grade.criteria["diagnosis"], grade.criteria["efficiency"], grade.criteria["calibration"]) == (0.0, 0.0, 0.0)
    assert (grade.passed, grade.hangs_on) == (False, [])


# -- whom a group is asked for -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("declared", "belief", "asked"),
    [
        ("coolant-low", 0.85, False),  # right and fully earned: a group adds nothing
        ("coolant-low", 0.84, True),
        ("hose-leaks", 0.85, True),  # wrong, unless no check tells it from the truth
    ],
)
def test_a_group_is_looked_for_where_it_could_matter(
    declared: str, belief: float, asked: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = frozenset({"coolant-low", "hose-leaks"})
    monkeypatch.setattr("grading.marks.grade.group_of", lambda *_: whole)
    grader = Grader(marking(), job_with("coolant-low"), 1, RUBRIC)
    fault = grader.prior_particles.faults[[f.id for f in grader.prior_particles.faults].index(declared)]
    chances = np.array([belief if f is fault else 0.0 for f in grader.prior_particles.faults])
    assert grader._group(fault, chances, ["coolant-low"]) == (whole if asked else frozenset({declared}))


def test_a_grade_says_how_the_job_was_sat_and_what_could_not_be_calculated() -> None:
    made = case(*GOOD, HINT, BACK, belief=BELIEF)
    for entry in made.actions:
        del entry.data["safety"]  # as where nothing happened
    grade = grade_case(made, QUIET, "guided", 2)
    assert (grade.mode, grade.hints, grade.vehicles_failed, grade.truth) == ("guided", 4.0, 2, ["coolant-low"])
    assert grade.safety == []
    assert reason_texts(grade) == [
        "hints took 4 marks off the total",
        "simulated vehicles left out because they could not be calculated: 2",
    ]


def test_marks_are_told_to_tenths_and_minutes_to_hundredths() -> None:
    done = (did("check", "gauge", minutes=40.123), did("check", "gauge", minutes=2.004), did("diagnose", "none", 33.3))
    made = case(*done, did("drive", 3.0), belief={"none": 0.7777}, course=replace(COURSE, minutes=2.456))
    made = replace(made, job=replace(made.job, competences={"K1": "calibration", "K2": "efficiency"}))
    grade = grade_case(made, None)
    assert (grade.checks_used, grade.minutes_used) == (2, 42.13)
    assert (grade.reference_checks, grade.reference_minutes) == (1, 2.46)
    exact = {"calibration": 100.0 * (1.0 - (0.333 - 0.7777) ** 2), "efficiency": efficiency(made)[0]}
    for name, value in exact.items():
        assert grade.criteria[name] == round(value, 1) != round(value, 2)
    assert grade.competences == {"K1": grade.criteria["calibration"], "K2": grade.criteria["efficiency"]}


def test_of_nothing_done_no_minutes_are_told() -> None:
    grade = grade_case(case(), None)
    assert (grade.checks_used, grade.minutes_used, grade.belief, grade.hangs_on) == (0, 0.0, None, [])
