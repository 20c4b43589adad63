"""The engine computer's warm-up model: a single thermal mass with worst-case winter losses."""

from __future__ import annotations

from sim.compile import jit
from sim.laws.engine_heat import coolant_heat

STEP_S = 10.0  # [s] longest step; the temperature changes by less than 3 K in it


@jit
def expected_rate(expected: float, heat: float, ambient: float, kJ_K: float, W_K: float) -> float:
    """Rate [K/s] of the modelled coolant temperature expected [degC].

    heat [W]; ambient [degC]; kJ_K [kJ/K]: heat capacity; W_K [W/K]: losses. Source: heat balance of a single thermal
    mass.

    >>> expected_rate(20.0, 5000.0, 20.0, 50.0, 100.0)
    0.1
    """
    return (heat - W_K * (expected - ambient)) / (1000.0 * kJ_K)


@jit
def advance_expected(
    expected: float,
    seconds: float,
    goal: float,
    rpm: float,
    work: float,
    ambient: float,
    kJ_K: float,
    W_K: float,
    at_1000: float,
    exponent: float,
    per_work: float,
    cold_extra: float,
) -> tuple[float, float]:
    """Modelled coolant temperature [degC] after seconds [s] at constant speed and load, and when it reached its goal
    [s].

    expected: initial value [degC]; goal [degC]; rpm [1/min], work [kW], at_1000 [kW], exponent, per_work, cold_extra
    [-] as in ``coolant_heat``; ambient [degC], kJ_K [kJ/K], W_K [W/K] as in ``expected_rate``. The time is counted from
    the start, -1 where the goal is not reached. Source: Heun's method (textbook) on ``expected_rate``.
    """
    steps = int(seconds / STEP_S) + 1
    h = seconds / steps
    for k in range(steps):
        heat = coolant_heat(rpm, work, expected, at_1000, exponent, per_work, cold_extra)
        first = expected_rate(expected, heat, ambient, kJ_K, W_K)
        heat = coolant_heat(rpm, work, expected + h * first, at_1000, exponent, per_work, cold_extra)
        second = expected_rate(expected + h * first, heat, ambient, kJ_K, W_K)
        after = expected + 0.5 * h * (first + second)
        if after >= goal:
            share = (goal - expected) / (after - expected) if after > expected else 0.0
            return after, h * (k + min(max(share, 0.0), 1.0))
        expected = after
    return expected, -1.0
