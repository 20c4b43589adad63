"""Integration of every vehicle by steps of its own, as long as its errors allow, and the events inside them.

The switches of ``sim.solver.switches`` are located inside a step, which then step_ends there. The lift of the thermostat
starts, rests and meets its step_ends with a kink: a step that fails across one is taken anew to just beyond it. A vehicle
whose equations cannot be solved fails alone and stays as it was after its last good step. See DEVELOPERS.md for the
measurements behind the choice of the method.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from sim.compile import jit, jit_making_arrays
from sim.laws.gasket import DAMAGE_BEGINS_K_MIN
from sim.laws.thermostat import lift_at
from sim.solver.monitors import monitor_instant, monitor_step
from sim.solver.rosenbrock import NOT_A_NUMBER, initial_step, interpolate, step_order_2, step_order_3
from sim.solver.slow_block import ROWS, refine_jacobian, slow_jacobian
from sim.solver.switches import fan_near, next_toggle, switch_over, switches_due
from sim.vehicle.coolant_side import evaluate_inventory
from sim.vehicle.rates import evaluate, jacobian, rates
from sim.vehicle.states import LIFT, OVERHEATING, STATES, STIFF, WAX

FIRST_STEP = 0.5  # s, after each event of the world
RELAXED_FIRST_STEP = 1.0  # s, the same where more than the usual error is allowed: two filling times of a vacuum
# reservoir, whose check valve a longer step jumps over, unseen by its own error
LONGEST_STEP = 300.0  # s
SHORTEST_STEP = 1e-6  # s
ORDER_2_FROM = 100.0  # times the usual error, from which the method of order 2 takes less work than that of order 3
EVENT_BISECTIONS = 30
RELAXED_BISECTIONS = 8  # the same where more than the usual error is allowed, and no order_2, closer look
EVENT_SEARCH_REACH = 1.02  # of a step that should end at an event: how far beyond its end that is looked for
TIGHT_FACTOR = (
    0.1  # of the usual error: while the fan may soon switch, for its moment is ill-defined where it waits long,
)
# and where coolant leaves or gas comes in, for then nothing is ever steady and errors add up
UNUSABLE_ERROR = 5.0  # times its error, for a relaxed step: its end then tells nothing of where a kink lies inside it
KINK_BISECTIONS = 8
BEYOND_KINK = 0.02  # of a step: how far past a kink of the lift's rate the next one lands
MAX_STEPS, MAX_STEPS_PER_S = 2000.0, 20.0  # steps tried for a vehicle from one event of the world to the next, and
# how many more for each order_2 between them; max_tries vehicles take a hundredth of that, a boiling one up to a half
OK, TOO_MANY_STEPS, NOT_FINITE = 0, 1, 2
FAILURE = np.dtype([("why", np.int64), ("at_s", np.float64)])
"""How a vehicle stands with its equations: OK, TOO_MANY_STEPS or NOT_FINITE, and when [s] it failed."""
_WORK_ROWS = 8


@jit
def _find_event(
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
    middle: Any,
) -> tuple[float, int]:
    """Share [-] of a step of h [s], up to reach [-], after which a switch changes over, and which; 0 for none there.

    bisections [-]: of the share. Overwrites q and middle.
    """
    low, high = 0.0, reach
    which = 0
    for _ in range(bisections):
        share = 0.5 * (low + high)
        interpolate(y, f0, new, f1, h, share, middle)
        evaluate(middle, p, c, s, q)
        found = switches_due(middle, p, c, s, q)
        if found:
            high, which = share, found
        else:
            low = share
    return high, which


@jit
def _lift_motion(lift: float, wax: float, p: Any) -> int:
    """1 rising, -1 falling freely, 2 and -2 towards a stop, 0 at rest: the rate's slope jumps where this does."""
    rising = min(max(lift_at(wax, p.opens_C, p.span_K), p.lift_least), p.lift_most)
    if lift < rising:
        return 1 if rising < min(p.lift_most, 1.0) else 2
    falling = min(max(lift_at(wax, p.opens_C - p.hysteresis_K, p.span_K), p.lift_least), p.lift_most)
    if lift > falling:
        return -1 if falling > max(p.lift_least, 0.0) else -2
    return 0


@jit
def _compliant_zone(wax: float, p: Any) -> int:
    """0 below the stretch of the wax in which the lift follows without slipping, 1 inside it, 2 above."""
    middle = lift_at(wax, p.opens_C - 0.5 * p.hysteresis_K, p.span_K)
    if middle <= max(p.lift_least, 0.0):
        return 0
    return 1 if middle < min(p.lift_most, 1.0) else 2


