"""Integration of every vehicle by its own steps: a linearly implicit Runge-Kutta pair with error control.

The method is the W-method ROS34PW2 (Rang and Angermann 2005: four stages, order 3, embedded order 2, coefficients
recalled; its order is measured in the tests). A W-method keeps its order with any matrix for a Jacobian, so only the
fast coolant loop is treated implicitly: the slow states see it as an explicit method, and what the Jacobian leaves
out costs steps, never accuracy. See DEVELOPERS.md for the measurements behind the choice.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from sim.compile import jit
from sim.loop import evaluate, jacobian, rates
from sim.slopes import ROWS, refine_jacobian, slopes, solve_slopes
from sim.states import COOLANT, CORE_AIR, GAS, HUMIDITY, LIFT, STATES, STIFF, TEMPERATURES, VACUUM, WAX
from sim.thermostat import lift_at

_GAMMA = 4.3586652150845900e-01
_ALPHA = (
    (0.0, 0.0, 0.0, 0.0),
    (8.7173304301691801e-01, 0.0, 0.0, 0.0),
    (8.4457060015369423e-01, -1.1299064236484185e-01, 0.0, 0.0),
    (0.0, 0.0, 1.0, 0.0),
)
_GAMMAS = (
    (_GAMMA, 0.0, 0.0, 0.0),
    (-8.7173304301691801e-01, _GAMMA, 0.0, 0.0),
    (-9.0338057013044082e-01, 5.4180672388095326e-02, _GAMMA, 0.0),
    (2.4212380706095346e-01, -1.2232505839045147e00, 5.4526025533510214e-01, _GAMMA),
)
_B = (2.4212380706095346e-01, -1.2232505839045147e00, 1.5452602553351020e00, _GAMMA)
_B_LOW = (3.7810903145819369e-01, -9.6042292212423178e-02, 5.0e-01, 2.1793326075422950e-01)


def _divide_by_gammas(row: tuple[float, ...]) -> tuple[float, ...]:
    """Row times the inverse of the lower triangular matrix of gammas, by back substitution."""
    out = [0.0] * 4
    for j in range(3, -1, -1):
        out[j] = (row[j] - sum(out[k] * _GAMMAS[k][j] for k in range(j + 1, 4))) / _GAMMA
    return tuple(out)


# the method in the variables u = Gamma k, which need no product with the Jacobian
A = tuple(_divide_by_gammas(row) for row in _ALPHA)
C = tuple(
    tuple((1.0 / _GAMMA if i == j else 0.0) - inverse for j, inverse in enumerate(_divide_by_gammas(unit)))
    for i, unit in enumerate(((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 0.0, 0.0, 1.0)))
)
M = _divide_by_gammas(_B)
E = tuple(m - low for m, low in zip(M, _divide_by_gammas(_B_LOW), strict=True))

TOLERANCE_K = 0.001
"""Error of a temperature allowed in one step [K]; the worst error along a drive is measured by the bench."""
_tolerances = np.full(STATES, np.inf)
_tolerances[:TEMPERATURES] = TOLERANCE_K
# Where the lift comes to rest inside its hysteresis decides the temperature from then on: a millionth moves it by 1 mK.
_tolerances[LIFT] = 1e-6
_tolerances[COOLANT] = 2e-4
_tolerances[GAS] = 0.05
_tolerances[CORE_AIR] = 1e-3
_tolerances[HUMIDITY] = 1e-5
_tolerances[VACUUM] = 0.5
WEIGHTS = 1.0 / _tolerances

FIRST_STEP = 0.5  # s, after each event of the world
LONGEST_STEP = 300.0  # s
SHORTEST_STEP = 1e-6  # s
EVENT_HALVINGS = 30
BEYOND_KINK = 0.02  # of a step: how far past a kink of the lift's rate the next one lands
_WORK_ROWS = 8


@jit
def _factorise(J: Any, diagonal: float, W: Any) -> None:
    """W = L U of diagonal I - J, without pivoting: the matrix is dominated by its diagonal."""
    for i in range(STIFF):
        for j in range(STIFF):
            W[i, j] = -J[i, j]
        W[i, i] += diagonal
    for k in range(STIFF):
        pivot = 1.0 / W[k, k]
        W[k, k] = pivot
        for i in range(k + 1, STIFF):
            if W[i, k] != 0.0:
                factor = W[i, k] * pivot
                W[i, k] = factor
                for j in range(k + 1, STIFF):
                    W[i, j] -= factor * W[k, j]


@jit
def _solve(W: Any, b: Any) -> None:
    for i in range(1, STIFF):
        total = b[i]
        for j in range(i):
            total -= W[i, j] * b[j]
        b[i] = total
    for i in range(STIFF - 1, -1, -1):
        total = b[i]
        for j in range(i + 1, STIFF):
            total -= W[i, j] * b[j]
        b[i] = total * W[i, i]


@jit
def _stage(W: Any, D: Any, per_step: float, u: Any) -> None:
    """Put (per_step I - J)^-1 u into u: the fast loop by its factors, then what follows it."""
    _solve(W, u)
    solve_slopes(D, per_step, u)


@jit
def _try_step(y: Any, p: Any, c: Any, s: Any, q: Any, f0: Any, h: float, J: Any, D: Any, W: Any, work: Any) -> float:
    """One step of h [s] from y with rates f0 there; the new state in work[4]; returns the error over its tolerance."""
    u1, u2, u3, u4, new, dy = work[0], work[1], work[2], work[3], work[4], work[5]
    per_step = 1.0 / (h * _GAMMA)
    _factorise(J, per_step, W)
    per_h = 1.0 / h
    for i in range(STATES):
        u1[i] = f0[i]
    _stage(W, D, per_step, u1)
    for i in range(STATES):
        new[i] = y[i] + A[1][0] * u1[i]
    rates(new, p, c, s, q, dy)
    for i in range(STATES):
        u2[i] = dy[i] + per_h * (C[1][0] * u1[i])
    _stage(W, D, per_step, u2)
    for i in range(STATES):
        new[i] = y[i] + A[2][0] * u1[i] + A[2][1] * u2[i]
    rates(new, p, c, s, q, dy)
    for i in range(STATES):
        u3[i] = dy[i] + per_h * (C[2][0] * u1[i] + C[2][1] * u2[i])
    _stage(W, D, per_step, u3)
    for i in range(STATES):
        new[i] = y[i] + A[3][0] * u1[i] + A[3][1] * u2[i] + A[3][2] * u3[i]
    rates(new, p, c, s, q, dy)
    for i in range(STATES):
        u4[i] = dy[i] + per_h * (C[3][0] * u1[i] + C[3][1] * u2[i] + C[3][2] * u3[i])
    _stage(W, D, per_step, u4)
    worst = 0.0
    for i in range(STATES):
        new[i] = y[i] + M[0] * u1[i] + M[1] * u2[i] + M[2] * u3[i] + M[3] * u4[i]
        error = abs(E[0] * u1[i] + E[1] * u2[i] + E[2] * u3[i] + E[3] * u4[i]) * WEIGHTS[i]
        if not error <= 1e30:  # a number that is none must reject the step
            return 1e30
        worst = max(worst, error)
    return worst


@jit
def interpolate(y0: Any, f0: Any, y1: Any, f1: Any, h: float, share: float, out: Any) -> None:
    """State at share [-] of a step of h [s] from (y0, f0) to (y1, f1): cubic Hermite, into out. Source: textbook."""
    x = share
    a = (1.0 + 2.0 * x) * (1.0 - x) * (1.0 - x)
    b = x * (1.0 - x) * (1.0 - x) * h
    d = x * x * (x - 1.0) * h
    for i in range(STATES):
        out[i] = a * y0[i] + (1.0 - a) * y1[i] + b * f0[i] + d * f1[i]


@jit
def _fan_margin(p: Any, s: Any, q: Any) -> float:
    """Positive once the electric fan's switch must change over [K]."""
    if p.fan_viscous > 0.5:
        return -1.0
    if s.fan > 0.5:
        return p.fan_on_C - p.fan_off_K - q.pcm_C
    return q.pcm_C - p.fan_on_C


