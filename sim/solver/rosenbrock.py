"""One time step of a vehicle: a linearly implicit Runge-Kutta pair with its error estimate.

The method is the W-method ROS34PW2 (Rang and Angermann 2005: four stages, order 3, embedded order 2, coefficients
recalled; the tests check its order). A W-method keeps its order with an approximate Jacobian. Here the fast coolant
loop has a full block, and every slow state is coupled to at most one other; omitted entries cost steps, never accuracy.

With a strongly relaxed tolerance ROS2 is used (Verwer et al. 1999: two stages, order 2, embedded order 1, coefficients
recalled): where kinks of valves and thermostat limit the step size, the number of stages determines the cost.

Arguments as in ``sim.solver.integrator``.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from sim.compile import jit
from sim.laws import actuators
from sim.solver.fast_block import factorise, solve
from sim.solver.slow_block import invert_damping, solve_slow
from sim.vehicle.rates import rates
from sim.vehicle.states import (
    BAY,
    BLOCK,
    CABIN,
    CHARGE,
    COOLANT,
    CORE,
    CORE_AIR,
    DUCT,
    FEED,
    FEED_SKIN,
    GAS,
    GLASS_WATER,
    HUMIDITY,
    JACKET,
    LIFT,
    LOWER_SKIN,
    METAL,
    NECK_AIR,
    OVERHEATING,
    RADIATOR,
    REAR,
    REAR_AIR,
    RETURN,
    RETURN_SKIN,
    SENSOR,
    STATES,
    TRIM,
    UPPER,
    UPPER_SKIN,
    VACUUM,
    WAX,
)

GAMMA = 4.3586652150845900e-01
ALPHA = (
    (0.0, 0.0, 0.0, 0.0),
    (8.7173304301691801e-01, 0.0, 0.0, 0.0),
    (8.4457060015369423e-01, -1.1299064236484185e-01, 0.0, 0.0),
    (0.0, 0.0, 1.0, 0.0),
)
GAMMAS = (
    (GAMMA, 0.0, 0.0, 0.0),
    (-8.7173304301691801e-01, GAMMA, 0.0, 0.0),
    (-9.0338057013044082e-01, 5.4180672388095326e-02, GAMMA, 0.0),
    (2.4212380706095346e-01, -1.2232505839045147e00, 5.4526025533510214e-01, GAMMA),
)
B = (2.4212380706095346e-01, -1.2232505839045147e00, 1.5452602553351020e00, GAMMA)
B_LOW = (3.7810903145819369e-01, -9.6042292212423178e-02, 5.0e-01, 2.1793326075422950e-01)


def _divide_by_gammas(row: tuple[float, ...]) -> tuple[float, ...]:
    """Row times the inverse of the lower triangular matrix of gammas, by back substitution."""
    out = [0.0] * 4
    for j in range(3, -1, -1):
        out[j] = (row[j] - sum(out[k] * GAMMAS[k][j] for k in range(j + 1, 4))) / GAMMA
    return tuple(out)


# Transformed to the variables u = Gamma k, which avoids products with the Jacobian.
A = tuple(_divide_by_gammas(row) for row in ALPHA)
C = tuple(
    tuple((1.0 / GAMMA if i == j else 0.0) - inverse for j, inverse in enumerate(_divide_by_gammas(unit)))
    for i, unit in enumerate(((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0)))
)
M = _divide_by_gammas(B)
E = tuple(m - low for m, low in zip(M, _divide_by_gammas(B_LOW), strict=True))

TOLERANCE_K = 6e-5
"""Error of a temperature allowed per step [K]. Earlier errors grow some hundredfold where the fan starts or the lift
comes to rest; the benchmarks measure the largest along a drive."""
_tolerances = np.full(STATES, np.inf)
_tolerances[[METAL, JACKET, WAX, SENSOR]] = TOLERANCE_K
_tolerances[[UPPER, RADIATOR, FEED, CORE, RETURN, REAR]] = 3.0 * TOLERANCE_K
# These only follow the loop: they switch nothing and do not amplify errors.
_tolerances[[BAY, BLOCK, DUCT, FEED_SKIN, RETURN_SKIN, UPPER_SKIN, LOWER_SKIN, CABIN, TRIM]] = 10.0 * TOLERANCE_K
# The rest position of the lift determines the temperature from then on: 1e-6 of its travel shifts it by 1 mK.
_tolerances[LIFT] = 4e-7
OPEN_LIFT_RELAXATION = 50.0
"""Extra tolerance for a wide open lift under a relaxed tolerance [-]: its effect on the temperature is much smaller
there."""
_tolerances[REAR_AIR] = 1e-3
_tolerances[COOLANT] = 7e-6
_tolerances[GAS] = 7e-4
_tolerances[[CORE_AIR, NECK_AIR]] = 1e-3
_tolerances[HUMIDITY] = 1e-5
_tolerances[GLASS_WATER] = 1e-5
_tolerances[CHARGE] = 1e-3
_tolerances[VACUUM] = 0.5
_tolerances[OVERHEATING] = 1e-4
WEIGHTS = 1.0 / _tolerances
NOT_A_NUMBER = 1e30
"""Error [-] of a step that ended in NaN, infinity or a comparably large error."""
ROS2_GAMMA = 1.0 - 0.5**0.5
PER_ROS2_GAMMA = 1.0 / ROS2_GAMMA
ERROR_OVERESTIMATE = 4.0
"""Assumed ratio of ROS2's order-1 error estimate to its true error [-], tuned so that temperatures at the end of a
drive are as accurate as with the method of order 3."""
INITIAL_CHANGE = 2.0
_max_tolerances = np.full(STATES, np.inf)
_max_tolerances[[CORE_AIR, REAR_AIR, NECK_AIR]] = 0.02
_max_tolerances[GAS] = 1.4
_max_tolerances[HUMIDITY] = 2e-4
_max_tolerances[GLASS_WATER] = 4e-4
_max_tolerances[CHARGE] = 0.01
_max_tolerances[VACUUM] = 1.0
MIN_WEIGHTS = 1.0 / _max_tolerances
"""Error weights that a relaxed tolerance cannot undercut: temperatures may be wrong by a tenth of a kelvin, but the
same factor on a vacuum would exceed its range."""


@jit
def _solve_stage(W: Any, D: Any, per_step: float, u: Any) -> None:
    """Solve (per_step I - J) x = u in place: fast loop by its factors, then the slow states that depend on it."""
    solve(W, u)
    solve_slow(D, per_step, u)


@jit
def step_order_3(
    y: Any,
    p: Any,
    c: Any,
    s: Any,
    q: Any,
    f0: Any,
    h: float,
    J: Any,
    D: Any,
    W: Any,
    work: Any,
    tolerance_factor: float,
) -> float:
    """One step of h [s] from y with rates f0, into work[4]; returns its error over the tolerance [-].

    tolerance_factor [-]: multiplies the default tolerance. q is left at the last stage. Other arguments as in module.
    Source: see module.
    """
    u1, u2, u3, u4, new, dy = work[0], work[1], work[2], work[3], work[4], work[5]
    per_step = 1.0 / (h * GAMMA)
    factorise(J, per_step, W)
    invert_damping(D, per_step)
    per_h = 1.0 / h
    for i in range(STATES):
        u1[i] = f0[i]
    _solve_stage(W, D, per_step, u1)
    for i in range(STATES):
        new[i] = y[i] + A[1][0] * u1[i]
    rates(new, p, c, s, q, dy)
    for i in range(STATES):
        u2[i] = dy[i] + per_h * (C[1][0] * u1[i])
    _solve_stage(W, D, per_step, u2)
    for i in range(STATES):
        new[i] = y[i] + A[2][0] * u1[i] + A[2][1] * u2[i]
    rates(new, p, c, s, q, dy)
    for i in range(STATES):
        u3[i] = dy[i] + per_h * (C[2][0] * u1[i] + C[2][1] * u2[i])
    _solve_stage(W, D, per_step, u3)
    for i in range(STATES):
        new[i] = y[i] + A[3][0] * u1[i] + A[3][1] * u2[i] + A[3][2] * u3[i]
    rates(new, p, c, s, q, dy)
    for i in range(STATES):
        u4[i] = dy[i] + per_h * (C[3][0] * u1[i] + C[3][1] * u2[i] + C[3][2] * u3[i])
    _solve_stage(W, D, per_step, u4)
    worst = 0.0
    for i in range(STATES):
        new[i] = y[i] + M[0] * u1[i] + M[1] * u2[i] + M[2] * u3[i] + M[3] * u4[i]
        error = abs(E[0] * u1[i] + E[1] * u2[i] + E[2] * u3[i] + E[3] * u4[i]) * max(
            WEIGHTS[i] / tolerance_factor, MIN_WEIGHTS[i]
        )
        if i == LIFT and tolerance_factor > 1.0:
            error /= 1.0 + OPEN_LIFT_RELAXATION * y[LIFT]
        if not error <= NOT_A_NUMBER:  # written so that NaN rejects the step
            return NOT_A_NUMBER
        worst = max(worst, error)
    return worst


@jit
def step_order_2(
    y: Any,
    p: Any,
    c: Any,
    s: Any,
    q: Any,
    f0: Any,
    h: float,
    J: Any,
    D: Any,
    W: Any,
    work: Any,
    tolerance_factor: float,
) -> float:
    """``step_order_3`` by ROS2, with one evaluation of the rates instead of three; arguments and result [-] as there.

    Source: see module.
    """
    u1, u2, new, dy = work[0], work[1], work[4], work[5]
    per_step = 1.0 / (h * ROS2_GAMMA)
    factorise(J, per_step, W)
    invert_damping(D, per_step)
    for i in range(STATES):
        u1[i] = f0[i]
    _solve_stage(W, D, per_step, u1)
    for i in range(STATES):
        new[i] = y[i] + PER_ROS2_GAMMA * u1[i]
    rates(new, p, c, s, q, dy)
    for i in range(STATES):
        u2[i] = dy[i] - 2.0 * per_step * u1[i]
    _solve_stage(W, D, per_step, u2)
    per_factor = 1.0 / (tolerance_factor * ERROR_OVERESTIMATE)
    moves_nothing = p.valve_drive != actuators.VACUUM and p.blend_drive != actuators.VACUUM and p.mode_vacuum < 0.5
    worst, total = 0.0, 0.0
    for i in range(STATES):
        new[i] = y[i] + PER_ROS2_GAMMA * (1.5 * u1[i] + 0.5 * u2[i])
        error = abs(u1[i] + u2[i]) * max(WEIGHTS[i] * per_factor, MIN_WEIGHTS[i])
        total += error
        if i == LIFT:
            error /= 1.0 + OPEN_LIFT_RELAXATION * y[LIFT]
        elif i == VACUUM and moves_nothing:  # it would take half the steps after a start
            continue
        worst = max(worst, error)
    if not total <= NOT_A_NUMBER:  # written so that NaN rejects the step
        return NOT_A_NUMBER
    return 0.5 * PER_ROS2_GAMMA * worst


@jit
def initial_step(f0: Any, tolerance_factor: float) -> float:
    """Step size [s] over which no state changes by more than INITIAL_CHANGE tolerances at its initial rates f0.

    tolerance_factor [-] as in ``step_order_3``. Source: own estimate.
    """
    fastest, per_factor = 1e-9, 1.0 / (tolerance_factor * ERROR_OVERESTIMATE)
    for i in range(STATES):
        fastest = max(fastest, abs(f0[i]) * max(WEIGHTS[i] * per_factor, MIN_WEIGHTS[i]))
    return INITIAL_CHANGE / fastest


@jit
def interpolate(y0: Any, f0: Any, y1: Any, f1: Any, h: float, share: float, out: Any) -> None:
    """State at share [-] of a step of h [s] from (y0, f0) to (y1, f1): cubic Hermite, into out (STATES,). Source:
    textbook.
    """
    x = share
    a = (1.0 + 2.0 * x) * (1.0 - x) * (1.0 - x)
    b = x * (1.0 - x) * (1.0 - x) * h
    d = x * x * (x - 1.0) * h
    for i in range(STATES):
        out[i] = a * y0[i] + (1.0 - a) * y1[i] + b * f0[i] + d * f1[i]