@jit
def _lift_kink(y: Any, f0: Any, new: Any, p: Any, h: float) -> float:
    """Share [-] of a step of h [s] at which the lift starts, stops or meets an end; 1 where it does not.

    Wax and lift are taken as parabolas through the step's start, slope there and end.
    """
    before, below = _lift_motion(y[LIFT], y[WAX], p), _compliant_zone(y[WAX], p)
    if _lift_motion(new[LIFT], new[WAX], p) == before and _compliant_zone(new[WAX], p) == below:
        return 1.0
    bend_wax, bend_lift = new[WAX] - y[WAX] - f0[WAX] * h, new[LIFT] - y[LIFT] - f0[LIFT] * h
    low, high = 0.0, 1.0
    for _ in range(16):
        x = 0.5 * (low + high)
        wax, lift = y[WAX] + (f0[WAX] * h + bend_wax * x) * x, y[LIFT] + (f0[LIFT] * h + bend_lift * x) * x
        if _lift_motion(lift, wax, p) == before and _compliant_zone(wax, p) == below:
            low = x
        else:
            high = x
    return high


@jit
def _extrapolated_kink(y: Any, f0: Any, p: Any, c: Any, q: Any, h: float, middle: Any) -> float:
    """Share [-] of a step of h [s] at which the lift starts or stops or the closed cap begins to give; 1 for neither.

    For a step that went so wrong that its end tells nothing: everything goes on as it begins. Overwrites q and middle.
    """
    motion, compliant, cap = _lift_motion(y[LIFT], y[WAX], p), _compliant_zone(y[WAX], p), _cap_state(y, p, c, q)
    low, high, share = 0.0, 1.0, 1.0
    for _ in range(KINK_BISECTIONS):
        for i in range(STATES):
            middle[i] = y[i] + f0[i] * h * share
        same = _lift_motion(middle[LIFT], middle[WAX], p) == motion and _compliant_zone(middle[WAX], p) == compliant
        if same and (cap != 0 or _cap_state(middle, p, c, q) == 0):
            low = share
            if share == 1.0:
                return 1.0
        else:
            high = share
        share = 0.5 * (low + high)
    return high


@jit
def _cap_state(y: Any, p: Any, c: Any, q: Any) -> int:
    """1 where the cap lets out, -1 where it draws in, 0 where it is shut. Overwrites the inventory in q."""
    evaluate_inventory(y, p, c, q)
    if q.pressure_kPa > p.cap_kPa * p.cap_seal * c.cap:
        return 1
    return -1 if -q.pressure_kPa > p.cap_vacuum_kPa * c.cap else 0


@jit
def _attempt_step(
    order_2: bool,
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
    fine: float,
) -> float:
    """A step by the method of order 2 or 3; the error over its tolerance [-]."""
    if order_2:
        return step_order_2(y, p, c, s, q, f0, h, J, D, W, work, fine)
    return step_order_3(y, p, c, s, q, f0, h, J, D, W, work, fine)


@jit
def _fill_remaining(y: Any, s: Any, first: int, samples: Any, switch_samples: Any) -> None:
    """Give the samples and what is switch_samples with them, from the first on, the state y and the switches s."""
    for k in range(first, len(samples)):
        for i in range(STATES):
            samples[k, i] = y[i]
        switch_samples[k] = s


