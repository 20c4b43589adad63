"""Whether pass or fail hangs on an assumed fault rate."""

from __future__ import annotations

from dataclasses import replace

import pytest

from grading.marks.grade import _hangs_on, grade_case
from grading.marks.verdict import PASSED, Verdict
from scenarios.model import CRITERIA
from tests.grading.cases import RUBRIC, Did, case, did

NOTES = tuple(did("note", kind, "in three words") for kind in ("complaint", "cause", "correction"))
GOOD = (did("check", "gauge", minutes=2.0), did("diagnose", "coolant-low", 90.0), did("repair", "top-up"), *NOTES)
BACK = did("handback")
HINT = did("hint", "explanation", "gauge")
FULL = dict.fromkeys(CRITERIA, 100.0)


DIAGNOSED = (GOOD[0], did("diagnose", "coolant-low", 60.0), *GOOD[2:], BACK)


@pytest.mark.parametrize(
    ("belief", "done", "hangs"),
    [
        (0.60, (), [("coolant-low", 0.5), ("hose-leaks", 2.0)]),
        (0.99, (), []),
        (0.30, (), []),
        # Nothing turns a critical error.
        (0.60, (did("check", "gauge", hurt=[True]),), []),
        # Hints turn none.
        (0.60, (HINT,), [("coolant-low", 0.5), ("hose-leaks", 2.0)]),
    ],
)
def test_a_rate_decides_where_belief_is_near_the_floor(
    belief: float, done: tuple[Did, ...], hangs: list[tuple[str, float]]
) -> None:
    one = case(*done, *DIAGNOSED, belief={"coolant-low": belief, "hose-leaks": 1.0 - belief})
    grade = grade_case(one, None)
    assert grade.hangs_on == hangs
    expected = "with other assumed fault rates the verdict would differ: coolant low x 0.5, a hose leaks x 2"
    assert (expected in [str(reason) for reason in grade.reasons]) == bool(hangs)


def test_a_fault_half_as_common_was_half_as_likely_beforehand() -> None:
    """With low coolant at half its rate the belief falls to 0.5, and its prior to 0.11: more than half is still earned.

    With leaks at twice theirs it falls as far, and the prior of low coolant to 0.17 only.
    """
    one = case(*DIAGNOSED, belief={"coolant-low": 2.0 / 3.0, "hose-leaks": 1.0 / 3.0})
    one = replace(one, rubric=replace(RUBRIC, total=60.0))
    assert grade_case(one, None).hangs_on == [("hose-leaks", 2.0)]


def test_who_declared_nothing_hangs_on_nothing() -> None:
    one = case(did("check", "gauge"))
    assert _hangs_on(one, FULL, None, Verdict(PASSED, 100.0, [], [])) == []