@jit
def _fan_share(y: Any, p: Any, c: Any, s: Any, q: Any, f0: Any, new: Any, f1: Any, h: float, middle: Any) -> float:
    """Share [-] of a step of h [s] after which the fan's switch changes over; overwrites q and middle."""
    low, high = 0.0, 1.0
    for _ in range(EVENT_HALVINGS):
        share = 0.5 * (low + high)
        interpolate(y, f0, new, f1, h, share, middle)
        evaluate(middle, p, c, s, q)
        if _fan_margin(p, s, q) > 0.0:
            high = share
        else:
            low = share
    return high


@jit
def _lift_moves(lift: float, wax: float, p: Any) -> int:
    """1 rising, -1 falling freely, 2 and -2 towards a stop, 0 at rest: the rate's slope jumps where this does."""
    rising = min(max(lift_at(wax, p.opens_C, p.span_K), p.lift_least), p.lift_most)
    if lift < rising:
        return 1 if rising < min(p.lift_most, 1.0) else 2
    falling = min(max(lift_at(wax, p.opens_C - p.hysteresis_K, p.span_K), p.lift_least), p.lift_most)
    if lift > falling:
        return -1 if falling > max(p.lift_least, 0.0) else -2
    return 0


@jit
def _kink(y: Any, f0: Any, new: Any, p: Any, h: float) -> float:
    """Share [-] of a step of h [s] at which the lift starts, stops or meets an end; 1 where it does not.

    Wax and lift are taken as parabolas through the step's start, slope there and end.
    """
    before = _lift_moves(y[LIFT], y[WAX], p)
    if _lift_moves(new[LIFT], new[WAX], p) == before:
        return 1.0
    bend_wax, bend_lift = new[WAX] - y[WAX] - f0[WAX] * h, new[LIFT] - y[LIFT] - f0[LIFT] * h
    low, high = 0.0, 1.0
    for _ in range(16):
        x = 0.5 * (low + high)
        wax, lift = y[WAX] + (f0[WAX] * h + bend_wax * x) * x, y[LIFT] + (f0[LIFT] * h + bend_lift * x) * x
        if _lift_moves(lift, wax, p) == before:
            low = x
        else:
            high = x
    return high


