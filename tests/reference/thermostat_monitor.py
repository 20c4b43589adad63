"""The thermostat's self-test, written a second time over a finished drive: SciPy integrates what is expected of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

SLOW_KMH = 15.0


@dataclass(frozen=True)
class Stretch:
    """A part of a trip under one set of controls.

    times (m,): of the samples, since the trip began [s]; believed (m,): coolant as the computer takes it [degC];
    rpm, work: engine speed [1/min], brake work [kW]; kmh: road speed.
    """

    times: np.ndarray
    believed: np.ndarray
    rpm: float
    work: float
    kmh: float


@dataclass(frozen=True)
class Verdict:
    """result: "passed", "failed", "idled" or "open"; at: when [s]; believed: coolant at that moment [degC]."""

    result: str
    at: float = 0.0
    believed: float = 0.0


def _crossing(course: Callable[[float], np.ndarray], goal: float, low: float, high: float) -> float:
    """When a course crosses the goal between two moments."""
    return cast(float, brentq(lambda t: float(course(t)[0]) - goal, low, high))


def judge(p: Mapping[str, float], trip: Sequence[Stretch], ambient: float) -> Verdict:
    """What a trip from cold tells of the thermostat of a vehicle p in air of ambient [degC]."""
    goal = p["regulates_C"] - 11.0
    if ambient < -7.0 or trip[0].believed[0] >= goal - 19.4:
        return Verdict("open")
    expected, idled = max(float(trip[0].believed[0]), ambient), 0.0
    for part in trip:
        start, end = float(part.times[0]), float(part.times[-1])
        idle = part.kmh <= SLOW_KMH

        def rate(_: float, state: np.ndarray, part: Stretch = part) -> list[float]:
            stiff = 1.0 + p["cold_extra"] * min(max(80.0 - state[0], 0.0), 120.0) / 100.0
            own = p["heat_at_1000"] * (part.rpm / 1000.0) ** p["heat_speed_exponent"] if part.rpm > 0.0 else 0.0
            given = stiff * (own + p["heat_per_work"] * part.work)
            return [(given - p["expected_W_K"] / 1000.0 * (state[0] - ambient)) / p["expected_kJ_K"]]

        path = solve_ivp(rate, (start, end), [expected], rtol=1e-8, atol=1e-8, dense_output=True)
        course = path.sol(part.times)[0]
        due = end
        if course.max() >= goal:
            k = int(np.argmax(course >= goal))
            low, high = float(part.times[max(k - 1, 0)]), float(part.times[k])
            due = _crossing(path.sol, goal, low, high) if k else start
        reached = part.believed >= goal
        if reached.any() and float(part.times[reached.argmax()]) <= due + 1.0:
            return Verdict("passed", float(part.times[reached.argmax()]), goal)
        if course.max() >= goal:
            share = (idled + (due - start if idle else 0.0)) / due
            believed = float(np.interp(due, part.times, part.believed))
            return Verdict("failed" if share <= 0.5 else "idled", due, believed)
        expected, idled = float(path.y[0, -1]), idled + (end - start if idle else 0.0)
    return Verdict("open")
