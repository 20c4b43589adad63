"""Time integration of each vehicle with its own step size control, and location of events inside the steps.

Switches (``sim.solver.switches``) are located inside a step, which then ends there. The thermostat's lift has kinks
where it starts, stops or reaches an end; a step rejected across one is repeated up to just beyond it. A vehicle whose
equations cannot be solved fails alone and keeps the state after its last accepted step. DEVELOPERS.md gives the
measurements behind the choice of method.

Arguments as in ``sim.vehicle.states``; J: Jacobian of the fast loop (STIFF, STIFF), D: of the slow states (ROWS,
STATES) as in ``sim.solver.slow_block``, W: factors (STIFF, STIFF), work: scratch (8, STATES); all float64.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from sim.compile import jit, jit_making_arrays
from sim.laws.gasket import DAMAGE_BEGINS_K_MIN
from sim.solver.kinks import compliant_zone, extrapolated_kink, find_event, lift_kink
from sim.solver.monitors import monitor_instant, monitor_step
from sim.solver.rosenbrock import NOT_A_NUMBER, initial_step, interpolate, step_order_2, step_order_3
from sim.solver.slow_block import ROWS, refine_jacobian, slow_jacobian
from sim.solver.switches import fan_near, next_toggle, switch_over, switches_due
from sim.vehicle.coolant_side import outer_leaks
from sim.vehicle.rates import evaluate, jacobian, rates
from sim.vehicle.states import OVERHEATING, STATES, STIFF, WAX

FIRST_STEP = 0.5  # [s] after each event of the world
# [s] the same with a relaxed tolerance: two filling times of a vacuum reservoir, whose check valve a longer step would
# jump over without the error estimate noticing
RELAXED_FIRST_STEP = 1.0
LONGEST_STEP = 300.0  # s
SHORTEST_STEP = 1e-6  # s
ORDER_2_FROM = 100.0  # tolerance factor from which the method of order 2 takes less work than that of order 3
EVENT_BISECTIONS = 30
RELAXED_BISECTIONS = 8  # with a relaxed tolerance, which also skips the second event search
EVENT_SEARCH_REACH = 1.02  # end of the event search in steps that should end at the event: slightly beyond
# tolerance factor while the fan may soon switch, as its switching time is ill-conditioned after a long wait, and while
# coolant or gas is exchanged, as errors then accumulate
TIGHT_FACTOR = 0.1
# error over tolerance above which the end of a relaxed step does not help to locate a kink inside it
UNUSABLE_ERROR = 5.0
BEYOND_KINK = 0.02  # share of a step by which the next one passes a kink of the lift
# attempted steps of a vehicle between two events of the world: constant, and per second of simulated time; most
# vehicles take a hundredth of that, a boiling one up to a half
MAX_STEPS, MAX_STEPS_PER_S = 2000.0, 20.0
OK, TOO_MANY_STEPS, NOT_FINITE = 0, 1, 2
FAILURE = np.dtype([("why", np.int64), ("at_s", np.float64)])
"""Status of a vehicle's integration: OK, TOO_MANY_STEPS or NOT_FINITE, and the time [s] at which it failed."""
_WORK_ROWS = 8


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
    step_tolerance: float,
) -> float:
    """One step by the method of order 2 or 3; returns its error over the tolerance [-]."""
    if order_2:
        return step_order_2(y, p, c, s, q, f0, h, J, D, W, work, step_tolerance)
    return step_order_3(y, p, c, s, q, f0, h, J, D, W, work, step_tolerance)