@jit
def advance(
    y: Any,
    p: Any,
    c: Any,
    s: Any,
    q: Any,
    m: Any,
    start: float,
    end: float,
    times: Any,
    samples: Any,
    switch_samples: Any,
    step_ends: Any,
    work: Any,
    JDW: Any,
    tolerance_factor: float = 1.0,
) -> tuple[int, int, int, float]:
    """Integrate one vehicle from start to end [s] under fixed controls, in place.

    y: state, changed; p, c, s, q: its records, s and q changed; m: its codes, changed; times [s] at which samples (rows
    of state) are next_sample, by dense output, without a step of their own, and switch_samples (records of switches) as they stood
    then; step_ends: takes the moments [s] at which steps ended, as many as it has room for; work, JDW: scratch; tolerance_factor: as in
    ``step_order_3``. Returns (accepted steps, rates evaluations) [-], OK or why it ended early, and the moment reached [s]:
    y, q, the samples that are left and what is switch_samples are then as at that moment.
    Source: see module.
    """
    J, D, W = JDW
    f0, f1, new, middle = work[6], work[7], work[4], work[5]
    t = start
    steps, count, next_sample = 0, 1, 0
    while next_sample < len(times) and times[next_sample] < start:
        next_sample += 1
    if end <= start:  # time stands still: only the quantities and what switches at once
        evaluate(y, p, c, s, q)
        due = switches_due(y, p, c, s, q)
        if due:
            switch_over(due, p, c, s, q)
            evaluate(y, p, c, s, q)
        monitor_instant(p, c, s, q, m)
        return 0, 1, OK, start
    toggle = next_toggle(p, c, s, q, start)
    leaks = p.leak_hose + p.leak_pump + p.leak_core + p.leak_head + p.gas_ingress > 0.0
    rates(y, p, c, s, q, f0)  # air in the core, or coolant that nearly stands, motion the fan as leaks do
    leaks = leaks or y[OVERHEATING] > DAMAGE_BEGINS_K_MIN or p.core_air_share > 0.0 or q.stagnation * q.runs > 0.0
    due = switches_due(y, p, c, s, q)
    if due:
        switch_over(due, p, c, s, q)
        rates(y, p, c, s, q, f0)
        count += 1
    monitor_instant(p, c, s, q, m)
    relaxed = tolerance_factor > 1.0  # then nothing rests on the moments that care is for
    first, bisections = (RELAXED_FIRST_STEP, RELAXED_BISECTIONS) if relaxed else (FIRST_STEP, EVENT_BISECTIONS)
    jacobian_current, order_2 = False, tolerance_factor > ORDER_2_FROM
    stages, power = (2, -1.0 / 2.0) if order_2 else (4, -1.0 / 3.0)
    h = min(max(first, initial_step(f0, tolerance_factor)) if order_2 else first, LONGEST_STEP, end - start)
    tries, max_tries, status = 0.0, MAX_STEPS + MAX_STEPS_PER_S * (end - start), OK
    overdue = 0  # switches that were due again at once as the step begins
    while t < end:
        tries += 1.0
        if tries > max_tries:
            status = TOO_MANY_STEPS
            break
        until = min(end, toggle)
        last = h >= until - t
        if last:
            h = until - t
        if not jacobian_current:
            jacobian(y, p, q, J)
            slow_jacobian(y, p, c, q, f0, D)
            refine_jacobian(y, p, c, q, D, J)
            jacobian_current = True
        fine = tolerance_factor * (TIGHT_FACTOR if not relaxed and (leaks or fan_near(y, p)) else 1.0)
        error = _attempt_step(order_2, y, p, c, s, q, f0, h, J, D, W, work, fine)
        count += stages - 1
        # a valve that can hardly move compliant for so short a time that a step may pass over it and see nothing
        passed = abs(_compliant_zone(new[WAX], p) - _compliant_zone(y[WAX], p)) > 1
        if (not error <= 1.0 or passed) and h > SHORTEST_STEP:
            shrink = max(0.2, 0.9 * error**power)
            unusable = relaxed and error > UNUSABLE_ERROR
            kink = _extrapolated_kink(y, f0, p, c, q, h, middle) if unusable else _lift_kink(y, f0, new, p, h)
            if kink < 1.0:
                shrink = min(max(kink + BEYOND_KINK, 0.02), 0.95)
            elif passed:  # at the very end of the step: the error alone would ask for a longer one, for ever
                shrink = min(shrink, 0.5)
            h *= shrink
            continue
        if not error <= 1.0 and error < NOT_A_NUMBER:
            # Where coolant melts its heat capacity jumps, and the method's stages, which then lie on either side, throw
            # it back again and again: go on as the step begins.
            for i in range(STATES):
                new[i] = y[i] + h * f0[i]
            error = 1.0
        rates(new, p, c, s, q, f1)
        count += 1
        due = switches_due(new, p, c, s, q)
        if due and not overdue:
            # One overdue as the step begins waits for its end: a sensor that feels the fan itself would chatter.
            share, which = _find_event(y, p, c, s, q, f0, new, f1, h, 1.0, bisections, middle)
            if SHORTEST_STEP < share * h < (1.0 - 1e-9) * h and which:
                due = which
                last = False
                # A step that step_ends near the event tells its moment far better than one that passed it: so once more.
                for _ in range(2):
                    h *= share
                    error = _attempt_step(order_2, y, p, c, s, q, f0, h, J, D, W, work, fine)
                    rates(new, p, c, s, q, f1)
                    count += stages
                    if relaxed:
                        break
                    share, which = _find_event(y, p, c, s, q, f0, new, f1, h, EVENT_SEARCH_REACH, bisections, middle)
                    if not which or abs(share - 1.0) * h < SHORTEST_STEP:
                        break
        if not error < NOT_A_NUMBER:
            status = NOT_FINITE
            break
        before = t
        t = until if last else t + h
        if steps < len(step_ends):
            step_ends[steps] = t
        steps += 1
        while next_sample < len(times) and times[next_sample] <= t:
            interpolate(y, f0, new, f1, h, min((times[next_sample] - before) / h, 1.0), samples[next_sample])
            switch_samples[next_sample] = s
            next_sample += 1
        monitor_step(y, f0, new, f1, t - before, p, c, s, q, m)
        for i in range(STATES):
            y[i] = new[i]
            f0[i] = f1[i]
        jacobian_current, toggles = False, t >= toggle
        if due:
            switch_over(due, p, c, s, q)
        if toggles:
            toggle = next_toggle(p, c, s, q, t)
        overdue = 0
        if due or toggles:
            rates(y, p, c, s, q, f0)
            count += 1
            monitor_instant(p, c, s, q, m)
            overdue = switches_due(y, p, c, s, q)
            h = min(max(first, initial_step(f0, tolerance_factor)), LONGEST_STEP) if order_2 else first
        else:
            h = min(LONGEST_STEP, max(h, SHORTEST_STEP) * min(5.0, max(0.2, 0.9 * max(error, 1e-6) ** power)))
    evaluate(y, p, c, s, q)
    monitor_instant(p, c, s, q, m)
    if status != OK:
        _fill_remaining(y, s, next_sample, samples, switch_samples)
    return steps, count, status, t