@jit
def advance(
    y: Any, p: Any, c: Any, s: Any, q: Any, start: float, end: float, times: Any, samples: Any, work: Any, JDW: Any
) -> tuple[int, int]:
    """Integrate one vehicle from start to end [s] under fixed controls, in place.

    y: state, changed; p, c, s, q: its records, s and q changed; times [s] at which samples (rows of state) are wanted,
    by dense output, without a step of their own; work, JDW: scratch. Returns (accepted steps, rates evaluations).
    Source: see module.
    """
    J, D, W = JDW
    f0, f1, new, middle = work[6], work[7], work[4], work[5]
    t = start
    steps, count, wanted = 0, 1, 0
    while wanted < len(times) and times[wanted] < start:
        wanted += 1
    rates(y, p, c, s, q, f0)
    if _fan_margin(p, s, q) > 0.0:
        s.fan = 1.0 - s.fan
        rates(y, p, c, s, q, f0)
        count += 1
    h = min(FIRST_STEP, end - start)
    known = False
    while t < end:
        last = h >= end - t
        if last:
            h = end - t
        if not known:
            jacobian(y, p, q, J)
            slopes(y, p, c, q, f0, D)
            refine_jacobian(y, p, q, D, J)
            known = True
        error = _try_step(y, p, c, s, q, f0, h, J, D, W, work)
        count += 3
        if error > 1.0 and h > SHORTEST_STEP:
            shrink = max(0.2, 0.9 * error ** (-1.0 / 3.0))
            kink = _kink(y, f0, new, p, h)
            if kink < 1.0:
                shrink = min(max(kink + BEYOND_KINK, 0.02), 0.95)
            h *= shrink
            continue
        rates(new, p, c, s, q, f1)
        count += 1
        flips = _fan_margin(p, s, q) > 0.0
        if flips:
            share = max(_fan_share(y, p, c, s, q, f0, new, f1, h, middle), SHORTEST_STEP / h)
            if share < 1.0 - 1e-9:
                h *= share
                last = False
                error = _try_step(y, p, c, s, q, f0, h, J, D, W, work)
                rates(new, p, c, s, q, f1)
                count += 4
        steps += 1
        before = t
        t = end if last else t + h
        while wanted < len(times) and times[wanted] <= t:
            interpolate(y, f0, new, f1, h, min((times[wanted] - before) / h, 1.0), samples[wanted])
            wanted += 1
        for i in range(STATES):
            y[i] = new[i]
            f0[i] = f1[i]
        known = False
        if flips:
            s.fan = 1.0 - s.fan
            rates(y, p, c, s, q, f0)
            count += 1
            h = FIRST_STEP
        else:
            h = min(LONGEST_STEP, max(h, SHORTEST_STEP) * min(5.0, max(0.2, 0.9 * max(error, 1e-6) ** (-1.0 / 3.0))))
    evaluate(y, p, c, s, q)
    return steps, count


@jit
def advance_fleet(
    Y: Any, P: Any, K: Any, S: Any, Q: Any, start: float, end: float, times: Any, samples: Any, counts: Any
) -> None:
    """``advance`` for every vehicle: arrays over the fleet (n, ...); samples (n, len(times), STATES); counts (n, 2).

    No vehicle sees another's steps. Source: see module.
    """
    work = np.zeros((_WORK_ROWS, STATES))
    JDW = np.zeros((STIFF, STIFF)), np.zeros((ROWS, STATES)), np.zeros((STIFF, STIFF))
    for i in range(len(Y)):
        steps, count = advance(Y[i], P[i], K[i], S[i], Q[i], start, end, times, samples[i], work, JDW)
        counts[i, 0] += steps
        counts[i, 1] += count


@jit
def evaluate_path(states: Any, p: Any, c: Any, s: Any, Q: Any) -> None:
    """Quantities at each of the states (m, STATES) of one vehicle, into Q (m,). Source: ``sim.loop.evaluate``."""
    for k in range(len(states)):
        evaluate(states[k], p, c, s, Q[k])