@jit
def _fill_remaining(y: Any, s: Any, first_step: int, samples: Any, switch_samples: Any) -> None:
    """Set all samples from index first on to the state y and the switches s."""
    for k in range(first_step, len(samples)):
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

    y, p, c, s, q, m, work as in module; y, s, q, m are changed. JDW: (J, D, W). times [s], float64 (k,): ascending
    times of dense output, which adds no steps; samples (k, STATES), switch_samples (k,): states and switch records
    there. step_ends, float64: receives the end times of steps [s], as many as it has room for. tolerance_factor [-] as
    in ``step_order_3``.

    Returns (accepted steps, rates evaluations) [-], the status of ``FAILURE``, and the time reached [s]. On failure y,
    q and the remaining samples are those at that time. Source: see module.
    """
    J, D, W = JDW
    f0, f1, new, trial = work[6], work[7], work[4], work[5]
    t = start
    steps, count, next_sample = 0, 1, 0
    while next_sample < len(times) and times[next_sample] < start:
        next_sample += 1
    if end <= start:  # no time passes: only algebraic variables and switches
        evaluate(y, p, c, s, q)
        due = switches_due(y, p, c, s, q)
        if due:
            switch_over(due, p, c, s, q)
            evaluate(y, p, c, s, q)
        monitor_instant(p, c, s, q, m)
        return 0, 1, OK, start
    toggle = next_toggle(p, c, s, q, start)
    sensitive = outer_leaks(p) + p.leak_core + p.leak_head + p.gas_ingress > 0.0
    rates(y, p, c, s, q, f0)  # air in the core and near-stagnant coolant affect the fan as leaks do
    sensitive = (
        sensitive or y[OVERHEATING] > DAMAGE_BEGINS_K_MIN or p.core_air_share > 0.0 or q.stagnation * q.runs > 0.0
    )
    due = switches_due(y, p, c, s, q)
    if due:
        switch_over(due, p, c, s, q)
        rates(y, p, c, s, q, f0)
        count += 1
    monitor_instant(p, c, s, q, m)
    relaxed = tolerance_factor > 1.0  # nothing then depends on exact switching times
    first_step, bisections = (RELAXED_FIRST_STEP, RELAXED_BISECTIONS) if relaxed else (FIRST_STEP, EVENT_BISECTIONS)
    jacobian_current, order_2 = False, tolerance_factor > ORDER_2_FROM
    stages, power = (2, -1.0 / 2.0) if order_2 else (4, -1.0 / 3.0)
    h = min(max(first_step, initial_step(f0, tolerance_factor)) if order_2 else first_step, LONGEST_STEP, end - start)
    attempts, max_attempts, status = 0.0, MAX_STEPS + MAX_STEPS_PER_S * (end - start), OK
    due_again = 0  # switches already due again as the step begins
    while t < end:
        attempts += 1.0
        if attempts > max_attempts:
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
        step_tolerance = tolerance_factor * (TIGHT_FACTOR if not relaxed and (sensitive or fan_near(y, p)) else 1.0)
        error = _attempt_step(order_2, y, p, c, s, q, f0, h, J, D, W, work, step_tolerance)
        count += stages - 1
        # The compliant zone of a valve with little travel is so short that a step may jump over it.
        skipped = abs(compliant_zone(new[WAX], p) - compliant_zone(y[WAX], p)) > 1
        if (not error <= 1.0 or skipped) and h > SHORTEST_STEP:
            shrink = max(0.2, 0.9 * error**power)
            unusable = relaxed and error > UNUSABLE_ERROR
            kink = extrapolated_kink(y, f0, p, c, q, h, trial) if unusable else lift_kink(y, f0, new, p, h)
            if kink < 1.0:
                shrink = min(max(kink + BEYOND_KINK, 0.02), 0.95)
            elif skipped:  # at the end of the step, where the error alone would lengthen it again
                shrink = min(shrink, 0.5)
            h *= shrink
            continue
        if not error <= 1.0 and error < NOT_A_NUMBER:
            # At the melting point the heat capacity jumps; the stages then lie on either side and every step is
            # rejected. Take an explicit Euler step instead.
            for i in range(STATES):
                new[i] = y[i] + h * f0[i]
            error = 1.0
        rates(new, p, c, s, q, f1)
        count += 1
        due = switches_due(new, p, c, s, q)
        if due and not due_again:
            # A switch due at the start waits for the end of the step; a sensor exposed to the fan's air would chatter.
            share, which = find_event(y, p, c, s, q, f0, new, f1, h, 1.0, bisections, trial)
            if SHORTEST_STEP < share * h < (1.0 - 1e-9) * h and which:
                due = which
                last = False
                # A step ending near the event locates it much better than one that passed it, so search again.
                for _ in range(2):
                    h *= share
                    error = _attempt_step(order_2, y, p, c, s, q, f0, h, J, D, W, work, step_tolerance)
                    rates(new, p, c, s, q, f1)
                    count += stages
                    if relaxed:
                        break
                    share, which = find_event(y, p, c, s, q, f0, new, f1, h, EVENT_SEARCH_REACH, bisections, trial)
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
        due_again = 0
        if due or toggles:
            rates(y, p, c, s, q, f0)
            count += 1
            monitor_instant(p, c, s, q, m)
            due_again = switches_due(y, p, c, s, q)
            h = min(max(first_step, initial_step(f0, tolerance_factor)), LONGEST_STEP) if order_2 else first_step
        else:
            h = min(LONGEST_STEP, max(h, SHORTEST_STEP) * min(5.0, max(0.2, 0.9 * max(error, 1e-6) ** power)))
    evaluate(y, p, c, s, q)
    monitor_instant(p, c, s, q, m)
    if status != OK:
        _fill_remaining(y, s, next_sample, samples, switch_samples)
    return steps, count, status, t


@jit
def _zero_non_finite(values: Any) -> bool:
    """Whether all values (m,) are finite; others are set to 0, as they would spoil weighted sums over the fleet."""
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
    """``advance`` for every vehicle that has not failed; arrays over the fleet, one row per vehicle.

    Y, P, K, S, Q, M as in ``sim.vehicle.states``. V: Q as plain numbers, float64 (n, fields); F: records of FAILURE,
    changed; samples (n, len(times), STATES), switch_samples (n, len(times)); counts, int64 (n, 2): accepted steps and
    rates evaluations, increased. A vehicle's steps depend on no other vehicle. One that fails keeps its last good
    state; non-finite states and algebraic variables become 0. Source: see module.
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
    """Algebraic variables of one vehicle at states (k, STATES) and switches S (k,), into Q (k,).

    Source: ``sim.vehicle.rates.evaluate``.
    """
    for k in range(len(states)):
        evaluate(states[k], p, c, S[k], Q[k])
