"""Calibration: 100 less the square of the gap between what was stated and what the readings bear out."""

from __future__ import annotations

import pytest

from grading.marks.criteria import calibration
from scenarios.actions import ALSO
from tests.grading.cases import Did, case, did


def said(sure: float, fault: str = "coolant-low") -> Did:
    return did("diagnose", fault, sure)


@pytest.mark.parametrize(
    ("sure", "belief", "marks"),
    [
        (70.0, 0.7, 100.0),
        (90.0, 0.7, 96.0),
        (50.0, 0.7, 96.0),  # as much too little as too much
        (100.0, 0.5, 75.0),
        (100.0, 0.0, 0.0),
        (0.0, 1.0, 0.0),
    ],
)
def test_the_gap_counts_by_its_square(sure: float, belief: float, marks: float) -> None:
    assert calibration(case(said(sure), belief={"coolant-low": belief}))[0] == pytest.approx(marks)


def test_the_last_diagnosis_counts() -> None:
    assert calibration(case(said(20.0, "none"), said(70.0), belief={"coolant-low": 0.7}))[0] == pytest.approx(100.0)


def test_a_group_is_believed_in_as_one_and_the_error_gives_no_leave_to_overstate() -> None:
    belief = {"coolant-low": 0.4, "hose-leaks": 0.3}
    one = case(said(70.0), belief=belief, error={"coolant-low": 0.3}, group=("coolant-low", "hose-leaks"))
    assert calibration(one)[0] == pytest.approx(100.0)


def test_marks_on_suspects_carry_no_marks() -> None:
    one = case(did("suspect", "none", "out"), said(59.0), belief={"coolant-low": 0.59, "none": 0.41})
    assert calibration(one) == (pytest.approx(100.0), [])


def test_of_several_the_mean_counts() -> None:
    both = said(70.0), did("diagnose", "none", 60.0, ALSO)
    assert calibration(case(*both, belief={"coolant-low": 0.7, "none": 0.1}))[0] == pytest.approx(100.0 - 12.5)


def test_without_a_diagnosis_nothing_was_stated() -> None:
    assert calibration(case(did("suspect", "none", "out"), belief={"none": 1.0})) == (0.0, [])
