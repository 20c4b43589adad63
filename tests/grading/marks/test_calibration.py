"""Calibration: 100 less the square of the gap between what was stated and what the readings bear out."""

from __future__ import annotations

import pytest

from grading.marks.criteria import calibration
from scenarios.language import Message
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


@pytest.mark.parametrize(
    ("marks", "left"),
    [
        ({"none": "out"}, 75.0),
        ({"none": "out", "hose-leaks": "out"}, 75.0),  # 0.2 is not likely
        ({"none": "unlikely"}, 100.0),
        ({"motor-dead": "out"}, 100.0),
        ({"coolant-low": "out", "none": "out"}, 50.0),
        ({"elsewhere": "out"}, 100.0),
    ],
)
def test_who_strikes_out_what_is_likely_loses_a_quarter(marks: dict[str, str], left: float) -> None:
    belief = {"coolant-low": 0.59, "none": 0.21, "hose-leaks": 0.2}
    suspects = [did("suspect", name, mark) for name, mark in marks.items()]
    assert calibration(case(*suspects, said(59.0), belief=belief))[0] == pytest.approx(left)


def test_the_last_mark_of_a_suspect_counts() -> None:
    belief = {"coolant-low": 0.7, "none": 0.3}
    thought_again = did("suspect", "none", "out"), did("suspect", "none", "maybe")
    assert calibration(case(*thought_again, said(70.0), belief=belief))[0] == pytest.approx(100.0)
    assert calibration(case(*thought_again[::-1], said(70.0), belief=belief))[0] == pytest.approx(75.0)


def test_it_never_falls_below_nothing() -> None:
    struck = did("suspect", "none", "out")
    assert calibration(case(struck, said(100.0), belief={"none": 1.0})) == (
        0.0,
        [Message("struck out although likely: {fault}", fault="none")],
    )


def test_without_a_diagnosis_nothing_was_stated() -> None:
    assert calibration(case(did("suspect", "none", "out"), belief={"none": 1.0})) == (0.0, [])
