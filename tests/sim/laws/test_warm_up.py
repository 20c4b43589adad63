"""The expected warm-up against its closed solution."""

import math

import pytest

from sim.laws.engine_heat import coolant_heat
from sim.laws.warm_up import advance_expected

ENGINE = (4.6, 0.75, 0.37, 0.0)  # no cold extra: the heat is constant
KJ_K, W_K, AMBIENT = 90.0, 150.0, 2.0


def closed(seconds: float) -> float:
    """Exponential rise towards where heat and losses meet [degC]."""
    most = AMBIENT + coolant_heat(2000.0, 6.0, 80.0, *ENGINE) / W_K
    return most + (AMBIENT - most) * math.exp(-seconds * W_K / (1000.0 * KJ_K))


@pytest.mark.parametrize("seconds", [1.0, 60.0, 400.0])
def test_it_rises_as_one_lump(seconds: float) -> None:
    expected, at = advance_expected(AMBIENT, seconds, 500.0, 2000.0, 6.0, AMBIENT, KJ_K, W_K, *ENGINE)
    assert expected == pytest.approx(closed(seconds), abs=0.02)
    assert at == -1.0


def test_it_tells_when_the_goal_was_reached_however_the_time_is_cut() -> None:
    _, whole = advance_expected(AMBIENT, 1000.0, 40.0, 2000.0, 6.0, AMBIENT, KJ_K, W_K, *ENGINE)
    assert closed(whole) == pytest.approx(40.0, abs=0.05)
    expected, passed = AMBIENT, 0.0
    while True:
        expected, at = advance_expected(expected, 7.0, 40.0, 2000.0, 6.0, AMBIENT, KJ_K, W_K, *ENGINE)
        if at >= 0.0:
            break
        passed += 7.0
    assert passed + at == pytest.approx(whole, abs=0.5)
