"""Remaining time of an exam."""

from __future__ import annotations

import math

import pytest

from grading.sessions.modes import EXAM, FREE, GUIDED, Mode

BEGUN = 1_800_000_000.0


@pytest.mark.parametrize(
    ("passed", "left"),
    [
        (0.0, 1800.0),
        (0.5, 1799.5),
        (1799.0, 1.0),
        (1800.0, 0.0),
        (1900.0, -100.0),
        (-0.5, 1800.0),  # the clock was set back
        (-7200.0, 1800.0),
    ],
)
def test_time_left_in_an_exam(passed: float, left: float) -> None:
    assert Mode(EXAM, 30.0, BEGUN).left(BEGUN + passed) == left


@pytest.mark.parametrize("mode", [Mode(), Mode(GUIDED), Mode(FREE), Mode(EXAM, 30.0, None), Mode(EXAM, None, BEGUN)])
def test_no_end_without_a_clock(mode: Mode) -> None:
    assert mode.left(BEGUN) == math.inf


@pytest.mark.parametrize(
    ("mode", "line"),
    [
        (Mode(), {"mode": "free"}),
        (Mode(GUIDED), {"mode": "guided"}),
        (Mode(EXAM, 1.0, 0.0), {"mode": "exam", "minutes": 1.0, "begun": 0.0}),
        (Mode(EXAM, 600.0, BEGUN), {"mode": "exam", "minutes": 600.0, "begun": BEGUN}),
    ],
)
def test_a_mode_comes_back_from_a_record(mode: Mode, line: dict[str, object]) -> None:
    assert mode.to_record() == line
    assert Mode.of_record(line) == mode


@pytest.mark.parametrize(
    ("line", "mode"),
    [
        ({}, Mode(FREE, None, None)),
        ({"mode": "free", "minutes": 30.0, "begun": BEGUN}, Mode(FREE, None, None)),
        ({"mode": "exam", "minutes": 30, "begun": 5}, Mode(EXAM, 30.0, 5.0)),
    ],
)
def test_a_record_that_says_nothing_was_made_freely(line: dict[str, object], mode: Mode) -> None:
    assert Mode.of_record(line) == mode
    assert all(value is None or isinstance(value, float) for value in Mode.of_record(line)[1:])


NO_MODE = "expected one of guided, free, exam"
NO_MINUTES = "an exam of 1 to 600 minutes was expected"
NO_MOMENT = "the moment at which the exam began was expected"


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ({"mode": "relaxed"}, f"mode 'relaxed', {NO_MODE}"),
        ({"mode": ""}, f"mode '', {NO_MODE}"),
        ({"mode": "exam", "begun": BEGUN}, NO_MINUTES),
        ({"mode": "exam", "minutes": 0.99, "begun": BEGUN}, NO_MINUTES),
        ({"mode": "exam", "minutes": 600.1, "begun": BEGUN}, NO_MINUTES),
        ({"mode": "exam", "minutes": True, "begun": BEGUN}, NO_MINUTES),
        ({"mode": "exam", "minutes": "30", "begun": BEGUN}, NO_MINUTES),
        ({"mode": "exam", "minutes": math.nan, "begun": BEGUN}, NO_MINUTES),
        ({"mode": "exam", "minutes": 30.0}, NO_MOMENT),
        ({"mode": "exam", "minutes": 30.0, "begun": -0.1}, NO_MOMENT),
        ({"mode": "exam", "minutes": 30.0, "begun": 1e11}, NO_MOMENT),
        ({"mode": "exam", "minutes": 30.0, "begun": True}, NO_MOMENT),
    ],
)
def test_a_mode_that_no_record_has_is_refused(line: dict[str, object], reason: str) -> None:
    with pytest.raises(ValueError) as error:
        Mode.of_record(line)
    assert str(error.value) == reason


def test_an_exam_may_begin_at_any_moment_that_a_clock_shows() -> None:
    assert Mode.of_record({"mode": "exam", "minutes": 30.0, "begun": 99_999_999_999.0}).begun == 99_999_999_999.0