@jit
def _zero_non_finite(values: Any) -> bool:
    """Whether all values (m,) are finite; those that are not become 0, for others are weighed beside them."""
    wrong = 0
    for k in range(len(values)):
        wrong += 0 if abs(values[k]) < np.inf else 1
    if wrong:
        for k in range(len(values)):
            if not abs(values[k]) < np.inf:
                values[k] = 0.0
    return wrong == 0


@jit_making_arrays
def advance_fleet(
    Y: Any,
    P: Any,
    K: Any,
    S: Any,
    Q: Any,
    M: Any,
    V: Any,
    F: Any,
    start: float,
    end: float,
    times: Any,
    samples: Any,
    switch_samples: Any,
    counts: Any,
    tolerance_factor: float,
) -> None:
    """``advance`` for every vehicle that has not failed: arrays over the fleet (n, ...); counts (n, 2).

    M: codes (n, rows, columns), changed; V: Q as plain numbers (n, fields); F: records of FAILURE, changed; samples
    (n, len(times), STATES) and switch_samples (n, len(times)) of switches. No vehicle sees another's steps. One that fails keeps
    its last good state; a state or quantity that is not finite becomes 0.
    Source: see module.
    """
    work = np.zeros((_WORK_ROWS, STATES))
    JDW = np.zeros((STIFF, STIFF)), np.zeros((ROWS, STATES)), np.zeros((STIFF, STIFF))
    nowhere = np.zeros(0)
    for i in range(len(Y)):
        until = end if F[i].why == OK else start
        steps, count, status, at = advance(
            Y[i],
            P[i],
            K[i],
            S[i],
            Q[i],
            M[i],
            start,
            until,
            times,
            samples[i],
            switch_samples[i],
            nowhere,
            work,
            JDW,
            tolerance_factor,
        )
        counts[i, 0] += steps
        counts[i, 1] += count
        finite = _zero_non_finite(Y[i])
        if not _zero_non_finite(V[i]) or not finite:
            status = NOT_FINITE
        if F[i].why == OK:
            if status != OK:
                F[i].why, F[i].at_s = status, at
        else:
            _fill_remaining(Y[i], S[i], 0, samples[i], switch_samples[i])


@jit
def evaluate_samples(states: Any, p: Any, c: Any, S: Any, Q: Any) -> None:
    """Quantities of one vehicle at states (m, STATES) and switches (m,), into Q (m,).

    Source: ``sim.vehicle.rates.evaluate``.
    """
    for k in range(len(states)):
        evaluate(states[k], p, c, S[k], Q[k])
