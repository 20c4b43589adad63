"""Location of events and kinks inside a step.

Arguments as in ``sim.vehicle.states``; y, new: states at the start and the end of a step of h [s], f0, f1: rates there;
trial: scratch, float64 (STATES,).
"""

from __future__ import annotations

from typing import Any

from sim.compile import jit
from sim.laws.thermostat import lift_at
from sim.solver.rosenbrock import interpolate
from sim.solver.switches import switches_due
from sim.vehicle.coolant_side import evaluate_inventory
from sim.vehicle.rates import evaluate
from sim.vehicle.states import LIFT, STATES, WAX

KINK_BISECTIONS = 8


@jit
def find_event(
    y: Any,
    p: Any,
    c: Any,
    s: Any,
    q: Any,
    f0: Any,
    new: Any,
    f1: Any,
    h: float,
    reach: float,
    bisections: int,
    trial: Any,
) -> tuple[float, int]:
    """Share [-] of a step after which a switch changes over, up to reach [-], and which; 0 for none.

    bisections [-]. Overwrites q and trial. Source: bisection on the cubic of ``interpolate``.
    """
    low, high = 0.0, reach
    which = 0
    for _ in range(bisections):
        share = 0.5 * (low + high)
        interpolate(y, f0, new, f1, h, share, trial)
        evaluate(trial, p, c, s, q)
        found = switches_due(trial, p, c, s, q)
        if found:
            high, which = share, found
        else:
            low = share
    return high, which


@jit
def lift_motion(lift: float, wax: float, p: Any) -> int:
    """Direction [-] of the lift: 1 rising, -1 falling, 2 and -2 towards a stop, 0 at rest. Its rate has a kink where
    this changes.

    lift [-]; wax [degC]. Source: ``sim.laws.thermostat.lift_rate``.
    """
    rising = min(max(lift_at(wax, p.opens_C, p.span_K), p.lift_least), p.lift_most)
    if lift < rising:
        return 1 if rising < min(p.lift_most, 1.0) else 2
    falling = min(max(lift_at(wax, p.opens_C - p.hysteresis_K, p.span_K), p.lift_least), p.lift_most)
    if lift > falling:
        return -1 if falling > max(p.lift_least, 0.0) else -2
    return 0


@jit
def compliant_zone(wax: float, p: Any) -> int:
    """0 below the range of wax temperature [degC] in which the lift follows elastically, 1 inside it, 2 above.

    Source: ``sim.laws.thermostat.lift_compliance``.
    """
    trial = lift_at(wax, p.opens_C - 0.5 * p.hysteresis_K, p.span_K)
    if trial <= max(p.lift_least, 0.0):
        return 0
    return 1 if trial < min(p.lift_most, 1.0) else 2


@jit
def lift_kink(y: Any, f0: Any, new: Any, p: Any, h: float) -> float:
    """Share [-] of a step at which the lift starts, stops or reaches an end; 1 for none.

    Wax and lift are approximated by parabolas through the step's start, initial slope and end. Source: bisection.
    """
    before, below = lift_motion(y[LIFT], y[WAX], p), compliant_zone(y[WAX], p)
    if lift_motion(new[LIFT], new[WAX], p) == before and compliant_zone(new[WAX], p) == below:
        return 1.0
    bend_wax, bend_lift = new[WAX] - y[WAX] - f0[WAX] * h, new[LIFT] - y[LIFT] - f0[LIFT] * h
    low, high = 0.0, 1.0
    for _ in range(16):
        x = 0.5 * (low + high)
        wax, lift = y[WAX] + (f0[WAX] * h + bend_wax * x) * x, y[LIFT] + (f0[LIFT] * h + bend_lift * x) * x
        if lift_motion(lift, wax, p) == before and compliant_zone(wax, p) == below:
            low = x
        else:
            high = x
    return high


@jit
def extrapolated_kink(y: Any, f0: Any, p: Any, c: Any, q: Any, h: float, trial: Any) -> float:
    """Share [-] of a step at which the lift starts or stops or the closed cap opens; 1 for neither.

    For steps with an error so large that their end is no guide: extrapolates linearly from the start. Overwrites q and
    trial. Source: bisection.
    """
    motion, compliant, cap = lift_motion(y[LIFT], y[WAX], p), compliant_zone(y[WAX], p), cap_state(y, p, c, q)
    low, high, share = 0.0, 1.0, 1.0
    for _ in range(KINK_BISECTIONS):
        for i in range(STATES):
            trial[i] = y[i] + f0[i] * h * share
        same = lift_motion(trial[LIFT], trial[WAX], p) == motion and compliant_zone(trial[WAX], p) == compliant
        if same and (cap != 0 or cap_state(trial, p, c, q) == 0):
            low = share
            if share == 1.0:
                return 1.0
        else:
            high = share
        share = 0.5 * (low + high)
    return high


@jit
def cap_state(y: Any, p: Any, c: Any, q: Any) -> int:
    """1 where the cap vents, -1 where it draws in, 0 where it is shut [-]. Overwrites the inventory in q.

    Source: ``sim.vehicle.coolant_side.evaluate_inventory``.
    """
    evaluate_inventory(y, p, c, q)
    if q.pressure_kPa > p.cap_kPa * p.cap_seal * c.cap:
        return 1
    return -1 if -q.pressure_kPa > p.cap_vacuum_kPa * c.cap else 0
