"""Unfinished work: when it is a failure all the same, and what a temporary repair is worth."""

from __future__ import annotations

import pytest

from grading.marks.comeback import Comeback
from grading.marks.grade import grade_case
from grading.marks.verdict import FAILED, NOT_FINISHED, verdict
from scenarios.actions import ALSO
from scenarios.model import CRITERIA
from tests.grading.cases import case, did

FULL = dict.fromkeys(CRITERIA, 100.0)
SAID, BACK = did("diagnose", "coolant-low", 90.0), did("handback")


@pytest.mark.parametrize(
    ("sure", "day", "name"),
    [
        (49.0, None, NOT_FINISHED),
        (50.0, None, FAILED),  # a wrong diagnosis stood as the likeliest
        (49.0, 8, FAILED),  # the customer came back
    ],
)
def test_unfinished_work_that_is_wrong_is_failed(sure: float, day: int | None, name: str) -> None:
    """Nothing was repaired, and a second diagnosis is wrong."""
    one = case(SAID, did("diagnose", "none", sure, ALSO), BACK)
    assert verdict(one, FULL, Comeback(day, "", False)).name == name


@pytest.mark.parametrize(
    ("handback", "day", "parts"),
    [
        ((), None, 30.0),
        (("temporary repair",), None, 60.0),
        (("temporary repair",), 8, 60.0),  # it held for its week
        (("temporary repair",), 7, 30.0),
    ],
)
def test_a_temporary_repair_is_marked_as_one(handback: tuple[str, ...], day: int | None, parts: float) -> None:
    done = did("diagnose", "hose-leaks", 90.0), did("repair", "top-up"), did("handback", *handback)
    grade = grade_case(case(*done, truth=("hose-leaks",)), Comeback(day, "", False))
    assert grade.criteria["parts"] == parts
