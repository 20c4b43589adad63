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
